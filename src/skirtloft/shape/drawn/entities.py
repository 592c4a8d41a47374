"""Single DXF entities -> strokes: what a bulge, an axis ratio or a knot vector means in plan."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from skirtloft.maths.curves import ArcPiece, line_piece, plane_point
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Complexes, PlaneCurve
from skirtloft.shape.drawn.pieces import DrawnPiece, Shape, Stroke, shape_end, shape_start

CURVES = ("LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE")
FLAT = 1e-9  # how far a direction may lean out of the plan view
HUGE = 1e9  # drawing units: beyond, a coordinate has no millimetres left


class TiltedError(Exception):
    """An arc or a flat polyline does not lie parallel to the plan view."""


def stroke_of(entity: Any, name: str) -> Stroke:
    """Return one entity of `CURVES` as a stroke in drawing units.

    Raises
    ------
    TiltedError
    ValueError
        A coordinate is no finite number, or the data make no curve.
    """
    kind = entity.dxftype()
    if kind == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        shapes: list[tuple[Shape, float, float]] = _lines([_plan(start), _plan(end)], [start.z, end.z])
    elif kind in ("ARC", "CIRCLE"):
        shapes = [_arc(entity, kind)]
    elif kind == "ELLIPSE":
        shapes = [_ellipse(entity)]
    elif kind == "SPLINE":
        shapes = _spline(entity)
    else:
        shapes = _polyline(entity, kind)
    for shape, low, high in shapes:
        places = [shape_start(shape), shape_end(shape)]
        numbers = [low, high, *(part for place in places for part in (place.real, place.imag))]
        if not all(abs(number) < HUGE for number in numbers):
            raise ValueError(f"a coordinate is not a number below {HUGE:g}")
    return Stroke(tuple(DrawnPiece(shape, (low, high), name) for shape, low, high in shapes), name)


def _plan(point: Any) -> complex:
    return complex(point.x, point.y)


def _lines(places: Sequence[complex], heights: Sequence[float]) -> list[tuple[Shape, float, float]]:
    return [
        (line_piece(start, end), low, high)
        for start, end, low, high in zip(places[:-1], places[1:], heights[:-1], heights[1:], strict=True)
        if start != end
    ]


def _is_mirrored(entity: Any) -> bool:
    """Return whether a flat entity is seen from below, with its x to the left."""
    extrusion = entity.dxf.get("extrusion")
    if extrusion is None:
        return False
    size = extrusion.magnitude
    if size == 0.0 or math.hypot(extrusion.x, extrusion.y) > FLAT * size:
        raise TiltedError
    return bool(extrusion.z < 0.0)


def _seen(shape: Shape, mirrored: bool) -> Shape:
    """Return a line or arc of the entity's own plane in the plan view: x turned where it is seen from below."""
    if not mirrored:
        return shape
    if isinstance(shape, ArcPiece):
        centre = plane_point(complex(-shape.centre[0], shape.centre[1]))
        return ArcPiece(centre, shape.radius, math.pi - shape.start_angle, -shape.sweep)
    return line_piece(-shape_start(shape).conjugate(), -shape_end(shape).conjugate())


def _arc(entity: Any, kind: str) -> tuple[Shape, float, float]:
    mirrored, centre, radius = _is_mirrored(entity), entity.dxf.center, abs(float(entity.dxf.radius))
    if not 0.0 < radius < HUGE:
        raise ValueError(f"the radius is {radius:g}")
    first, sweep = 0.0, 2.0 * math.pi
    if kind == "ARC":
        start, end = float(entity.dxf.start_angle), float(entity.dxf.end_angle)
        first, sweep = math.radians(start), math.radians((end - start) % 360.0 or 360.0)
    height = -centre.z if mirrored else centre.z
    return _seen(ArcPiece(plane_point(_plan(centre)), radius, first, sweep), mirrored), height, height


def _ellipse(entity: Any) -> tuple[Shape, float, float]:
    tool = entity.construction_tool()
    first, last = float(tool.start_param), float(tool.end_param)
    if last <= first:
        last += 2.0 * math.pi
    centre, major, minor = _plan(tool.center), _plan(tool.major_axis), _plan(tool.minor_axis)
    low, over_major, over_minor = tool.center.z, tool.major_axis.z, tool.minor_axis.z
    if abs((major.conjugate() * minor).imag) <= FLAT * abs(major) ** 2:
        raise TiltedError

    def evaluate(at: Floats) -> tuple[Complexes, Complexes, Floats]:
        cosine, sine = np.cos(at), np.sin(at)
        return (
            centre + cosine * major + sine * minor,
            cosine * minor - sine * major,
            low + cosine * over_major + sine * over_minor,
        )

    round_enough = abs(abs(major) - abs(minor)) < 1e-12 * abs(major) and over_major == over_minor == 0.0
    if round_enough and abs((major.conjugate() * minor).real) < 1e-12 * abs(major) ** 2:
        way = math.copysign(1.0, (major.conjugate() * minor).imag)
        angle = cmath.phase(major) + way * first
        return ArcPiece(plane_point(centre), abs(major), angle, way * (last - first)), low, low
    breaks = np.linspace(first, last, 1 + max(1, math.ceil((last - first) / (math.pi / 2.0))))
    curve = PlaneCurve(evaluate, tuple(float(at) for at in breaks))
    heights = evaluate(breaks[[0, -1]])[2]
    return curve, float(heights[0]), float(heights[1])


def _polyline(entity: Any, kind: str) -> list[tuple[Shape, float, float]]:
    closed = bool(entity.closed if kind == "LWPOLYLINE" else entity.is_closed)
    if kind == "LWPOLYLINE":
        mirrored, height = _is_mirrored(entity), float(entity.dxf.get("elevation", 0.0))
        points = [(complex(x, y), height, float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    elif entity.is_2d_polyline:
        mirrored, height = _is_mirrored(entity), float(entity.dxf.get("elevation", (0, 0, 0))[2])
        points = [(_plan(v.dxf.location), height, float(v.dxf.get("bulge", 0.0))) for v in _on_line(entity)]
    elif entity.is_3d_polyline:
        mirrored = False
        points = [(_plan(v.dxf.location), float(v.dxf.location.z), 0.0) for v in _on_line(entity)]
    else:
        raise ValueError("it is a mesh, not a line")
    if not points:
        raise ValueError("it has no vertices")
    if closed:
        points.append((points[0][0], points[0][1], 0.0))
    found: list[tuple[Shape, float, float]] = []
    for (start, low, bulge), (end, high, _) in pairwise(points):
        if start != end:
            sign = -1.0 if mirrored else 1.0
            found.append((_seen(bulged(start, end, bulge), mirrored), sign * low, sign * high))
    return found


def _on_line(entity: Any) -> list[Any]:
    """Return the vertices that lie on the line: not the frame that controls a smoothed one."""
    return [vertex for vertex in entity.vertices if not int(vertex.dxf.get("flags", 0)) & 16]


def bulged(start: complex, end: complex, bulge: float) -> Shape:
    """Return the line or arc from `start` to `end`; the bulge is the tangent of a quarter of the turn, left positive.

    Notes
    -----
    centre = middle + i chord (1 - b^2) / (4 b), radius = |chord| (1 + b^2) / (4 |b|) (from the definition).
    """
    if not math.isfinite(bulge):
        raise ValueError("a bulge is not a number")
    if abs(bulge) < 1e-9:
        return line_piece(start, end)
    chord = end - start
    centre = (start + end) / 2.0 + 1j * chord * (1.0 - bulge**2) / (4.0 * bulge)
    radius = abs(chord) * (1.0 + bulge**2) / (4.0 * abs(bulge))
    return ArcPiece(plane_point(centre), radius, cmath.phase(start - centre), 4.0 * math.atan(bulge))


def _spline(entity: Any) -> list[tuple[Shape, float, float]]:
    from scipy.interpolate import BSpline

    tool = entity.construction_tool()
    degree = int(tool.order) - 1
    points = np.array([(point.x, point.y, point.z) for point in tool.control_points], dtype=np.float64)
    knots = np.array(tool.knots(), dtype=np.float64)
    weights = np.array(tool.weights() or np.ones(len(points)), dtype=np.float64)
    if degree < 1 or len(points) <= degree or len(knots) != len(points) + degree + 1 or len(weights) != len(points):
        raise ValueError(f"{len(points)} control points, {len(knots)} knots and degree {degree} make no spline")
    if not np.all(np.isfinite(points)) or np.any(np.diff(knots) < 0.0) or not np.all(weights > 0.0):
        raise ValueError("control points, knots or weights are out of order")
    if np.max(np.abs(points)) >= HUGE:
        raise ValueError(f"a coordinate is not a number below {HUGE:g}")
    if degree == 1:
        return _lines([complex(x, y) for x, y, _ in points], [float(z) for z in points[:, 2]])
    weighted = np.column_stack([points * weights[:, None], weights])
    spline = BSpline(knots, weighted, degree, extrapolate=True)
    inside = knots[degree : len(knots) - degree]
    breaks, times = np.unique(inside, return_counts=True)
    if len(breaks) < 2:
        raise ValueError("its knots are all one")
    corners = [0, *(int(k) for k in np.flatnonzero(times[1:-1] >= degree) + 1), len(breaks) - 1]
    found: list[tuple[Shape, float, float]] = []
    for first, last in pairwise(corners):
        own = _spline_curve(spline, tuple(float(at) for at in breaks[first : last + 1]))
        heights = own.evaluate(np.array([own.breaks[0], own.breaks[-1]]))[2]
        found.append((own, float(heights[0]), float(heights[1])))
    return found


def _spline_curve(spline: Any, breaks: tuple[float, ...]) -> PlaneCurve:
    """Return the part of a spline of (w x, w y, w z, w) between its corners, in plan.

    It is evaluated a hair inside, so that a corner belongs to the part that ends there.
    """
    slope = spline.derivative()
    hair = 1e-10 * (breaks[-1] - breaks[0])

    def evaluate(at: Floats) -> tuple[Complexes, Complexes, Floats]:
        inside = np.clip(at, breaks[0] + hair, breaks[-1] - hair)
        change = slope(inside)
        value = spline(inside) + (at - inside)[:, None] * change
        weight = value[:, 3]
        plan, step = value[:, 0] + 1j * value[:, 1], change[:, 0] + 1j * change[:, 1]
        return plan / weight, (step - plan * change[:, 3] / weight) / weight, value[:, 2] / weight

    return PlaneCurve(evaluate, breaks)
