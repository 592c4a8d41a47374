"""Characteristic polynomials of small matrices, and Routh's test of their stability, whole batches at once."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

Flags = npt.NDArray[np.bool_]


def characteristic(matrix: npt.ArrayLike) -> Floats:
    """Return det(s - A) as coefficients (..., k + 1) of A (..., k, k), highest power first.

    Notes
    -----
    Faddeev and LeVerrier: M_1 = 1, c_j = -tr(A M_j)/j, M_(j+1) = A M_j + c_j. The rows are scaled to one time unit
    first, the matrix's largest entry, so that the powers stay near 1; the coefficients are given back in seconds.

    References
    ----------
    Gantmacher, The Theory of Matrices, 1959, ch. IV.5 (from memory).
    """
    a = np.asarray(matrix, dtype=np.float64)
    size = a.shape[-1]
    scale = np.sqrt(np.abs(np.einsum("...ij,...ji->...", a, a)) / size)
    scale = np.where(scale > 0.0, scale, 1.0)
    a = a / scale[..., None, None]
    unit = np.eye(size)
    product, coefficients = np.broadcast_to(unit, a.shape), [np.ones(a.shape[:-2])]
    for j in range(1, size + 1):
        product = a @ product
        coefficient = -np.trace(product, axis1=-2, axis2=-1) / j
        coefficients.append(coefficient * scale**j)
        product = product + coefficient[..., None, None] * unit
    return np.stack(coefficients, axis=-1)


def is_stable(coefficients: npt.ArrayLike) -> Flags:
    """Return whether all roots of polynomials (..., k + 1), highest power first, have negative real parts.

    Notes
    -----
    Routh's scheme: the first column keeps its sign. A zero there counts as not stable.

    References
    ----------
    Routh, 1877; Hurwitz, 1895.

    Examples
    --------
    >>> is_stable([[1.0, 2.0, 3.0, 1.0], [1.0, 1.0, 1.0, 2.0]]).tolist()
    [True, False]
    """
    c = np.asarray(coefficients, dtype=np.float64)
    c = c / c[..., :1]
    degree = c.shape[-1] - 1
    above, row = c[..., 0::2], c[..., 1::2]
    stable = np.ones(c.shape[:-1], dtype=np.bool_)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for _ in range(degree):
            stable &= row[..., 0] > 0.0
            padded = np.concatenate([row, np.zeros((*c.shape[:-1], above.shape[-1] - row.shape[-1]))], axis=-1)
            following = above[..., 1:] - above[..., :1] / row[..., :1] * padded[..., 1:]
            above, row = row, following
            if row.shape[-1] == 0:
                break
    return stable
