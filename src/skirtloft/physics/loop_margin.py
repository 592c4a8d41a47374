"""A loop against its balance: what the section asks, what a loop of some length gives, and the margin between.

Everything is in one section plane, x outboard and z up, origin anywhere; I may lie anywhere. Arrays broadcast over
stations and designs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.arc import centroid_share, chord_rates, half_angle_of

_ROUNDING = 1e-12  # of |J-I|^2, or of the balance: closer to zero than this is zero


@dataclass(frozen=True, eq=False)
class LoopBalance:
    """What a section asks of its loop; arrays broadcast.

    Parameters
    ----------
    edge, joint, inner : (..., 2) [m]
        E, J and I.
    tip_mean_square : (...) [m2]
        <|G - I|^2> over one pitch of the real tip edge; |G - I|^2 for a flat face.
    pressure : (...) [Pa]
    weight_moment : (...) [kg m/m]
        m_x, first moment of the cloth about I. The loop's share is that of the loop as cut: a short loop is lighter.
    weight_stiffness : (...) [N m/rad/m]
        The weight's part in the section's stiffness.
    """

    edge: Floats
    joint: Floats
    inner: Floats
    tip_mean_square: Floats
    pressure: Floats
    weight_moment: Floats
    weight_stiffness: Floats


def loop_balance(
    edge: npt.ArrayLike,
    joint: npt.ArrayLike,
    inner: npt.ArrayLike,
    *,
    tip_mean_square: npt.ArrayLike,
    pressure: npt.ArrayLike,
    weight_moment: npt.ArrayLike = 0.0,
    weight_stiffness: npt.ArrayLike = 0.0,
) -> LoopBalance:
    """Return the record of a section, or of many; arguments as `LoopBalance`."""
    values = (edge, joint, inner, tip_mean_square, pressure, weight_moment, weight_stiffness)
    return LoopBalance(*(frozen_array(value) for value in values))


def cross(first: Floats, second: Floats) -> Floats:
    """Return the turn from `first` to `second`, x1 z2 - z1 x2 of (..., 2), (...)."""
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def dot(first: Floats, second: Floats) -> Floats:
    """Return x1 x2 + z1 z2 of (..., 2), (...)."""
    return np.asarray((first * second).sum(axis=-1))


def pressure_lift(case: LoopBalance) -> Floats:
    """Return what pressure alone asks, (|J-I|^2 - <|G-I|^2>)/2 (...) [m2]: p times it is the moment about I."""
    arm = case.joint - case.inner
    return np.asarray(0.5 * (dot(arm, arm) - case.tip_mean_square))


def balance_lift(case: LoopBalance) -> Floats:
    """Return what a loop in balance without diaphragm gives, (...) [m2], weight in.

    Notes
    -----
    B0 = (|J-I|^2 - <|G-I|^2>)/2 + g m_x/p, the value that (J-I).(J-C) has in balance. 45/90 level: B0 = 2 d a_balance.
    """
    return np.asarray(pressure_lift(case) + GRAVITY * case.weight_moment / case.pressure)


@dataclass(frozen=True, eq=False)
class CutLoop:
    """A loop as cut; (...) each.

    Parameters
    ----------
    lift : [m2]  B = (J-I).(J-C), its moment about I over p
    bulge : [m]  s, chord middle to centre, outboard positive
    centre : (..., 2) [m]
    radius, angle, length : [m], [rad], [m]
    """

    lift: Floats
    bulge: Floats
    centre: Floats
    radius: Floats
    angle: Floats
    length: Floats


def _chord(case: LoopBalance) -> tuple[Floats, Floats, Floats]:
    """Return chord [m], left normal of E to J (..., 2) and middle (..., 2) [m]."""
    along = case.joint - case.edge
    chord = np.hypot(along[..., 0], along[..., 1])
    normal = np.stack([-along[..., 1], along[..., 0]], axis=-1) / chord[..., None]
    return chord, normal, 0.5 * (case.edge + case.joint)


def _loop(case: LoopBalance, bulge: Floats) -> CutLoop:
    chord, normal, middle = _chord(case)
    chord = np.broadcast_to(chord, np.broadcast_shapes(chord.shape, bulge.shape))
    centre = middle + bulge[..., None] * normal
    lift = dot(case.joint - case.inner, case.joint - centre)
    radius, angle = np.hypot(bulge, chord / 2.0), 2.0 * np.arctan2(chord / 2.0, -bulge)
    return CutLoop(*(frozen_array(value) for value in (lift, bulge, centre, radius, angle, radius * angle)))


def loop_of_margin(case: LoopBalance, margin: npt.ArrayLike) -> CutLoop:
    """Return the loop whose lift exceeds balance by `margin` (...), a share of the balance.

    Returns
    -------
    CutLoop
        nan where J-I is parallel to E-J (then no loop changes the lift) or where the balance is not positive.

    Notes
    -----
    B = (1 + margin) B0; C = M + s n with s = [(J-I).(J-M) - B]/((J-I).n). In the 45/90 level case margin is
    a/a_balance - 1, and with a flat face and no weight 2 a/d - 1.

    Examples
    --------
    >>> case = loop_balance([.18, .20], [.36, 0], [0, 0], tip_mean_square=2 * .18**2, pressure=464.054)
    >>> round(float(loop_of_margin(case, 0.15).length), 5)
    0.39006
    """
    _, normal, middle = _chord(case)
    arm = case.joint - case.inner
    balance = balance_lift(case)
    leverage = dot(arm, normal)
    possible = (balance > 0.0) & (np.abs(leverage) > 1e-9 * np.sqrt(dot(arm, arm)))
    wanted = (1.0 + np.asarray(margin, dtype=np.float64)) * balance
    excess = dot(arm, case.joint - middle) - wanted
    bulge = np.where(possible, excess / np.where(possible, leverage, 1.0), np.nan)
    return _loop(case, bulge)


def loop_of_length(case: LoopBalance, length: npt.ArrayLike) -> CutLoop:
    """Return the loop of a given `length` (...) [m]; nan where it is not longer than its chord.

    Notes
    -----
    sin(b/2)/(b/2) = c/L, s = -(c/2) cot(b/2).
    """
    chord = _chord(case)[0]
    share = chord / np.asarray(length, dtype=np.float64)
    fits = share < 1.0
    half = half_angle_of(np.where(fits, share, 0.5))
    return _loop(case, np.where(fits, -0.5 * chord / np.tan(half), np.nan))


def margin_of(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return (...) what share of the balance the loop lifts in excess; nan where the balance is not positive.

    Notes
    -----
    margin = B/B0 - 1: the excess moment p B - p/2 (|J-I|^2 - <|G-I|^2>) - g m_x over its last two terms.
    """
    balance = balance_lift(case)
    possible = balance > 0.0
    margin = loop.lift / np.where(possible, balance, 1.0) - 1.0
    return np.where(possible, np.where(np.abs(margin) < _ROUNDING, 0.0, margin), np.nan)


def weightless_margin(case: LoopBalance, margin: npt.ArrayLike) -> Floats:
    """Return (...) the same loop's margin over what pressure alone asks: 2 a/d - 1 for a 45/90 level flat face.

    nan where pressure alone asks nothing.
    """
    alone = pressure_lift(case)
    possible = alone > 0.0
    share = (1.0 + np.asarray(margin)) * balance_lift(case) / np.where(possible, alone, 1.0) - 1.0
    return np.where(possible, share, np.nan)


def unless_rounding(lift: Floats, case: LoopBalance) -> Floats:
    """Return a difference of lifts (...) [m2], or zero where it is no more than rounding."""
    arm = case.joint - case.inner
    return np.where(np.abs(lift) < _ROUNDING * dot(arm, arm), 0.0, lift)


def margin_per_length(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return d margin/dL (...) [1/m]: what a loop cut longer loses.

    Notes
    -----
    At fixed chord, h = b/2: ds/dL = (c/2)/sin^2 h . c/(L^2 j1(h)); d margin = -(J-I).n ds/B0.
    """
    chord, normal, _ = _chord(case)
    half = loop.angle / 2.0
    bulge_rate = 0.5 * chord / np.sin(half) ** 2 * chord / (loop.length**2 * centroid_share(half))
    balance = balance_lift(case)
    possible = balance > 0.0
    rate = -dot(case.joint - case.inner, normal) * bulge_rate / np.where(possible, balance, 1.0)
    return np.where(possible, rate, np.nan)


def section_stiffness(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return the stiffness of loop and segment against turning about I, (...) [N m/rad/m], without diaphragm.

    Notes
    -----
    K = p [(J-I)x(E-I)/2 - kappa c1^2 - s c2] + weight, c1 = (J-E).rot90(J-I)/c, c2 = ((E-I).(J-I) - c1^2)/c; it holds
    out of balance too, being the second derivative of the enclosed area.
    """
    chord = _chord(case)[0]
    arm, hull = case.joint - case.inner, case.edge - case.inner
    first = cross(arm, case.joint - case.edge) / chord
    second = (dot(hull, arm) - first**2) / chord
    kappa = chord_rates(loop.angle, loop.length).centre
    shape = 0.5 * cross(arm, hull) - kappa * first**2 - loop.bulge * second
    return np.asarray(case.pressure * shape + case.weight_stiffness)
