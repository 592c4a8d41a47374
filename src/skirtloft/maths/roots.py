"""Roots of many scalar equations at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from skirtloft.maths.frozen import Floats

_EPSILON = float(np.finfo(np.float64).eps)


def bracketed_roots(
    function: Callable[[Floats], Floats], low: Floats, high: Floats, *, iterations: int = 100
) -> Floats:
    """Return a root of each equation between its two ends, to the last digits.

    Parameters
    ----------
    function : callable
        Takes an array of the shape of `low`, one place per equation, and returns the values there.
    low, high : (...) arrays of one shape
        Ends at which the values differ in sign (or one is zero).
    iterations : int
        Most evaluations; about 10 are usual.

    Returns
    -------
    (...)
        nan where the ends do not differ in sign.

    Notes
    -----
    Chandrupatla's rule: inverse quadratic interpolation where it is safe, else halving.

    References
    ----------
    Chandrupatla, Advances in Engineering Software 28 (1997) 145.

    Examples
    --------
    >>> bracketed_roots(lambda x: x * x - np.array([2.0, 9.0]), np.zeros(2), np.full(2, 5.0)).round(6).tolist()
    [1.414214, 3.0]
    """
    b, a = np.array(low, dtype=np.float64), np.array(high, dtype=np.float64)
    fb, fa = np.asarray(function(b)), np.asarray(function(a))
    bracketed = np.sign(fa) * np.sign(fb) <= 0.0
    root = np.where(np.abs(fa) < np.abs(fb), a, b)
    done = ~bracketed | (fa == 0.0) | (fb == 0.0)
    step = np.full(root.shape, 0.5)
    with np.errstate(all="ignore"):
        for _ in range(iterations):
            if done.all():
                break
            place = a + step * (b - a)
            value = np.asarray(function(place))
            same = np.sign(value) == np.sign(fa)
            c, fc = np.where(same, a, b), np.where(same, fa, fb)
            b, fb = np.where(same, b, a), np.where(same, fb, fa)
            a, fa = place, value
            nearest = np.abs(fa) < np.abs(fb)
            root = np.where(done, root, np.where(nearest, a, b))
            least = (2.0 * _EPSILON * np.abs(root) + 1e-300) / np.abs(b - a)
            done |= (least > 0.5) | (np.where(nearest, fa, fb) == 0.0)
            step = np.clip(_step(a, fa, b, fb, c, fc), least, 1.0 - least)
            step = np.where(np.isfinite(step), step, 0.5)
    return np.where(bracketed, root, np.nan)


def _step(a: Floats, fa: Floats, b: Floats, fb: Floats, c: Floats, fc: Floats) -> Floats:
    """Return the next place as a share of the way from `a` to `b`."""
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    safe = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
    smooth = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return np.where(safe, smooth, 0.5)
