"""Symmetric systems of unknowns that stand in rows, each joined to its own and the two neighbouring rows only.

Many systems of one layout are put together, factored and solved at once: block-tridiagonal, dense within the blocks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class RowLayout:
    """Where the entries of small element matrices go in the blocks of a system.

    Parameters
    ----------
    unknowns : (elements, k)
        Numbers of the unknowns that an element joins, counted through row by row.
    rows, long : int
        Number of rows, and unknowns in each.
    pairs : (entries,)
        Which entries of the (elements, k, k) matrices, counted through, are kept: those on or below the diagonal
        blocks.
    places : (entries,)
        Their places in the blocks, counted through ``(2, rows, long, long)``: the blocks on the diagonal, and those
        that join a row to the one before it.
    """

    unknowns: Indices
    rows: int
    long: int
    pairs: Indices
    places: Indices

    @property
    def size(self) -> int:
        """Unknowns in all."""
        return self.rows * self.long


@dataclass(frozen=True, eq=False)
class Factors:
    """Factored systems: ``D_i`` inverted, and ``C_i = B_i / D_(i-1)``, each (rows, systems, long, long)."""

    inverse: Floats
    carried: Floats


def row_layout(unknowns: Indices, rows: int, long: int) -> RowLayout:
    """Return the layout for elements that join the unknowns (elements, k) of `rows` rows of `long` each."""
    first, second = np.broadcast_arrays(unknowns[:, :, None], unknowns[:, None, :])
    apart = first // long - second // long
    if np.abs(apart).max() > 1:
        raise ValueError("an element joins rows that are not neighbours")
    pairs = np.flatnonzero(apart >= 0)
    first, second, apart = first.ravel()[pairs], second.ravel()[pairs], apart.ravel()[pairs]
    places = ((apart * rows + first // long) * long + first % long) * long + second % long
    return RowLayout(unknowns, rows, long, pairs, places)


def assemble(layout: RowLayout, elements: Floats) -> Floats:
    """Return the blocks of `elements` (systems, elements, k, k), (systems, 2, rows, long, long)."""
    count, shape = len(elements), (2, layout.rows, layout.long, layout.long)
    entries = elements.reshape(count, -1)[:, layout.pairs]
    places = np.arange(count)[:, None] * int(np.prod(shape)) + layout.places
    return _sums(places, entries, count * int(np.prod(shape))).reshape(count, *shape)


def assemble_vectors(layout: RowLayout, elements: Floats) -> Floats:
    """Return the right-hand sides of `elements` (systems, elements, k), (systems, size)."""
    count = len(elements)
    places = np.arange(count)[:, None] * layout.size + layout.unknowns.ravel()
    return _sums(places, elements, count * layout.size).reshape(count, layout.size)


def hold(blocks: Floats, held: Indices) -> None:
    """Take the unknowns `held` out of the blocks of `assemble`, in place: their equation becomes 1 x = right."""
    rows, long = blocks.shape[2], blocks.shape[3]
    for row, place in zip(held // long, held % long, strict=True):
        blocks[:, :, row, place, :] = 0.0
        blocks[:, 0, row, :, place] = 0.0
        if row + 1 < rows:
            blocks[:, 1, row + 1, :, place] = 0.0
        blocks[:, 0, row, place, place] = 1.0


def factor(blocks: Floats) -> Factors:
    """Return the factors of the systems `blocks`, which must be positive definite.

    Notes
    -----
    ``C_i = B_i D_(i-1)^-1``, ``D_i = A_i - C_i B_i'``, A on the diagonal and B below it (block elimination).
    """
    on, below = blocks[:, 0].swapaxes(0, 1), blocks[:, 1].swapaxes(0, 1)
    inverse, carried = np.empty(on.shape), np.zeros(on.shape)
    inverse[0] = np.linalg.inv(on[0])
    for i in range(1, len(on)):
        carried[i] = below[i] @ inverse[i - 1]
        inverse[i] = np.linalg.inv(on[i] - carried[i] @ below[i].swapaxes(1, 2))
    return Factors(inverse, carried)


def carry_forward(factors: Factors, right: Floats) -> Floats:
    """Return ``z_i = b_i - C_i z_(i-1)`` for `right` (systems, size, sides), (rows, systems, long, sides)."""
    rows, systems, long = factors.inverse.shape[:3]
    forward = right.reshape(systems, rows, long, -1).swapaxes(0, 1).copy()
    for i in range(1, rows):
        forward[i] -= factors.carried[i] @ forward[i - 1]
    return forward


def carried_products(factors: Factors, forward: Floats) -> Floats:
    """Return ``b' H^-1 d`` of every two sides b, d of what `carry_forward` gave, (systems, sides, sides).

    Notes
    -----
    ``sum z_b' D^-1 z_d`` over the rows, in small products: a large one would wake other threads, which costs more than
    it saves.
    """
    systems, sides = forward.shape[1], forward.shape[3]
    products = np.zeros((systems, sides, sides))
    for inverse, row in zip(factors.inverse, forward, strict=True):
        products += row.swapaxes(1, 2) @ (inverse @ row)
    return products


def carry_back(factors: Factors, forward: Floats) -> Floats:
    """Return the solutions of what `carry_forward` gave, (systems, size, sides)."""
    rows, systems, long = factors.inverse.shape[:3]
    found = factors.inverse @ forward
    for i in range(rows - 2, -1, -1):
        found[i] -= factors.carried[i + 1].swapaxes(1, 2) @ found[i + 1]
    return found.swapaxes(0, 1).reshape(systems, rows * long, -1)


def solve(factors: Factors, right: Floats) -> Floats:
    """Return the solutions for `right` (systems, size) or (systems, size, sides), in its shape."""
    return carry_back(factors, carry_forward(factors, right)).reshape(right.shape)


def _sums(places: Indices, values: Floats, long: int) -> Floats:
    sums: Floats = np.bincount(places.ravel(), values.ravel(), long).astype(np.float64, copy=False)
    return sums
