"""Many roots at once against scipy's brentq."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.maths.roots import bracketed_roots


def test_same_roots_as_brentq() -> None:
    c = np.array([0.1, 1.0, 7.0, 300.0])
    roots = bracketed_roots(lambda x: np.exp(x) * x - c, np.zeros(4), np.full(4, 50.0))
    wanted = [brentq(lambda x, k=k: np.exp(x) * x - k, 0.0, 50.0, xtol=1e-15, rtol=1e-15) for k in c]
    assert roots == pytest.approx(wanted, rel=1e-13)


def test_few_evaluations() -> None:
    calls = []

    def cubic(x: np.ndarray) -> np.ndarray:
        calls.append(1)
        return x**3 - np.linspace(0.01, 0.9, 50)

    roots = bracketed_roots(cubic, np.zeros(50), np.ones(50))
    assert roots == pytest.approx(np.cbrt(np.linspace(0.01, 0.9, 50)), rel=1e-14)
    assert len(calls) < 25


def test_a_root_at_an_end_and_none_at_all() -> None:
    roots = bracketed_roots(lambda x: x - np.array([0.0, 1.0, 5.0]), np.zeros(3), np.ones(3))
    assert roots[:2].tolist() == [0.0, 1.0]
    assert np.isnan(roots[2])


def test_single_equation_without_axes() -> None:
    assert float(bracketed_roots(lambda x: x * x - 2.0, np.array(0.0), np.array(2.0))) == pytest.approx(2.0**0.5)
