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
from skirtloft.physics.loop_margin import (
    CutLoop,
    LoopBalance,
    balance_lift,
    cross,
    dot,
    loop_of_margin,
    margin_of,
    margin_per_length,
    pressure_lift,
    section_stiffness,
    unless_rounding,
    weightless_margin,
)
from skirtloft.physics.stated import DERIVED, OURS, TRADE, Stated

Flags = npt.NDArray[np.bool_]

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
    steepness : [-]  |u_z| of the unit vector u from J to D, or the sine of the angle between J-I and J-D if less
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
    is_steep : bool  steepness at or above the limit
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
    diaphragm adds (cloth_stiffness/l) lever^2 + T_d l'' to the stiffness against turning about I. With I level with J
    the two steepnesses are one; with I lower, |u_z| alone would pass a diaphragm that lies along J-I and holds nothing.

    References
    ----------
    Derived.
    """
    point = np.asarray(attachment, dtype=np.float64)
    arm, across = case.joint - case.inner, point - case.joint
    span = np.hypot(across[..., 0], across[..., 1])
    u = across / span[..., None]
    turn = cross(arm, u)
    steepness = np.minimum(np.abs(u[..., 1]), np.abs(turn) / np.sqrt(dot(arm, arm)))
    excess = case.pressure * unless_rounding(loop.lift - balance_lift(case), case)
    holds = turn < 0.0
    taut = holds & (excess > 0.0)
    tension = np.where(holds, np.maximum(excess, 0.0) / np.where(holds, -turn, 1.0), np.nan)
    tension = np.where(np.isnan(excess), np.nan, tension)
    slack_pressure = _slack_pressure(case, loop)
    corner = [DIAPHRAGM_DEFAULTS[name].value for name in ("corner_share_low", "corner_share_high")]
    bend = (dot(arm, arm) - turn**2) / span + dot(u, arm)
    margin = margin_of(case, loop)
    shape = np.broadcast_shapes(np.shape(tension), np.shape(margin))

    def full(values: npt.ArrayLike) -> Floats:
        return frozen_array(np.broadcast_to(values, shape))

    return Diaphragm(
        margin=full(margin),
        weightless_margin=full(weightless_margin(case, margin)),
        loop=loop,
        balance_length=full(loop_of_margin(case, 0.0).length),
        margin_per_length=full(margin_per_length(case, loop)),
        attachment=frozen_array(np.broadcast_to(point, (*shape, 2))),
        span=full(span),
        steepness=full(steepness),
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
        is_steep=np.broadcast_to(steepness >= least_steepness, shape),
    )


def _slack_pressure(case: LoopBalance, loop: CutLoop) -> Floats:
    """Return p with p [B - (|J-I|^2 - <|G-I|^2>)/2] = g m_x, (...) [Pa]; inf where no pressure draws it taut."""
    free = unless_rounding(loop.lift - pressure_lift(case), case)
    lifts = free > 0.0
    pressure = GRAVITY * case.weight_moment / np.where(lifts, free, 1.0)
    return np.where(lifts, pressure, np.where(np.isnan(free), np.nan, np.inf))
