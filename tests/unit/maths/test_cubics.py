"""Monotone cubics against scipy's PCHIP as second opinion, and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from skirtloft.maths.cubics import cubic_slopes, cubic_values, monotone_cubics, scaled_cubics, split_last_piece

X = np.array([0.0, 0.4, 1.0, 1.1, 2.0, 3.5])
Y = np.array([3.0, 3.5, 3.4, 3.4, 1.0, -2.0])


def test_same_curve_as_scipy() -> None:
    curve, other = monotone_cubics(X, Y), PchipInterpolator(X, Y)
    at = np.linspace(0.0, 3.5, 701)
    assert cubic_values(curve, at) == pytest.approx(other(at), abs=1e-13)
    assert cubic_slopes(curve, at) == pytest.approx(other.derivative()(at), abs=1e-12)


def test_many_curves_at_once() -> None:
    rng = np.random.default_rng(4)
    x, y = np.cumsum(rng.uniform(0.2, 1.0, (5, 6)), axis=-1), rng.normal(size=(5, 6))
    curves = monotone_cubics(x, y)
    at = x[:, 0] + np.linspace(0.0, 1.0, 9)[:, None] * (x[:, -1] - x[:, 0])  # (9, 5)
    values = cubic_values(curves, at)
    for i in range(5):
        assert values[:, i] == pytest.approx(PchipInterpolator(x[i], y[i])(at[:, i]), abs=1e-12)


def test_two_points_make_a_line() -> None:
    assert cubic_values(monotone_cubics([1.0, 3.0], [2.0, 6.0]), [1.0, 1.5, 3.0]) == pytest.approx([2.0, 3.0, 6.0])


def test_no_value_beyond_the_ends() -> None:
    curve = monotone_cubics(X, Y)
    assert np.isnan(cubic_values(curve, [-1e-6, 3.5 + 1e-6])).all()
    assert np.isnan(cubic_slopes(curve, [-1e-6, 3.5 + 1e-6])).all()
    assert np.isfinite(cubic_values(curve, [0.0, 3.5])).all()


def test_scaled_axes() -> None:
    curve = monotone_cubics(X, Y)
    scaled = scaled_cubics(curve, [2.0, 0.5], [3.0, -1.0])
    at = np.linspace(0.0, 3.5, 8)[:, None]
    assert cubic_values(scaled, at * [2.0, 0.5]) == pytest.approx(cubic_values(curve, at) * [3.0, -1.0], abs=1e-12)


def test_a_split_piece_is_the_same_curve() -> None:
    curve = monotone_cubics(X, Y)
    split = split_last_piece(curve, 8)
    assert len(split.coefficients) == 8
    at = np.linspace(0.0, 3.5, 200)
    assert cubic_values(split, at) == pytest.approx(cubic_values(curve, at), abs=1e-13)
