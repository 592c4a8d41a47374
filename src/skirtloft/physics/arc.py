"""A circular arc of fixed length: how its middle, its centre and its centroid move as the chord changes.

With half angle h = b/2 and length L: chord c = L j0, centroid L j1/2 outside the chord's middle, where
j0 = sin(h)/h and j1 = sin(h)/h^2 - cos(h)/h (the spherical Bessel functions, j0' = -j1, j1' = j0 - 2 j1/h).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats

_SERIES_BELOW = 0.3  # rad; six terms are exact to the last digit there
_SERIES = [(-1.0) ** (k + 1) * 2.0 * k / math.factorial(2 * k + 1) for k in range(1, 7)]


def chord_share(half_angle: Floats) -> Floats:
    """Return chord over length of an arc, j0(h) = sin(h)/h, any shape."""
    share: Floats = np.sinc(half_angle / math.pi)
    return share


def centroid_share(half_angle: Floats) -> Floats:
    """Return j1(h) = sin(h)/h^2 - cos(h)/h, any shape: twice the centroid's distance from the chord over the length.

    Notes
    -----
    Small angles by the series sum over k >= 1 of (-1)^(k+1) 2k h^(2k-1)/(2k+1)!, where the closed form loses digits.
    """
    h = np.asarray(half_angle, dtype=np.float64)
    is_small = np.abs(h) < _SERIES_BELOW
    large = np.where(is_small, 1.0, h) if is_small.any() else h
    share: Floats = (np.sin(large) / large - np.cos(large)) / large
    if is_small.any():
        share = np.where(is_small, h * np.polynomial.polynomial.polyval(h * h, _SERIES), share)
    return share


def half_angle_of(share: Floats) -> Floats:
    """Return the half angle [rad] of arcs whose chord over length is `share` (0 to 1, any shape), by Newton.

    Notes
    -----
    From a table of h against sqrt(1 - j0), which is smooth and nearly straight; two steps reach the last digits.
    """
    ratio = np.asarray(share, dtype=np.float64)
    h = np.interp(np.sqrt(np.maximum(0.0, 1.0 - ratio)), _STARTS, _HALF_ANGLES)
    for _ in range(2):
        slope = np.maximum(centroid_share(h), 1e-12)
        h = np.clip(h + (chord_share(h) - ratio) / slope, 0.0, math.pi)
    return h


_HALF_ANGLES = np.linspace(0.0, math.pi, 2049)
_STARTS = np.sqrt(np.maximum(0.0, 1.0 - chord_share(_HALF_ANGLES)))


@dataclass(frozen=True, eq=False)
class ChordRates:
    """Changes with the chord at fixed length; arrays of one shape.

    Parameters
    ----------
    centre : ds/dc, of the centre's distance beyond the chord
    centroid : dt/dc, of the centroid's distance beyond the chord
    centroid_second : d2t/dc2 [1/m]
    """

    centre: Floats
    centroid: Floats
    centroid_second: Floats


def chord_rates(angle: Floats, length: Floats) -> ChordRates:
    """Return how centre and centroid move with the chord of an arc of fixed length.

    Parameters
    ----------
    angle : [rad]
        b, any shape.
    length : [m]
        Arc length, the same shape.

    Notes
    -----
    ds/dc = kappa = [cos(b/2)/b + sin(b/2)/2]/[cos(b/2) - (2/b) sin(b/2)], written with -h j1 below the line;
    dt/dc = 1/h - j0/(2 j1); d2t/dc2 = [1/2 - 1/h^2 + j0 (j0 - 2 j1/h)/(2 j1^2)]/(-L j1).

    References
    ----------
    Derived.
    """
    h = angle / 2.0
    j0, j1 = chord_share(h), centroid_share(h)
    centre = (np.cos(h) / h + np.sin(h)) / (-2.0 * h * j1)
    centroid = 1.0 / h - j0 / (2.0 * j1)
    second = (0.5 - 1.0 / h**2 + j0 * (j0 - 2.0 * j1 / h) / (2.0 * j1**2)) / (-length * j1)
    return ChordRates(centre, centroid, second)
