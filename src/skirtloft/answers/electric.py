"""Is electric lift practical: what power, what current, how long?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.subject import CAUTION, COMPUTED, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.defaults import DEFAULTS
from skirtloft.design.units import format_duration, format_length, format_mass, format_power
from skirtloft.lift.match import electric_of
from skirtloft.physics.electric import CONTROLLER_EFFICIENCY, MOTOR_EFFICIENCY, battery_mass

TIMES = (600.0, 1200.0, 3600.0)  # s


def electric_lines(subject: Subject) -> list[str]:
    """Return power, current and minutes with the battery of the file, and the battery for a time."""
    design, lift, show = subject.design, subject.lift, subject.design.project.show
    match, gap = lift.match, format_length(subject.lift.gap, subject.design.project.show)
    if match is None:
        return ["Write [air.fan] in the file first: what lift takes depends on the fan."]
    engine = match.for_gap.engine_power
    electric = electric_of(design, engine)
    lines = []
    if electric is not None and design.air.battery is not None:
        battery = design.air.battery
        rows = [
            (
                load.name,
                _power(float(engine[i]), subject),
                _power(float(electric.power[i]), subject),
                _number(float(electric.voltage[i]), "V"),
                _number(float(electric.current[i]), "A"),
                format_duration(float(electric.duration[i])) if math.isfinite(electric.duration[i]) else "cannot",
            )
            for i, load in enumerate(design.craft.load)
        ]
        lines += [
            f"Battery   {battery.voltage:g} V, {battery.capacity / 3600.0:g} Ah, {battery.usable:.0%} of it used;"
            f" lift alone at {gap}, thrust is not in it",
            *table(("load", "into belt", "out of cells", "volts", "current", "lasts"), rows),
            "",
        ]
    motor, controller, usable = (
        (MOTOR_EFFICIENCY, CONTROLLER_EFFICIENCY, float(DEFAULTS["air.battery.usable"].value))
        if design.air.battery is None
        else (design.air.battery.motor_efficiency, design.air.battery.controller_efficiency, design.air.battery.usable)
    )
    terminal = engine / (motor * controller)
    by_mass: list[tuple[str, ...]] = []
    for i, load in enumerate(design.craft.load):
        masses = [float(battery_mass(terminal[i], seconds, usable_share=usable)) for seconds in TIMES]
        weights = [format_mass(round(mass, 1), show) if math.isfinite(mass) else "-" for mass in masses]
        by_mass.append((load.name, _power(float(terminal[i]), subject), *weights))
    head = ("load", "from battery", *(f"{format_duration(seconds)} of lift" for seconds in TIMES))
    extra = float(np.nanmax(engine)) if np.isfinite(engine).any() else math.nan
    reserve = ""
    if math.isfinite(extra):
        motor_power = format_power(extra * design.air.reserve, show)
        reserve = f" Choose a motor for {motor_power} (reserve {design.air.reserve:g})."
    return [
        *lines,
        f"By mass   battery for lift at {gap}, 150 Wh/kg with its case (from memory), {usable:.0%} of it used",
        *table(head, by_mass),
        *prose(f"The battery's own mass is not yet in the loads: add it and ask again.{reserve} {COMPUTED} {CAUTION}"),
    ]


def _power(value: float, subject: Subject) -> str:
    return format_power(value, subject.design.project.show) if math.isfinite(value) else "-"


def _number(value: float, unit: str) -> str:
    return f"{value:.3g} {unit}" if math.isfinite(value) else "-"
