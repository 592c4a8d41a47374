"""How a template is cut into pages: sizes by hand, and the promise that nothing drawn is lost."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.sheet import Area, Circle, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.export.tile_page import footer_lines, tile_items
from skirtloft.export.tile_plan import OVERLAP, PAPERS, PRINTER_MARGIN, neighbour, paper_size, tile_code, tile_plan
from skirtloft.maths.frozen import frozen_array


def ring(width: float, height: float, *extra) -> Sheet:
    """A bean-shaped outline that fills a sheet of this size but for a margin of 10 mm."""
    angles = np.linspace(0.0, 2 * math.pi, 300, endpoint=False)
    x, y = np.cos(angles) * (1 + 0.2 * np.cos(3 * angles)), np.sin(angles)
    x, y = (x - x.min()) / np.ptp(x), (y - y.min()) / np.ptp(y)
    outline = frozen_array(np.column_stack([10 + (width - 20) * x, 10 + (height - 20) * y]))
    return Sheet("L01", "L01 loop panel, cut 2", width, height, (Line("cut", outline, True), *extra), "template")


def own_share(plan, tile):
    """What shows of a tile once its right and its upper neighbour lie on it."""
    right = plan.window[2] - (OVERLAP if tile.column < plan.columns - 1 else 0.0)
    top = plan.window[3] - (OVERLAP if tile.row > 0 else 0.0)
    return shapely.box(tile.x, tile.y, tile.x + right, tile.y + top)


def test_paper_sizes():
    # ISO 216 A3, A4; ANSI Y14.1 A, B: 8.5 x 11 in and 11 x 17 in
    inch = 25.4
    assert (PAPERS["A4"], PAPERS["A3"]) == ((210.0, 297.0), (297.0, 420.0))
    assert PAPERS["Letter"] == pytest.approx((8.5 * inch, 11.0 * inch))
    assert PAPERS["Tabloid"] == pytest.approx((11.0 * inch, 17.0 * inch))
    assert PRINTER_MARGIN["Letter"] == pytest.approx(0.4 * inch)


def test_codes_read_like_a_spreadsheet_turned_on_its_side():
    assert [tile_code(r, c) for r, c in [(0, 0), (1, 2), (25, 0), (26, 9), (51, 0), (52, 0)]] == [
        "A1", "B3", "Z1", "AA10", "AZ1", "BA1",
    ]  # fmt: skip


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(120.0, 90.0), (400.0, 300.0), (1300.0, 700.0), (300.0, 2500.0)])
def test_everything_drawn_shows_in_the_share_of_a_printed_tile(paper, size):
    sheet = ring(*size, Text("text", size[0] / 2, size[1] / 2, "OUTSIDE UP", 5.0))
    plan = tile_plan(sheet, paper)
    shown = shapely.union_all([own_share(plan, tile) for tile in plan.tiles])
    points = sheet.items[0].points
    outline = shapely.linestrings(np.vstack([points, points[:1]]))
    assert outline.difference(shown.buffer(1e-6)).length == 0.0
    assert shapely.polygons(text_box(sheet.items[1])).difference(shown.buffer(1e-6)).area == 0.0


@pytest.mark.parametrize("paper", PAPERS)
def test_no_printed_tile_is_blank_and_the_window_keeps_off_the_margin(paper):
    sheet = ring(1300.0, 900.0)
    plan = tile_plan(sheet, paper)
    points = sheet.items[0].points
    outline = shapely.linestrings(np.vstack([points, points[:1]]))
    assert len(plan.tiles) < plan.rows * plan.columns  # the middle is cloth only
    assert all(own_share(plan, tile).intersects(outline) for tile in plan.tiles)
    left, bottom, width, height = plan.window
    assert left > plan.margin[0]
    assert bottom > plan.margin[1]
    assert left + width < plan.page[0] - plan.margin[0]
    assert bottom + height < plan.page[1] - plan.margin[1]


def test_paper_is_held_the_way_that_takes_fewer_pages():
    wide, tall = tile_plan(ring(270.0, 150.0), "A4"), tile_plan(ring(150.0, 262.0), "A4")
    assert (wide.landscape, wide.page_count) == (True, 1)
    assert (tall.landscape, tall.page_count) == (False, 1)


def test_frame_and_rules_of_the_sheet_are_not_tiled():
    far = (
        Line("frame", frozen_array([[0.0, 0.0], [3000.0, 0.0], [3000.0, 3000.0]])),
        Text("register", 2900.0, 3.0, "100 mm"),
    )
    sheet = replace(ring(120.0, 90.0, *far), width=3000.0, height=3000.0)
    assert tile_plan(sheet, "A4").page_count == 1


def test_an_island_is_joined_by_as_few_blank_tiles_as_can_be():
    sheet = replace(ring(120.0, 90.0, Text("text", 900.0, 50.0, "code")), width=1000.0)
    plan = tile_plan(sheet, "A4")
    assert [tile.code for tile in plan.tiles] == [f"A{k + 1}" for k in range(plan.columns)]
    alone = tile_plan(ring(1700.0, 1500.0, Text("text", 850.0, 750.0, "OUTSIDE UP")), "A4")
    bare = tile_plan(ring(1700.0, 1500.0), "A4")
    places = {(tile.row, tile.column) for tile in alone.tiles}
    assert len(places) < len(bare.tiles) + 5
    for row, column in places:
        assert places & {(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)}


def test_every_kind_of_item_counts():
    for item in (
        Circle("holes", 900.0, 50.0, 3.0),
        Area("mark", frozen_array([[900.0, 50.0], [905.0, 50.0], [900.0, 55.0]])),
        Text("text", 900.0, 50.0, "code"),
        Line("mark", frozen_array([[900.0, 50.0], [900.0, 51.0]])),
    ):
        plan = tile_plan(replace(ring(120.0, 90.0, item), width=1000.0), "A4")
        assert any(own_share(plan, tile).contains(shapely.Point(900.5, 50.5)) for tile in plan.tiles)


def test_neighbours_print_the_same_marks_at_the_same_places():
    plan = tile_plan(ring(1300.0, 900.0), "A4")

    def marks(tile):
        closed = [item.points for item in tile_items(plan, tile, ()) if isinstance(item, Line) and item.closed]
        centres = [points.mean(axis=0) for points in closed if np.ptp(points, axis=0) == pytest.approx([6.0, 6.0])]
        corner = np.array([tile.x - plan.window[0], tile.y - plan.window[1]])
        return {tuple(np.round(centre + corner, 6)) for centre in centres}

    pairs = 0
    for tile in plan.tiles:
        for other in plan.tiles:
            step = other.row - tile.row, other.column - tile.column
            if step not in ((0, 1), (1, 0)):
                continue
            shared = shapely.box(*_window(plan, tile)).intersection(shapely.box(*_window(plan, other))).buffer(1e-6)
            mine, theirs = ({m for m in marks(t) if shared.covers(shapely.Point(m))} for t in (tile, other))
            assert mine == theirs
            low, high = np.array(shared.bounds).reshape(2, 2)
            assert min(high - low) == pytest.approx(10.0, abs=1e-4)  # mm of overlap; requirement
            assert len(mine) >= 3  # both ends and the middle of the edge
            pairs += 1
    assert pairs > 10


def _window(plan, tile):
    return tile.x, tile.y, tile.x + plan.window[2], tile.y + plan.window[3]


def test_neighbours_are_printed_ones_only():
    plan = tile_plan(ring(1300.0, 900.0), "A4")
    printed = {(tile.row, tile.column) for tile in plan.tiles}
    for tile in plan.tiles:
        around = [(tile.row + down, tile.column + right) for down, right in ((0, 1), (0, -1), (1, 0), (-1, 0))]
        expected = {tile_code(*place) for place in around if place in printed}
        found = {neighbour(plan, tile, row - tile.row, column - tile.column) for row, column in around} - {""}
        assert found == expected
        words = [item.text for item in tile_items(plan, tile, ("footer",)) if isinstance(item, Text)]
        assert {text for text in words if text.startswith("joins")} == {f"joins {code}" for code in expected}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(120.0, 90.0), (900.0, 700.0), (400.0, 2500.0)])
def test_nothing_beside_the_template_overlaps_or_leaves_the_printable_page(paper, size):
    plan = tile_plan(ring(*size), paper, 0.99, 1.01)
    long = "L03  loop panel, bow corner, cut 14 P + 14 S"
    lines = footer_lines(plan, long, "A craft with rather a long name, revision C, 2026-01-01")
    printable = shapely.box(*plan.margin, plan.page[0] - plan.margin[0], plan.page[1] - plan.margin[1])
    left, bottom, width, height = plan.window
    window = shapely.box(left, bottom, left + width, bottom + height)
    for tile in plan.tiles:
        texts = [item for item in tile_items(plan, tile, lines) if isinstance(item, Text)]
        boxes = [shapely.polygons(text_box(text)) for text in texts]
        for k, box in enumerate(boxes):
            assert printable.buffer(1e-6).contains(box), texts[k]
            assert not window.intersects(box), texts[k]
            for other in range(k):
                assert box.intersection(boxes[other]).area < 0.05, (texts[k], texts[other])


def test_a_key_that_does_not_fit_the_footer_gets_its_page():
    small, large = tile_plan(ring(900.0, 600.0), "A4"), tile_plan(ring(400.0, 3000.0), "A4")
    assert (small.key, large.key) == ("footer", "page")
    assert small.page_count == len(small.tiles)
    assert tile_plan(ring(120.0, 90.0), "A4").key == ""
    assert tile_plan(ring(9000.0, 120.0), "A4").key == ""  # one row: the codes say it all
    assert large.page_count == len(large.tiles) + 1


def test_correction_is_for_the_paper_not_the_page():
    # A printer that draws 1.02 times too long along the long side of the paper is told 1/1.02 of it there.
    tall = tile_plan(ring(150.0, 262.0), "A4", 1.0, 1.02)
    wide = tile_plan(ring(270.0, 150.0), "A4", 1.0, 1.02)
    assert tall.scale == pytest.approx((1.0, 1 / 1.02))
    assert wide.scale == pytest.approx((1 / 1.02, 1.0))
    assert wide.page == pytest.approx((297.0 * 1.02, 210.0))
    assert any("98.0 % along the long side to correct the printer" in line for line in footer_lines(wide, "t", ""))
    assert any("Drawn 98.0 % along to correct the printer" in line for line in footer_lines(tall, "t", ""))
    assert not any("correct" in line for line in footer_lines(tile_plan(ring(150.0, 262.0), "A4"), "t", ""))


@pytest.mark.parametrize(
    "call, why",
    [
        (lambda: tile_plan(ring(100.0, 100.0), "A0"), "A4, A3, Letter, Tabloid would do"),
        (lambda: tile_plan(ring(100.0, 100.0), "A4", 0.5), "printer_x = 0.5"),
        (lambda: tile_plan(ring(100.0, 100.0), "A4", 1.0, float("nan")), "printer_y = nan"),
        (lambda: tile_plan(Sheet("bare", "bare", 10.0, 10.0, ()), "A4"), "nothing is drawn"),
        (lambda: tile_plan(ring(90.0, 90.0, Circle("holes", float("nan"), 1.0, 3.0)), "A4"), "is no number"),
        (lambda: paper_size("Foolscap"), "Foolscap"),
    ],
)
def test_refusals(call, why):
    with pytest.raises(ExportError, match=why):
        call()
