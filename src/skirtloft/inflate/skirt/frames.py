"""The skirt blown up slowly: its shape at a row of growing pressures, small enough to send to a page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.inflate.relax import Progress, Settings, inflate
from skirtloft.inflate.skirt.model import SewnSkirt
from skirtloft.inflate.skirt.trial import moved_to
from skirtloft.inflate.types import Ints
from skirtloft.maths.frozen import Floats, frozen_array

SHARES = (0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0)
LOOSE = 10.0  # times the forces left over of a shape that is measured: for looking at
MOST_STEPS = 2000  # of a frame


@dataclass(frozen=True, eq=False)
class Frames:
    """Shapes of one mesh.

    Parameters
    ----------
    shares : (k,) [-]
        Of the full pressure.
    millimetres : (k, n, 3) int16
        Places of the nodes, to a millimetre: craft up to 32 m either way of the origin.
    triangles : (m, 3)
    """

    shares: Floats
    millimetres: npt.NDArray[np.int16]
    triangles: Ints

    @property
    def points(self) -> Floats:
        """Places of the nodes, (k, n, 3) [m]."""
        return self.millimetres.astype(np.float64) * 1e-3


def slow_inflation(
    skirt: SewnSkirt,
    last: Floats,
    *,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    fast: bool | None = None,
) -> Frames:
    """Return a skirt at a row of growing pressures, from cloth that hangs to the shape `last` (n, 3) [m] at rest.

    Each but the last is near its rest only, good for looking at and for nothing else. Stopped, the frames so far and
    `last` are returned.
    """
    loads, now, shares, found = skirt.problem.loads, skirt.problem.mesh.points, [], []
    for share in SHARES[:-1]:
        if stop is not None and stop():
            break
        inside = frozen_array(loads.pressure * share)
        part = replace(skirt, problem=replace(skirt.problem, loads=replace(loads, pressure=inside)))
        settings = Settings(tolerance=LOOSE * Settings().tolerance / share, soft=(), most_steps=MOST_STEPS)
        shape = inflate(moved_to(part, now).problem, settings, progress=progress, stop=stop, fast=fast)
        now = shape.points
        shares.append(share)
        found.append(now)
    whole = np.stack([*found, last])
    return Frames(frozen_array([*shares, 1.0]), np.round(whole * 1e3).astype(np.int16), skirt.problem.mesh.triangles)
