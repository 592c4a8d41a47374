"""The roll on paper: what its tables say is where the layout has it, and no page is longer than it may be."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import shapely

from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.roll_sheets import EDGE, LONGEST, _piece, numbered, page_ends, roll_sheets, true_size_sheets
from skirtloft.drawing.sheet import Line, Text
from skirtloft.export.pdf import LONGEST_PAGE
from skirtloft.layout.blanks import lies_at, problems
from skirtloft.layout.search import quick_layout
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import roll_uses
from tests.designs import skirt_of


@cache
def laid() -> tuple[Layout, ...]:
    skirt = skirt_of("four-seat")
    return tuple(quick_layout(one) for one in problems(skirt.design, skirt.pieces))


def test_every_piece_has_its_row_with_both_corners_to_half_a_millimetre() -> None:
    sheets = roll_sheets(laid(), Stamp(skirt_of("four-seat").design.project))
    rows: dict[str, set[tuple[str, ...]]] = {}
    for sheet in sheets:
        if "corners" not in sheet.title:
            continue
        by_line: dict[tuple[float, bool], list[Text]] = {}
        for item in sheet.items:
            if isinstance(item, Text) and item.height == pytest.approx(2.6):
                by_line.setdefault((round(item.y, 2), item.x > sheet.width / 2.0), []).append(item)
        cloth = sheet.title.split()[0].lower()
        found = {tuple(t.text for t in sorted(line, key=lambda t: t.x)) for line in by_line.values()}
        rows.setdefault(cloth, set()).update(found)
    for layout in laid():
        pieces = numbered(layout, 0)
        told = {row[:6] for row in rows[layout.problem.cloth]}
        assert len(pieces) == layout.problem.count == len(told)
        for piece in pieces:
            corners = [f"{round(2000.0 * v) / 2.0:.1f}" for v in piece.corners.ravel()]
            near = [row for row in told if row[0] == str(piece.number)]
            assert near[0][1] == piece.code
            assert [float(v) for v in near[0][2:]] == pytest.approx([float(v) for v in corners], abs=0.51)
            assert shapely.Polygon(piece.outline).exterior.distance(shapely.Point(piece.corners[0])) < 1e-9


def test_a_piece_is_named_inside_its_own_outline_once_at_least() -> None:
    """A label over the end of a strip names the neighbour; only a piece cut by a page's end may be named on another."""
    named: set[tuple[str, str]] = set()
    for sheet in roll_sheets(laid(), Stamp(skirt_of("four-seat").design.project)):
        outlines = [
            shapely.Polygon(item.points) for item in sheet.items if isinstance(item, Line) and item.layer == "segment"
        ]
        tree = shapely.STRtree(outlines)
        for item in sheet.items:
            if not isinstance(item, Text) or "  " not in item.text or item.height > 2.3:
                continue
            wide, tall = text_width(item.text, item.height), item.height
            box = shapely.box(item.x - wide / 2, item.y, item.x + wide / 2, item.y + tall)
            if item.angle:
                box = shapely.box(item.x - tall, item.y - wide / 2, item.x, item.y + wide / 2)
            if any(outlines[k].buffer(0.01).contains(box) for k in tree.query(box)):
                named.add((sheet.title.split()[0].lower(), item.text))
    pieces = {(one.problem.cloth, f"{p.number}  {p.code}") for one in laid() for p in numbered(one, 0)}
    assert pieces == named


def test_a_sliver_under_a_ring_is_labelled_all_the_same() -> None:
    """What the end of a page leaves of a piece may lie whole under the ring of its corner, 0.9 mm about it."""
    piece = numbered(laid()[0], 0)[0]
    part = shapely.intersection(shapely.Polygon(piece.outline), shapely.Point(piece.corners[0]).buffer(0.005))
    assert part.area > 1e-6
    items = _piece(piece, [part], lambda points: np.asarray(points) * 80.0, 80.0, (0.0, 10.0))
    assert [item.text for item in items if isinstance(item, Text)] == [f"{piece.number}  {piece.code}"]


def test_true_size_pages_are_below_the_limit_and_hold_all_the_cloth() -> None:
    """Area of all that is drawn is that of the pieces, 1e-6 of it: what a page end cuts in two is on both pages."""
    for layout in laid():
        sheets = true_size_sheets(layout)
        assert LONGEST < LONGEST_PAGE
        assert all(max(sheet.width, sheet.height) <= LONGEST for sheet in sheets)
        (use,) = roll_uses(layout)
        assert sum(sheet.width - 2 * EDGE for sheet in sheets) == pytest.approx(1000.0 * use.length)
        cut = [i for sheet in sheets for i in sheet.items if isinstance(i, Line) and i.layer == "cut"]
        drawn = sum(shapely.Polygon(line.points).area for line in cut)
        assert drawn * 1e-6 == pytest.approx(layout.problem.area, rel=1e-6)


def test_pages_end_where_fewest_pieces_are_cut() -> None:
    pieces = numbered(laid()[1], 0)
    ends = page_ends(pieces, roll_uses(laid()[1])[0].length, 4.0)
    starts = [0.0, *ends[:-1]]
    assert all(end - start <= 4.0 + 1e-9 for start, end in zip(starts, ends, strict=True))

    def crossed(at: float) -> int:
        return sum(bool(p.outline[:, 0].min() < at < p.outline[:, 0].max()) for p in pieces)

    for start, end in zip(starts[:-1], ends[:-1], strict=True):
        assert crossed(end) <= min(crossed(at) for at in np.linspace(start + 2.8, start + 4.0, 61)) + 0


def test_numbers_go_along_the_roll() -> None:
    for layout in laid():
        pieces = numbered(layout, 0)
        near = [round(float(p.outline[:, 0].min()), 4) for p in pieces]
        assert near == sorted(near)
        assert [p.number for p in pieces] == list(range(1, len(pieces) + 1))
        for piece in pieces:
            assert piece.outline == pytest.approx(lies_at(layout.problem.blanks[piece.lie.blank], piece.lie))
