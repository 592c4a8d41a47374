"""Newton's steps in a bracket, many equations at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from skirtloft.maths.roots import rising_roots


@given(st.lists(st.floats(-1.9, 1.9), min_size=1, max_size=6))
def test_roots_of_a_cubic(places: list[float]) -> None:
    want = np.array(places)

    def cubic(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return (x - want) ** 3 + 0.3 * (x - want), 3 * (x - want) ** 2 + 0.3

    assert rising_roots(cubic, np.full(want.shape, -2.0), np.full(want.shape, 2.0)) == pytest.approx(want, abs=1e-14)


def test_a_corner_and_a_flat_stretch() -> None:
    """max(0, x) - a: Newton's step from the flat part is caught."""
    a = np.array([0.5, 1e-3, 0.0])
    found = rising_roots(
        lambda x: (np.maximum(0.0, x) - a, np.where(x > 0, 1.0, 0.0)), np.full(3, -3.0), np.array([1.0, 2.0, 5.0])
    )
    assert found[:2] == pytest.approx(a[:2], abs=1e-14)
    assert found[2] <= 1e-12


def test_the_wrong_slope_costs_steps_but_not_the_root() -> None:
    found = rising_roots(lambda x: (x**5 - 0.3, np.full(x.shape, 1e-3)), np.zeros(2), np.ones(2))
    assert found == pytest.approx(np.full(2, 0.3**0.2), abs=1e-12)


def test_no_root_between_the_ends() -> None:
    found = rising_roots(lambda x: (x - np.array([-1.0, 3.0, np.nan]), np.ones(3)), np.zeros(3), np.full(3, 2.0))
    assert np.isnan(found).all()
