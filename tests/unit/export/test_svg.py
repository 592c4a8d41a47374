"""SVG parsed back by the standard library's XML reader."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from skirtloft.drawing.lettering import font_size
from skirtloft.drawing.sheet import STYLES, Area, Circle, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.export import svg
from skirtloft.maths.frozen import frozen_array

NS = "{http://www.w3.org/2000/svg}"
OUTLINE = frozen_array([[10.0, 10.0], [110.0, 10.0], [110.12346, 60.0], [10.0, 60.0]])
SHEET = Sheet(
    "L01",
    'L01 <loop> & "panel"',
    150.0,
    80.0,
    (
        Line("cut", OUTLINE, True),
        Line("sew", frozen_array([[20.0, 20.0], [100.0, 50.0]])),
        Circle("holes", 30.0, 40.0, 3.0),
        Area("mark", frozen_array([[0.0, 0.0], [5.0, 0.0], [0.0, 5.0]]), 0.5),
        Text("text", 50.0, 30.0, 'A & B < "C"\x07  D', 5.0, 30.0, "middle", True),
        Line("cut", frozen_array([[1.0, 1.0], [2.0, 2.0]])),
    ),
    "template",
)


@pytest.fixture(scope="module")
def root():
    return ElementTree.fromstring(svg.render(SHEET))


def points(path):
    """Coordinates of a path, y turned up again."""
    numbers = [float(word) for word in re.findall(r"-?[\d.]+", path.get("d"))]
    return np.array(numbers).reshape(-1, 2) * [1, -1] + [0, SHEET.height]


def test_one_unit_is_one_millimetre(root):
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("150mm", "80mm", "0 0 150 80")


def test_one_group_per_layer_with_its_style(root):
    groups = {group.get("id"): group for group in root.iter(f"{NS}g")}
    assert list(groups) == ["cut", "sew", "holes", "mark", "text"]
    assert len(groups["cut"]) == 2
    for layer, group in groups.items():
        assert float(group.get("stroke-width")) == STYLES[layer].width
        assert group.get("fill") == "none"
    assert groups["sew"].get("stroke-dasharray") == "4,2"
    assert groups["cut"].get("stroke-dasharray") is None


def test_geometry_comes_back_to_a_tenth_of_a_micrometre(root):
    cut, open_line = root.find(f"{NS}g[@id='cut']").findall(f"{NS}path")
    assert points(cut) == pytest.approx(OUTLINE, abs=0.6e-4)
    assert cut.get("d").endswith("Z")
    assert not open_line.get("d").endswith("Z")
    circle = root.find(f".//{NS}circle")
    assert [float(circle.get(key)) for key in ("cx", "cy", "r")] == [30.0, 40.0, 3.0]
    area = root.find(f"{NS}g[@id='mark']/{NS}path")
    assert area.get("fill") == "#808080"  # half of 255, rounded to even
    assert points(area)[2] == pytest.approx([0.0, 5.0])


def test_text_is_text(root):
    text = root.find(f".//{NS}text")
    assert text.text == 'A & B < "C"  D'
    assert float(text.get("font-size")) == pytest.approx(font_size(5.0), abs=1e-4)
    assert text.get("text-anchor") == "middle"
    assert text.get("font-weight") == "bold"
    assert text.get("transform") == "rotate(-30 50 50)"  # y down: 80 - 30; anticlockwise on paper
    assert "DejaVu Sans Condensed" in text.get("font-family")
    assert root.find(f"{NS}title").text == SHEET.title


def test_same_sheet_same_text():
    assert svg.render(SHEET) == svg.render(SHEET)


@pytest.mark.parametrize(
    "value, words", [(-1e-5, "0"), (12.0, "12"), (0.12347, "0.1235"), (-3.5, "-3.5"), (1e7, "1" + "0" * 7)]
)
def test_numbers(value, words):
    assert svg.number(value) == words


@pytest.mark.parametrize(
    "item",
    [
        Line("cut", frozen_array([[0.0, 0.0], [float("nan"), 1.0]])),
        Circle("holes", 1.0, float("inf"), 2.0),
        Text("text", float("nan"), 1.0, "x"),
    ],
)
def test_a_place_that_is_no_number_is_refused(item):
    with pytest.raises(ExportError, match=f"Sheet bad.*layer {item.layer}"):
        svg.render(Sheet("bad", "bad", 10.0, 10.0, (item,)))


def test_a_sheet_without_size_is_refused():
    with pytest.raises(ExportError, match="must be positive"):
        svg.render(Sheet("bad", "bad", 0.0, 10.0, ()))
