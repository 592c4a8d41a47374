"""What water does to it, load by load, in words: hump, thrust to spare, speed, hollow, bow, what moves the margin."""

from __future__ import annotations

import math

from skirtloft.answers.drag_words import (
    told_bow,
    told_drag,
    told_heaviest,
    told_hollow,
    told_hump,
    told_movers,
    told_planing,
    told_top_speed,
)
from skirtloft.answers.sits import verdict_line
from skirtloft.answers.table import prose, table
from skirtloft.answers.told import Told, told_lines
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_force, format_mass, format_speed, format_whole_length
from skirtloft.physics.water.drag import CAUTION, drag
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.pipeline import Skirt
from skirtloft.report import finding_lines
from skirtloft.sits.inputs import STEPS, WORDS, input_text
from skirtloft.sits.on_water import STATES, WET_TIP, LoadOnWater, OnWater, on_water, thrust_of
from skirtloft.sits.sits import Sits, sits_of
from skirtloft.sits.water_margins import thrust_movers
from skirtloft.sits.water_rules import water_findings

FRONTAL = "No frontal_area is told: width times height with 0.6 m of people and screen is taken."


def water_answer(skirt: Skirt, load: str | None = None) -> tuple[list[str], OnWater, tuple[Finding, ...]]:
    """Return the lines that answer, the figures and the findings.

    Raises
    ------
    DesignError
        There is no such load.
    """
    sits: Sits = sits_of(skirt, load)
    water = on_water(skirt, sits)
    findings = water_findings(skirt, sits, water)
    first = water.loads[0]
    told = [*thrust_told(skirt, water, first), *speed_told(skirt, water, first), *bow_told(skirt, first)]
    plain = told_lines([Told(one.sentence, one.numbers) for one in told])
    cautions = [Told("", "", caution) for caution in dict.fromkeys(one.caution for one in told if one.caution)]
    show = skirt.design.project.show
    lines = [
        verdict_line(skirt, findings),
        *_load_table(water, show),
        "",
        f"With {first.name!r}, {format_mass(first.craft.mass, show)}",
        *plain,
        "",
        *_factor_table(water),
        *_frontal(water, first, show),
        "",
        *finding_lines(findings, show),
        *(
            f"NOTE  {one.title}. {one.change}"
            for one in findings
            if one.verdict == "note" and one.rule == "thrust-told"
        ),
        *told_lines(cautions),
    ]
    return lines, water, findings


def _load_table(water: OnWater, show: Show) -> list[str]:
    head = ["load", "mass", "hollow", "hump at", "wave drag", "drag there", "at most"]
    head += ["thrust there", "to spare", "at least", "top speed"] if water.has_thrust else []
    rows = []
    for load in water.loads:
        best, high = load.levels["best"], load.levels["high"]
        row = [
            load.name,
            format_mass(load.craft.mass, show),
            format_whole_length(load.hollow, show),
            format_speed(best.hump_speed, show),
            *(format_force(value, show) for value in (best.hump_wave, best.hump_drag, high.hump_drag)),
        ]
        if water.has_thrust:
            row += [_or(format_force(value, show), value) for value in
                    (best.hump_thrust, best.least_margin, high.least_margin)]  # fmt: skip
            row.append(_or(format_speed(best.top_speed, show) if math.isfinite(best.top_speed) else "", best.top_speed))
        rows.append(row)
    return table(head, rows)


def _or(words: str, value: float) -> str:
    return words if math.isfinite(value) else "not known"


def thrust_told(skirt: Skirt, water: OnWater, load: LoadOnWater) -> list[Told]:
    """Return what the hump asks of the thrust and, where the file tells one, what is to spare and the top speed."""
    show, thrust = skirt.design.project.show, thrust_of(skirt)
    if thrust is None:
        best, high = load.levels["best"], load.levels["high"]
        needed, most = (format_force(-level.least_margin, show) for level in (best, high))
        at = format_speed(best.hump_speed, show)
        sentence = f"To get over the hump at {at} it needs more than {needed} of thrust there, to be sure {most}."
        return [Told(sentence, f"Drag at most around the hump: best {needed}, high {most}.", CAUTION)]
    told = [told_hump(load.levels, show), told_heaviest(load.levels, show), told_top_speed(load.levels, show)]
    found = thrust_movers(load, thrust, water.factors)
    if found:
        told.append(
            told_movers(
                "thrust to spare at the hump",
                found,
                WORDS,
                {name: (lambda value, name=name: input_text(name, value, show)) for name in WORDS},  # type: ignore[misc]
                lambda force: format_force(force, show),
                steps=STEPS,
            )
        )
    return told


def speed_told(skirt: Skirt, water: OnWater, load: LoadOnWater) -> list[Told]:
    """Return what drags at the hump and when fast, and the hollow it makes."""
    show = skirt.design.project.show
    speeds = [load.levels["best"].hump_speed, load.fast]
    drags = drag(load.craft, speeds, "best", water.factors)
    return [
        *(told_drag(drags, show, at=k) for k in (0, 1)),
        told_hollow(load.craft.pressure, show, load.craft.water_density),
    ]


def bow_told(skirt: Skirt, load: LoadOnWater) -> list[Told]:
    """Return what holds the bow up at the hump and when fast, and when it tucks under."""
    show = skirt.design.project.show
    speeds = (load.levels["best"].hump_speed, load.fast)
    told = [told_bow(load.bow[state], speeds[k], show, at=k, thrust=state) for k in (0, 1) for state in STATES]
    told.append(told_planing(float(load.planing[1]), load.fast, show))
    tuck = format_speed(load.tuck, show)
    told.append(
        Told(
            f"Bow tips that stand in the water are pulled under from {tuck} on.",
            f"Tips {100.0 * WET_TIP:.0f} % of their depth in the water, drag coefficient 1 on the wet face, loop"
            " 0.9 of the way to straight.",
            BOW_CAUTION,
        )
    )
    return told


def _factor_table(water: OnWater) -> list[str]:
    rows = [[f.name, f"{f.low:g}", f"{f.best:g}", f"{f.high:g}", f"{f.meaning} ({f.source})"] for f in water.factors]
    return table(["under_way", "low", "best", "high", "what it is"], rows, words_last=True)


def _frontal(water: OnWater, load: LoadOnWater, show: Show) -> list[str]:
    told = f"Frontal area {format_area(load.craft.frontal_area, show)}."
    return prose(f"{told} {FRONTAL}" if not water.frontal_given else told)
