"""Distances from lines, arcs and curves; expected numbers are the closed forms named beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.curves import ArcPiece, line_piece
from skirtloft.maths.deviation import distances, nearest, points_along
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.plane_curves import Evaluation, PlaneCurve


def test_line_and_arc_with_their_ends() -> None:
    line, arc = line_piece(0j, 3 + 0j), ArcPiece(frozen_array((3.0, 1.0)), 1.0, -math.pi / 2, math.pi)
    points = np.array([1 + 0.5j, -3 - 4j, 3 + 1j, 6 + 1j, 2 + 3j])
    # half a metre above; 3-4-5 from the end; the centre; 3 - 1 from the circle; from (2, 3) to the end (3, 2)
    expected = [0.5, 5.0, 1.0, 2.0, math.sqrt(2.0)]
    np.testing.assert_allclose(distances(points, [line, arc]), expected, atol=1e-14)
    assert nearest(np.array([1.5 - 1j]), [line, arc])[1][0] == pytest.approx(0.5)  # half way along piece 0
    assert nearest(np.array([5 + 1j]), [line, arc])[1][0] == pytest.approx(1.5)  # half way along piece 1


def test_a_point_on_the_normal_of_an_ellipse_is_as_far_as_it_was_moved() -> None:
    def evaluate(at: Floats) -> Evaluation:
        return 2.5 * np.cos(at) + 1.15j * np.sin(at), -2.5 * np.sin(at) + 1.15j * np.cos(at), 0.0 * at

    curve = PlaneCurve(evaluate, (0.0, math.pi))
    at = np.linspace(0.05, 3.05, 40)
    points, speeds, _ = evaluate(at)
    out = -1j * speeds / np.abs(speeds)
    for moved in (1e-9, 1e-3, 0.4):
        np.testing.assert_allclose(distances(points + moved * out, [curve]), moved, atol=1e-13)
    share = nearest(points + 0.4 * out, [curve])[1]
    np.testing.assert_allclose(share * math.pi, at, atol=1e-7)


def test_points_along_reach_both_ends() -> None:
    arc = ArcPiece(frozen_array((0.0, 0.0)), 1.0, 0.0, math.pi)
    points = points_along([arc], 3)
    np.testing.assert_allclose(points, [1.0, 1j, -1.0], atol=1e-15)
