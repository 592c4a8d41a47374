"""The pictures of the air: nothing over anything, every curve and point named, numbers where the physics puts them."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.drawing.air_sheets import air_sheets
from skirtloft.drawing.chart import Axis, Curve, Mark, Plot, axis_to, chart_items, number_text, round_step
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.page import Room, Stamp
from skirtloft.drawing.sheet import Area, Circle, Line, Sheet, Text
from skirtloft.pipeline import Skirt, build
from tests.designs import skirt_of
from tests.unit.answers.test_ask import DESIGNS

BOX = Room(30.0, 40.0, 230.0, 180.0)


def drawn(name: str) -> tuple[Skirt, list[Sheet]]:
    skirt = build(DESIGNS[name])
    return skirt, air_sheets(skirt, Stamp(skirt.design.project))


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize("name", DESIGNS)
def test_nothing_is_over_anything_and_every_curve_has_its_name(name: str) -> None:
    skirt, sheets = drawn(name)
    assert len(sheets) == 3
    for sheet in sheets:
        assert overlaps(sheet) == [], sheet.name
        assert any("Fans kill" in text for text in words(sheet))
        assert not any("nan" in text or "inf" in text.split() for text in words(sheet))
    for load in skirt.design.craft.load:
        assert f"craft, {load.name}" in words(sheets[0])
    circles = [item for item in sheets[0].items if isinstance(item, Circle)]
    match = skirt.air.match
    met = len(skirt.air.mass) if match is None else int((match.at_speed.failure == 0).sum())
    assert len(circles) == met
    named = [text for text in words(sheets[0]) if text.endswith(" gap") or " at " in text]
    assert len([text for text in named if text.split(":")[0].split(" at ")[0] in _names(skirt)]) == met


def _names(skirt: Skirt) -> set[str]:
    return {load.name for load in skirt.design.craft.load}


def test_the_circle_lies_where_fan_and_craft_meet() -> None:
    """2.88 m3/s and 989 Pa for the full load, read back from the axes of the sheet."""
    skirt, sheets = drawn("four-seat")
    match = skirt.air.match
    assert match is not None
    circle = next(item for item in sheets[0].items if isinstance(item, Circle))
    box = next(item for item in sheets[0].items if isinstance(item, Line) and item.layer == "register" and item.closed)
    low, high = box.points.min(axis=0), box.points.max(axis=0)
    x, y = (np.array([circle.x, circle.y]) - low) / (high - low) * np.array([4.0, 1600.0])
    assert x == pytest.approx(float(match.at_speed.air.fan_flow[0]), rel=1e-6)
    assert y == pytest.approx(float(match.at_speed.air.fan_pressure[0]), rel=1e-6)
    fan = max((i for i in sheets[0].items if isinstance(i, Line) and i.layer == "hull"), key=lambda i: len(i.points))
    nearest = np.hypot(fan.points[:, 0] - circle.x, fan.points[:, 1] - circle.y).min()
    assert nearest < 1.0


def test_bars_are_as_long_as_their_watts() -> None:
    skirt, sheets = drawn("four-seat")
    assert skirt.air.match is not None
    power = skirt.air.match.watts.power[:, 0]
    bars = [item for item in sheets[2].items if isinstance(item, Area)][: len(power)]
    lengths = np.array([np.ptp(bar.points[:, 0]) for bar in bars])
    wide = power > 20.0  # W: thinner ones are drawn as a stroke
    assert lengths[wide] / lengths.max() == pytest.approx(power[wide] / power.max(), rel=1e-9)


def test_two_units_are_two_scales() -> None:
    """1000 Pa are 20.885 lb/ft2, 1 m3/s is 2118.88 ft3/min (definitions): both stand on the sheet."""
    _, sheets = drawn("both units")
    assert {"total pressure, Pa", "lb/ft2", "flow through the fan, m3/s", "ft3/min"} <= set(words(sheets[0]))
    _, sheets = drawn("imperial")
    assert {"total pressure, lb/ft2", "flow through the fan, ft3/min"} <= set(words(sheets[0]))
    assert not any("kW" in text for sheet in sheets for text in words(sheet))


def test_without_a_fan_power_is_called_a_screening_figure() -> None:
    _, sheets = drawn("no fan")
    assert "screening figure, kW" in words(sheets[1])
    assert any("no [air.fan]" in text for text in words(sheets[0]))


def test_a_failed_rule_stands_on_every_sheet() -> None:
    skirt = skirt_of("four-seat", ("air.fan.speed", "1700 rpm"))
    stamp = Stamp(skirt.design.project, failed=("fan-carries-load",))
    for sheet in air_sheets(skirt, stamp):
        assert any("fan-carries-load" in text for text in words(sheet))


@pytest.mark.parametrize(
    ("least", "step"), [(0.3, 0.5), (1.0, 1.0), (1.01, 2.0), (21.0, 50.0), (0.0, 1.0), (6e-4, 1e-3)]
)
def test_round_steps(least: float, step: float) -> None:
    assert round_step(least) == pytest.approx(step)


def test_axis_holds_its_range_and_numbers_have_the_decimals_of_the_step() -> None:
    axis = axis_to(3.72, "x")
    assert axis.low == 0.0
    assert axis.high >= 3.72
    assert number_text(0.30000000000000004, 0.1) == "0.3"
    assert number_text(-0.0, 0.5) == "0.0"
    assert number_text(1500.0, 500.0) == "1500"


def test_a_curve_that_leaves_the_axes_is_cut_there_and_gaps_stay_gaps() -> None:
    x = np.linspace(0.0, 10.0, 101)
    y = np.where((x > 4.0) & (x < 5.0), np.nan, x)
    items = chart_items(Plot(BOX, Axis(0.0, 10.0, 2.0, "x"), Axis(0.0, 7.0, 1.0, "y")), [Curve(x, y, "line", "loop")])
    lines = [item for item in items if isinstance(item, Line) and item.layer == "loop"]
    assert len(lines) == 2
    assert max(line.points[:, 1].max() for line in lines) <= BOX.top + 1e-9


def test_a_dozen_crowded_curves_all_get_their_label() -> None:
    x = np.linspace(0.0, 10.0, 60)
    curves = [Curve(x, 1.0 + 0.05 * k * x, f"curve number {k}", "segment") for k in range(12)]
    marks = [Mark(5.0, 1.0 + 0.25 * k, f"mark {k}") for k in range(0, 12, 3)]
    items = chart_items(Plot(BOX, axis_to(10.0, "x"), axis_to(8.0, "y")), curves, marks)
    said = {item.text for item in items if isinstance(item, Text)}
    assert {curve.name for curve in curves} | {mark.name for mark in marks} <= said
    assert overlaps(Sheet("x", "x", 297.0, 210.0, tuple(items))) == []
