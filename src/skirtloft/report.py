"""What `solve` says: the verdict first, then one plain line each, then what to change."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.cutting_errors import STILL, WorstCut, cutting_errors, ranked
from skirtloft.design.model import Show
from skirtloft.design.said_both import said_both
from skirtloft.design.units import (
    format_area,
    format_flow,
    format_length,
    format_line_load,
    format_mass,
    format_power,
    format_pressure,
    format_rotation,
)
from skirtloft.pipeline import Skirt
from skirtloft.results import sizes

POWER_CAUTION = "through the gap only; the engine needs several times this"


def verdict_line(skirt: Skirt) -> str:
    """Return the verdict in one line: does the skirt hold, and how many rules say so."""
    count = {name: sum(f.verdict == name for f in skirt.findings) for name in ("pass", "warn", "fail")}
    word = "FAILS" if count["fail"] else "HOLDS"
    parts = [f"{count['pass']} rules pass"]
    if count["warn"]:
        parts.append(f"{count['warn']} to watch")
    if count["fail"]:
        parts.append(f"{count['fail']} FAIL")
    project = skirt.design.project
    return f"{word}  {project.name}, revision {project.revision}: {', '.join(parts)}"


def plain_lines(skirt: Skirt) -> list[str]:
    """Return the lines on pressure, air, sizes, loop and pieces, in the units of the design."""
    design, plan = skirt.design, skirt.plan
    show = design.project.show
    first = skirt.cushions[0]
    others = "".join(f"; {format_pressure(c.pressure, show)} with {c.name!r}" for c in skirt.cushions[1:])
    size = sizes(skirt)
    air = design.air
    return [
        f"Pressure  {format_pressure(first.pressure, show)} with {first.name!r}"
        f" ({format_mass(first.mass, show)} on {format_area(plan.tip_area, show)}){others}",
        f"Air       {format_flow(first.flow, show)} escapes at a {format_length(air.gap, show)} gap:"
        f" {format_power(first.air_power, show)} {POWER_CAUTION}",
        f"          screening figure for the lift engine {format_power(first.engine_power, show)}"
        f" (fan {air.fan_efficiency:g}, drive {air.drive_efficiency:g}, losses {air.losses:g}, reserve {air.reserve:g}:"
        " common practice, not a promise)",
        fan_line(skirt),
        f"Sizes     hover height {format_length(size['hover_height_m'], show)};"
        f" inflated {format_length(size['overall_width_m'], show)} wide"
        f" and {format_length(size['overall_length_m'], show)} long",
        _rest_line(skirt),
        *_loop_lines(skirt),
        *_diaphragm_lines(skirt),
        pattern_line(skirt),
        f"Cutting   {accuracy_words(skirt, ranked(cutting_errors(skirt), skirt.design.making.level))}",
        _piece_line(skirt),
        *_mass_line(skirt),
    ]


def _rest_line(skirt: Skirt) -> str:
    """Return the sizes without lift: for the trailer, the garage and the ground."""
    show, hanging = skirt.design.project.show, skirt.service.rest.free_extent
    return (
        f"          skirt hanging {format_length(hanging.width, show)} wide, at most"
        f" {format_length(hanging.width_bound, show)}, and {format_length(hanging.length, show)} long"
    )


def _diaphragm_lines(skirt: Skirt) -> list[str]:
    """Return the diaphragm in one line: where it is possible, pull and load at which it goes slack."""
    result, show = skirt.service.diaphragm, skirt.design.project.show
    if result is None:
        return []
    if not (result.place.asked > 0.0).any():
        return ["Margin    zero: the loops are cut for balance, without a diaphragm"]
    if not result.is_there.any():
        return ["Margin    no diaphragm is possible as asked: loops are cut for balance, see what to change"]
    sized, there = result.sized, result.is_there
    straight = there & np.array([not run.endswith("corner") for run in skirt.plan.stations.runs])
    pull = format_line_load(float(sized.tension[straight if straight.any() else there].max()), show)
    whole = there & result.place.is_whole if (there & result.place.is_whole).any() else there
    margin = float(sized.margin[whole].min())
    strips = sum(run.strips for run in result.runs)
    return [
        f"Margin    {margin:.2g} of the diaphragm; it pulls up to {pull} on straight"
        f" runs (computed), slack below {format_mass(float(result.slack_mass[whole].max()), show)}",
        f"          its {strips} strips are among the pieces, codes D; the loop is cut short for it:"
        " do not fly without it",
    ]


def _mass_line(skirt: Skirt) -> list[str]:
    """Return the mass of the skirt by part in one line; nothing where no pieces are cut."""
    weight, show = skirt.service.weight, skirt.design.project.show
    if weight is None:
        return []
    parts = ", ".join(f"{part.part} {format_mass(part.mass, show)}" for part in weight.parts)
    return [f"Mass      skirt {format_mass(weight.table.mass, show)}: {parts}"]


def fan_line(skirt: Skirt) -> str:
    """Return what the fan makes of the first load in one line, or that the file has none."""
    show, lift = skirt.design.project.show, skirt.air
    match, first = lift.match, skirt.cushions[0].name
    lost = float(lift.need.fan_pressure[0] - lift.need.cushion_pressure[0])
    if match is None:
        told = f" and {format_pressure(lost, show)} of losses" if lift.system.losses else ""
        flow = format_flow(float(lift.need.fan_flow[0]), show)
        return (
            f"Fan       none in the file: it has to give {flow} against the cushion's pressure{told} with {first!r};"
            " write [air.fan]"
        )
    at, wanted = match.at_speed, float(match.for_gap.speed[0])
    if int(at.failure[0]):
        return f"Fan       at {format_rotation(match.speed)} no working point with {first!r}: see below"
    also = f" ({format_rotation(wanted)} for {format_length(lift.gap, show)})" if math.isfinite(wanted) else ""
    return (
        f"Fan       at {format_rotation(match.speed)} a {format_length(float(at.gap[0]), show)} gap with {first!r}"
        f"{also}, computed {format_power(float(at.engine_power[0]), show)} into belt or gearbox on calm, smooth ground,"
        " no reserve in it; fans kill: guards on"
    )


def _loop_lines(skirt: Skirt) -> list[str]:
    """Loop length at bow, side and stern beside the quarter rule's, and the joint's height on the latter."""
    show, sections, stations = skirt.design.project.show, skirt.sections, skirt.plan.stations
    lines: list[str] = []
    for run in ("bow", "side", "stern"):
        if run not in stations.runs:
            continue
        i, rule = stations.runs.index(run), skirt.behaviour.quarter_rule
        lines.append(
            f"{'Loop' if not lines else '':10}{run} {format_length(float(sections.length[i]), show)}"
            f" (quarter rule, without bulge and weight: {format_length(float(sections.quarter_rule_length[i]), show)},"
            f" {_joint_words(float(rule.joint_rise[i]), show)})"
        )
    return lines


def _joint_words(rise: float, show: Show) -> str:
    """Return where a loop of the quarter rule's length would set the joint."""
    if math.isnan(rise):
        return "on which it comes to rest nowhere"
    if abs(rise) < 0.0005:
        return "the joint level"
    return f"the joint then {format_length(abs(rise), show)} too {'high' if rise > 0.0 else 'low'}"


def pattern_line(skirt: Skirt) -> str:
    """Return which method made the loop panels, with what strain, and how true they will come out."""
    made, show = skirt.development, skirt.design.project.show
    asked, curved = skirt.design.making.loop.pattern, sum(not panel.is_rectangle for panel in made.panels)
    off = 0.0 if made.deviation is None else float(made.deviation.max())
    how_known = "by a rule of thumb" if made.deviation_by == "rule" else "as inflated with the joint line held"
    stands = f"off the drawn shape by {format_length(off, show)} at most, {how_known}" if curved else ""
    if made.pattern != asked:
        return "Patterns  a quick preview here; `pack` makes the loop's exact" + (f", then {stands}" if stands else "")
    straight = f"{len(made.panels) - curved} loop panels are rectangles"
    if not curved:
        return f"Patterns  {straight}"
    how = "unrolled without strain, edges straight (quick)"
    strains = [report.thread.largest for report in made.strain if report is not None]
    if strains:
        how = f"by least strain (exact), threads {max(strains):.1%} at most"
    return f"Patterns  {straight}, {curved} are {how}; {stands}"


def accuracy_words(skirt: Skirt, worst: tuple[WorstCut, ...]) -> str:
    """Return which accuracy of cutting or drilling matters most for level tips, and that of the loop beside it."""
    show, first = skirt.design.project.show, worst[0]
    level = format_length(skirt.design.making.level, show)
    if not math.isfinite(first.per_error):
        return f"most depends on {first.slip.part}: a slip of {format_length(first.slip.size, show)} finds no rest"
    loop = next(one for one in worst if one.slip.name == "loop_long")
    words = (
        f"most depends on {first.slip.part}: {format_length(first.slip.size, show)} off moves the tips"
        f" {format_length(first.per_error * first.slip.size, show)} ({first.run.replace('_', ' ')})"
    )
    if loop is not first and loop.per_error > STILL:
        moved = format_length(loop.per_error * loop.slip.size, show)
        words += f"; a loop {format_length(loop.slip.size, show)} too long, {moved} ({loop.run.replace('_', ' ')})"
    return f"{words}; level is within {level}"


def _piece_line(skirt: Skirt) -> str:
    cloths = {"loop": 0, "segment": 0}
    for piece in skirt.pieces:
        cloths[piece.cloth] = cloths.get(piece.cloth, 0) + piece.quantity
    others = "".join(f", {cloths[name]} of {name} cloth" for name in ("wear", "diaphragm") if cloths.get(name))
    segments = sum(run.segments * (1 if run.crosses_centre else 2) for run in skirt.plan.runs)
    templates = len({piece.base for piece in skirt.pieces})
    return (
        f"Pieces    {sum(cloths.values())} to cut from {templates} templates:"
        f" {cloths['loop']} of loop cloth, {cloths['segment']} of segment cloth ({segments} segments){others}"
    )


def shopping_lines(skirt: Skirt) -> list[str]:
    """Return how much cloth is in the pieces, and how many bolts and ties; offcuts and spares are to be added."""
    show = skirt.design.project.show
    names = ("loop", "segment", "wear", "diaphragm")
    area = {cloth: sum(p.area * p.quantity for p in skirt.pieces if p.cloth == cloth) for cloth in names}
    others = {"wear": "for wear panels", "diaphragm": "for the diaphragm"}
    more = "".join(f", {format_area(area[name], show)} {words}" for name, words in others.items() if area[name])
    spare = sum(p.spares for p in skirt.pieces if p.kind == "face")
    holes = sum(len(piece.holes) * piece.quantity for piece in skirt.pieces if piece.kind == "face")
    ties = sum(piece.quantity for piece in skirt.pieces if piece.kind == "web")
    seams = sum(edge.length * piece.quantity for piece in skirt.pieces for edge in piece.edges if edge.kind == "seam")
    return [
        f"Cloth     in the pieces, without offcuts and spares: {format_area(area['loop'], show)} for the loop,"
        f" {format_area(area['segment'], show)} for segments and strips{more}; spares besides: {spare} segments",
        f"Fixings   {holes} bolts along the joint, {ties} ties at the inner fixings,"
        f" {format_length(seams / 2.0, show)} of seam",
    ]


def finding_lines(findings: tuple[Finding, ...], show: Show) -> list[str]:
    """Return each failure and warning with its value, limit, place and change, failures first."""
    lines = []
    for verdict, word in (("fail", "FAIL"), ("warn", "WATCH")):
        for finding in findings:
            if finding.verdict == verdict:
                lines.append(f"{word:6}{finding.rule}: {finding.title}. {value_text(finding)} at {finding.where}.")
                lines.append(f"      {finding.why} {finding.change} [{finding.source}]")
    return [said_both(line, show) for line in lines]


def value_text(finding: Finding) -> str:
    """Return "12 mm (wanted 30 to 80 mm)" for a finding."""
    return f"{number_text(finding.value, finding.unit)} (wanted {limit_text(finding)})"


def limit_text(finding: Finding) -> str:
    """Return the limits in words."""
    low, high, unit = finding.low, finding.high, finding.unit
    if low is not None and high is not None:
        return f"{number_text(low, unit)} to {number_text(high, unit)}"
    if high is not None:
        return f"at most {number_text(high, unit)}"
    if low is not None:
        return f"more than {number_text(low, unit)}" if low == 0 else f"at least {number_text(low, unit)}"
    return "no limit"


def number_text(value: float, unit: str) -> str:
    """Return a value with its unit, in the trade's: millimetres, degrees."""
    if math.isinf(value):
        return "without bound"
    if unit == "m":
        return f"{1000 * value:.4g} mm" if abs(value) >= 0.001 or value == 0 else f"{1000 * value:.2g} mm"
    if unit == "rad":
        return f"{value * 57.29577951308232:.3g} deg"
    if unit == "kg/m2":
        return f"{1000 * value:.4g} g/m2"
    if unit == "1":
        return f"{value:.3g}"
    return f"{value:.4g} {unit}"
