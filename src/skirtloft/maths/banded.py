"""Symmetric band matrices put together from small element matrices, many systems at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class BandLayout:
    """Where the entries of element matrices go in the lower band of a symmetric matrix.

    Parameters
    ----------
    unknowns : (elements, k)
        Numbers of the unknowns of every element.
    size : int
        Unknowns in all.
    width : int
        Diagonals below the main one.
    pairs : (entries,)
        Which entries of the (elements, k, k) element matrices, counted through, lie on or below the main diagonal.
    places : (entries,)
        Their places in the band, counted through its (width + 1, size) rows.
    """

    unknowns: Indices
    size: int
    width: int
    pairs: Indices
    places: Indices


def band_layout(unknowns: Indices, size: int) -> BandLayout:
    """Return the layout for elements that join the unknowns (elements, k) of a system of `size` equations."""
    row, column = np.broadcast_arrays(unknowns[:, :, None], unknowns[:, None, :])
    below = (row >= column).ravel()
    apart, column = (row - column).ravel()[below], column.ravel()[below]
    return BandLayout(unknowns, size, int(apart.max()), np.flatnonzero(below), apart * size + column)


def assemble(layout: BandLayout, elements: Floats) -> Floats:
    """Return the bands of `elements` (systems, elements, k, k), (systems, width + 1, size), as scipy stores them."""
    count, long = len(elements), (layout.width + 1) * layout.size
    entries = elements.reshape(count, -1)[:, layout.pairs]
    places = np.arange(count)[:, None] * long + layout.places
    band = np.bincount(places.ravel(), entries.ravel(), count * long)
    return band.reshape(count, layout.width + 1, layout.size)


def assemble_vectors(layout: BandLayout, elements: Floats) -> Floats:
    """Return the right-hand sides of `elements` (systems, elements, k), (systems, size)."""
    count = len(elements)
    places = np.arange(count)[:, None] * layout.size + layout.unknowns.ravel()
    return np.bincount(places.ravel(), elements.ravel(), count * layout.size).reshape(count, layout.size)


def hold(band: Floats, held: Indices) -> None:
    """Take the unknowns `held` out of the bands (systems, width + 1, size) in place: their equation is 1 x = right."""
    width = band.shape[1] - 1
    for unknown in held:
        band[:, :, unknown] = 0.0
        for back in range(1, min(width, unknown) + 1):
            band[:, back, unknown - back] = 0.0
        band[:, 0, unknown] = 1.0


def factor(band: Floats) -> list[Floats]:
    """Return the Cholesky factor of every band; numpy's LinAlgError where one is not positive definite."""
    from scipy.linalg import cholesky_banded

    return [cholesky_banded(one, lower=True, check_finite=False) for one in band]


def solve(factors: list[Floats], right: Floats) -> Floats:
    """Return the solutions for `right` (systems, size) or (systems, size, sides), in its shape."""
    from scipy.linalg import cho_solve_banded

    found = [cho_solve_banded((one, True), side, check_finite=False) for one, side in zip(factors, right, strict=True)]
    return np.array(found)
