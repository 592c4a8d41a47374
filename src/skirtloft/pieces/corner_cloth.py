"""Extra cloth at the hull edge of corner panels: room to let a corner's loop out to what another rule would cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.physics.statics_types import QuarterRule, SectionStatics
    from skirtloft.shape.types import Plan

BEYOND = 0.020  # m beyond the largest difference
RULES = ("the quarter rule", "the run's own value")


@dataclass(frozen=True)
class CornerCloth:
    """Allowance at the hull edge of corner panels.

    Parameters
    ----------
    difference : float [m]
        Largest difference of a corner's loop length, as cut, from what another rule would cut.
    rule : str
        Which of `RULES` that is.
    station : str
        Where that is; "" where the plan has no corner with a station inside.
    wanted : float [m]
        The difference and 20 mm, up to a whole millimetre.
    cut : float [m]
        What is cut: as the design says, else the more of what is wanted and of the runs' allowance.
    """

    difference: float
    rule: str
    station: str
    wanted: float
    cut: float


def corner_cloth(design: Design, plan: Plan, statics: SectionStatics, rule: QuarterRule) -> CornerCloth:
    """Return what corner panels get at the hull edge.

    Parameters
    ----------
    design : Design
    plan : Plan
    statics : SectionStatics, (n,)
    rule : QuarterRule, (n,)

    Notes
    -----
    A corner's joint stands no more exactly than about 15 mm before it is trimmed, and the rules that could be cut by
    differ: the quarter rule, and the balance of a straight run at the wanted pitch. All of it must be in the cloth
    beyond the sewn line, where it can still be let out.
    """
    making = design.making
    corner = np.flatnonzero(np.isfinite(statics.shape.radius))
    if len(corner) == 0:
        return CornerCloth(0.0, RULES[0], "", 0.0, making.hull_edge)
    gaps = np.abs(np.stack([rule.length, _run_lengths(plan, statics)]) - statics.length)[:, corner]
    which, at = np.unravel_index(int(np.nanargmax(gaps)), gaps.shape)
    most = float(gaps[which, at])
    wanted = math.ceil(1000.0 * (most + BEYOND) - 1e-6) / 1000.0
    given = making.hull_edge_corner
    cut = max(wanted, making.hull_edge) if given is None else given
    return CornerCloth(most, RULES[which], plan.stations.ids[corner[at]], wanted, cut)


def _run_lengths(plan: Plan, statics: SectionStatics) -> Floats:
    """Return the loop lengths as if every station stood in a straight run at the wanted pitch, (n,) [m]."""
    shape = statics.shape
    run = segment_shape(shape.depth, shape.face_angle, plan.pitch, inboard=shape.inboard, drop=shape.drop)
    offset, rise = -statics.hull_edge[..., 0], statics.hull_edge[..., 1] - shape.depth
    return solve_statics(run, offset, rise, statics.pressure, segment=statics.segment, loop=statics.loop).length
