"""A section as the time run and the free skirt see it: what the loop lifts at any turn, and where the segment rests.

Points are seen from the inner fixing I, x outboard, z up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.bounce.hover import rest_area_rate
from skirtloft.physics.falling_root import falling_root
from skirtloft.physics.loop_motion import LoopMotion, loop_motion
from skirtloft.physics.statics import pressure_lever
from skirtloft.physics.statics_types import SectionStatics

MOST_TURN = math.radians(60.0)  # beyond it a segment no longer works as one: chosen
_SHORT_OF_TAUT = 0.995  # share of the way to the straight loop up to which the loop is followed


@dataclass(frozen=True, eq=False)
class TurningSection:
    """Loop and segment in their plane; (...) each, points (..., 2).

    Parameters
    ----------
    edge, joint, tip : (..., 2) [m]  E, J as cut and the tip line as cut
    lever : [m2]  (|J-I|^2 - <|G-I|^2>)/2
    length : [m]  of the loop
    moment, height_moment : [kg m/m]  first moments of the cloth about I, x and z
    """

    edge: Floats
    joint: Floats
    tip: Floats
    lever: Floats
    length: Floats
    moment: Floats
    height_moment: Floats


def turning_section(
    edge: npt.ArrayLike,
    joint: npt.ArrayLike,
    tip: npt.ArrayLike,
    *,
    tip_mean_square: npt.ArrayLike,
    length: npt.ArrayLike,
    moment: npt.ArrayLike = 0.0,
    height_moment: npt.ArrayLike = 0.0,
) -> TurningSection:
    """Return the record of sections given by their points; arguments as `TurningSection`.

    Raises
    ------
    ShapeError
        Where the loop is not longer than its chord.
    """
    e, j, g = (np.asarray(v, dtype=np.float64) for v in (edge, joint, tip))
    chord = np.hypot(*np.moveaxis(j - e, -1, 0))
    if not np.all(np.asarray(length) > chord):
        raise ShapeError("loop", "it is not longer than the straight line between its edges.", "Cut it longer.")
    lever = 0.5 * ((j**2).sum(axis=-1) - np.asarray(tip_mean_square))
    plain = np.broadcast_arrays(chord, lever, length, moment, height_moment)[1:]
    points = (np.broadcast_to(point, (*plain[0].shape, 2)) for point in (e, j, g))
    return TurningSection(*(frozen_array(value) for value in (*points, *plain)))


def from_statics(sections: SectionStatics) -> TurningSection:
    """Return solved sections as they turn; the tip is the mean of the tip edge, the loop's weight that as cut."""
    shape = sections.shape
    line = np.stack([shape.tip[..., 0] + shape.tip_edge.out, shape.tip[..., 1] + shape.tip_edge.up], axis=-1)
    return TurningSection(
        *(
            frozen_array(value)
            for value in (
                sections.hull_edge - shape.inner,
                shape.joint - shape.inner,
                line - shape.inner,
                pressure_lever(shape),
                sections.length,
                sections.weight_moment,
                sections.segment.height_moment,
            )
        )
    )


def turned_point(point: Floats, turn: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return x and z [m] of points (..., 2) turned about I."""
    cosine, sine = np.cos(turn), np.sin(turn)
    x, z = point[..., 0], point[..., 1]
    return np.asarray(x * cosine - z * sine), np.asarray(z * cosine + x * sine)


def _motion(section: TurningSection, turn: Floats) -> tuple[Floats, LoopMotion]:
    jx, jz = turned_point(section.joint, turn)
    ex, ez = section.edge[..., 0], section.edge[..., 1]
    share = np.hypot(jx - ex, jz - ez) / section.length
    half = half_angle_of(np.where(share < 1.0, share, np.nan))
    bulge = -section.length / (2.0 * half) * np.cos(half)
    return np.asarray(jx**2 + jz**2), loop_motion(jx, jz, ex, ez, bulge, 2.0 * half, section.length)


def area_rate(section: TurningSection, turn: npt.ArrayLike) -> Floats:
    """Return A' (...) [m2/rad] at turns [rad]; p A' is the moment of loop and face about I; nan beyond the taut loop.

    Notes
    -----
    A' = -(J-I).(E-I)/2 + s c1 + (<|G-I|^2> - <|J-I|^2> + |J-I|^2)/2 at the loop's length.

    References
    ----------
    Derived.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        square, motion = _motion(section, np.asarray(turn, dtype=np.float64))
        return np.asarray(motion.area_rate + square / 2.0 - section.lever)


def area_second(section: TurningSection, turn: npt.ArrayLike) -> Floats:
    """Return A'' (...) [m2/rad2]; -p A'' is the section's stiffness."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(_motion(section, np.asarray(turn, dtype=np.float64))[1].area_second)


def section_stiffness_at(
    section: TurningSection, turn: npt.ArrayLike, pressure: npt.ArrayLike, *, gravity: float = GRAVITY
) -> Floats:
    """Return K (...) [N m/rad/m] at turns, `pressure` [Pa] the loop's, weight in."""
    phi = np.asarray(turn, dtype=np.float64)
    weight = gravity * (section.moment * np.sin(phi) + section.height_moment * np.cos(phi))
    return np.asarray(-np.asarray(pressure) * area_second(section, phi) - weight)


def weight_moment_at(section: TurningSection, turn: npt.ArrayLike) -> Floats:
    """Return the cloth's first moment about I (...) [kg m/m] at turns."""
    return np.asarray(section.moment * np.cos(turn) - section.height_moment * np.sin(turn))


def turn_range(section: TurningSection) -> tuple[Floats, Floats]:
    """Return the turns (...) [rad] between which the loop is not quite straight, at most 60 degrees."""
    j, e = section.joint, section.edge
    lever, reach = np.hypot(j[..., 0], j[..., 1]), np.hypot(e[..., 0], e[..., 1])
    between = np.arctan2(j[..., 0] * e[..., 1] - j[..., 1] * e[..., 0], (j * e).sum(axis=-1))
    cosine = (lever**2 + reach**2 - section.length**2) / (2.0 * lever * reach)
    spread = np.arccos(np.clip(cosine, -1.0, 1.0))
    low, high = _SHORT_OF_TAUT * (between - spread), _SHORT_OF_TAUT * (between + spread)
    return np.maximum(-MOST_TURN, low), np.minimum(MOST_TURN, high)


def rest_turn(
    section: TurningSection,
    pressure: npt.ArrayLike,
    over_pressure: npt.ArrayLike = 0.0,
    *,
    lip_moment: npt.ArrayLike = 0.0,
    gravity: float = GRAVITY,
) -> Floats:
    """Return the turn (...) [rad] at which a free segment rests under cushion pressure and over-pressure in the loop.

    Returns
    -------
    (...) [rad]
        nan where it comes to rest nowhere within reach of the loop.

    Notes
    -----
    A'(phi) = `rest_area_rate`, the root nearest to the shape as cut.
    """
    low, high = turn_range(section)
    shape = np.broadcast_shapes(low.shape, np.shape(pressure), np.shape(over_pressure), np.shape(lip_moment))

    def left(phi: Floats) -> tuple[Floats, Floats]:
        weight = weight_moment_at(section, phi)
        wanted = rest_area_rate(pressure, section.lever, weight, over_pressure, lip_moment=lip_moment, gravity=gravity)
        return np.asarray(area_rate(section, phi) - wanted), -area_second(section, phi)

    return falling_root(left, *(np.array(np.broadcast_to(end, shape)) for end in (low, high)))
