"""Where fan and craft meet: gap at a speed, speed and power for a gap, mass that a fan holds up at a gap.

Every function takes a batch of cases. A case without an answer is a value (`failure` and `margin`), not an error; the
curve of the fan is never drawn on beyond its points.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import AirState, Failed, FailureName, LiftSystem, OperatingPoints, frozen_ints
from skirtloft.physics.escape import common_gap
from skirtloft.physics.fan import (
    Fan,
    fan_pressure,
    fan_scales,
    fan_slope,
    highest_pressure,
    shaft_power,
    stall_flow,
    tip_speed,
)
from skirtloft.physics.lift_path import (
    Path,
    air_at_pressure,
    air_from_fan,
    load_pressure,
    path_of,
    pressure_for_flow,
    required_air,
    system_slope,
)
from skirtloft.physics.meeting import Meeting, meet

# Name, unit of the margin, why, what to change; `OperatingPoints.failure` is 1 + the place here.
FAILURES: tuple[tuple[FailureName, str, str, str], ...] = (
    (
        "too weak",
        "Pa",
        "At every flow the fan gives less pressure than cushion and losses ask for: the craft does not get up.",
        "Run it faster, take a larger fan, or reduce mass or losses.",
    ),
    (
        "before the curve",
        "Pa",
        "The fan would work at less flow than its first tested point; what it does there is not known.",
        "Give points at less flow, down to shut-off if you can.",
    ),
    (
        "beyond the curve",
        "Pa",
        "The fan would work at more flow than its last tested point; what it does there is not known.",
        "Give points at more flow, up to free flow if you can, or run it slower.",
    ),
    (
        "leaks",
        "m3/s",
        "The fixed leaks take more air than the fan gives at this pressure: nothing is left for the gap.",
        "Close leaks, run the fan faster, or take a larger fan.",
    ),
)


def gap_at_speed(fan: Fan, system: LiftSystem, mass: npt.ArrayLike, speed: npt.ArrayLike) -> OperatingPoints:
    """Return where the craft hovers when the fan runs at a speed.

    Parameters
    ----------
    mass : (...) [kg]
    speed : (...) [rad/s]

    Notes
    -----
    Solves p_fan(Q) = p + losses(Q), p = m g/S; the gap is what the flow then asks for. Of several intersections the
    one at the largest flow is taken, where the fan's curve comes from above: it is stable, and it is the one that a
    craft which flies goes on with. A craft that starts from rest may hang at a lower one (see `start_up`).
    """
    path, pressure = path_of(system), load_pressure(system, mass)
    q, p, _ = fan_scales(fan, speed, system.density)
    shape = _shape(system, path, pressure, q)

    def excess(flow: Floats, tested: Floats) -> Floats:
        return p * tested - pressure_for_flow(system, path, pressure, q * flow)

    meeting = meet(fan, excess, excess, shape)
    flow = q * meeting.flow
    air = air_from_fan(system, path, pressure, flow, fan_pressure(fan, flow, speed, system.density))
    short = air.gap_flow < -1e-12 * air.cushion_flow
    meeting = Meeting(
        np.where(short, np.nan, meeting.flow),
        np.where(short, 4, meeting.failure),
        np.where(short, air.gap_flow, meeting.margin),
        meeting.crossings,
    )
    jet = np.sqrt(2.0 * pressure / system.density)
    gap = common_gap(system.escape, np.where(short, np.nan, np.maximum(air.gap_flow, 0.0)) / jet)
    return _points(fan, system, meeting, air, gap, np.asarray(speed, dtype=np.float64), shape)


def speed_for_gap(fan: Fan, system: LiftSystem, mass: npt.ArrayLike, gap: npt.ArrayLike) -> OperatingPoints:
    """Return the slowest speed that gives a common gap, and the power it takes.

    Parameters
    ----------
    mass : (...) [kg]
    gap : (...) [m]

    Notes
    -----
    Similar points of all speeds lie on parabolas p ~ Q^2, so the point on the tested curve solves
    p(x) = p_need (rho0/rho) (x/Q_need)^2; then n/n0 = sqrt(p_need rho0/(rho p(x))). A point on a rising part of the
    curve may not hold itself: `stable_by` tells.
    """
    need = required_air(system, mass, gap)
    rho = system.density / fan.density
    shape = _shape(system, path_of(system), need.fan_pressure, fan.speed)

    def excess(flow: Floats, tested: Floats) -> Floats:
        return rho * need.fan_flow**2 * tested - need.fan_pressure * flow**2

    def pascals(flow: Floats, tested: Floats) -> Floats:
        return rho * (need.fan_flow / flow) ** 2 * tested - need.fan_pressure

    meeting = meet(fan, excess, pascals, shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.sqrt(need.fan_pressure / (rho * cubic_values(fan.pressure, meeting.flow)))
    speed = ratio * fan.speed
    return _from_need(fan, system, meeting, need, speed, gap, shape)


def mass_at_gap(fan: Fan, system: LiftSystem, gap: npt.ArrayLike, speed: npt.ArrayLike) -> OperatingPoints:
    """Return the mass that the fan holds up with a common gap at a speed.

    Parameters
    ----------
    gap : (...) [m]
    speed : (...) [rad/s]

    Notes
    -----
    At a given gap every pressure is proportional to the cushion pressure and every flow to its root, so the whole
    system is one parabola through the origin; where the fan's curve meets it, p = p_fan over (p_fan/p).
    """
    unit = air_at_pressure(system, 1.0, gap)
    q, p, _ = fan_scales(fan, speed, system.density)
    shape = _shape(system, path_of(system), unit.fan_pressure, q)

    def excess(flow: Floats, tested: Floats) -> Floats:
        return p * tested * unit.fan_flow**2 - unit.fan_pressure * (q * flow) ** 2

    def pascals(flow: Floats, tested: Floats) -> Floats:
        return p * tested - unit.fan_pressure * (q * flow / unit.fan_flow) ** 2

    meeting = meet(fan, excess, pascals, shape)
    pressure = p * cubic_values(fan.pressure, meeting.flow) / unit.fan_pressure
    need = air_at_pressure(system, pressure, gap)
    return _from_need(fan, system, meeting, need, np.asarray(speed, dtype=np.float64), gap, shape)


def failures(points: OperatingPoints) -> tuple[Failed, ...]:
    """Return the cases without an answer, each with its margin, in the order of the batch."""
    found = []
    for case in zip(*np.nonzero(np.atleast_1d(points.failure)), strict=True):
        place = tuple(int(i) for i in case) if points.failure.ndim else ()
        name, unit, why, change = FAILURES[int(points.failure[place]) - 1]
        found.append(Failed(place, name, float(points.margin[place]), unit, why, change))
    return tuple(found)


def _shape(system: LiftSystem, path: Path, *more: Floats) -> tuple[int, ...]:
    own = (system.area, system.density, system.lift_share, system.drive_efficiency)
    arrays = (*own, path.intake, path.supply, path.feed, path.loop_leak, path.cushion_leak, *more)
    return np.broadcast_shapes(*(np.shape(array) for array in arrays), system.escape.length.shape[:-1])


def _from_need(
    fan: Fan,
    system: LiftSystem,
    meeting: Meeting,
    need: AirState,
    speed: Floats,
    gap: npt.ArrayLike,
    shape: tuple[int, ...],
) -> OperatingPoints:
    """Return the points where the air is told by the gap; flow and pressure of the fan are read from its curve."""
    q, p, _ = fan_scales(fan, speed, system.density)
    air = AirState(
        need.cushion_pressure,
        need.loop_pressure,
        p * cubic_values(fan.pressure, meeting.flow),
        need.gap_flow,
        need.cushion_flow,
        need.lift_flow,
        q * meeting.flow,
    )
    return _points(fan, system, meeting, air, np.asarray(gap, dtype=np.float64), speed, shape)


def _points(
    fan: Fan,
    system: LiftSystem,
    meeting: Meeting,
    air: AirState,
    gap: Floats,
    speed: Floats,
    shape: tuple[int, ...],
) -> OperatingPoints:
    nothing = np.where(np.isnan(meeting.flow), np.nan, 0.0)
    flow = air.fan_flow + nothing
    power = shaft_power(fan, flow, speed, system.density)
    air_power = air.fan_pressure * flow
    stall = stall_flow(fan)
    with np.errstate(divide="ignore", invalid="ignore"):
        stall_margin = np.where(stall > 0.0, meeting.flow / stall - 1.0, np.inf + nothing)
        efficiency = np.where(power > 0.0, air_power / power, np.nan)
    highest = fan_scales(fan, speed, system.density)[1] * highest_pressure(fan)
    slope = fan_slope(fan, flow, speed, system.density)

    def full(values: npt.ArrayLike) -> Floats:
        return frozen_array(np.broadcast_to(values, shape))

    state = AirState(*(full(getattr(air, name) + nothing) for name in AirState.__dataclass_fields__))
    return OperatingPoints(
        mass=full(air.cushion_pressure * system.area / GRAVITY),
        gap=full(gap + nothing),
        speed=full(speed),
        tip_speed=full(tip_speed(fan.diameter, speed)),
        air=state,
        air_power=full(air_power),
        shaft_power=full(power),
        engine_power=full(power / system.drive_efficiency),
        efficiency=full(efficiency),
        slope=full(slope),
        stable_by=full(system_slope(system, path_of(system), air) - slope),
        stall_margin=full(stall_margin),
        pressure_reserve=full(highest / air.fan_pressure - 1.0 + nothing),
        crossings=frozen_ints(np.broadcast_to(meeting.crossings, shape)),
        failure=frozen_ints(np.broadcast_to(meeting.failure, shape)),
        margin=full(meeting.margin),
        estimated=fan.estimated,
    )
