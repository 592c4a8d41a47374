"""Systems in rows against dense solves."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.maths.block_rows import (
    assemble,
    assemble_vectors,
    carried_products,
    carry_forward,
    factor,
    hold,
    row_layout,
    solve,
)

ROWS, LONG, COUNT = 5, 3, 4


def ladder() -> np.ndarray:
    """Every two unknowns of the same row or of neighbouring rows, joined by an element."""
    numbers = np.arange(ROWS * LONG)
    return np.array([(a, b) for a in numbers for b in numbers if a < b and b // LONG - a // LONG <= 1])


def dense(elements: np.ndarray, unknowns: np.ndarray) -> np.ndarray:
    found = np.zeros((len(elements), ROWS * LONG, ROWS * LONG))
    for k, pair in enumerate(unknowns):
        found[:, pair[:, None], pair] += elements[:, k]
    return found


@pytest.fixture
def case() -> tuple:
    unknowns = ladder()
    some = np.random.default_rng(3).normal(size=(COUNT, len(unknowns), 2, 2))
    elements = some @ some.swapaxes(-1, -2)
    return row_layout(unknowns, ROWS, LONG), elements, dense(elements, unknowns)


@pytest.mark.parametrize("sides", [(), (1,), (4,)])
def test_solutions(case: tuple, sides: tuple) -> None:
    layout, elements, matrix = case
    right = np.random.default_rng(4).normal(size=(COUNT, ROWS * LONG, *sides))
    found = solve(factor(assemble(layout, elements)), right)
    expected = np.linalg.solve(matrix, right if sides else right[..., None]).reshape(right.shape)
    assert found.shape == right.shape
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-11)


def test_products_without_going_back(case: tuple) -> None:
    layout, elements, matrix = case
    right = np.random.default_rng(5).normal(size=(COUNT, ROWS * LONG, 2))
    factors = factor(assemble(layout, elements))
    found = carried_products(factors, carry_forward(factors, right))
    assert found == pytest.approx(right.swapaxes(1, 2) @ np.linalg.solve(matrix, right), rel=1e-9, abs=1e-11)


def test_held_unknowns_take_the_right_side(case: tuple) -> None:
    layout, elements, matrix = case
    held = np.array([0, 4, ROWS * LONG - 1])
    blocks = assemble(layout, elements)
    hold(blocks, held)
    right = np.random.default_rng(6).normal(size=(COUNT, ROWS * LONG))
    right[:, held] = 0.0
    found = solve(factor(blocks), right)
    free = np.setdiff1d(np.arange(ROWS * LONG), held)
    assert found[:, held] == pytest.approx(0.0, abs=1e-15)
    rest = np.linalg.solve(matrix[:, free[:, None], free], right[:, free, None])[..., 0]
    assert found[:, free] == pytest.approx(rest, rel=1e-9, abs=1e-11)


def test_vectors_add_up() -> None:
    layout = row_layout(np.array([[0, 1], [1, 4]]), 2, 3)
    found = assemble_vectors(layout, np.array([[[1.0, 2.0], [3.0, 4.0]]]))
    assert found.tolist() == [[1.0, 5.0, 0.0, 0.0, 4.0, 0.0]]


def test_rows_too_far_apart_are_refused() -> None:
    with pytest.raises(ValueError, match="not neighbours"):
        row_layout(np.array([[0, 6]]), 3, 3)
