"""The hull's sheets: nothing overlaps, strips are true to size, sections are cut where they say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.drawing.hull_card import hull_card
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.hull_strip import LINE, MARGIN, ROWS, TAB, TALL, hull_strip_sheet
from skirtloft.drawing.hull_view import hull_view, ordinates, transverse_section
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Circle, Line, Sheet, Text
from skirtloft.export.tile_plan import tile_plan
from skirtloft.pieces.hull_strip import HullStrip, hull_strips
from skirtloft.pipeline import Skirt
from tests.designs import NAMES, skirt_of


def strips_of(skirt: Skirt) -> tuple[HullStrip, ...]:
    return hull_strips(skirt.design, skirt.plan, skirt.sections, skirt.development.panels)


def all_sheets(skirt: Skirt) -> list[Sheet]:
    stamp, strips = Stamp(skirt.design.project), strips_of(skirt)
    paper = skirt.design.making.paper
    return [*hull_sheets(skirt, stamp), *hull_card(strips, stamp, paper), hull_strip_sheet(strips, stamp)]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("show", ["metric", "imperial", "both"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_or_leaves_the_page(name: str, show: str, paper: str) -> None:
    skirt = skirt_of(name, ("project.show", show), ("making.paper", paper))
    for sheet in all_sheets(skirt):
        assert overlaps(sheet) == [], sheet.name


@pytest.mark.parametrize("name", NAMES)
def test_strips_are_true_to_size_and_fit_one_tile_in_height(name: str) -> None:
    """On every row the line starts at the tab and is as long as its share; the shares make up the whole line."""
    skirt = skirt_of(name)
    strips = strips_of(skirt)
    sheet = hull_strip_sheet(strips, Stamp(skirt.design.project))
    lines = [item for item in sheet.items if isinstance(item, Line) and item.layer == "sew"]
    assert len(lines) == ROWS
    total = sum(float(np.ptp(line.points[:, 0])) for line in lines)
    assert total == pytest.approx(1000.0 * sum(strip.length for strip in strips), abs=1e-6)
    for paper in ("A4", "Letter"):
        assert tile_plan(sheet, paper).rows == 1


def test_a_hole_is_where_its_distance_says() -> None:
    skirt = skirt_of("four-seat")
    edge = strips_of(skirt)[0]
    sheet = hull_strip_sheet((edge,), Stamp(skirt.design.project))
    top = MARGIN + TALL * (ROWS - 1) + LINE
    drawn = sorted(item.x for item in sheet.items if isinstance(item, Circle) and abs(item.y - top) < 1e-9)
    said = [1000.0 * mark.at + MARGIN + TAB for mark in edge.marks if mark.kind == "hole"]
    assert len(drawn) > 5
    np.testing.assert_allclose(drawn, said[: len(drawn)], atol=1e-9)


def test_the_card_lists_every_mark() -> None:
    skirt = skirt_of("four-seat")
    strips = strips_of(skirt)
    texts = [i.text for s in hull_card(strips, Stamp(skirt.design.project), "A4") for i in s.items if type(i) is Text]
    for strip in strips:
        assert f"{round(2000.0 * strip.length) / 2.0:.1f}" in texts
        for mark in strip.marks:
            if mark.text:
                assert mark.text in texts


def test_transverse_sections_lie_in_their_plane_on_the_ruled_surface() -> None:
    """Amidships the closed form: flat to the flat's edge, then straight through I to E."""
    skirt = skirt_of("four-seat")
    view = hull_view(skirt.design, skirt.plan, skirt.sections)
    hull = skirt.hull
    side = hull.ids.index("P11")
    points = transverse_section(view, 2.0, hull.clearance)
    np.testing.assert_allclose(points[0], [0.0, hull.clearance])
    np.testing.assert_allclose(points[1], hull.bottom_edge[side, 1:], atol=1e-9)
    np.testing.assert_allclose(points[-1], hull.hull_edge[side, 1:], atol=1e-9)
    forward = transverse_section(view, 5.0, hull.clearance)
    assert forward[0, 0] == 0.0
    rise = (hull.hull_edge[0, 2] - hull.inner[0, 2]) / (hull.hull_edge[0, 0] - hull.inner[0, 0])
    assert forward[0, 1] == pytest.approx(hull.inner[0, 2] + rise * (5.0 - hull.inner[0, 0]), abs=1e-9)
    assert all(len(transverse_section(view, x, hull.clearance)) > 5 for x in ordinates(view))


def test_a_refused_design_says_so_on_its_hull_sheets() -> None:
    skirt = skirt_of("four-seat")
    stamp = replace(Stamp(skirt.design.project), failed=("tip-line-inside",))
    for sheet in (*hull_sheets(skirt, stamp), hull_strip_sheet(strips_of(skirt), stamp)):
        assert overlaps(sheet) == []
        assert any(isinstance(i, Text) and "Do not cut" in i.text for i in sheet.items)
