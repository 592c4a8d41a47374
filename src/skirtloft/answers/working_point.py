"""Will this fan do? Pressure, what the gap asks for, what the fan gives, the loss budget, and where each watt goes."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from skirtloft.answers.subject import CAUTION, COMPUTED, THROUGH_GAP, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.model import Design, Show
from skirtloft.design.units import (
    format_area,
    format_flow,
    format_hole_area,
    format_length,
    format_mass,
    format_power,
    format_pressure,
    format_rotation,
    format_speed,
)
from skirtloft.lift.fan_of import blades_stand
from skirtloft.lift.types import FanMatch
from skirtloft.physics.losses import at_band
from skirtloft.physics.operating import failures, speed_for_gap

NONE = "-"


def point_lines(subject: Subject) -> list[str]:
    """Return the whole answer to "will this fan do"."""
    design, lift = subject.design, subject.lift
    show = design.project.show
    lines = [
        f"Pressure  mass times gravity over {format_area(subject.plan.tip_area, show)} inside the mean tip line",
        *_needs(subject),
        f"  power at a gap of {format_length(lift.gap, show)}: {THROUGH_GAP}",
    ]
    if lift.match is None:
        lines += prose(
            "There is no [air.fan] in the file: a fan has to give the flow at the fan and the pressure at the fan, both"
            " at once. A free-air flow says nothing of that."
        )
    else:
        lines += ["", *_gives(subject, lift.match)]
    lines += ["", *_budget(subject)]
    if lift.match is not None:
        lines += ["", *_watts(subject, lift.match)]
    return [*lines, "", *prose(f"{COMPUTED} {CAUTION}")]


def verdict(subject: Subject) -> str:
    """Return the answer in one line."""
    match, show = subject.lift.match, subject.design.project.show
    failing = [finding.rule for finding in subject.findings if finding.verdict == "fail"]
    watch = [finding.rule for finding in subject.findings if finding.verdict == "warn"]
    if match is None:
        return f"NO FAN  in {subject.design.project.name}: this is what one has to give"
    if failing:
        return f"NO  this fan will not do as it stands: {', '.join(failing)}"
    least = float(np.min(match.at_speed.gap))
    also = f"; to watch: {', '.join(watch)}" if watch else ""
    return (
        f"YES  at {format_rotation(match.speed)} every load hovers on {format_length(least, show)} or more,"
        f" {format_length(subject.lift.gap, show)} wanted{also}"
    )


def _needs(subject: Subject) -> list[str]:
    """What each load asks for at the wanted gap."""
    lift, show = subject.lift, subject.design.project.show
    need = lift.need
    rows = [
        (
            load.name,
            format_mass(load.mass, show),
            format_pressure(float(need.cushion_pressure[i]), show),
            format_flow(float(need.gap_flow[i]), show),
            format_power(float(need.gap_flow[i] * need.cushion_pressure[i]), show),
            format_flow(float(need.fan_flow[i]), show),
            format_pressure(float(need.fan_pressure[i]), show),
        )
        for i, load in enumerate(subject.design.craft.load)
    ]
    head = ("load", "mass", "cushion", "through the gap", "power, gap only", "flow at the fan", "pressure at the fan")
    return table(head, rows)


def _gives(subject: Subject, match: FanMatch) -> list[str]:
    """Gap at the set speed; speed and power for the wanted gap; largest mass."""
    design, lift = subject.design, subject.lift
    show = design.project.show
    assert design.air.fan is not None
    tips = design.air.fan.speed * design.air.fan.diameter / 2.0
    guess = "; its curve is a guess through two numbers" if match.fan.estimated else ""
    at, wanted = match.at_speed, match.for_gap
    low, high = _band(subject, match)
    rows = []
    for i, load in enumerate(design.craft.load):
        rows.append(
            (
                load.name,
                _or_none(at.gap[i], format_length, show),
                _or_none(at.air.fan_flow[i], format_flow, show),
                _or_none(at.air.fan_pressure[i], format_pressure, show),
                _percent(float(at.efficiency[i])),
                _percent(float(at.stall_margin[i])),
                _or_none(at.engine_power[i], format_power, show),
                _speed_words(design, float(wanted.speed[i]), NONE),
                _or_none(wanted.engine_power[i], format_power, show),
                _mass(float(match.limits.mass[0, i]), show),
            )
        )
    gap = format_length(lift.gap, show)
    head = (
        "load", "gap", "flow", "pressure", "efficiency", "over stall", "into belt", f"for {gap}", "into belt",
        f"most at {gap}",
    )  # fmt: skip
    lines = [
        f"Fan       {format_length(design.air.fan.diameter, show)} at {format_rotation(match.speed)}, tips at"
        f" {format_speed(tips, show)}{guess}",
        *table(head, rows),
    ]
    for failed in failures(at):
        name = design.craft.load[failed.case[0]].name
        margin = f"{failed.margin:.3g} {failed.unit}"
        lines += prose(f"  {name}: {failed.name}, margin {margin}. {failed.why} {failed.change}")
    if lift.system.losses:
        lines += prose(
            f"  With every loss at the low or high end of its band, {gap} with {design.craft.load[0].name!r} takes"
            f" {low[0]} to {high[0]} and {low[1]} to {high[1]} into the belt."
        )
    return lines


def _speed_words(design: Design, speed: float, none: str) -> str:
    """Return a speed, marked where the blades would not stand it."""
    if not math.isfinite(speed):
        return none
    return f"{format_rotation(speed)}{'' if blades_stand(design, speed) else ' NO: blades'}"


def _band(subject: Subject, match: FanMatch) -> tuple[tuple[str, str], tuple[str, str]]:
    """Speed and power for the wanted gap of the first load with the losses at both ends of their bands."""
    lift, show = subject.lift, subject.design.project.show
    ends = []
    for losses in (at_band(lift.system.losses, "low"), at_band(lift.system.losses, "high")):
        system = replace(lift.system, losses=losses)
        point = speed_for_gap(match.fan, system, lift.mass[0], lift.gap)
        speed, power = float(point.speed), float(point.engine_power)
        fine = math.isfinite(speed)
        ends.append((format_rotation(speed) if fine else NONE, format_power(power, show) if fine else NONE))
    return ends[0], ends[1]


def _budget(subject: Subject) -> list[str]:
    """The losses of the first load at the wanted gap, one line each, and the narrowest way."""
    lift, show = subject.lift, subject.design.project.show
    name = subject.design.craft.load[0].name
    if not lift.system.losses:
        return ["Losses    none told: write an [[air.loss]] for each thing on the way"]
    assert lift.choke is not None
    rows = []
    for k, line in enumerate(lift.system.losses):
        rows.append(
            (
                line.name,
                format_hole_area(float(line.area), show),
                f"{float(line.factor):.2f}",
                f"{float(line.factor_low):.2f} to {float(line.factor_high):.2f}",
                format_flow(float(lift.budget.flow[k, 0]), show),
                format_pressure(float(lift.budget.drop[k, 0]), show) if lift.budget.drop[k, 0] > 0.0 else "0 Pa",
                f"{float(lift.choke.area_ratio[k, 0]):.1f}",
                line.source,
            )
        )
    lost = float(lift.need.fan_pressure[0] - lift.need.cushion_pressure[0])
    share = lost / float(lift.need.cushion_pressure[0])
    narrow, dear = int(lift.choke.narrowest[0]), int(lift.choke.dearest[0])
    head = ("on the way", "area", "factor", "band", "flow", "drop", "area ratio", "source")
    return [
        f"Losses    with {name!r} at {format_length(lift.gap, show)}: {format_pressure(lost, show)},"
        f" {share:.0%} of the cushion's pressure (20 to 50 % is common practice)",
        *table(head, rows, words_last=True),
        f"  narrowest: {lift.choke.names[narrow]}, {float(lift.choke.least_ratio[0]):.1f} times the effective escape"
        f" area (2 to 3 wanted: common practice); costs most: {lift.choke.names[dear]},"
        f" {float(lift.choke.dearest_share[0]):.0%} of the fan's air power",
    ]


def _watts(subject: Subject, match: FanMatch) -> list[str]:
    """Where the engine's watts go, at the set speed where there is a point, else at the wanted gap."""
    show, name = subject.design.project.show, subject.design.craft.load[0].name
    power = match.watts.power[:, 0]
    whole = float(power.sum())
    if not math.isfinite(whole):
        return ["Watts     no working point at this speed"]
    rows = [
        (line.replace("_", " "), format_power(float(watts), show), f"{watts / whole:.0%}")
        for line, watts in zip(match.watts.names, power, strict=True)
    ]
    gap = sum(float(w) for kind, w in zip(match.watts.kinds, power, strict=True) if kind == "gap")
    return [
        f"Watts     {format_power(whole, show)} into belt or gearbox with {name!r} at {format_rotation(match.speed)}"
        f" (computed); {gap / whole:.0%} of it leaves under the tips",
        *table(("where", "power", "share"), rows),
    ]


def _or_none(value: float, words: object, show: Show) -> str:
    assert callable(words)
    return str(words(float(value), show)) if math.isfinite(value) else NONE


def _percent(value: float) -> str:
    return f"{value:.0%}" if math.isfinite(value) else ("falls only" if value == math.inf else NONE)


def _mass(value: float, show: Show) -> str:
    return format_mass(value, show) if math.isfinite(value) else NONE
