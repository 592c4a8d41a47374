"""The trade's section in equilibrium by its own closed form, and the arc of loop cloth that every section has.

The trade's section: face at 45 deg, a right angle at the tip, the inner fixing level with the joint, 2 d inboard of it.
The flow solves sections of any shape (`statics`); this is the second way to the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.balance import balanced_inset, shape_stiffness, tip_mean_square
from skirtloft.physics.cloth import centroid_rise_second, loop_moment
from skirtloft.physics.types import LoopArc, Sections, SegmentWeight

_STEPS = 60
_SETTLED = 1e-15  # of the depth: stop
_ACCEPTED = 1e-12  # of the depth: beyond this a section counts as without equilibrium


def loop_arc(offset: npt.ArrayLike, rise: npt.ArrayLike, centre_inset: npt.ArrayLike) -> LoopArc:
    """Return the arc from E round to J whose centre lies `centre_inset` inboard of J.

    Parameters
    ----------
    offset : [m]
        X, J outboard of E; any shape, broadcast with the others.
    rise : [m]
        Z, E above J; where it is not positive there is no arc and every field is nan.
    centre_inset : [m]
        a, horizontal distance from the arc's centre to J, inboard positive.

    Notes
    -----
    C_z = Z/2 + X (X - 2 a)/(2 Z); s = (X/2 - a) c/Z; R = hypot(s, c/2); b = 2 atan2(c/2, -s), right on both
    branches (b up to 2 pi).

    References
    ----------
    Derived: the centre is equally far from E and J.

    Examples
    --------
    >>> arc = loop_arc(0.18, 0.20, 0.09)
    >>> round(float(arc.radius), 6), round(float(arc.length), 6)
    (0.134536, 0.422658)
    """
    x, z, a = (np.asarray(value, dtype=np.float64) for value in np.broadcast_arrays(offset, rise, centre_inset))
    z = np.where(z > 0.0, z, np.nan)
    chord = np.hypot(x, z)
    centre_z = z / 2.0 + x * (x - 2.0 * a) / (2.0 * z)
    bulge = (x / 2.0 - a) * chord / z
    radius = np.hypot(bulge, chord / 2.0)
    angle = 2.0 * np.arctan2(chord / 2.0, -bulge)
    end_angle = np.arctan2(-centre_z, a)
    end_angle = np.where(end_angle > math.pi / 2.0, end_angle - 2.0 * math.pi, end_angle)
    values = (chord, centre_z, bulge, radius, angle, end_angle + angle, end_angle, radius * angle)
    return LoopArc(*(frozen_array(value) for value in values))


def solve_sections(
    offset: npt.ArrayLike,
    rise: npt.ArrayLike,
    *,
    depth: float,
    pitch: float,
    pressure: float,
    segment: SegmentWeight,
    loop_areal_mass: float,
    loop_joint_allowance: float = 0.0,
) -> Sections:
    """Return the sections in equilibrium, bulge of the face and weight of the cloth in.

    Parameters
    ----------
    offset, rise : [m]
        X (J outboard of E) and Z (E above J), any shape, broadcast together.
    depth, pitch : float [m]
    pressure : float [Pa]
    segment : SegmentWeight
    loop_areal_mass : float [kg/m2]
    loop_joint_allowance : float [m]
        Loop cloth outside the sewn line at the joint.

    Returns
    -------
    Sections
        nan where there is no equilibrium; see `impossible`.

    Notes
    -----
    `balanced_inset`, where the loop's share of the weight depends on the loop: a fixed point, found by Steffensen's
    steps. The loop hangs as a circular arc (its own weight against p R is left out of its shape).
    """
    x, z = (np.asarray(value, dtype=np.float64) for value in np.broadcast_arrays(offset, rise))
    mean_square = tip_mean_square(depth, pitch)

    def moment(arc: LoopArc) -> Floats:
        return segment.moment + loop_moment(arc, x, z, depth, loop_areal_mass, loop_joint_allowance)

    def next_inset(inset: Floats) -> Floats:
        return balanced_inset(mean_square, moment(loop_arc(x, z, inset)), depth, pressure)

    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        start = np.broadcast_to(balanced_inset(mean_square, segment.moment, depth, pressure), x.shape)
        inset = _fixed_point(next_inset, start, depth)
        arc = loop_arc(x, z, inset)
        weight = moment(arc)
        loop_mass = loop_areal_mass * arc.length
        weight_stiffness = GRAVITY * (loop_mass * centroid_rise_second(arc, x, z, depth) - segment.height_moment)
        stiffness = pressure * shape_stiffness(arc, x, z, depth) + weight_stiffness
    quarter = np.where(np.isnan(arc.length), np.nan, loop_arc(x, z, depth / 2.0).length)
    return Sections(
        offset=frozen_array(x),
        rise=frozen_array(z),
        depth=frozen_array(np.full_like(x, depth)),
        face_angle=frozen_array(np.full_like(x, math.pi / 4.0)),
        pitch=frozen_array(np.full_like(x, pitch)),
        tip_inboard=frozen_array(np.full_like(x, depth)),
        inboard=frozen_array(np.full_like(x, 2.0 * depth)),
        drop=frozen_array(np.zeros_like(x)),
        pressure=pressure,
        centre_inset=frozen_array(inset),
        centre_z=frozen_array(depth + arc.centre_z),
        radius=arc.radius,
        angle=arc.angle,
        start_angle=arc.start_angle,
        end_angle=arc.end_angle,
        length=arc.length,
        quarter_rule_length=frozen_array(quarter),
        tip_mean_square=frozen_array(np.full_like(x, mean_square)),
        weight_moment=frozen_array(weight),
        tension=frozen_array(pressure * arc.radius),
        stiffness=frozen_array(stiffness),
    )


def _fixed_point(function: Callable[[Floats], Floats], start: Floats, scale: float) -> Floats:
    """Return where `function` gives back its argument, element by element; nan where it does not settle."""
    value = start
    for _ in range(_STEPS):
        once = function(value)
        twice = function(once)
        bend = twice - 2.0 * once + value
        better = value - (once - value) ** 2 / np.where(bend == 0.0, 1.0, bend)
        value = np.where(bend == 0.0, twice, better)
        if not np.any(np.abs(function(value) - value) > _SETTLED * scale):
            break
    left_over = np.abs(function(value) - value)
    return np.where(left_over <= _ACCEPTED * scale, value, np.nan)


def impossible(sections: Sections) -> npt.NDArray[np.intp]:
    """Return the indices (flat) of the sections that have no equilibrium."""
    return np.flatnonzero(np.isnan(sections.length))
