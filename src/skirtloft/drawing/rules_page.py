"""Findings of a chapter on a page: what each rule asks, what it is here, and what would help."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.checks.finding import Finding
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Column, Room
from skirtloft.drawing.sheet import Item
from skirtloft.report import limit_text, number_text

WORD = {"pass": "holds", "warn": "WATCH", "fail": "FAILS", "note": "note"}
SIZE = 2.6  # mm


def rules_items(findings: Sequence[Finding], room: Room, caution: str) -> list[list[Item]]:
    """Return the items of one page or more: a table of all rules, then reasons of those that do not hold."""
    pages: list[list[Item]] = []
    column = _table(findings, room)
    told = [finding for finding in findings if finding.verdict != "pass"]
    for words in [*(f"{finding.rule}: {finding.why} {finding.change} [{finding.source}]" for finding in told), caution]:
        before = len(column.items)
        column.paragraph(words, SIZE)
        if column.full:
            pages.append(column.items[:before])
            column = Column(room.left, room.top, room.width, room.bottom)
            column.paragraph(words, SIZE)
    return [*pages, column.items]


def _table(findings: Sequence[Finding], room: Room) -> Column:
    column = Column(room.left, room.top, room.width, room.bottom)
    offsets = [0.0, 14.0, 0.56 * room.width, 0.65 * room.width, 0.78 * room.width]
    column.row(("", "rule", "is", "wanted", "at"), offsets, SIZE, bold=True)
    for finding in findings:
        where = _fitted(finding.where, room.width - offsets[-1])
        column.row(
            (
                WORD[finding.verdict],
                _fitted(f"{finding.rule}: {finding.title}", offsets[2] - offsets[1] - 2.0),
                number_text(finding.value, finding.unit),
                limit_text(finding),
                where,
            ),
            offsets,
            SIZE,
        )
    column.top -= 3.0
    return column


def _fitted(words: str, width: float) -> str:
    """Return words cut to a width [mm]."""
    if text_width(words, SIZE) <= width:
        return words
    while words and text_width(f"{words}...", SIZE) > width:
        words = words[:-1]
    return f"{words.rstrip(' ,')}..."
