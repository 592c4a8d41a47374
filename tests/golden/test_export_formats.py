"""One template through every writer: each reader must find the same cut line, area and holes."""

from __future__ import annotations

import io
import math
import re
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pdfplumber
import pytest
import shapely

from skirtloft.drawing.sheet import Circle, Line, Sheet
from skirtloft.export import dxf, pdf, svg
from skirtloft.maths.frozen import frozen_array

N, A, B = 180, 310.0, 140.0
ANGLES = np.linspace(0.0, 2 * math.pi, N, endpoint=False)
OUTLINE = frozen_array(np.column_stack([350 + A * np.cos(ANGLES), 200 + B * np.sin(ANGLES)]))
AREA = 0.5 * N * A * B * math.sin(2 * math.pi / N)  # regular n-gon in a unit circle, stretched by a and b
HOLES = ((200.0, 200.0), (500.0, 220.0))
SHEET = Sheet(
    "L01",
    "L01",
    700.0,
    400.0,
    (Line("cut", OUTLINE, True), *(Circle("holes", x, y, 3.0) for x, y in HOLES)),
    "template",
)


def read_svg():
    root = ElementTree.fromstring(svg.render(SHEET))
    ns = "{http://www.w3.org/2000/svg}"
    words = re.findall(r"-?[\d.]+", root.find(f"{ns}g[@id='cut']/{ns}path").get("d"))
    points = np.array([float(word) for word in words]).reshape(-1, 2)
    holes = [(float(c.get("cx")), float(c.get("cy")), float(c.get("r"))) for c in root.iter(f"{ns}circle")]
    return points * [1, -1] + [0, 400.0], [(x, 400.0 - y, r) for x, y, r in holes]


def read_dxf():
    space = ezdxf.read(io.StringIO(dxf.render(SHEET))).modelspace()
    (cut,) = space.query("LWPOLYLINE[layer=='cut']")
    holes = [(*tuple(c.dxf.center)[:2], c.dxf.radius) for c in space.query("CIRCLE[layer=='holes']")]
    return np.array([point[:2] for point in cut.get_points()]), holes


def read_pdf():
    page = pdfplumber.open(io.BytesIO(pdf.render([SHEET]))).pages[0]
    mm = 25.4 / 72.0
    paths = [np.array(curve["pts"]) * mm * [1, -1] + [0, page.height * mm] for curve in page.curves]
    cut = max(paths, key=len)
    holes = [path for path in paths if path is not cut]
    return cut[:N], [(*((p.max(axis=0) + p.min(axis=0)) / 2), np.ptp(p[:, 0]) / 2) for p in holes]


@pytest.mark.parametrize("read", [read_svg, read_dxf, read_pdf])
def test_every_format_holds_the_same_piece(read):
    points, holes = read()
    assert points == pytest.approx(OUTLINE, abs=0.01)  # mm; the requirement is 0.1
    assert shapely.Polygon(points).area == pytest.approx(AREA, rel=1e-5)
    assert sorted(holes) == [pytest.approx((x, y, 3.0), abs=0.01) for x, y in HOLES]
