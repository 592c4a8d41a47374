"""The air stage: what every load asks for, and what the fan makes of it."""

from __future__ import annotations

import numpy as np

from skirtloft.design.model import Design
from skirtloft.lift.fan_of import fan_of, tip_limit
from skirtloft.lift.system import installed_power, run_segments, system_of
from skirtloft.lift.types import FanMatch, LiftAir
from skirtloft.maths.cubics import cubic_values
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air_reserve import mass_limits, segments_lost
from skirtloft.physics.air_types import AirState, LiftSystem
from skirtloft.physics.electric import Electric, electric_lift
from skirtloft.physics.escape import opening_area
from skirtloft.physics.fan import Fan, fan_scales
from skirtloft.physics.feed import FRESH_WATER, SALT_WATER, FeedHoles, size_feed_holes
from skirtloft.physics.lift_kinds import KINDS, Assumptions, KindName, KindResult, compare_kinds, edited
from skirtloft.physics.lift_path import required_air, system_pressure
from skirtloft.physics.operating import gap_at_speed, speed_for_gap
from skirtloft.physics.start_up import StartUp, floating, start_up
from skirtloft.physics.watts import air_watts, choke, engine_watts, loss_budget
from skirtloft.shape.types import Plan

LOOKS = 160  # flows at which the fan's surplus over the system is looked at


def match_air(design: Design, plan: Plan) -> LiftAir:
    """Return the air of a design for each of its loads.

    Raises
    ------
    DesignError
        The fan of the file cannot be.
    """
    air = design.air
    fan, system = fan_of(design), system_of(design, plan)
    mass = np.array([load.mass for load in design.craft.load])
    need = required_air(system, mass, air.gap)
    segments = run_segments(plan)
    return LiftAir(
        system=system,
        density=float(system.density),
        gap=air.gap,
        mass=frozen_array(mass),
        need=need,
        need_watts=air_watts(system, need, np.full(len(mass), air.gap)),
        budget=loss_budget(system, need),
        choke=choke(system, need),
        runs=system.escape.names,
        segments=segments,
        pitch=sum(run.fitted_length * (1.0 if run.crosses_centre else 2.0) for run in plan.runs) / sum(segments),
        feed=feed_for(system, need, air.gap, segments, air.feed_drop),
        match=None if fan is None else match_fan(design, plan, fan, system, mass),
    )


def feed_for(system: LiftSystem, need: AirState, gap: float, segments: tuple[int, ...], drop: float) -> FeedHoles:
    """Return one feed hole per segment and run, for a drop over cushion pressure; leaks shared by length.

    Parameters
    ----------
    need : AirState (l,)
    """
    length = system.escape.length
    jet = np.sqrt(2.0 * need.cushion_pressure / system.density)[:, None]
    through_gap = opening_area(system.escape, gap) * jet
    leaks = (need.cushion_flow - need.gap_flow)[:, None] * (length / length.sum())
    lost = np.broadcast_to((drop * need.cushion_pressure)[:, None], through_gap.shape)
    return size_feed_holes(through_gap + leaks, segments, need.cushion_pressure, lost, system.density)


def kinds_of(design: Design, lift: LiftAir) -> tuple[KindResult, ...]:
    """Return skirt kinds side by side for the first load at the wanted gap, with the file's assumptions first."""
    escape = float(opening_area(lift.system.escape, lift.gap).sum())
    return compare_kinds(float(lift.need.cushion_pressure[0]), escape, lift.density, kind_table(design))


def kind_table(design: Design) -> dict[KindName, Assumptions]:
    """Return the assumptions of the comparison, those of the file in place of the program's."""
    changes: dict[tuple[KindName, str], tuple[float, float, float]] = {}
    for kind in KINDS:
        told = getattr(design.air.kinds, kind.replace(" ", "_"))
        for assumption in KINDS[kind]:
            band = getattr(told, assumption.name)
            if band is not None:
                changes[kind, assumption.name] = band
    return edited(changes)


def match_fan(design: Design, plan: Plan, fan: Fan, system: LiftSystem, mass: Floats) -> FanMatch:
    """Return fan and craft together for masses (l,) [kg]."""
    air = design.air
    assert air.fan is not None
    speed = air.fan.speed
    at_speed, for_gap = gap_at_speed(fan, system, mass, speed), speed_for_gap(fan, system, mass, air.gap)
    surplus, first, last = _surplus(fan, system, mass, speed)
    tips = tip_limit(design)
    installed = installed_power(air)
    limits = mass_limits(fan, system, mass, air.gap, speed, engine_power=installed, most_tip_speed=tips)
    leaking = at_speed.failure == 4
    return FanMatch(
        fan=fan,
        speed=speed,
        at_speed=at_speed,
        for_gap=for_gap,
        watts=engine_watts(system, at_speed),
        surplus=surplus,
        surplus_first=first,
        surplus_last=last,
        gap_flow=frozen_array(np.where(leaking, at_speed.margin, at_speed.air.gap_flow)),
        highest_mass=limits.mass[limits.names.index("fan")],
        limits=limits,
        segments_lost=segments_lost(
            fan,
            system,
            mass[0],
            speed,
            pitch=design.skirt.pitch,
            depth=design.skirt.depth,
            least_gap=air.least_gap,
        ),
        start_up=_start_up(design, plan, fan, system, mass),
        electric=electric_of(design, for_gap.engine_power),
    )


def _surplus(fan: Fan, system: LiftSystem, mass: Floats, speed: float) -> tuple[Floats, Floats, Floats]:
    """Return the fan's pressure over that of the system: most, at the first and at the last point, (l,) [Pa]."""
    q, p, _ = fan_scales(fan, speed, system.density)
    knots = fan.pressure.knots
    flow = np.unique(np.concatenate([np.linspace(knots[0], knots[-1], LOOKS), knots]))[:, None]
    over = p * cubic_values(fan.pressure, flow) - system_pressure(system, mass, q * flow)
    return frozen_array(over.max(axis=0)), frozen_array(over[0]), frozen_array(over[-1])


def _start_up(design: Design, plan: Plan, fan: Fan, system: LiftSystem, mass: Floats) -> StartUp | None:
    """Return whether each load gets up from rest; the bottom's middle is taken below the middle of the hull edge."""
    water = design.air.water
    if water is None or design.air.fan is None:
        return None
    middle = hull_middle(plan)
    offset = np.array([load.x for load in design.craft.load]) - middle
    afloat = floating(
        mass + water.aboard,
        water.float_area,
        water.hole_height,
        offset=offset,
        float_length=water.float_length,
        water_density=SALT_WATER if water.kind == "salt" else FRESH_WATER,
    )
    return start_up(fan, system, mass + water.aboard, design.air.fan.speed, afloat)


def hull_middle(plan: Plan) -> float:
    """Return x [m] half way along the hull edge."""
    from skirtloft.maths.curves import path_points

    x = path_points(plan.hull_edge, 1e-3)[:, 0]
    return float(x.max() + x.min()) / 2.0


def electric_of(design: Design, engine_power: Floats) -> Electric | None:
    """Return what a power into belt or fan shaft (...) [W] draws from the battery of the file, if it has one."""
    battery = design.air.battery
    if battery is None:
        return None
    return electric_lift(
        engine_power,
        battery.voltage,
        battery.capacity,
        motor_efficiency=battery.motor_efficiency,
        controller_efficiency=battery.controller_efficiency,
        usable_share=battery.usable,
        resistance=battery.resistance,
    )
