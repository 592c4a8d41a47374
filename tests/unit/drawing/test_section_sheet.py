"""Plan, section, moment and former sheets: nothing overlaps, what is drawn is to scale and what is said is true."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from skirtloft.drawing.former import former_sheets
from skirtloft.drawing.moment_sheet import moment_sheet
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.plan_sheet import plan_sheets
from skirtloft.drawing.section_forces import forces_sheet
from skirtloft.drawing.section_sheet import section_sheet, section_sheets, template_seam
from skirtloft.drawing.section_view import chosen_stations, key_points
from skirtloft.drawing.sheet import Line, Sheet, Text
from skirtloft.export.tile_plan import tile_plan
from tests.designs import NAMES, skirt_of

FOUR = "four-seat"


def texts(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


def lines(sheet: Sheet, layer: str) -> list[Line]:
    return [item for item in sheet.items if isinstance(item, Line) and item.layer == layer]


def scale_of(sheet: Sheet) -> float:
    return next(float(text[4:]) for text in texts(sheet) if text.startswith("1 : "))


@pytest.mark.parametrize(("show", "paper"), [("metric", "A4"), ("imperial", "Letter"), ("both", "Letter")])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_overlaps_or_leaves_the_page(name: str, show: str, paper: str) -> None:
    skirt = skirt_of(name, ("project.show", show), ("making.paper", paper))
    stamp = Stamp(skirt.design.project)
    for sheet in (*section_sheets(skirt, stamp), *plan_sheets(skirt, stamp), *former_sheets(skirt, stamp)):
        assert overlaps(sheet) == [], sheet.name
    for sheet in section_sheets(skirt, stamp)[1:-1:2]:
        for place in ("at E ", "at J ", "at I ", "air ", "upper edge ", "lower edge "):
            assert any(text.startswith(place) for text in texts(sheet)), (sheet.name, place)


@pytest.mark.parametrize("changes", [(("skirt.inner.drop", "25 mm"),), (("skirt.tip_angle", "84 deg"),)])
def test_other_segments_do_not_overlap_either(changes: tuple[tuple[str, str], ...]) -> None:
    skirt = skirt_of(FOUR, *changes)
    for sheet in section_sheets(skirt, Stamp(skirt.design.project)):
        assert overlaps(sheet) == [], sheet.name


@pytest.mark.parametrize("name", NAMES)
def test_every_run_and_corner_is_drawn_twice_and_the_chart_comes_last(name: str) -> None:
    skirt = skirt_of(name)
    sheets = section_sheets(skirt, Stamp(skirt.design.project))
    runs = dict.fromkeys(skirt.plan.stations.runs)
    assert len(sheets) == 2 * len(runs) + 1
    assert sheets[-1].name == "restoring-moment"
    for run in runs:
        assert sum(run.replace("_", " ") in sheet.title for sheet in sheets[:-1]) >= 2


def test_what_is_dimensioned_sets_the_section_out() -> None:
    """Centre from radius about E and J, then the loop by the angle: ruler and compass with the printed numbers."""
    skirt = skirt_of(FOUR)
    for i in chosen_stations(skirt):
        said = texts(section_sheet(skirt, i, Stamp(skirt.design.project), "1 of 1"))
        radius = next(float(t[2:-3]) for t in said if t.startswith("R "))
        chord = next(float(t[6:-3]) for t in said if t.startswith("chord "))
        angle = next(float(t[:-1]) for t in said if t.endswith("°") and "." in t)
        points = key_points(skirt, i)
        assert chord == pytest.approx(1000.0 * np.linalg.norm(points["E"] - points["J"]), abs=0.06)
        inside = 2.0 * math.asin(chord / 2.0 / radius)
        assert (
            min(abs(math.degrees(inside) - angle), abs(360.0 - math.degrees(inside) - angle)) < 0.2
        )  # lengths to 0.1 mm
        assert radius * math.radians(angle) == pytest.approx(1000.0 * skirt.sections.length[i], abs=0.4)


def test_the_loop_is_drawn_to_scale() -> None:
    skirt = skirt_of(FOUR)
    i = chosen_stations(skirt)[2]
    sheet = section_sheet(skirt, i, Stamp(skirt.design.project), "1 of 1")
    (loop,) = lines(sheet, "loop")
    steps = np.diff(loop.points, axis=0)
    drawn = np.hypot(steps[:, 0], steps[:, 1]).sum() * scale_of(sheet)
    assert drawn == pytest.approx(1000.0 * skirt.sections.length[i], rel=1e-4)


def test_forces_are_drawn_to_the_scale_of_their_bar() -> None:
    """Shaft of the arrow at E against the bar: 40 mm are as many N/m as its last number says."""
    skirt = skirt_of(FOUR)
    i = chosen_stations(skirt)[0]
    sheet = forces_sheet(skirt, i, Stamp(skirt.design.project), "1 of 1")
    marks = [line for line in lines(sheet, "mark") if len(line.points) == 2]
    edge = skirt.behaviour.reactions.hull_edge[0, i]
    numbers = sorted(float(t) for t in texts(sheet) if t.replace(".", "").isdigit())
    per_mm = numbers[-1] / 40.0
    (hull,) = lines(sheet, "hull")
    at_e = hull.points[-1]
    (shaft,) = [line for line in marks if np.allclose(line.points[0], at_e, atol=1e-6)]
    step = shaft.points[1] - shaft.points[0]
    drawn = np.hypot(*step) + 0.8 * 3.0  # the shaft stops inside the head of 3 mm, 0.8 of it before the point
    assert drawn * per_mm == pytest.approx(float(np.linalg.norm(edge)), rel=0.01)
    assert math.atan2(step[1], step[0]) == pytest.approx(math.atan2(edge[1], edge[0]), abs=1e-6)


def test_the_ghost_has_a_straight_loop_as_long_as_the_loop() -> None:
    skirt = skirt_of(FOUR)
    for i in chosen_stations(skirt):
        sheet = forces_sheet(skirt, i, Stamp(skirt.design.project), "1 of 1")
        straight = next(line for line in lines(sheet, "ghost") if not line.closed and len(line.points) == 2)
        drawn = float(np.linalg.norm(np.diff(straight.points, axis=0))) * scale_of(sheet)
        assert drawn == pytest.approx(1000.0 * skirt.sections.length[i], rel=1e-6)


def test_imperial_sheets_have_no_metric_force() -> None:
    skirt = skirt_of(FOUR, ("project.show", "imperial"))
    for sheet in section_sheets(skirt, Stamp(skirt.design.project)):
        assert not [text for text in texts(sheet) if "N/m" in text or "N m" in text or " mm" in text], sheet.name
    assert any("lbf/ft" in text for text in texts(section_sheets(skirt, Stamp(skirt.design.project))[1]))


def test_the_template_s_length_is_said_where_it_differs() -> None:
    """Stations inside corners are set out a little; those of straight runs are not."""
    skirt = skirt_of(FOUR)
    told = []
    for i in chosen_stations(skirt):
        sheet = section_sheet(skirt, i, Stamp(skirt.design.project), "1 of 1")
        seam, length = template_seam(skirt, i), float(skirt.sections.length[i])
        row = any("on the template" in text for text in texts(sheet))
        assert row == (seam is not None and abs(seam - length) > 0.05e-3)
        told.append(row)
    assert any(told)
    assert not all(told)


def test_the_moment_chart_has_a_curve_for_every_run_and_corner() -> None:
    skirt = skirt_of(FOUR)
    said = texts(moment_sheet(skirt, Stamp(skirt.design.project), "1 of 1"))
    for i in chosen_stations(skirt):
        turn = -math.degrees(skirt.behaviour.taut.turn[i, 0])
        name = skirt.plan.stations.runs[i].replace("_", " ")
        assert f"{name} {skirt.plan.stations.ids[i]}, straight at {turn:.1f}°" in said


@pytest.mark.parametrize("name", NAMES)
def test_formers_are_the_section_at_true_size(name: str) -> None:
    """Area: web triangle by its corners, loop segment R^2 (b - sin b)/2 and the triangle I, J, E (closed form)."""
    skirt = skirt_of(name)
    for sheet, i in zip(former_sheets(skirt, Stamp(skirt.design.project)), chosen_stations(skirt), strict=True):
        (cut,) = lines(sheet, "cut")
        p, sections = key_points(skirt, i), skirt.sections
        flat = shapely.Polygon([p["E"], p["J"], p["G"], p["I"]]).area
        angle, radius = float(sections.angle[i]), float(sections.radius[i])
        wanted = flat + radius**2 * (angle - math.sin(angle)) / 2.0
        assert shapely.Polygon(cut.points).area * 1e-6 == pytest.approx(wanted, rel=2e-4)
        assert tile_plan(sheet, "A4").page_count > 3


def test_every_station_is_numbered_once_and_in_the_table() -> None:
    for name in NAMES:
        skirt = skirt_of(name)
        plan, table = plan_sheets(skirt, Stamp(skirt.design.project))
        for station in skirt.plan.stations.ids:
            assert texts(plan).count(station) == 1, station
            assert texts(table).count(station) == 1, station


def test_a_refused_design_says_so_on_its_sheets() -> None:
    skirt = skirt_of(FOUR)
    stamp = replace(Stamp(skirt.design.project), failed=("tip-line-inside", "rests-under-every-load"))
    for sheet in (*section_sheets(skirt, stamp), *plan_sheets(skirt, stamp), *former_sheets(skirt, stamp)):
        assert overlaps(sheet) == [], sheet.name
        assert any("Do not cut" in text for text in texts(sheet)), sheet.name
