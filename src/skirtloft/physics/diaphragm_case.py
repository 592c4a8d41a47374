"""Sections solved with a diaphragm: the loop cut short by a margin, and the record that the diaphragm is sized from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.loop_margin import CutLoop, LoopBalance, loop_of_length, section_stiffness
from skirtloft.physics.statics import no_loop_cloth, pressure_lever, solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, SegmentCloth, SegmentShape

_STEPS = 40
_SETTLED = 1e-13  # of the moment that pressure alone asks


def solve_with_margin(
    shape: SegmentShape,
    offset: npt.ArrayLike,
    rise: npt.ArrayLike,
    pressure: npt.ArrayLike,
    margin: npt.ArrayLike,
    *,
    segment: SegmentCloth | None = None,
    loop: LoopCloth | None = None,
) -> SectionStatics:
    """Return the sections whose loop lifts `margin` (...) more than balance, for a diaphragm to hold down.

    Other parameters as `solve_statics`.

    Raises
    ------
    SolveError
        The loop's own weight does not settle.

    Notes
    -----
    M_d = -margin [p/2 (<|J-I|^2> - <|G-I|^2>) + g m_x], where m_x holds the loop's share, which is that of the shorter
    loop: by repetition, each step some hundred times nearer.

    References
    ----------
    Derived.
    """
    asked = np.asarray(pressure, dtype=np.float64) * pressure_lever(shape)
    share = np.asarray(margin, dtype=np.float64)
    cloth = no_loop_cloth() if loop is None else loop
    held: Floats = -share * asked
    for _ in range(_STEPS):
        statics = solve_statics(shape, offset, rise, pressure, segment=segment, loop=cloth, diaphragm_moment=held)
        wanted: Floats = -share * (asked + GRAVITY * statics.weight_moment)
        if not np.any(np.abs(wanted - held) > _SETTLED * np.abs(asked)):
            return statics
        held = wanted
    raise SolveError("diaphragm", float(np.nanmax(np.abs(wanted - held))), "A smaller margin would do.")


def hang_half(segment: SegmentCloth, shape: SegmentShape, mass: npt.ArrayLike) -> SegmentCloth:
    """Return the segments' cloth with half a diaphragm's `mass` (...) [kg/m] hung at the joint; their mass is kept."""
    arm = shape.joint - shape.inner
    half = 0.5 * np.asarray(mass, dtype=np.float64)
    return replace(
        segment,
        moment=frozen_array(segment.moment + half * arm[..., 0]),
        height_moment=frozen_array(segment.height_moment + half * arm[..., 1]),
    )


def balance_of(statics: SectionStatics) -> tuple[LoopBalance, CutLoop]:
    """Return what the sections ask of their loop, and the loop they have; axes as the sections'.

    Notes
    -----
    The mean square of the real top edge goes to the tip's side: only the difference of the two counts.
    """
    shape = statics.shape
    arm = shape.joint - shape.inner
    case = LoopBalance(
        edge=statics.hull_edge,
        joint=shape.joint,
        inner=shape.inner,
        tip_mean_square=frozen_array(shape.tip_mean_square - shape.joint_mean_square + (arm**2).sum(axis=-1)),
        pressure=statics.pressure,
        weight_moment=statics.weight_moment,
        weight_stiffness=frozen_array(np.zeros_like(statics.length)),
    )
    loop = loop_of_length(case, statics.length)
    weight = statics.stiffness - section_stiffness(case, loop)
    return replace(case, weight_stiffness=frozen_array(weight)), loop
