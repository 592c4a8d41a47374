"""Segments turned about their inner fixing with the loop's length kept: restoring moment, taut limit, other loads.

The loop is inextensible, so its pull grows without bound towards the taut limit. A diaphragm is not part of any of
this: where sections were solved with one, the moment at no turn is what it holds back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.falling_root import falling_root
from skirtloft.physics.loop_motion import LoopMotion, loop_motion
from skirtloft.physics.statics import pressure_lever
from skirtloft.physics.statics_types import SectionStatics, TautLimits, TurnedSections

LARGEST_TURN = math.radians(75.0)  # beyond it a segment no longer works as one: chosen
_SHORT_OF_TAUT = 1e-9  # of the way between the taut limits


@dataclass(frozen=True, eq=False)
class _Turned:
    """Everything at given turns; arrays of one shape. `jx`, `jz` are seen from I."""

    jx: Floats
    jz: Floats
    bulge: Floats
    angle: Floats
    length: Floats
    motion: LoopMotion


def _turned(sections: SectionStatics, turn: Floats, length: Floats) -> _Turned:
    """Return the loop at turns [rad] of the sections' shape (or with axes before it)."""
    (jx0, jz0), (ex, ez) = _from_inner(sections)
    cosine, sine = np.cos(turn), np.sin(turn)
    jx, jz = jx0 * cosine - jz0 * sine, jz0 * cosine + jx0 * sine
    chord = np.hypot(jx - ex, jz - ez)
    half = half_angle_of(np.where(chord <= length, chord / length, np.nan))
    bulge = -length / (2.0 * half) * np.cos(half)
    return _Turned(jx, jz, bulge, 2.0 * half, length, loop_motion(jx, jz, ex, ez, bulge, 2.0 * half, length))


def _from_inner(sections: SectionStatics) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return J as cut and E seen from I, each as x and z [m]."""
    joint = np.asarray(sections.shape.joint - sections.shape.inner)
    edge = np.asarray(sections.hull_edge - sections.shape.inner)
    return (joint[..., 0], joint[..., 1]), (edge[..., 0], edge[..., 1])


def _moment(sections: SectionStatics, turn: Floats, pressure: Floats, at: _Turned) -> Floats:
    """Return the moment about I [N m / m], tip up positive."""
    square = at.jx**2 + at.jz**2
    air = pressure * (at.motion.area_rate + square / 2.0 - pressure_lever(sections.shape))
    return air - GRAVITY * (_segment_moment(sections, turn) + _loop_moment(sections, at))


def _segment_moment(sections: SectionStatics, turn: Floats) -> Floats:
    """Return the turned segments' first moment about I [kg m / m]."""
    return sections.segment.moment * np.cos(turn) - sections.segment.height_moment * np.sin(turn)


def _loop_moment(sections: SectionStatics, at: _Turned) -> Floats:
    """Return the loop's share of the first moment about I [kg m / m]."""
    return sections.loop.areal_mass * (at.length * at.motion.centroid_rise + sections.loop.allowance * at.jx)


def _stiffness(sections: SectionStatics, turn: Floats, pressure: Floats, at: _Turned) -> Floats:
    """Return K [N m / rad / m], the moment's fall per turn."""
    cloth = sections.segment
    height_moment = cloth.height_moment * np.cos(turn) + cloth.moment * np.sin(turn)
    loop = sections.loop.areal_mass * (at.length * at.motion.centroid_second - sections.loop.allowance * at.jz)
    return -pressure * at.motion.area_second + GRAVITY * (loop - height_moment)


def restoring_moment(sections: SectionStatics, turn: npt.ArrayLike, *, pressure: npt.ArrayLike | None = None) -> Floats:
    """Return the moment about I [N m / m] at given turns, tip up positive: opposite to the turn, it restores.

    Parameters
    ----------
    sections : SectionStatics
    turn : [rad]
        Broadcasts against the sections' shape: give (k, 1) for a curve of k points over n sections.
    pressure : [Pa], optional
        Instead of the design case's.

    Returns
    -------
    [N m / m]
        nan beyond the taut limits.

    Notes
    -----
    M = p A'(phi) - g d/dphi Sum m z with A' = -(J-I).(E-I)/2 + s c1 + (<|G-I|^2> - <|J-I|^2> + |J-I|^2)/2 at the loop's
    length, sin(b/2)/(b/2) = c/L. The pressure's moment on the face does not change as it turns.

    References
    ----------
    Derived.
    """
    p = sections.pressure if pressure is None else np.asarray(pressure, dtype=np.float64)
    phi = np.asarray(turn, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        return _moment(sections, phi, p, _turned(sections, phi, sections.length))


def turning_stiffness(
    sections: SectionStatics, turn: npt.ArrayLike, *, pressure: npt.ArrayLike | None = None
) -> Floats:
    """Return K [N m / rad / m] at given turns; parameters as for `restoring_moment`."""
    p = sections.pressure if pressure is None else np.asarray(pressure, dtype=np.float64)
    phi = np.asarray(turn, dtype=np.float64)
    with np.errstate(invalid="ignore", divide="ignore"):
        return _stiffness(sections, phi, p, _turned(sections, phi, sections.length))


def taut_limits(sections: SectionStatics, *, share: float = 0.9) -> TautLimits:
    """Return the turns at which the loop goes straight, tip down and tip up, and the moments there.

    Parameters
    ----------
    sections : SectionStatics
    share : float
        Part of the way to the limit at which the restoring moment is given: at the limit itself an inextensible
        loop under pressure pulls without bound.

    Notes
    -----
    |E - J| = L where the angle between J-I and E-I is acos((|J-I|^2 + |E-I|^2 - L^2)/(2 |J-I| |E-I|)). `load_moment`
    is what the straight loop has to hold besides its own pressure: -p/2 (<|J-I|^2> - <|G-I|^2>) and the segment's
    weight.

    References
    ----------
    Derived.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        limits = _taut_turns(sections, sections.length)
        turn = np.stack(limits, axis=-1)
        load = [
            -sections.pressure * pressure_lever(sections.shape) - GRAVITY * _segment_moment(sections, phi)
            for phi in limits
        ]
        held = [restoring_moment(sections, share * phi) for phi in limits]
    return TautLimits(
        frozen_array(turn), frozen_array(np.stack(load, axis=-1)), frozen_array(np.stack(held, axis=-1)), share
    )


def _taut_turns(sections: SectionStatics, length: Floats) -> tuple[Floats, Floats]:
    """Return the turns down and up at which the loop is straight [rad]; nan where it never is."""
    (jx, jz), (ex, ez) = _from_inner(sections)
    lever, reach = np.hypot(jx, jz), np.hypot(ex, ez)
    between = np.arctan2(jx * ez - jz * ex, jx * ex + jz * ez)
    spread = np.arccos((lever**2 + reach**2 - length**2) / (2.0 * lever * reach))
    return np.asarray(between - spread), np.asarray(between + spread)


def settle(
    sections: SectionStatics, *, pressure: npt.ArrayLike | None = None, length: npt.ArrayLike | None = None
) -> TurnedSections:
    """Return where the same cloth comes to rest under another pressure, or with another loop length.

    Parameters
    ----------
    sections : SectionStatics
    pressure : [Pa], optional
        Of the other load; broadcasts, so (k, 1) gives k loads over n sections.
    length : [m], optional
        Of another loop.

    Returns
    -------
    TurnedSections
        nan where nothing restores the segment before the loop goes taut, or within 75 degrees.

    Notes
    -----
    The root of `restoring_moment` nearest to the shape as cut, the way the moment there turns it, by `falling_root`
    with `turning_stiffness`. A loop too short to reach the joint as cut starts from its taut limit.

    References
    ----------
    Derived.
    """
    p = np.asarray(sections.pressure if pressure is None else pressure, dtype=np.float64)
    loop = np.asarray(sections.length if length is None else length, dtype=np.float64)
    p, loop, _ = np.broadcast_arrays(p, loop, sections.length)

    def moment(turn: Floats) -> tuple[Floats, Floats]:
        at = _turned(sections, turn, loop)
        return _moment(sections, turn, p, at), _stiffness(sections, turn, p, at)

    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        turn = falling_root(moment, *_range(sections, loop))
        return _at_rest(sections, turn, p, loop)


def held_as_cut(sections: SectionStatics, *, pressure: npt.ArrayLike) -> TurnedSections:
    """Return the sections not turned under other pressures [Pa]: what a taut diaphragm holds them to.

    The stiffness is that of loop and segment; a diaphragm adds its own.
    """
    p, length, _ = np.broadcast_arrays(np.asarray(pressure, dtype=np.float64), sections.length, sections.pressure)
    return _at_rest(sections, np.zeros_like(p), p, length)


def held_at_turn(sections: SectionStatics, turn: npt.ArrayLike, *, length: npt.ArrayLike) -> TurnedSections:
    """Return the sections held at a turn [rad] by something else, with loops of a length [m], at their own pressure."""
    phi, loop, p = np.broadcast_arrays(np.asarray(turn, dtype=np.float64), np.asarray(length), sections.pressure)
    with np.errstate(invalid="ignore", divide="ignore"):
        return _at_rest(sections, phi, p, loop)


def _range(sections: SectionStatics, length: Floats) -> tuple[Floats, Floats]:
    """Return the turns between which a loop of this length is not quite straight, at most LARGEST_TURN [rad]."""
    down, up = (np.broadcast_to(limit, length.shape) for limit in _taut_turns(sections, length))
    short = _SHORT_OF_TAUT * (up - down)
    low = np.where(np.isnan(down), -LARGEST_TURN, np.maximum(-LARGEST_TURN, down + short))
    high = np.where(np.isnan(up), LARGEST_TURN, np.minimum(LARGEST_TURN, up - short))
    return low, high


def _at_rest(sections: SectionStatics, turn: Floats, pressure: Floats, length: Floats) -> TurnedSections:
    """Return the record of sections at the turns [rad]."""
    shape, at = sections.shape, _turned(sections, turn, length)
    (_, _), (ex, ez) = _from_inner(sections)
    chord = np.hypot(at.jx - ex, at.jz - ez)
    along, off = 0.5, at.bulge / chord
    centre_x = ex + along * (at.jx - ex) - off * (at.jz - ez)
    centre_z = ez + along * (at.jz - ez) + off * (at.jx - ex)
    end = np.arctan2(at.jz - centre_z, at.jx - centre_x)
    end = np.where(end > math.pi / 2.0, end - 2.0 * math.pi, end)
    joint = np.stack([at.jx, at.jz], axis=-1) + shape.inner
    tip = _turn_about_inner(shape.tip, shape.inner, turn)
    line = np.stack([shape.tip[..., 0] + shape.tip_edge.out, shape.tip[..., 1] + shape.tip_edge.up], axis=-1)
    moved = _turn_about_inner(line, shape.inner, turn) - line
    return TurnedSections(
        pressure=frozen_array(pressure),
        length=frozen_array(length),
        turn=frozen_array(turn),
        joint=frozen_array(joint),
        tip=frozen_array(tip),
        centre=frozen_array(np.stack([centre_x, centre_z], axis=-1) + shape.inner),
        radius=frozen_array(length / at.angle),
        angle=frozen_array(at.angle),
        start_angle=frozen_array(end + at.angle),
        end_angle=frozen_array(end),
        tension=frozen_array(pressure * length / at.angle),
        stiffness=frozen_array(_stiffness(sections, turn, pressure, at)),
        joint_rise=frozen_array(joint[..., 1] - shape.joint[..., 1]),
        tip_rise=frozen_array(tip[..., 1] - shape.tip[..., 1]),
        tip_line_rise=frozen_array(moved[..., 1]),
        tip_line_shift=frozen_array(moved[..., 0]),
    )


def _turn_about_inner(point: Floats, inner: Floats, turn: Floats) -> Floats:
    """Return points (..., 2) [m] turned about I by `turn` [rad]."""
    x, z = np.moveaxis(point - inner, -1, 0)
    cosine, sine = np.cos(turn), np.sin(turn)
    return np.stack([x * cosine - z * sine, z * cosine + x * sine], axis=-1) + inner
