"""The diaphragm: a light vented cloth from the joint J inboard to the hull at D, held taut by a loop cut short.

A loop shorter than balance lifts the segment more than pressure and weight hold down; the diaphragm carries the excess.
Everything is in one section plane, x outboard and z up, origin anywhere; arrays broadcast over stations and designs.
It is specified by **loop length**: 15 % of margin moves the radius by less than 1 % but the length by some 8 %.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.arc import centroid_share, chord_rates, half_angle_of
from skirtloft.physics.stated import DERIVED, OURS, TRADE, Stated

Flags = npt.NDArray[np.bool_]
_ROUNDING = 1e-12  # of |J-I|^2, or of the balance: closer to zero than this is zero

DIAPHRAGM_DEFAULTS: dict[str, Stated] = {
    "least_margin": Stated(0.15, "Low end of 0.15 to 0.25: covers load, heave and sewing.", TRADE),
    "most_margin": Stated(0.25, "Beyond it the loop is short and stiff for no gain.", TRADE),
    "least_steepness": Stated(
        0.3, "A diaphragm nearer to the line I-J pulls without bound.", f"{DERIVED}; limit: {OURS}"
    ),
    "heave": Stated(0.5 * GRAVITY, "Upward acceleration at which it must stay taut.", OURS),
    "pressure_share": Stated(0.5, "Share of the design pressure at which it must stay taut.", OURS),
    "lip_suction": Stated(0.003, "Pull on the lip over pressure: 0.3 over a lip of 10 mm; assumed, unmeasured.", OURS),
    "cloth_stiffness": Stated(50e3, "N/m; the value of the inflation model, not of a tested cloth.", OURS),
    "corner_share_low": Stated(
        0.3, "Share of the straight-run tension in a corner.", f"{DERIVED}: own inflation in 3D"
    ),
    "corner_share_high": Stated(
        0.6, "Share of the straight-run tension in a corner.", f"{DERIVED}: own inflation in 3D"
    ),
}

CAUTIONS = (
    "In corners the diaphragm carries 0.3 to 0.6 of the straight-run tension (own inflation in 3D, not a built skirt).",
    "The straight-run tension agreed with that model within 6 % only near 1.4 times the balance value.",
    "It does not lock the joint: the cloth of loop, web and diaphragm gives.",
    "It lies between the lines J-I and J-G, where the webs are: make it in strips, one between each pair of webs.",
)


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


def _cross(first: Floats, second: Floats) -> Floats:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _dot(first: Floats, second: Floats) -> Floats:
    return np.asarray((first * second).sum(axis=-1))


def pressure_lift(case: LoopBalance) -> Floats:
    """Return what pressure alone asks, (|J-I|^2 - <|G-I|^2>)/2 (...) [m2]: p times it is the moment about I."""
    arm = case.joint - case.inner
    return np.asarray(0.5 * (_dot(arm, arm) - case.tip_mean_square))


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
    lift = _dot(case.joint - case.inner, case.joint - centre)
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
    leverage = _dot(arm, normal)
    possible = (balance > 0.0) & (np.abs(leverage) > 1e-9 * np.sqrt(_dot(arm, arm)))
    wanted = (1.0 + np.asarray(margin, dtype=np.float64)) * balance
    excess = _dot(arm, case.joint - middle) - wanted
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


def required_margin(
    case: LoopBalance,
    tip_lever: npt.ArrayLike,
    *,
    heave: npt.ArrayLike = DIAPHRAGM_DEFAULTS["heave"].value,
    pressure_share: npt.ArrayLike = DIAPHRAGM_DEFAULTS["pressure_share"].value,
    lip_suction: npt.ArrayLike = DIAPHRAGM_DEFAULTS["lip_suction"].value,
    imperfection: npt.ArrayLike = 0.0,
) -> Floats:
    """Return the margin (...) at which the diaphragm just stays taut in the worst moment.

    Parameters
    ----------
    tip_lever : (...) [m]
        Horizontal distance from I to the tip, on which a suction at the lip pulls.
    heave : [m/s2]
        Acceleration upwards.
    pressure_share : [-]
        Least pressure over that of the case.
    lip_suction : [m]
        Downward pull on the lip per metre over the pressure.
    imperfection : [-]
        Further share of the balance for sewing and for lengths that are off; see `Diaphragm.margin_per_length`.

    Notes
    -----
    B0 (1 + margin) = (|J-I|^2 - <|G-I|^2>)/2 + m_x (g + heave)/p_least + tip_lever lip_suction + imperfection B0. The
    loop's shape does not depend on the pressure, so B stays.
    """
    least = np.asarray(pressure_share, dtype=np.float64) * case.pressure
    weight = case.weight_moment * (GRAVITY + np.asarray(heave, dtype=np.float64)) / least
    asked = pressure_lift(case) + weight + np.asarray(tip_lever) * np.asarray(lip_suction)
    balance = balance_lift(case)
    possible = balance > 0.0
    share = asked / np.where(possible, balance, 1.0) - 1.0 + np.asarray(imperfection)
    return np.where(possible, share, np.nan)


@dataclass(frozen=True, eq=False)
class Diaphragm:
    """Loop and diaphragm of the sections; (...) each.

    Parameters
    ----------
    margin : [-]  excess over the balance, weight in
    weightless_margin : [-]  over what pressure alone asks
    loop : CutLoop  cut to `loop.length`
    balance_length : [m]  loop length without diaphragm
    margin_per_length : [1/m]  change of the margin with loop length; negative: a longer loop is slacker
    attachment : (..., 2) [m]  D
    span : [m]  from J to D
    steepness : [-]  |u_z| of the unit vector u from J to D
    lever : [m]  |(J-I) x u|
    excess_moment : [N m/m]  carried by the diaphragm; a contrary moment of this size slackens it
    tension : [N/m]  on straight runs; 0 where slack, nan where D does not hold J down
    corner_tension : (..., 2) [N/m]  lowest and highest expected in corners
    slack_pressure : [Pa]  at which it goes slack under the weight of the cloth; inf where it is slack at any
    slack_share : [-]  that over the case's pressure: the share of the load at which it goes slack
    section_stiffness : [N m/rad/m]  of loop and segment, with this loop
    stretch_stiffness : [N m/rad/m]  added by the diaphragm's cloth
    turn_stiffness : [N m/rad/m]  added by its tension as it turns
    is_taut : bool  excess positive and D on the side that holds J down
    holds_down : bool  D lies below the line I-J
    is_steep : bool  |u_z| at or above the limit
    """

    margin: Floats
    weightless_margin: Floats
    loop: CutLoop
    balance_length: Floats
    margin_per_length: Floats
    attachment: Floats
    span: Floats
    steepness: Floats
    lever: Floats
    excess_moment: Floats
    tension: Floats
    corner_tension: Floats
    slack_pressure: Floats
    slack_share: Floats
    section_stiffness: Floats
    stretch_stiffness: Floats
    turn_stiffness: Floats
    is_taut: Flags
    holds_down: Flags
    is_steep: Flags


def size_diaphragm(
    case: LoopBalance,
    loop: CutLoop,
    attachment: npt.ArrayLike,
    *,
    cloth_stiffness: npt.ArrayLike = DIAPHRAGM_DEFAULTS["cloth_stiffness"].value,
    least_steepness: float = DIAPHRAGM_DEFAULTS["least_steepness"].value,
) -> Diaphragm:
    """Return tension, slack load and stiffness of a diaphragm from J to D with a given loop.

    Parameters
    ----------
    loop : CutLoop
        From `loop_of_margin`, or from `loop_of_length` for a loop that exists.
    attachment : (..., 2) [m]
        D, given or from `find_attachment`.
    cloth_stiffness : (...) [N/m]
        Pull per unit stretch of the diaphragm's cloth, vents included.

    Notes
    -----
    T_d = [p B - p/2 (|J-I|^2 - <|G-I|^2>) - g m_x]/|(J-I) x u|. Span l: l'' = (|J-I|^2 - lever^2)/l + u.(J-I), so the
    diaphragm adds (cloth_stiffness/l) lever^2 + T_d l'' to the stiffness against turning about I.

    References
    ----------
    Derived.
    """
    point = np.asarray(attachment, dtype=np.float64)
    arm, across = case.joint - case.inner, point - case.joint
    span = np.hypot(across[..., 0], across[..., 1])
    u = across / span[..., None]
    turn = _cross(arm, u)
    excess = case.pressure * _unless_rounding(loop.lift - balance_lift(case), case)
    holds = turn < 0.0
    taut = holds & (excess > 0.0)
    tension = np.where(holds, np.maximum(excess, 0.0) / np.where(holds, -turn, 1.0), np.nan)
    tension = np.where(np.isnan(excess), np.nan, tension)
    slack_pressure = _slack_pressure(case, loop)
    corner = [DIAPHRAGM_DEFAULTS[name].value for name in ("corner_share_low", "corner_share_high")]
    bend = (_dot(arm, arm) - turn**2) / span + _dot(u, arm)
    margin = margin_of(case, loop)
    shape = np.broadcast_shapes(np.shape(tension), np.shape(margin))

    def full(values: npt.ArrayLike) -> Floats:
        return frozen_array(np.broadcast_to(values, shape))

    return Diaphragm(
        margin=full(margin),
        weightless_margin=full(weightless_margin(case, margin)),
        loop=loop,
        balance_length=full(loop_of_margin(case, 0.0).length),
        margin_per_length=full(_margin_per_length(case, loop)),
        attachment=frozen_array(np.broadcast_to(point, (*shape, 2))),
        span=full(span),
        steepness=full(np.abs(u[..., 1])),
        lever=full(np.abs(turn)),
        excess_moment=full(excess),
        tension=full(tension),
        corner_tension=frozen_array(full(tension)[..., None] * np.array(corner)),
        slack_pressure=full(slack_pressure),
        slack_share=full(slack_pressure / case.pressure),
        section_stiffness=full(section_stiffness(case, loop)),
        stretch_stiffness=full(np.where(taut, np.asarray(cloth_stiffness) / span * turn**2, 0.0)),
        turn_stiffness=full(np.where(taut, tension * bend, 0.0)),
        is_taut=np.broadcast_to(taut, shape),
        holds_down=np.broadcast_to(holds, shape),
        is_steep=np.broadcast_to(np.abs(u[..., 1]) >= least_steepness, shape),
    )


def _unless_rounding(lift: Floats, case: LoopBalance) -> Floats:
    arm = case.joint - case.inner
    return np.where(np.abs(lift) < _ROUNDING * _dot(arm, arm), 0.0, lift)


def _slack_pressure(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return p with p [B - (|J-I|^2 - <|G-I|^2>)/2] = g m_x, (...) [Pa]; inf where no pressure draws it taut."""
    free = _unless_rounding(loop.lift - pressure_lift(case), case)
    lifts = free > 0.0
    pressure = GRAVITY * case.weight_moment / np.where(lifts, free, 1.0)
    return np.where(lifts, pressure, np.where(np.isnan(free), np.nan, np.inf))


def _margin_per_length(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return d margin/dL at fixed chord: ds/dL = (c/2)/sin^2 h . c/(L^2 j1), dB = -(J-I).n ds, h = b/2."""
    chord, normal, _ = _chord(case)
    half = loop.angle / 2.0
    bulge_rate = 0.5 * chord / np.sin(half) ** 2 * chord / (loop.length**2 * centroid_share(half))
    balance = balance_lift(case)
    possible = balance > 0.0
    rate = -_dot(case.joint - case.inner, normal) * bulge_rate / np.where(possible, balance, 1.0)
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
    first = _cross(arm, case.joint - case.edge) / chord
    second = (_dot(hull, arm) - first**2) / chord
    kappa = chord_rates(loop.angle, loop.length).centre
    shape = 0.5 * _cross(arm, hull) - kappa * first**2 - loop.bulge * second
    return np.asarray(case.pressure * shape + case.weight_stiffness)
