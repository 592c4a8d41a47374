"""A surface as triangles, for the 3D model; knows no file format."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class Mesh:
    """A named surface.

    Parameters
    ----------
    name : str
    vertices : (n, 3) [m]
        Craft frame: x forward, y to port, z up.
    triangles : (m, 3) int
        Corners by their place in `vertices`, anticlockwise as seen from outside.
    colour : (red, green, blue), each 0 .. 1
    shades : (n, 3), optional
        Red, green and blue of every vertex, 0 .. 1, in place of `colour`.
    """

    name: str
    vertices: Floats
    triangles: npt.NDArray[np.int64]
    colour: tuple[float, float, float] = (0.6, 0.6, 0.6)
    shades: Floats | None = None
