"""How she rides, in plain sentences: heave, bounce by section, what feeds it, what cures it, and what was assumed."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.bounce_words import (
    CAUTIONS,
    cure_sentences,
    heave_sentences,
    margin_sentences,
    motion_sentences,
    sensitivity_sentences,
)
from skirtloft.answers.table import prose, table
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design, Show
from skirtloft.design.quantity import parse_quantity, shown
from skirtloft.design.units import format_area, format_duration, format_flow, format_length
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.hover import hover_flow
from skirtloft.physics.bounce.stability_map import AIR_SPRING, BOUNCES, IMPOSSIBLE, STEADY, StabilityMap
from skirtloft.physics.bounce.types import SCREENING
from skirtloft.pipeline import Skirt
from skirtloft.report import finding_lines
from skirtloft.rides.findings import WANTED_MARGIN
from skirtloft.rides.maps import BEYOND, MOST_OVER_PRESSURE
from skirtloft.rides.rides_of import DROP, DURATION
from skirtloft.rides.types import Knock, Rides

MOST_DURATION, MOST_DROP = 60.0, 0.2  # s, m
ENOUGH_SWINGS = 12
SIGNS = {STEADY: ".", BOUNCES: "B", AIR_SPRING: "A", IMPOSSIBLE: " ", BEYOND: "?"}


def load_named(design: Design, name: str | None) -> int:
    """Return the place of a load in the file; the first where none is named.

    Raises
    ------
    DesignError
        There is no such load.
    """
    names = [load.name for load in design.craft.load]
    if name is None:
        return 0
    if name not in names:
        told = ", ".join(f'"{one}"' for one in names)
        raise DesignError([Problem("--load", shown(name), "The file has no such load.", f"One of {told}.")])
    return names.index(name)


def knock_asked(time: str | None, drop: str | None) -> tuple[float, float] | None:
    """Return duration [s] and drop [m] of the time run asked for; None where neither is.

    Raises
    ------
    DesignError
        Every reason why one of them cannot be read or makes no sense.
    """
    if time is None and drop is None:
        return None
    problems: list[Problem] = []
    found = {"--time": DURATION, "--drop": DROP}
    for path, text, kind, most in (("--time", time, "duration", MOST_DURATION), ("--drop", drop, "length", MOST_DROP)):
        if text is None:
            continue
        try:
            found[path] = parse_quantity(kind, text, path)  # type: ignore[arg-type]
        except DesignError as error:
            problems += error.problems
            continue
        if not 0.0 < found[path] <= most:
            would_do = "More than 0, up to " + (f"{most:g} s would do." if kind == "duration" else "200 mm would do.")
            problems.append(Problem(path, shown(text), "It is outside the range that makes sense.", would_do))
    if problems:
        raise DesignError(problems)
    return found["--time"], found["--drop"]


def verdict_line(rides: Rides) -> str:
    """Return the answer in one line, over all loads of the file."""
    worst = min(rides.loads, key=lambda one: one.margin)
    if any(one.held_growth >= 0.0 for one in rides.loads):
        names = ", ".join(repr(one.name) for one in rides.loads if one.held_growth >= 0.0)
        return f"HEAVES   by the cushion's own air with {names}, skirt held or not (screening indicator)"
    if worst.margin < 1.0:
        word = f"BOUNCES  margin {worst.margin:.2f} with {worst.name!r}: below 1"
    elif worst.margin < WANTED_MARGIN:
        word = f"CLOSE    margin {worst.margin:.2f} with {worst.name!r}: {WANTED_MARGIN:g} wanted"
    else:
        word = (
            f"QUIET    margin {_number(worst.margin)} or more against bounce with every load, {WANTED_MARGIN:g} wanted"
        )
    return f"{word} (screening indicator)"


def rides_lines(
    skirt: Skirt,
    rides: Rides,
    findings: tuple[Finding, ...],
    chart: StabilityMap | None = None,
    knock: Knock | None = None,
) -> list[str]:
    """Return everything that is said of the rides of a skirt; the caution once, at the end."""
    parts = rides_parts(skirt, rides, knock)
    hover = rides.hover
    lines = [verdict_line(rides), *_loads(rides, skirt)]
    for head, said in parts:
        lines += ["", head, *(line for one in said if one != SCREENING for line in prose(f"  {one}"))]
    if chart is not None:
        lines += ["", *map_lines(chart, skirt, rides)]
    watch = finding_lines(tuple(one for one in findings if one.verdict != "pass"), skirt.design.project.show)
    if watch:
        lines += ["", *watch]
    lines += ["", "Assumed  because the file does not tell it:"]
    lines += [line for one in hover.assumed for line in prose(f"  {one.name}: {one.taken} [{one.key}]")]
    lines += ["", *prose(SCREENING)]
    return lines + [line for caution in CAUTIONS for line in prose(caution)]


def rides_parts(skirt: Skirt, rides: Rides, knock: Knock | None = None) -> list[tuple[str, list[str]]]:
    """Return what is said of the rides of a skirt, sentences under their heads."""
    show, hover = skirt.design.project.show, rides.hover
    parts = [
        ("Hover", _hover(skirt, rides)),
        ("Heave", list(heave_sentences(rides.held, hover.point.gap, rides.least_gap, show=show))),
        ("Bounce", list(margin_sentences(rides.margins, hover.names, hover.runs.loss_factor.tolist()))),
        ("Way from loop to cushion", _mouth(skirt, rides)),
        ("What moves it", list(sensitivity_sentences(rides.sensitivities))),
        ("Diaphragm", _diaphragm(rides)),
    ]
    if knock is not None:
        span = f"{format_duration(float(knock.motion.time[-1]))} in time, nothing linearised: "
        first, *rest = motion_sentences(knock.outcome, knock.drop, show=show)
        parts.append(("Knock", [span + first[0].lower() + first[1:], *rest, *_too_short(rides, knock)]))
    return parts


def _too_short(rides: Rides, knock: Knock) -> list[str]:
    """Return that a run is too short to judge by, where it is."""
    swing = 2.0 * math.pi / max(float(rides.free.frequency), 1.0)
    if float(knock.motion.time[-1]) >= ENOUGH_SWINGS * swing:
        return []
    return [f"That is a short run: some thirty swings, {30.0 * swing:.0f} s, tell more."]


def _number(margin: float) -> str:
    return "without bound" if math.isinf(margin) else f"{margin:.2f}"


def loads_table(rides: Rides, show: Show) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Return head and rows of what bounce makes of every load."""
    rows: list[tuple[str, ...]] = [
        (
            one.name,
            format_length(one.gap, show),
            "none is safe" if math.isnan(one.least_gap) else format_length(one.least_gap, show),
            f"{one.over_pressure:.2%}",
            f"{one.needed:.3f}" if math.isfinite(one.needed) else "more than any cloth has",
            _number(one.margin),
        )
        for one in rides.loads
    ]
    head = ("load", "gap", "least gap", "loop over cushion", "loss needed", "margin")
    return head, rows


def _loads(rides: Rides, skirt: Skirt) -> list[str]:
    head, rows = loads_table(rides, skirt.design.project.show)
    return table(head, rows)


def _hover(skirt: Skirt, rides: Rides) -> list[str]:
    show, hover = skirt.design.project.show, rides.hover
    flow = format_flow(float(hover_flow(hover.craft, hover.runs)), show)
    name = rides.loads[hover.load].name
    told = (
        f"With {name!r} she hovers at {format_length(hover.point.gap, show)} on {flow} of lift air; where pressure and"
        f" flow meet, 1 % more flow costs the fan {hover.point.steepness:.2g} % of the cushion's pressure."
    )
    sections = ", ".join(f"{run} {station}" for run, station in zip(hover.names, hover.stations, strict=True))
    return [told, f"One section for each run: {sections}; a corner counts by its length along the tip line."]


def _mouth(skirt: Skirt, rides: Rides) -> list[str]:
    show, hover = skirt.design.project.show, rides.hover
    said = [
        f"The loop stands {hover.over_pressure:.2%} above the cushion, its air leaving by"
        f" {format_area(hover.mouth.area, show)} effective ({hover.mouth.told_by})."
    ]
    if hover.over_pressure > MOST_OVER_PRESSURE:
        said.append("That is beyond what this model is for: its figures say that it is bad, not how bad.")
    if rides.least_mouth == 0.0:
        said.append(
            "However much of it is blocked, until the loop stands half above the cushion, she stays quiet with"
            " the loss put in."
        )
    elif math.isinf(rides.least_mouth):
        said.append("She bounces however wide it is.")
    else:
        share = rides.least_mouth / hover.mouth.area
        less = f"Blocked to less than {share:.0%} of that" if share < 1.0 else f"Below {share:.1f} times that"
        said.append(f"{less}, {format_area(rides.least_mouth, show)}, she would bounce.")
    closed = rides.closed_loop
    if closed is not None:
        margin = "her segments would not come to rest" if math.isnan(closed.margin) else f"margin {closed.margin:.2f}"
        said.append(
            "The feed holes of the file are taken to blow into a loop that is open below, as its sections are solved."
            f" Were they all that lets the air out of the loop, it would stand {closed.over_pressure:.0%} above the"
            f" cushion: {margin}. If it is so, write their area as bounce.mouth_area."
        )
    return said


def _diaphragm(rides: Rides) -> list[str]:
    cure = rides.cure
    if cure.is_there:
        slack = [name for name in rides.hover.names if name not in cure.taut]
        loose = f" It is slack at {', '.join(slack)}." if slack else ""
        where = "in all runs" if not slack else f"at {', '.join(cure.taut)}" if cure.taut else "nowhere"
        return [f"The skirt has a diaphragm; in hover it is taut {where}, and its figures above are with it.{loose}"]
    if cure.result is None:
        return [
            f"The hull has no place for a diaphragm at {', '.join(cure.missing)}: it would have to lie below the line"
            " from joint to inner fixing and above the flat of the bottom."
        ]
    said = list(cure_sentences(cure.result))
    flat = [name for name, found in zip(rides.hover.names, cure.found, strict=True) if not found]
    if flat:
        said.append(
            f"At {', '.join(flat)} this hull has no place for it that is steep enough (3 in 10): these are its steepest"
            " places, and that is why the pull is so large. It takes a place well below the line from joint to inner"
            " fixing, 3/10 of its distance from the joint."
        )
    return said


def map_lines(chart: StabilityMap, skirt: Skirt, rides: Rides) -> list[str]:
    """Return the stability map in letters: gap down, lift flow across, every second one of each."""
    show = skirt.design.project.show
    lines = [
        "Map      gap down, lift air across; . steady, B bounces, A air spring, blank: the gap takes more air;"
        " ? beyond the model"
    ]
    gaps = [format_length(float(value), show) for value in chart.gap[:, 0]]
    wide = max(len(text) for text in gaps)
    here_row, here_column = (int(np.argmin(np.abs(values / at - 1.0))) for values, at in _here(chart, rides))
    for row in range(here_row + 20, -1, -2):
        letters = [SIGNS[str(word)] for word in chart.verdict[row]]
        letters[here_column] = "O" if row == here_row else letters[here_column]
        lines.append(f"  {gaps[row]:>{wide}}  " + "".join(letters).rstrip())
    ends = (format_flow(float(chart.flow[0, k]), show) for k in (0, -1))
    first, last = ends
    here = format_flow(float(hover_flow(rides.hover.craft, rides.hover.runs)), show)
    lines.append(
        f"  {'':>{wide}}  {first} to {last}; she hovers at {format_length(rides.hover.point.gap, show)}, {here}"
    )
    return lines


def _here(chart: StabilityMap, rides: Rides) -> tuple[tuple[Floats, float], tuple[Floats, float]]:
    """Return the gaps and flows of a map, each with the one at which she hovers."""
    flow = float(hover_flow(rides.hover.craft, rides.hover.runs))
    return (chart.gap[:, 0], rides.hover.point.gap), (chart.flow[0], flow)
