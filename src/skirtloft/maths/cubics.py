"""Curves through points as cubic pieces that never overshoot, many curves at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array


@dataclass(frozen=True, eq=False)
class Cubics:
    """Cubic pieces side by side; one curve, or many with the same number of pieces.

    Parameters
    ----------
    knots : (..., k + 1)
        Increasing ends of the pieces.
    coefficients : (..., k, 4)
        c0 to c3 of c0 + c1 u + c2 u^2 + c3 u^3, u counted from the piece's first knot.
    """

    knots: Floats
    coefficients: Floats


def monotone_cubics(x: npt.ArrayLike, y: npt.ArrayLike) -> Cubics:
    """Return the curve through points that rises only between rising points and falls only between falling ones.

    Parameters
    ----------
    x, y : (..., k + 1)
        At least two points a curve, x increasing.

    Notes
    -----
    PCHIP: slopes at inner knots are weighted harmonic means of the neighbouring differences (zero at a peak), at the
    ends the shape-keeping three-point formula.

    References
    ----------
    Fritsch and Butland, SIAM Journal on Scientific and Statistical Computing 5 (1984) 300.
    """
    knots, values = np.broadcast_arrays(np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64))
    step, rise = np.diff(knots), np.diff(values) / np.diff(knots)
    slope = np.empty_like(values)
    if step.shape[-1] == 1:
        slope[...] = rise
    else:
        slope[..., 1:-1] = _inner_slopes(step, rise)
        slope[..., 0] = _end_slope(step[..., 0], step[..., 1], rise[..., 0], rise[..., 1])
        slope[..., -1] = _end_slope(step[..., -1], step[..., -2], rise[..., -1], rise[..., -2])
    start, end = slope[..., :-1], slope[..., 1:]
    second = (3.0 * rise - 2.0 * start - end) / step
    third = (start + end - 2.0 * rise) / step**2
    return Cubics(frozen_array(knots), frozen_array(np.stack([values[..., :-1], start, second, third], axis=-1)))


def _inner_slopes(step: Floats, rise: Floats) -> Floats:
    before, after = rise[..., :-1], rise[..., 1:]
    first = 2.0 * step[..., 1:] + step[..., :-1]
    second = step[..., 1:] + 2.0 * step[..., :-1]
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = (first + second) / (first / before + second / after)
    return np.where(before * after > 0.0, mean, 0.0)


def _end_slope(near: Floats, far: Floats, rise: Floats, next_rise: Floats) -> Floats:
    slope = ((2.0 * near + far) * rise - near * next_rise) / (near + far)
    slope = np.where(np.sign(slope) != np.sign(rise), 0.0, slope)
    steep = (np.sign(rise) != np.sign(next_rise)) & (np.abs(slope) > 3.0 * np.abs(rise))
    return np.where(steep, 3.0 * rise, slope)


def cubic_values(curve: Cubics, x: npt.ArrayLike) -> Floats:
    """Return the curve at `x`; nan outside its first and last knot.

    Parameters
    ----------
    x : (m..., ...)
        Broadcast against the leading shape of the curve; further axes may stand in front.
    """
    u, c, inside = _piece(curve, x)
    value = c[..., 0] + u * (c[..., 1] + u * (c[..., 2] + u * c[..., 3]))
    return np.where(inside, value, np.nan)


def cubic_slopes(curve: Cubics, x: npt.ArrayLike) -> Floats:
    """Return the slope of the curve at `x` (as `cubic_values`)."""
    u, c, inside = _piece(curve, x)
    return np.where(inside, c[..., 1] + u * (2.0 * c[..., 2] + 3.0 * u * c[..., 3]), np.nan)


def _piece(curve: Cubics, x: npt.ArrayLike) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    place = np.asarray(x, dtype=np.float64)
    knots, coefficients = curve.knots, curve.coefficients
    if knots.ndim == 1:
        index = np.clip(np.searchsorted(knots, place, side="right") - 1, 0, len(knots) - 2)
        start, chosen = knots[index], coefficients[index]
    else:
        index = (place[..., None] >= knots[..., 1:-1]).sum(axis=-1)
        place = np.broadcast_to(place, index.shape)
        start = np.take_along_axis(np.broadcast_to(knots, index.shape + knots.shape[-1:]), index[..., None], -1)[..., 0]
        pieces = np.broadcast_to(coefficients, index.shape + coefficients.shape[-2:])
        chosen = np.take_along_axis(pieces, index[..., None, None], -2)[..., 0, :]
    slack = 1e-12 * (knots[..., -1] - knots[..., 0])
    inside = (place >= knots[..., 0] - slack) & (place <= knots[..., -1] + slack)
    return place - start, chosen, inside


def scaled_cubics(curve: Cubics, x_scale: npt.ArrayLike, y_scale: npt.ArrayLike) -> Cubics:
    """Return the curve with both axes multiplied; scales (...) may hold many cases."""
    across, up = np.asarray(x_scale, dtype=np.float64), np.asarray(y_scale, dtype=np.float64)
    powers = up[..., None] / across[..., None] ** np.arange(4.0)
    return Cubics(
        frozen_array(curve.knots * across[..., None]), frozen_array(curve.coefficients * powers[..., None, :])
    )


def split_last_piece(curve: Cubics, pieces: int) -> Cubics:
    """Return the same single curve with its last piece halved until it has `pieces` pieces."""
    knots, rows = list(curve.knots), [np.array(row) for row in curve.coefficients]
    while len(rows) < pieces:
        half = (knots[-1] - knots[-2]) / 2.0
        c0, c1, c2, c3 = rows[-1]
        rows.append(
            np.array(
                [
                    c0 + half * (c1 + half * (c2 + half * c3)),
                    c1 + half * (2.0 * c2 + 3.0 * half * c3),
                    c2 + 3.0 * half * c3,
                    c3,
                ]
            )
        )
        knots.insert(-1, knots[-2] + half)
    return Cubics(frozen_array(knots), frozen_array(rows))
