"""Where many moments at once fall through zero: Newton's steps, kept inside a bracket."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from skirtloft.maths.frozen import Floats

_STEPS = 100
_SETTLED = 1e-13  # rad
_LONGEST_STEP = 0.1  # rad, while there is no bracket yet
_OVERSHOOT = 1.2  # of Newton's step, while there is no bracket yet


def falling_root(moment: Callable[[Floats], tuple[Floats, Floats]], low: Floats, high: Floats) -> Floats:
    """Return the turn at which each moment falls through zero, nearest to no turn on the side it points to.

    Parameters
    ----------
    moment : callable
        Takes turns [rad] of the shape of `low` and returns moments and stiffnesses (their fall per turn).
    low, high : (...) [rad]
        Range of the turns.

    Returns
    -------
    (...) [rad]
        nan where the moment keeps its sign to the end of the range.

    Notes
    -----
    From no turn (or the end of the range nearest to it) onwards in steps of 1.2 times Newton's, at most 0.1 rad and
    doubling, until the sign changes; from there Newton's steps, halving the bracket where one would leave it.

    References
    ----------
    Derived from common practice.

    Examples
    --------
    >>> ends = np.full(2, 1.0)
    >>> falling_root(lambda x: (np.array([0.1, 0.2]) - np.sin(x), np.cos(x)), -ends, ends).round(6).tolist()
    [0.100167, 0.201358]
    """
    turn = np.clip(np.zeros_like(low), low, high)
    value, slope = moment(turn)
    sign = np.sign(value)
    end = np.where(sign > 0.0, high, low)
    near, far = turn, turn  # the moment has its first sign at `near`; past the root at `far`, where found
    crossed = (sign == 0.0) | ((slope > 0.0) & (np.abs(value) <= _SETTLED * slope))
    step, lost = np.full_like(low, _LONGEST_STEP), np.isnan(value)
    for _ in range(_STEPS):
        newton = value / slope
        ahead = np.where((slope > 0.0) & (np.abs(newton) < step), _OVERSHOOT * np.abs(newton), step)
        onwards = np.where(sign > 0.0, np.minimum(turn + ahead, end), np.maximum(turn - ahead, end))
        inside = (turn + newton - near) * (turn + newton - far) < 0.0
        within = np.where(inside, turn + newton, (near + far) / 2.0)
        after = np.where(crossed, within, onwards)
        moving = ~lost & (np.abs(after - turn) > _SETTLED)
        if not moving.any():
            break
        turn = np.where(moving, after, turn)
        value, slope = moment(turn)
        lost |= np.isnan(value) | (~crossed & (turn == end) & (np.sign(value) == sign))
        ahead_of_root = np.sign(value) == sign
        crossed |= ~ahead_of_root
        near, far = np.where(ahead_of_root, turn, near), np.where(ahead_of_root, far, turn)
        step = 2.0 * step
    return np.where(crossed & ~lost, turn, np.nan)
