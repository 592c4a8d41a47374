"""DXF read back by ezdxf in a fresh document."""

from __future__ import annotations

import io
import math

import ezdxf
import numpy as np
import pytest
from shapely import Polygon

from skirtloft.drawing.sheet import STYLES, Area, Circle, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.export import dxf
from skirtloft.maths.frozen import frozen_array

ANGLES = np.linspace(0.0, 2 * math.pi, 200, endpoint=False)
OUTLINE = frozen_array(np.column_stack([300 + 200 * np.cos(ANGLES), 250 + 150 * np.sin(ANGLES)]))
ITEMS = (
    Line("cut", OUTLINE, True),
    Line("sew", frozen_array([[150.0, 250.0], [450.0, 250.0], [451.5, 260.25]])),
    Line("fold", frozen_array([[200.0, 200.0], [400.0, 200.0]])),
    Circle("holes", 300.0, 350.0, 3.0),
    Area("mark", frozen_array([[300.0, 300.0], [310.0, 303.0], [300.0, 306.0]])),
    Text("text", 300.0, 280.0, "OUTSIDE UP, Größe ½", 5.0, 30.0, "middle"),
    Line("register", frozen_array([[10.0, 3.0], [110.0, 3.0]])),
)
SHEET = Sheet("L01", "L01 loop panel", 600.0, 500.0, ITEMS, "template")


@pytest.fixture(scope="module")
def document():
    return ezdxf.read(io.StringIO(dxf.render(SHEET)))


def test_audit_finds_nothing(document):
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])


def test_units_are_millimetres(document):
    assert document.dxfversion == "AC1024"  # R2010
    assert document.header["$INSUNITS"] == 4  # millimetres (DXF reference, header section)
    assert document.header["$MEASUREMENT"] == 1


def test_layers_and_line_types(document):
    names = [layer.dxf.name for layer in document.layers]
    assert names[-10:] == ["cut", "sew", "fold", "finished", "mark", "holes", "slit", "place", "zone", "text"]
    for layer in list(document.layers)[-10:]:
        style = STYLES[layer.dxf.name]
        assert layer.dxf.lineweight == round(100 * style.width)
        assert (layer.dxf.linetype.upper() == "CONTINUOUS") == (not style.dash)
    pattern = [tag.value for tag in document.linetypes.get("SKIRTLOFT_SEW").pattern_tags.tags if tag.code in (40, 49)]
    assert pattern == [6.0, 4.0, -2.0]


def test_outline_is_closed_and_has_its_area(document):
    (cut,) = document.modelspace().query("LWPOLYLINE[layer=='cut']")
    assert cut.closed
    back = np.array([(x, y) for x, y, *_ in cut.get_points()])
    assert back == pytest.approx(OUTLINE, abs=1e-9)
    assert Polygon(back).area == pytest.approx(0.5 * 200 * 200 * 150 * math.sin(2 * math.pi / 200), rel=1e-12)


def test_holes_words_and_arrow_heads(document):
    space = document.modelspace()
    (hole,) = space.query("CIRCLE[layer=='holes']")
    assert (tuple(hole.dxf.center)[:2], hole.dxf.radius) == ((300.0, 350.0), 3.0)
    (text,) = space.query("TEXT")
    assert (text.dxf.text, text.dxf.height, text.dxf.rotation) == ("OUTSIDE UP, Größe ½", 5.0, 30.0)
    assert text.get_placement()[1].isclose((300.0, 280.0))
    (head,) = space.query("LWPOLYLINE[layer=='mark']")
    assert (head.closed, len(head)) == (True, 3)
    (sew,) = space.query("LWPOLYLINE[layer=='sew']")
    assert not sew.closed


def test_rules_of_the_paper_stay_on_paper():
    assert "register" not in dxf.render(SHEET)
    drawing = Sheet("plan", "Plan", 600.0, 500.0, ITEMS)
    assert len(ezdxf.read(io.StringIO(dxf.render(drawing))).modelspace().query("*[layer=='register']")) == 1


def test_same_text_at_another_time_and_no_trace_left():
    before = ezdxf.options.write_fixed_meta_data_for_testing
    first = dxf.render(SHEET)
    assert first == dxf.render(SHEET)
    assert "2000-01-01" in first  # the fixed date
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_a_place_that_is_no_number_is_refused():
    with pytest.raises(ExportError, match="no number"):
        dxf.render(Sheet("bad", "bad", 10.0, 10.0, (Circle("holes", 1.0, 1.0, math.nan),)))
