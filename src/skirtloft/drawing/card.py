"""Measure-and-mark cards: a rectangle to set out on the cloth with tape, rule and square, in place of many tiles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.card_measures import (
    Rectangle,
    Table,
    distance_words,
    end_names,
    measured,
    rectangle,
    sew_lines,
    side_edges,
    side_name,
    side_words,
    tables,
)
from skirtloft.drawing.card_sketch import sketch
from skirtloft.drawing.lettering import text_width, wrap
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.sheet import Item, Line, Sheet, Text
from skirtloft.drawing.template_labels import edge_words, quantity_words
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.types import CutPiece

BODIES = (3.0, 2.7, 2.5)  # letter heights [mm], tried in turn
BODY, TABLE = 3.0, 3.5  # in the tables [mm]
GUTTER = 8.0  # between columns [mm]
LINE = 1.75  # from row to row, in letter heights


def measure_and_mark_card(
    piece: CutPiece, quantities: Mapping[str, int], stamp: Stamp, paper: str = "A4"
) -> list[Sheet]:
    """Return the pages of the card of a rectangular piece.

    Parameters
    ----------
    piece : CutPiece
        With `is_rectangle`.
    quantities : mapping
        Pieces to cut on the whole craft by hand: "P", "S" or "".
    stamp : Stamp
        Project, units to show, failed and accepted rules.
    paper : "A4" or "Letter"

    Raises
    ------
    ValueError
        The cut line is no rectangle.

    Notes
    -----
    Distances to mark are each rounded to 0.5 mm from their exact value, never added up from rounded ones.
    """
    card, room, show = rectangle(piece), page_room(paper, landscape=False), stamp.project.show
    items, below = sketch(card, room.left, room.right, room.top, show)
    first, under = _words(card, quantities, show, room, below)
    first = [*items, *first]
    pages = table_pages(first, under, room, tables(card), show)
    title = f"{piece.base}  {piece.name}: measure and mark, {quantity_words(quantities)}"
    return [
        page(
            f"{piece.base}-card" + (f"-{number + 1}" if number else ""),
            title,
            content,
            stamp,
            paper=paper,
            landscape=False,
            scale="sketch, not to scale",
            number=f"{number + 1} of {len(pages)}",
        )
        for number, content in enumerate(pages)
    ]


def _words(
    card: Rectangle, quantities: Mapping[str, int], show: Show, room: Room, top: float
) -> tuple[list[Item], float]:
    """Facts on the left and steps on the right under `top` [mm], in the largest letters that fit; where they end."""
    half = (room.width - GUTTER) / 2.0
    for size in BODIES:
        facts = Column(room.left, top, half, room.bottom)
        steps = Column(room.left + half + GUTTER, top, half, room.bottom)
        _say_facts(facts, card, quantities, show, size)
        _say_steps(steps, card, quantities, show, size)
        if not facts.full and not steps.full:
            return [*facts.items, *steps.items], min(facts.top, steps.top) - 2.0
    raise ExportError(f"Piece {card.piece.base}: its notes and neighbours are too long for one page of its card.")


def _mark(value: float, show: Show) -> str:
    """A length [mm] to 0.5 mm, and in inches beside it where asked."""
    return side_words(value, "metric" if show == "metric" else "both")


def _say_facts(column: Column, card: Rectangle, quantities: Mapping[str, int], show: Show, size: float) -> None:
    """Quantity, hand, cloth, sides, diagonals, seams and notes."""
    piece = card.piece
    both_hands = bool(quantities.get("P") and quantities.get("S"))
    column.heading(f"{piece.base}: {quantity_words(quantities)}", 5.0)
    column.heading("OUTSIDE UP", 4.5)
    cloth = f"{piece.cloth.capitalize()} cloth; warp {_warp_words(card)}."
    if piece.stations:
        cloth += f" Stations {piece.stations}."
    column.paragraph(cloth, size)
    column.heading("Sides and diagonals", 3.8)
    for words, value in (
        ("1 to 2 and 4 to 3, cut", card.length),
        ("1 to 4 and 2 to 3, cut", card.width),
        ("1 to 3, diagonal", card.diagonal),
        ("2 to 4, diagonal", card.diagonal),
    ):
        _pair(column, words, _mark(value, show), size)
    column.top -= 1.0
    column.heading("Edges, sewn lengths", 3.8)
    names = dict(zip(("bow", "stern"), end_names(card), strict=True))
    for side, edges in side_edges(card).items():
        for edge in edges:
            end = f"{names[side]}: " if side in names and edge.kind != "end" else ""
            column.paragraph(end + edge_words(piece, edge, both_hands, show)[0], size)
    for note in dict.fromkeys(piece.notes):
        column.paragraph(note, size)


def _pair(column: Column, words: str, value: str, size: float) -> None:
    """A row with its value at the right-hand side of the column; on the next line where both do not fit."""
    column.top -= LINE * size
    column.items.append(Text("text", column.left, column.top, words, size))
    if text_width(words, size) + text_width(value, size, True) + 3.0 > column.width:
        column.top -= LINE * size
    column.items.append(Text("text", column.left + column.width, column.top, value, size, 0.0, "end", True))


def _warp_words(card: Rectangle) -> str:
    along = abs(float(card.piece.warp @ card.to_stern))
    return "along the length" if along > np.sqrt(0.5) else "across, from the joint side to the hull side"


def _say_steps(column: Column, card: Rectangle, quantities: Mapping[str, int], show: Show, size: float) -> None:
    """What to do, in order."""
    for number, words in enumerate(_steps(card, quantities, show)):
        column.top -= 0.8
        column.items.append(
            Text("text", column.left, column.top - LINE * size, f"{number + 1}", size, 0.0, "start", True)
        )
        column.paragraph(words, size, indent=6.0)


def _steps(card: Rectangle, quantities: Mapping[str, int], show: Show) -> list[str]:
    piece, inside = card.piece, sew_lines(card)
    hull, joint = side_name(card, "hull"), side_name(card, "joint")
    first, last = end_names(card)
    long, wide, diagonal = (_mark(value, show) for value in (card.length, card.width, card.diagonal))
    steps = [
        f"Lay the cloth flat with its outside up and the warp {_warp_words(card)}. Rule the line 4 to 3, the cut edge "
        f"on the {joint}, {long} long.",
        f"Square up from both ends, measure {wide} to corners 1 and 2, and rule 1 to 2, the cut edge on the {hull}.",
        f"Measure both diagonals, 1 to 3 and 2 to 4. Each is {diagonal}. If they differ by more than 1 mm the corners "
        "are not square: set them out again.",
    ]
    sewn = [
        f"{_mark(inside[side], show)} on the {name}"
        for side, name in (("hull", hull), ("joint", joint), ("bow", first), ("stern", last))
        if inside[side] > 0.0
    ]
    if sewn:
        steps.append(f"Rule the sew lines, inside the cut edge: {', '.join(sewn)}.")
    steps += _fold_steps(card, show)
    steps.append(
        f"Hook the tape on the cut edge of the {first} and leave it there. Mark every distance of the tables from "
        "that one zero; do not step from mark to mark."
    )
    way = "the bow" if first == "bow end" else first.removesuffix(" end")
    letters = " and the seam letters" if any(edge.letter for edge in piece.edges) else ""
    write = f"Write {piece.id} on it, OUTSIDE UP, an arrow to {way}{letters}. Then cut on the outer line."
    if {"P": "S", "S": "P"}.get(piece.hand, "-") in quantities:
        other = {"P": "S", "S": "P"}[piece.hand]
        write += f" The sketch is hand {piece.hand}; hand {other} is its mirror image, the {first} at the other side."
    return [*steps, write]


def _fold_steps(card: Rectangle, show: Show) -> list[str]:
    found = []
    for mark in card.piece.marks:
        ends = measured(card, mark.points)
        if mark.kind == "fold" and np.ptp(ends[:, 1]) < 1.0:
            away = card.width - float(ends[0, 1])
            side = side_name(card, "joint")
            found.append(f"Rule the fold along the whole length, {_mark(away, show)} from the cut edge on the {side}.")
    return found


@dataclass
class _Flow:
    """Columns of tables that fill a page from `top` down and go on to the next page."""

    room: Room
    width: float
    top: float
    pages: list[list[Item]]
    column: Column
    number: int = 0


def table_pages(
    first: list[Item], under: float, room: Room, all_tables: Sequence[Table], show: Show
) -> list[list[Item]]:
    """Return the contents of every page: `first`, then the tables in columns under it and on further pages."""
    count = 3 if show == "metric" else 2
    width = (room.width - GUTTER * (count - 1)) / count
    flow = _Flow(room, width, under, [first], Column(room.left, under, width, room.bottom))
    if under - room.bottom < 45.0:
        _next_page(flow)
    for table in all_tables:
        _flow_table(flow, table, show, count)
    flow.pages[-1] += flow.column.items
    return flow.pages


def _next_page(flow: _Flow) -> None:
    flow.pages.append([])
    flow.top, flow.number = flow.room.top, 0
    flow.column = Column(flow.room.left, flow.top, flow.width, flow.room.bottom)


def _next_column(flow: _Flow, count: int) -> None:
    flow.pages[-1] += flow.column.items
    flow.number += 1
    if flow.number == count:
        _next_page(flow)
        return
    left = flow.room.left + flow.number * (flow.width + GUTTER)
    flow.column = Column(left, flow.top, flow.width, flow.room.bottom)


def _flow_table(flow: _Flow, table: Table, show: Show, count: int) -> None:
    """Add a table, its heading again at the top of every further column."""
    row_height, left = LINE * TABLE, list(table.rows)
    continued = False
    while left:
        heading = f"{table.heading}, continued" if continued else table.heading
        head_lines = wrap(heading, 3.8, flow.width, True)
        about = () if continued else wrap(table.about, BODY, flow.width)
        head = len(head_lines) * 1.75 * 3.8 + 3.0 + len(about) * LINE * BODY + 2.0 + row_height
        fresh_page = flow.column.top == flow.top == flow.room.top
        if flow.column.top - head - min(3, len(left)) * row_height < flow.column.bottom and not fresh_page:
            _next_column(flow, count)
            continue
        _head(flow.column, head_lines, about, show)
        _row(flow.column, left.pop(0), show)
        while left and flow.column.top - row_height >= flow.column.bottom:
            _row(flow.column, left.pop(0), show)
        continued = True
    flow.column.top -= 3.0


def _head(column: Column, lines: Sequence[str], about: Sequence[str], show: Show) -> None:
    column.top -= 3.0
    for line in lines:
        column.top -= 1.75 * 3.8
        column.items.append(Text("text", column.left, column.top, line, 3.8, 0.0, "start", True))
    for line in about:
        column.top -= LINE * BODY
        column.items.append(Text("text", column.left, column.top, line, BODY))
    column.top -= LINE * TABLE
    for x, words in _value_places(column, ("mm", "in") if show != "metric" else ("mm",)):
        column.items.append(Text("text", x, column.top, words, BODY, 0.0, "end"))
    column.top -= 1.4
    column.items.append(
        Line("register", frozen_array([[column.left, column.top], [column.left + column.width, column.top]]))
    )


def _value_places(column: Column, values: Sequence[str]) -> list[tuple[float, str]]:
    """Right-hand ends of the values of a row, the first value left of the second."""
    right = column.left + column.width
    return [(right - 24.0 * (len(values) - 1 - k), words) for k, words in enumerate(values)]


def _row(column: Column, row: tuple[str, float], show: Show) -> None:
    column.top -= LINE * TABLE
    column.items.append(Text("text", column.left, column.top, row[0], BODY))
    for x, words in _value_places(column, distance_words(row[1], show)):
        column.items.append(Text("text", x, column.top, words, TABLE, 0.0, "end"))
