"""Explanations in words."""

from __future__ import annotations

import math
from textwrap import wrap

from skirtloft.checks.finding import Finding
from skirtloft.design.said_both import said_both
from skirtloft.design.units import format_area, format_flow, format_length, format_power, format_pressure
from skirtloft.explain.ranges import knob_text
from skirtloft.explain.types import Move, Topic, Working
from skirtloft.pipeline import Skirt
from skirtloft.report import limit_text, number_text

SAID = {"pass": "holds", "warn": "is to watch", "fail": "FAILS"}
WORD = {"pass": "holds", "warn": "to watch", "fail": "FAILS", "note": "a note"}
WIDTH, INDENT = 118, 12


def topic_lines(skirt: Skirt, topic: Topic, i: int) -> list[str]:
    """Return what a number is, how it comes about here, and where the equation is from."""
    place = f" at {_station(skirt, i)}" if topic.by_station else ""
    return [
        f"{topic.title}{place}: {value_text(skirt, topic.value(skirt, i), topic.unit)}",
        *_paragraph("Meaning", topic.meaning),
        *_paragraph("Equation", topic.equation),
        *_paragraph("Here", topic.filled(skirt, i)),
        *_paragraph("Source", topic.source),
    ]


def rule_lines(skirt: Skirt, finding: Finding, working: Working) -> list[str]:
    """Return what a rule asks, how its value comes about here, and what to change."""
    show_value, show = number_text(finding.value, finding.unit), skirt.design.project.show
    lines = [
        f"{finding.title}: {show_value} at {finding.where}. It {SAID[finding.verdict]}."
        if finding.verdict != "note"
        else f"{finding.title}: {show_value} at {finding.where}.",
        *_paragraph("Limit", said_both(limit_text(finding), show)),
        *_paragraph("Meaning", said_both(finding.why, show)),
        *_paragraph("Equation", working.equation),
        *_paragraph("Here", working.filled(skirt, finding)),
        *_paragraph("To change", said_both(finding.change, show)),
        *_paragraph("Source", finding.source),
    ]
    return [said_both(lines[0], show), *lines[1:]]


def move_lines(skirt: Skirt, unit: str, now: float, found: tuple[Move, ...]) -> list[str]:
    """Return a table of what moves a number, strongest first."""
    if not found:
        return ["Moved by    nothing in the file moves it by turning one key 5 %."]
    show = skirt.design.project.show
    rows = [("key", "now", "5 % less", "5 % more")]
    for move in found:
        less, more = (_end_text(skirt, end, unit) for end in (move.less, move.more))
        rows.append((move.knob.path, knob_text(move.knob, show), less, more))
    widths = [max(len(row[k]) for row in rows) for k in range(4)]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    return [
        f"Moved by    (now {value_text(skirt, now, unit)}; one key turned at a time, strongest first;"
        " a temperature by 5 degrees)",
        *(f"{'':{INDENT}}{line}" for line in lines),
    ]


def _end_text(skirt: Skirt, value: float, unit: str) -> str:
    return "cannot be built" if math.isnan(value) else value_text(skirt, value, unit)


def value_text(skirt: Skirt, value: float, unit: str) -> str:
    """Return a value in the builder's units where there are such, else in SI."""
    show = skirt.design.project.show
    if unit == "m":
        return format_length(value, show) if show == "imperial" else number_text(value, unit)
    if unit == "Pa":
        return format_pressure(value, show)
    if unit == "m2":
        return format_area(value, show)
    if unit == "m3/s":
        return format_flow(value, show)
    if unit == "W":
        return format_power(value, show)
    return number_text(value, unit)


def _station(skirt: Skirt, i: int) -> str:
    stations = skirt.plan.stations
    return f"{stations.ids[i]} ({stations.runs[i].replace('_', ' ')})"


def _paragraph(head: str, text: str) -> list[str]:
    lines = wrap(text, WIDTH - INDENT)
    return [f"{head if k == 0 else '':{INDENT}}{line}" for k, line in enumerate(lines)]
