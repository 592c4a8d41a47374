"""A curve with a hollow, stretched over it; expected numbers are the closed forms named beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.convex_chain import convex_samples
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import CurveSamples, Evaluation, PlaneCurve, sample_curve


def double_well(depth: float) -> CurveSamples:
    """Return y = depth (x^2 - 1)^2 from x = -1.5 to 1.5: a hollow of `depth` between its touching points at x = +-1."""

    def evaluate(at: Floats) -> Evaluation:
        well = at**2 - 1.0
        return at + 1j * depth * well**2, 1.0 + 4j * depth * at * well, 0.0 * at

    return sample_curve(PlaneCurve(evaluate, (-1.5, 1.5)), 1e-6)


def test_a_hollow_is_bridged_by_the_line_that_touches_twice() -> None:
    drawn = double_well(0.01)
    found = convex_samples(drawn, float(drawn.directions[0]), float(drawn.directions[-1]))
    assert found.depth == pytest.approx(0.01, abs=1e-6)  # at x = 0
    assert abs(found.deepest.real) < 0.01
    inside = np.abs(found.curve.points.real) < 1.0
    assert np.abs(found.curve.points.imag[inside]).max() < 1e-6  # the line y = 0
    assert np.abs(found.curve.directions[inside]).max() < 1e-3
    outside = np.abs(drawn.points.real) > 1.01
    assert np.isin(drawn.points[outside], found.curve.points).all(), "nothing else moves"


def test_directions_rise_and_lie_between_their_chords() -> None:
    drawn = double_well(0.01)
    curve = convex_samples(drawn, -0.5, 0.5).curve
    chords = np.angle(np.diff(curve.points))
    assert np.all(np.diff(curve.directions) >= 0.0)
    assert np.all(curve.directions[:-1] <= chords + 1e-12)
    assert np.all(curve.directions[1:] >= chords - 1e-12)
    assert curve.directions[0] == -0.5
    assert curve.directions[-1] == 0.5


def test_a_convex_curve_stays_as_it_is() -> None:
    def evaluate(at: Floats) -> Evaluation:
        return np.exp(1j * at), 1j * np.exp(1j * at), 0.0 * at

    drawn = sample_curve(PlaneCurve(evaluate, (0.0, math.pi)), 1e-6)
    found = convex_samples(drawn, math.pi / 2.0, -math.pi / 2.0)  # wanted directions come folded
    assert found.depth == 0.0
    np.testing.assert_array_equal(found.curve.points, drawn.points)
    np.testing.assert_allclose(found.curve.directions, drawn.at + math.pi / 2.0, atol=1e-12)
