"""Dimensions: where heads, lines and words lie, and lengths in words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from skirtloft.drawing.dimension import (
    Dimension,
    angle_dimension,
    arrow,
    inches,
    leader,
    length_text,
    linear_dimension,
    radius_dimension,
    readable_angle,
)
from skirtloft.drawing.overlap import overlaps
from skirtloft.drawing.sheet import Area, Line, Sheet, Text


def heads(dimension: Dimension) -> list[Area]:
    return [item for item in dimension.items if isinstance(item, Area)]


def words(dimension: Dimension) -> Text:
    return next(item for item in dimension.items if isinstance(item, Text))


def test_a_linear_dimension_points_at_both_feet_on_its_line() -> None:
    dimension = linear_dimension((10, 10), (110, 10), 12.0, "100.0 mm")
    points = sorted(tuple(head.points[0]) for head in heads(dimension))
    assert points == [(10.0, 22.0), (110.0, 22.0)]
    box = np.asarray(dimension.text_box)
    assert box[:, 0].mean() == pytest.approx(60.0)
    assert box[:, 1].min() > 22.0  # above the line


def test_measuring_along_x_or_y_leaves_out_the_other() -> None:
    along_y = linear_dimension((0, 0), (30, 40), 10.0, "40", along="y")
    assert sorted(tuple(head.points[0]) for head in heads(along_y)) == [(-10.0, 0.0), (-10.0, 40.0)]
    with pytest.raises(ValueError, match="nothing to measure along y"):
        linear_dimension((0, 5), (30, 5), 10.0, "0", along="y")


@pytest.mark.parametrize("length", [4.0, 12.0, 30.0, 200.0])
@pytest.mark.parametrize("angle", [0.0, 37.0, 90.0, 180.0, 250.0])
@pytest.mark.parametrize("offset", [12.0, -12.0])
def test_the_text_of_a_dimension_never_lies_on_its_lines(length: float, angle: float, offset: float) -> None:
    way = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    dimension = linear_dimension((500, 500), np.array([500, 500]) + length * way, offset, "437.2 mm")
    assert overlaps(Sheet("x", "x", 1000, 1000, dimension.items)) == []
    assert -75.0 < words(dimension).angle <= 105.0


@pytest.mark.parametrize("outside", [True, False])
@pytest.mark.parametrize("radius", [8.0, 60.0])
@pytest.mark.parametrize("angle", [20.0, 160.0, 270.0])
def test_a_radius_points_at_the_arc_and_its_text_is_clear(radius: float, angle: float, outside: bool) -> None:
    dimension = radius_dimension((500, 500), radius, angle, "R 163.2", outside=outside)
    (head,) = heads(dimension)
    assert np.hypot(*(head.points[0] - [500, 500])) == pytest.approx(radius)
    assert overlaps(Sheet("x", "x", 1000, 1000, dimension.items)) == []


@pytest.mark.parametrize("start, end", [(0.0, 45.0), (45.0, 135.0), (180.0, 190.0), (350.0, 20.0)])
def test_an_angle_has_its_heads_on_the_arc_and_its_text_outside(start: float, end: float) -> None:
    dimension = angle_dimension((500, 500), 20.0, start, end, "45°")
    tips = [head.points[0] - [500, 500] for head in heads(dimension)]
    np.testing.assert_allclose(np.hypot(*np.array(tips).T), 20.0)
    found = sorted(np.degrees(np.arctan2(y, x)) % 360.0 for x, y in tips)
    np.testing.assert_allclose(found, sorted([start % 360.0, end % 360.0]), atol=1e-9)
    assert overlaps(Sheet("x", "x", 1000, 1000, dimension.items)) == []


@pytest.mark.parametrize("elbow", [(40, 40), (-40, 40), (40, -40), (-40, -40)])
def test_a_leader_carries_its_words_on_a_shelf(elbow: tuple[float, float]) -> None:
    note = leader((500, 500), (500 + elbow[0], 500 + elbow[1]), "inner fixing")
    assert overlaps(Sheet("x", "x", 1000, 1000, note.items)) == []
    (line,) = [item for item in note.items if isinstance(item, Line)]
    assert tuple(line.points[0]) == (500.0, 500.0)
    assert line.points[1][1] == line.points[2][1]  # level


def test_an_arrow_ends_at_its_point() -> None:
    shaft, head = arrow((0, 0), (30, 40), "mark")
    assert isinstance(head, Area)
    assert isinstance(shaft, Line)
    np.testing.assert_allclose(head.points[0], [30, 40])
    assert np.hypot(*shaft.points[1]) < 50.0  # the shaft does not stick out of the point


@given(st.floats(-720.0, 720.0))
def test_words_read_from_below_or_from_the_right(angle: float) -> None:
    reads = readable_angle(angle)
    assert -75.0 < reads <= 105.0
    assert (reads - angle) % 180.0 == pytest.approx(0.0, abs=1e-6) or (reads - angle) % 180.0 == pytest.approx(180.0)


@pytest.mark.parametrize(
    "metres, shown",
    [(0.0254, "1 in"), (0.0, "0 in"), (0.0127, "1/2 in"), (0.4372, "17 7/32 in"), (-0.0381, "-1 1/2 in")],
)  # exact inch 25.4 mm; 437.2 / 25.4 = 17.2126, 7/32 = .21875
def test_inches(metres: float, shown: str) -> None:
    assert inches(metres) == shown


def test_lengths_in_words() -> None:
    assert length_text(0.43724) == "437.2 mm"
    assert length_text(1.8) == "1800.0 mm"
    assert length_text(0.4372, "both") == "437.2 mm (17 7/32 in)"
    assert length_text(0.025, "metric", 0) == "25 mm"
