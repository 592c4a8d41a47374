"""DXF drawings of hull outlines, made by ezdxf for the tests. The craft are our own."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import ezdxf
from ezdxf.document import Drawing

from skirtloft.shape.drawn.outline import Outline, outline_of_dxf
from skirtloft.shape.drawn.request import Request

MM, INCH, METRE, UNITLESS = 4, 1, 6, 0
QUARTER = math.tan(math.pi / 8.0)  # bulge of a quarter circle: the tangent of a quarter of 90 deg
LENGTH, HALF_WIDTH, RADIUS = 4405.0, 1050.0, 750.0  # mm: the square bow of the plan's check numbers


def dxf_bytes(draw: Callable[[Any], object], units: int | None = MM, version: str = "R2010") -> bytes:
    """Return a drawing whose model space `draw` has drawn in."""
    document: Drawing = ezdxf.new(version)  # type: ignore[attr-defined]
    if units is not None:
        document.header["$INSUNITS"] = units
    draw(document.modelspace())
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")


def rounded(length: float = LENGTH, half: float = HALF_WIDTH, r: float = RADIUS) -> list[tuple[float, float, float]]:
    """Return (x, y, bulge) of a rectangle about y = 0 with quarter circles at its corners."""
    return [
        (length, -half + r, 0.0),
        (length, half - r, QUARTER),
        (length - r, half, 0.0),
        (r, half, QUARTER),
        (0.0, half - r, 0.0),
        (0.0, -half + r, QUARTER),
        (r, -half, 0.0),
        (length - r, -half, QUARTER),
    ]


# The hull of a tapered bow, sharp corners, mm: one centre line only.
TAPERED = [
    (4400.0, 550.0),
    (3000.0, 1050.0),
    (0.0, 1050.0),
    (0.0, -1050.0),
    (3000.0, -1050.0),
    (4400.0, -550.0),
]


def polyline(points: Iterable[Sequence[float]], **attributes: Any) -> Callable[[Any], object]:
    """Return what draws a closed polyline of (x, y) or (x, y, bulge)."""
    full = [(*point, 0.0)[:3] for point in points]
    return lambda space: space.add_lwpolyline(full, format="xyb", close=True, dxfattribs=attributes)


def read(draw: Callable[[Any], object], code: int = MM, **request: Any) -> Outline:
    """Return the outline of a drawing; height 340 mm where nothing else is told."""
    return outline_of_dxf(dxf_bytes(draw, code), Request(**{"height": 0.34, **request}))
