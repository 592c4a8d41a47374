"""Random convex hulls of lines and arcs, drawn anywhere and any way round, come back as they were drawn."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from skirtloft.maths.biarcs import fit_biarcs
from skirtloft.maths.convex_chain import convex_samples
from skirtloft.maths.curves import ArcPiece, area_to_axis, end_direction, path_length, start_direction
from skirtloft.maths.deviation import distances, points_along
from skirtloft.maths.fillets import turn_between
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Evaluation, PlaneCurve, sample_curve
from skirtloft.shape.hull_edge import hull_edge
from tests.outline_cases import polyline, read

Vertex = tuple[complex, float]


@st.composite
def hulls(draw: Any) -> list[Vertex]:
    """Return (place [m], bulge of the piece that follows) from bow centre to stern centre, port half, stern at 0."""
    count = draw(st.integers(1, 4))
    weights = [draw(st.floats(0.1, 1.0)) for _ in range(count)]
    turns = [math.pi * weight / sum(weights) for weight in weights]
    heading, place = math.pi / 2.0, 0j
    found: list[Vertex] = []
    for turn in turns:
        found.append((place, 0.0))
        place += draw(st.floats(0.15, 2.5)) * complex(math.cos(heading), math.sin(heading))
        if draw(st.booleans()):
            radius = draw(st.floats(0.1, 1.2))
            found.append((place, math.tan(turn / 4.0)))
            place += (
                2.0
                * radius
                * math.sin(turn / 2.0)
                * complex(math.cos(heading + turn / 2.0), math.sin(heading + turn / 2.0))
            )
        heading += turn
    found.append((place, 0.0))
    assume(place.imag > 0.05)
    stern = complex(place.real, 0.0)
    found.append((stern, 0.0))
    assume(all(vertex.imag > 0.02 for vertex, _ in found[1:-1]))
    width = 2.0 * max(vertex.imag for vertex, _ in found)
    length = max(vertex.real for vertex, _ in found) - min(vertex.real for vertex, _ in found)
    assume(0.6 < length < 20.0)
    assume(width < 20.0)
    assume(found[0][0].real - stern.real > 0.5)
    return [(vertex - stern, bulge) for vertex, bulge in found]


def whole(half: list[Vertex]) -> list[Vertex]:
    """Return the closed outline of a half."""
    mirrored = [(place.conjugate(), half[k - 1][1]) for k, (place, _) in enumerate(half)][-2:0:-1]
    return [*half[:-1], (half[-1][0], half[-2][1]), *mirrored]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
@given(half=hulls(), quarters=st.integers(0, 3), backwards=st.booleans(), x=st.floats(-20, 20), y=st.floats(-20, 20))
def test_lines_and_arcs_come_back(half: list[Vertex], quarters: int, backwards: bool, x: float, y: float) -> None:
    outline = whole(half)
    points = [(place * 1j**quarters + complex(x, y), bulge) for place, bulge in outline]
    if backwards:
        points = [(points[k][0], -points[k - 1][1]) for k in range(len(points) - 1, -1, -1)]
    millimetres = [(1000.0 * p.real, 1000.0 * p.imag, bulge) for p, bulge in points]
    found = read(polyline(millimetres), bow=quarters * math.pi / 2.0, centre=y if quarters % 2 == 0 else x)
    assert found.deviation.edge_from_drawing < 1e-9
    assert found.deviation.drawing_from_edge < 1e-9
    edge = hull_edge(found.points, 0.24)
    area = sum((a.conjugate() * b).imag for (a, _), (b, _) in pairwise(half)) / 2.0
    length = 0.0
    for (a, bulge), (b, _) in pairwise(half):
        turn, chord = 4.0 * math.atan(bulge), abs(b - a)
        radius = chord / (2.0 * math.sin(turn / 2.0)) if turn else math.inf
        length += radius * turn if turn else chord
        area += radius**2 * (turn - math.sin(turn)) / 2.0 if turn else 0.0  # the segment of a circle
    assert path_length(edge.path) == pytest.approx(length, abs=1e-8)
    assert area_to_axis(edge.path) == pytest.approx(area, abs=1e-8)
    order = [("bow", "side", "stern").index(label) for _, label in found.pieces if label != "corner"]
    assert order == sorted(order)


def superellipse(power: float, length: float, width: float) -> PlaneCurve:
    """Return the curve on which |2x/length|^p + |2y/width|^p = 1, port half, by the angle about its centre."""

    def evaluate(at: Floats) -> Evaluation:
        c, s = np.cos(at), np.sin(at)
        size = (np.abs(c) ** power + np.abs(s) ** power) ** (-1.0 / power)
        tilt = np.abs(c) ** (power - 1) * np.sign(c) * s - np.abs(s) ** (power - 1) * np.sign(s) * c
        rate = size ** (power + 1.0) * tilt
        x, y = size * c, size * s
        dx, dy = rate * c - size * s, rate * s + size * c
        return length / 2.0 * x + 0.5j * width * y, length / 2.0 * dx + 0.5j * width * dy, 0.0 * at

    return PlaneCurve(evaluate, (0.0, math.pi / 2.0, math.pi))


@settings(max_examples=25, deadline=None)
@given(
    power=st.floats(1.7, 5.0),
    length=st.floats(2.0, 9.0),
    width=st.floats(1.2, 4.0),
    tolerance=st.sampled_from([5e-3, 1e-3, 2e-4]),
)
def test_smooth_curves_keep_the_tolerance_tangent_and_convex(
    power: float, length: float, width: float, tolerance: float
) -> None:
    curve = superellipse(power, length, width)
    convex = convex_samples(sample_curve(curve, tolerance / 50.0), math.pi / 2.0, 1.5 * math.pi)
    fit = fit_biarcs(convex.curve, tolerance)
    assert convex.depth < 1e-6
    assert distances(points_along([curve]), fit.pieces).max() <= 1.03 * tolerance
    assert distances(points_along(fit.pieces), [curve]).max() <= 1.03 * tolerance
    kinks = [
        turn_between(end_direction(a), start_direction(b)) for a, b in zip(fit.pieces[:-1], fit.pieces[1:], strict=True)
    ]
    assert max(map(abs, kinks)) < 1e-9
    assert all(piece.sweep > 0.0 for piece in fit.pieces if isinstance(piece, ArcPiece))
    assert start_direction(fit.pieces[0]) == pytest.approx(1j, abs=1e-9)
    assert end_direction(fit.pieces[-1]) == pytest.approx(-1j, abs=1e-9)
