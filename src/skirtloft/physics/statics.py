"""Loops that carry a segment of any shape as cut: the moment equation, stiffness, and where it is singular."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.loop_motion import LoopMotion, loop_motion
from skirtloft.physics.segment_cloth import no_cloth
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, SegmentCloth, SegmentShape

SINGULAR_LEAN = 1e-6  # J - I this near parallel to E - J: no loop can balance the segment
_STEPS = 30
_SETTLED = 1e-15  # of |J - I|^2: stop
_ACCEPTED = 1e-12  # of |J - I|^2: beyond this a section counts as without equilibrium


def no_loop_cloth() -> LoopCloth:
    """Return a loop without weight."""
    return LoopCloth(frozen_array(0.0), frozen_array(0.0))


def pressure_lever(shape: SegmentShape) -> Floats:
    """Return (<|J-I|^2> - <|G-I|^2>)/2 [m2]: the pressure's moment on the face about I, over the pressure."""
    return (shape.joint_mean_square - shape.tip_mean_square) / 2.0


def solve_statics(
    shape: SegmentShape,
    offset: npt.ArrayLike,
    rise: npt.ArrayLike,
    pressure: npt.ArrayLike,
    *,
    segment: SegmentCloth | None = None,
    loop: LoopCloth | None = None,
    diaphragm_moment: npt.ArrayLike = 0.0,
) -> SectionStatics:
    """Return the sections whose loop is as long as it must be for the segment to stand as cut.

    Parameters
    ----------
    shape : SegmentShape
    offset, rise : [m]
        X (J outboard of E) and Z (E above J), any shape, broadcast with the segments'.
    pressure : [Pa]
    segment, loop : SegmentCloth, LoopCloth, optional
        Without them, that part's weight is left out.
    diaphragm_moment : [N m / m]
        Of a diaphragm about I, tip up positive; a taut diaphragm's is negative.

    Returns
    -------
    SectionStatics
        nan where there is no equilibrium.

    Notes
    -----
    p (J-I).(J-C) = p/2 (<|J-I|^2> - <|G-I|^2>) + g m_x - M_d with C = M + s n, M the chord's middle and n the left
    normal of E to J: s = [(J-I).(J-M) - right side/p]/((J-I).n), singular when J-I is parallel to EJ. The loop's share
    of m_x depends on the loop: (J-I).(J-C) by the secant rule. The loop hangs as a circular arc (its own weight against
    p R is left out of its shape); b = 2 atan2(c/2, -s) is right on both branches.

    References
    ----------
    Derived; checked by maximal enclosed area.
    """
    weight = no_cloth(shape) if segment is None else segment
    cloth = no_loop_cloth() if loop is None else loop
    given = (offset, rise, pressure, diaphragm_moment, shape.depth, shape.inboard, shape.drop, pressure_lever(shape))
    arrays = (*given, weight.moment, weight.height_moment, cloth.areal_mass, cloth.allowance)
    plain = _Plain(*(np.asarray(value, dtype=np.float64) for value in np.broadcast_arrays(*arrays)))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return _record(shape, weight, cloth, plain, _bulge(plain))


@dataclass(frozen=True, eq=False)
class _Plain:
    """What goes into the sections, arrays of one shape; `jx`, `jz` are J seen from I."""

    x: Floats
    z: Floats
    pressure: Floats
    held: Floats
    depth: Floats
    jx: Floats
    jz: Floats
    lever: Floats
    moment: Floats
    height_moment: Floats
    areal: Floats
    allowance: Floats


def _motion(plain: _Plain, bulge: Floats) -> tuple[Floats, Floats, LoopMotion]:
    """Return angle, length and motion of the arcs with their centre `bulge` beyond the chord."""
    chord = np.hypot(plain.x, plain.z)
    angle = 2.0 * np.arctan2(chord / 2.0, -bulge)
    length = np.hypot(bulge, chord / 2.0) * angle
    ends = (plain.jx, plain.jz, plain.jx - plain.x, plain.jz + plain.z)
    return angle, length, loop_motion(*ends, bulge, angle, length)


def _lean(plain: _Plain) -> Floats:
    """Return the cosine between J - I and the left normal of E to J."""
    lean: Floats = (plain.jx * plain.z + plain.jz * plain.x) / np.hypot(plain.x, plain.z) / np.hypot(plain.jx, plain.jz)
    return lean


def _bulge(plain: _Plain) -> Floats:
    """Return s [m] at which the moments balance, nan where there is none."""
    square = plain.jx**2 + plain.jz**2
    lean = _lean(plain)
    slope = np.where(np.abs(lean) < SINGULAR_LEAN, np.nan, lean * np.sqrt(square))
    base = plain.lever + (GRAVITY * plain.moment - plain.held) / plain.pressure
    middle = (plain.jx * plain.x - plain.jz * plain.z) / 2.0

    def needed(balance: Floats) -> Floats:
        _, length, motion = _motion(plain, (middle - balance) / slope)
        hanging = length * motion.centroid_rise + plain.allowance * plain.jx
        return base + GRAVITY * plain.areal * hanging / plain.pressure

    balance = _settled(needed, base, square) if np.any(plain.areal > 0.0) else base
    return np.asarray((middle - balance) / slope)


def _record(
    shape: SegmentShape, segment: SegmentCloth, loop: LoopCloth, plain: _Plain, bulge: Floats
) -> SectionStatics:
    """Return the record of the sections with the bulge found."""
    x, z, p, areal = plain.x, plain.z, plain.pressure, plain.areal
    chord = np.hypot(x, z)
    angle, length, motion = _motion(plain, bulge)
    stiffness = -p * motion.area_second - GRAVITY * plain.height_moment
    stiffness = stiffness + GRAVITY * areal * (length * motion.centroid_second - plain.allowance * plain.jz)
    weight_moment = plain.moment + areal * (length * motion.centroid_rise + plain.allowance * plain.jx)
    radius = np.hypot(bulge, chord / 2.0)
    centre_x, centre_z = -x / 2.0 + bulge * z / chord, plain.depth + z / 2.0 + bulge * x / chord
    end = np.arctan2(plain.depth - centre_z, -centre_x)
    end = np.where(end > math.pi / 2.0, end - 2.0 * math.pi, end)
    return SectionStatics(
        shape=shape,
        segment=segment,
        loop=loop,
        pressure=frozen_array(p),
        diaphragm_moment=frozen_array(plain.held),
        hull_edge=frozen_array(np.stack([-x, plain.depth + z], axis=-1)),
        centre=frozen_array(np.stack([centre_x, centre_z], axis=-1)),
        bulge=frozen_array(bulge),
        chord=frozen_array(chord),
        radius=frozen_array(radius),
        angle=frozen_array(angle),
        start_angle=frozen_array(end + angle),
        end_angle=frozen_array(end),
        length=frozen_array(length),
        tension=frozen_array(p * radius),
        weight_moment=frozen_array(weight_moment),
        stiffness=frozen_array(stiffness),
        lean=frozen_array(_lean(plain)),
    )


def _settled(function: Callable[[Floats], Floats], start: Floats, scale: Floats) -> Floats:
    """Return where `function` gives back its argument, by the secant rule; nan where it does not settle."""
    before, value = start, function(start)
    gap_before = value - before
    for _ in range(_STEPS):
        gap = function(value) - value
        unsettled = np.abs(gap) > _SETTLED * scale
        if not unsettled.any():
            break
        bend = gap - gap_before
        step = np.where(unsettled & (bend != 0.0), -gap * (value - before) / np.where(bend == 0.0, 1.0, bend), 0.0)
        before, gap_before, value = value, gap, value + step
    return np.where(np.abs(function(value) - value) <= _ACCEPTED * scale, value, np.nan)


def area_rate(sections: SectionStatics) -> Floats:
    """Return A' [m2/rad] as cut, loop's length kept: the pressure's moment about I over the pressure.

    Notes
    -----
    0 without weight or diaphragm: the enclosed area is stationary.
    """
    inner = sections.shape.inner
    jx, jz = (np.asarray(part) for part in np.moveaxis(sections.shape.joint - inner, -1, 0))
    ex, ez = np.moveaxis(sections.hull_edge - inner, -1, 0)
    motion = loop_motion(jx, jz, ex, ez, sections.bulge, sections.angle, sections.length)
    rate: Floats = motion.area_rate + (jx**2 + jz**2) / 2.0 - pressure_lever(sections.shape)
    return rate
