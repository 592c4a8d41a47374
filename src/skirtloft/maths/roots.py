"""Roots of many scalar equations at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from skirtloft.maths.frozen import Floats

_EPSILON = float(np.finfo(np.float64).eps)


def bracketed_roots(
    function: Callable[[Floats], Floats], low: Floats, high: Floats, *, iterations: int = 100, tolerance: float = 0.0
) -> Floats:
    """Return a root of each equation between its two ends, to `tolerance`, or to the last digits.

    Parameters
    ----------
    function : callable
        Takes an array of the shape of `low`, one place per equation, and returns the values there.
    low, high : (...) arrays of one shape
        Ends at which the values differ in sign (or one is zero).
    iterations : int
        Most evaluations; about 10 are usual.
    tolerance : float
        In the unit of the roots: nearer is near enough.

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
            least = (2.0 * _EPSILON * np.abs(root) + tolerance + 1e-300) / np.abs(b - a)
            done |= (least > 0.5) | (np.where(nearest, fa, fb) == 0.0)
            step = np.clip(_step(a, fa, b, fb, c, fc), least, 1.0 - least)
            step = np.where(np.isfinite(step), step, 0.5)
    return np.where(bracketed, root, np.nan)


def rising_roots(
    function: Callable[[Floats], tuple[Floats, Floats]], low: Floats, high: Floats, *, iterations: int = 100
) -> Floats:
    """Return the root of each equation whose values rise from `low` to `high`, to rounding of the larger of them.

    Parameters
    ----------
    function : callable
        Takes an array of the shape of `low` and returns values and slopes there.
    low, high : (...) arrays of one shape
    iterations : int
        Most evaluations; from 4 to 8 are usual.

    Returns
    -------
    (...)
        nan where the values do not rise through zero between the ends.

    Notes
    -----
    Newton's steps from the high end, halving where one would leave the bracket. The low end is looked at once.

    Examples
    --------
    >>> square = np.array([2.0, 9.0])
    >>> rising_roots(lambda x: (x * x - square, 2.0 * x), np.zeros(2), np.full(2, 5.0)).round(6).tolist()
    [1.414214, 3.0]
    """
    near, far = np.array(low, dtype=np.float64), np.array(high, dtype=np.float64)
    with np.errstate(all="ignore"):
        root, lost = far.copy(), ~(np.asarray(function(near)[0]) <= 0.0)
        value, slope = function(root)
        lost |= ~(np.asarray(value) >= 0.0)
        done = lost.copy()
        for _ in range(iterations):
            far, near = np.where(value >= 0.0, root, far), np.where(value <= 0.0, root, near)
            newton = root - value / slope
            within = (newton >= near) & (newton <= far)
            after = np.where(within, newton, 0.5 * (near + far))
            done |= np.abs(after - root) <= 4.0 * _EPSILON * (np.abs(root) + np.abs(high - low))
            root = np.where(done, root, after)
            if done.all():
                break
            value, slope = function(root)
    return np.where(lost, np.nan, root)


def _step(a: Floats, fa: Floats, b: Floats, fb: Floats, c: Floats, fc: Floats) -> Floats:
    """Return the next place as a share of the way from `a` to `b`."""
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    safe = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)
    smooth = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return np.where(safe, smooth, 0.5)
