"""Moments that fall through zero, many at once."""

from __future__ import annotations

import numpy as np

from skirtloft.physics.falling_root import falling_root


def test_each_on_its_own_side() -> None:
    """cos(x + k) falls through zero at pi/2 - k; from 0 it points up or down by its sign there."""
    k = np.array([1.0, 2.0, 1.5707, 3.0])
    ends = np.full(4, 2.5)
    roots = falling_root(lambda x: (np.cos(x + k), np.sin(x + k)), -ends, ends)
    assert np.allclose(roots, np.pi / 2.0 - k, atol=1e-12)


def test_steep_wall_before_the_root() -> None:
    """Newton leaves the bracket on 1/(x + 1) - 10^6 x near the wall; halving brings it back."""
    low, high = np.array([-1.0 + 1e-9]), np.array([1.0])
    root = falling_root(lambda x: (np.tanh(50.0 * (0.3 - x)), 50.0 / np.cosh(50.0 * (0.3 - x)) ** 2), low, high)
    assert abs(root[0] - 0.3) < 1e-12


def test_nothing_restores() -> None:
    """No change of sign within the range, or no value at all: nan."""
    low, high = np.full(3, -1.0), np.full(3, 1.0)
    add = np.array([2.0, -2.0, np.nan])
    assert np.isnan(falling_root(lambda x: (add - x, np.ones(3)), low, high)).all()


def test_starts_at_the_end_nearest_to_no_turn() -> None:
    """Where no turn is out of range, the search starts from the nearer end."""
    low, high = np.array([0.2]), np.array([1.0])
    asked: list[float] = []

    def moment(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        asked.append(float(x[0]))
        return 0.5 - x, np.ones(1)

    assert abs(falling_root(moment, low, high)[0] - 0.5) < 1e-12
    assert asked[0] == 0.2


def test_already_there() -> None:
    """A moment of nothing, or of rounding only, is at rest."""
    low, high = np.full(2, -1.0), np.full(2, 1.0)
    add = np.array([0.0, 1e-16])
    assert np.allclose(falling_root(lambda x: (add - x, np.ones(2)), low, high), 0.0, atol=1e-12)
