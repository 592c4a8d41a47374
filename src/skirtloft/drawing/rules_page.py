"""Findings of a chapter on a page: what each rule asks, what it is here, and what would help."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.units import format_force, format_length, format_speed
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Column, Room
from skirtloft.drawing.sheet import Item
from skirtloft.report import limit_text, number_text

WORD = {"pass": "holds", "warn": "WATCH", "fail": "FAILS", "note": "note"}
SIZE = 2.6  # mm


def rules_items(findings: Sequence[Finding], room: Room, caution: str, show: Show) -> list[list[Item]]:
    """Return the items of one page or more: a table of all rules, then reasons of those that do not hold."""
    pages: list[list[Item]] = []
    column = _table(findings, room, show)
    told = [finding for finding in findings if finding.verdict != "pass"]
    for words in [*(f"{finding.rule}: {finding.why} {finding.change} [{finding.source}]" for finding in told), caution]:
        before = len(column.items)
        column.paragraph(words, SIZE)
        if column.full:
            pages.append(column.items[:before])
            column = Column(room.left, room.top, room.width, room.bottom)
            column.paragraph(words, SIZE)
    return [*pages, column.items]


def _table(findings: Sequence[Finding], room: Room, show: Show) -> Column:
    column = Column(room.left, room.top, room.width, room.bottom)
    shares = (0.38, 0.54, 0.76) if show == "both" else (0.50, 0.62, 0.76)  # both units take twice the room
    offsets = [0.0, 14.0, *(share * room.width for share in shares)]
    column.row(("", "rule", "is", "wanted", "at"), offsets, SIZE, bold=True)
    for finding in findings:
        names = _wrapped(f"{finding.rule}: {finding.title}", offsets[2] - offsets[1] - 2.0)
        places = _wrapped(finding.where, room.width - offsets[4])
        values = [(WORD[finding.verdict], _value(finding.value, finding.unit, show), _limit(finding, show))]
        for k in range(max(len(names), len(places))):
            word, value, limit = values[k] if k == 0 else ("", "", "")
            name, place = (part[k] if k < len(part) else "" for part in (names, places))
            column.row((word, name, value, limit, place), offsets, SIZE)
    column.top -= 3.0
    return column


def _value(value: float, unit: str, show: Show) -> str:
    """Return a number in the units of the file; those without a kind of their own as everywhere."""
    forms = {"m": format_length, "N": format_force, "m/s": format_speed}
    return forms[unit](value, show) if unit in forms else number_text(value, unit)


def _limit(finding: Finding, show: Show) -> str:
    if finding.unit in ("m", "N", "m/s") and finding.low and finding.high is None:
        return f"at least {_value(finding.low, finding.unit, show)}"
    return limit_text(finding)


def _wrapped(words: str, width: float) -> list[str]:
    """Return words in lines of at most a width [mm]."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, SIZE) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
