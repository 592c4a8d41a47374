"""Gap, speed and power for every load, day and surface: what gap to design for, and why pebbles are another matter."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.subject import CAUTION, COMPUTED, THROUGH_GAP, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.air_model import Day, Surface
from skirtloft.design.model import Design
from skirtloft.design.quantity import FOOT
from skirtloft.design.units import format_flow, format_length, format_power, format_rotation, format_temperature
from skirtloft.lift.fan_of import blades_stand
from skirtloft.lift.system import system_of
from skirtloft.physics.air import air_density
from skirtloft.physics.lift_path import required_air
from skirtloft.physics.operating import gap_at_speed, speed_for_gap

HOT = 308.15  # K, 35 degC


def days_of(design: Design) -> tuple[Day, ...]:
    """Return the day of the file and the further ones it names, or else a hot one."""
    air = design.air
    own = Day(name="day of the file", altitude=air.altitude, temperature=air.temperature)
    return (own, *(air.day or (Day(name="hot day", altitude=air.altitude, temperature=HOT),)))


def surfaces_of(design: Design) -> tuple[Surface, ...]:
    """Return the ground of the file and the further ones it names, or else the usual design check."""
    air = design.air
    own = Surface(name="ground of the file", gap=air.gap, roughness=air.roughness)
    usual = (
        Surface(name="good floor, calm water", gap=0.005),
        Surface(name="rough floor, short grass", gap=0.020),
        Surface(name="pebbles, long grass", gap=0.025),
    )
    return (own, *(air.surface or usual))


def surface_lines(subject: Subject) -> list[str]:
    """Return the table over surfaces, days and loads."""
    design, lift = subject.design, subject.lift
    show, match = design.project.show, lift.match
    days, grounds = days_of(design), surfaces_of(design)
    shape = (len(days), len(grounds), len(lift.mass))
    density = np.array([air_density(day.altitude, day.temperature) for day in days]).reshape(-1, 1, 1)
    rough = np.array([ground.roughness for ground in grounds]).reshape(1, -1, 1, 1)
    gap = np.broadcast_to(np.array([ground.gap for ground in grounds]).reshape(1, -1, 1), shape)
    mass = np.broadcast_to(lift.mass, shape)
    system = system_of(design, subject.plan, density, rough)
    need = required_air(system, mass, gap)
    through = need.gap_flow * need.cushion_pressure
    wanted = None if match is None else speed_for_gap(match.fan, system, mass, gap)
    given = None if match is None else gap_at_speed(match.fan, system, mass, match.speed)
    lines = []
    for d, day in enumerate(days):
        height = f"{day.altitude / FOOT:.0f} ft" if show == "imperial" else f"{day.altitude:.0f} m"
        place = f"{format_temperature(day.temperature, show)} at {height}"
        rows = []
        for s, ground in enumerate(grounds):
            for k, load in enumerate(design.craft.load):
                row = [ground.name if not k else "", format_length(ground.gap, show) if not k else "", load.name]
                row += [format_flow(float(need.gap_flow[d, s, k]), show), format_power(float(through[d, s, k]), show)]
                if wanted is not None and given is not None and match is not None:
                    speed, power, given_gap = (
                        float(values[d, s, k]) for values in (wanted.speed, wanted.engine_power, given.gap)
                    )
                    row.append(_speed(subject, speed))
                    row.append(format_power(power, show) if math.isfinite(power) else "-")
                    row.append(format_length(given_gap, show) if math.isfinite(given_gap) else "-")
                rows.append(row)
        head = ["surface", "gap wanted", "load", "through the gap", "power, gap only"]
        if match is not None:
            head += ["speed for it", "into belt", f"gap at {format_rotation(match.speed)}"]
        lines += [f"{day.name}: {place}", *table(head, rows, left=1), ""]
    return [*lines, *_words(subject)]


def _speed(subject: Subject, speed: float) -> str:
    """Return a speed, marked where moulded blades would not stand it."""
    fan = subject.design.air.fan
    if fan is None or not math.isfinite(speed):
        return "-"
    return f"{format_rotation(speed)}{'' if blades_stand(subject.design, speed) else ' NO'}"


def _words(subject: Subject) -> list[str]:
    show = subject.design.project.show
    five, ten, twenty = (format_length(gap, show) for gap in (0.005, 0.010, 0.020))
    return [
        *prose(f"Power, gap only: {THROUGH_GAP}. {COMPUTED} NO: the blades would not stand that speed. {CAUTION}"),
        *prose(
            f"Design for {ten} and check {five} and {twenty} (common practice, no source). On smooth ground and"
            " calm water"
            " the skirt flies on little; stones and stalks hold the tips up and let air out between them: reckon"
            " with two to"
            " three times the gap there. That is why a craft lifts on water and not on pebbles. Over rough ground"
            " the gap"
            " counts from the mean plane of the ground."
        ),
    ]
