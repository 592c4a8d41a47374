"""How small can I make it, and why is a huge free-air flow from a small engine not enough?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.subject import CAUTION, COMPUTED, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.quantity import parse_quantity, shown
from skirtloft.design.units import (
    format_area,
    format_flow,
    format_length,
    format_mass,
    format_power,
    format_pressure,
    format_rotation,
)
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import path_points
from skirtloft.maths.frozen import Floats
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.air_reserve import smallest_scale
from skirtloft.physics.lift_path import required_air

USUAL_PRESSURE = 1300.0  # Pa; above, power and wear rise steeply: common practice, no source
WIDEST = 0.2  # m: gaps looked at


def smallest_lines(subject: Subject) -> list[str]:
    """Return the smallest plan of this shape with which the fan still gives the wanted gap."""
    design, lift, plan = subject.design, subject.lift, subject.plan
    show, match = design.project.show, lift.match
    if match is None:
        return ["Write [air.fan] in the file first: how small it may be depends on the fan."]
    scale = np.asarray(smallest_scale(match.fan, lift.system, lift.mass, lift.gap, match.speed))
    hull = path_points(plan.hull_edge, 1e-3)
    length, beam = float(hull[:, 0].max() - hull[:, 0].min()), 2.0 * float(hull[:, 1].max())
    rows = []
    for i, load in enumerate(design.craft.load):
        if not math.isfinite(scale[i]):
            rows.append((load.name, format_mass(load.mass, show), "no plan up to 5 times", "-", "-", "-", "-"))
            continue
        pressure = float(lift.need.cushion_pressure[i]) / float(scale[i]) ** 2
        rows.append(
            (
                load.name,
                format_mass(load.mass, show),
                f"{float(scale[i]):.2f}",
                format_length(length * float(scale[i]), show),
                format_length(beam * float(scale[i]), show),
                format_area(plan.tip_area * float(scale[i]) ** 2, show),
                format_pressure(pressure, show) + (" (high)" if pressure > USUAL_PRESSURE else ""),
            )
        )
    return [
        f"Smallest  plan of this shape on which the fan at {format_rotation(match.speed)} gives"
        f" {format_length(lift.gap, show)}; hull now {format_length(length, show)} by {format_length(beam, show)}",
        *table(("load", "mass", "scale", "hull length", "hull width", "tip area", "cushion"), rows),
        *prose(
            "The mass is kept and losses keep their areas. Flow through the gap hardly changes with size,"
            " pressure goes as"
            " one over scale squared: the fan's pressure sets the limit. Floating, stability and room for the"
            " skirt usually"
            f" ask for more; above {format_pressure(USUAL_PRESSURE, show)} power and wear rise steeply (common"
            " practice)."
            f" {CAUTION}"
        ),
    ]


def free_flow_lines(subject: Subject, free_flow: str, power: str) -> list[str]:
    """Return what a free-air flow from a small engine is worth under this craft.

    Raises
    ------
    DesignError
        A quantity cannot be read or is not above zero.
    """
    flow = parse_quantity("flow", free_flow, "--free-flow")
    engine = parse_quantity("power", power, "--power")
    told = (("--free-flow", free_flow, flow, "3 m3/s"), ("--power", power, engine, "1 hp"))
    wrong = [
        Problem(path, shown(given), "It has to be above zero.", f'Give what the maker says, for example "{example}".')
        for path, given, value, example in told
        if not value > 0.0
    ]
    if wrong:
        raise DesignError(wrong)
    design, lift, show = subject.design, subject.lift, subject.design.project.show
    air = design.air
    into_air = engine * air.fan_efficiency * air.drive_efficiency
    need = float(lift.need.fan_pressure[0])
    left = min(into_air / need, flow)
    gap = _gap_for(subject, min(into_air, need * flow))
    wanted = float(lift.need.fan_pressure[0] * lift.need.fan_flow[0]) / (air.fan_efficiency * air.drive_efficiency)
    name = design.craft.load[0].name
    return [
        f"Free air  {format_flow(flow, show)} from {format_power(engine, show)}: blown against nothing",
        *prose(
            f"  Under this craft the fan works against {format_pressure(need, show)} (cushion and losses, {name!r} at"
            f" {format_length(lift.gap, show)}). Flow times pressure cannot be more than what goes into the air:"
            f" {format_power(engine, show)} times fan {air.fan_efficiency:g} and drive {air.drive_efficiency:g} is"
            f" {format_power(into_air, show)}, so at that pressure at most {format_flow(left, show)} is left of the"
            f" {format_flow(flow, show)}; {format_flow(float(lift.need.fan_flow[0]), show)} is needed."
        ),
        f"  gap that this power and flow can keep up: {format_length(gap, show)}"
        if math.isfinite(gap)
        else "  the leaks alone take more than this power",
        f"  for {format_length(lift.gap, show)} the engine has to give {format_power(wanted, show)} into belt or"
        " gearbox"
        f" (a screening figure: fan {air.fan_efficiency:g}, drive {air.drive_efficiency:g}, no reserve)",
        *prose(f"Ask the maker for flow and pressure together, at several throttlings. {COMPUTED} {CAUTION}"),
    ]


def _gap_for(subject: Subject, power: float) -> float:
    """Return the gap [m] of the first load whose air takes `power` [W] at the fan; nan where leaks take more."""
    lift = subject.lift

    def missing(gap: Floats) -> Floats:
        air = required_air(lift.system, lift.mass[:1], gap)
        return np.asarray(air.fan_pressure * air.fan_flow - power)

    return float(bracketed_roots(missing, np.zeros(1), np.full(1, WIDEST))[0])
