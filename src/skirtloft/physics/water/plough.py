"""Plough-in, bow down under way: what pushes the bow down, what holds it, and what the hull does when it touches.

Each part is a statement about statics at one speed. Plough-in itself is a motion, with a wet skirt, waves and a pilot
in it, and is not computed: the margins here say which craft has less of what stops it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.attitude.restoring import RestoringCurve
from skirtloft.physics.water.drag import Drag
from skirtloft.physics.water.wave_drag import FRESH_WATER

CAUTION = (
    "a screening of what holds the bow up, by statics; whether a craft ploughs in is found out on water,"
    " slowly, bow up, with lifejackets and a second boat"
)
SAVITSKY = "Savitsky, Marine Technology 1 (1964) 71, formula from memory"


@dataclass(frozen=True)
class Heights:
    """Heights above the water [m].

    Parameters
    ----------
    centre : of gravity
    thrust : thrust line
    air : middle of the frontal area
    intake : where the lift air is taken in
    """

    centre: float
    thrust: float
    air: float
    intake: float


def bow_down_offset(mass: float, heights: Heights, drag: Drag, thrust: npt.ArrayLike) -> Floats:
    """Return how far forward [m] the centre of gravity would have to move to press the bow down as thrust and drag do.

    Parameters
    ----------
    mass : float [kg]
    heights : Heights
    drag : Drag
        At speeds (k,).
    thrust : (k,) or one [N]
        0: thrust cut. The craft then slows, and its own mass presses the bow down.

    Returns
    -------
    (k,) [m]
        Positive bow down.

    Notes
    -----
    Moments about the water: M = T z_T - R_air z_air - R_intake z_intake - (T - R) z_cg over m g; wave and skirt drag
    act at the water. Steady speed: the last term is none. With the thrust cut it is R z_cg.

    References
    ----------
    Statics with the force of inertia; our own derivation.
    """
    t = np.asarray(thrust, dtype=np.float64)
    moment = t * heights.thrust - drag.air * heights.air - drag.momentum * heights.intake
    moment = moment - (t - drag.total) * heights.centre
    return np.asarray(moment / (mass * GRAVITY))


@dataclass(frozen=True, eq=False)
class BowHold:
    """The bow under way; (k,) along the speeds.

    Parameters
    ----------
    offset : [m]  of the centre of gravity ahead of the area's centre, with what thrust and drag add
    angle : [rad]  bow down, where the skirt balances it; 0 inside the gap or with the bow up, nan beyond what it holds
    margin : [-]  offset held at most less that offset, over the length of the cushion; negative: not held
    limit : str  what ends it: hull or loop, see `RestoringCurve.limit`
    surface_left : float [rad]  slope of the bow planing surface left at the limit; not positive: it digs in
    """

    offset: Floats
    angle: Floats
    margin: Floats
    limit: str
    surface_left: float


def bow_hold(curve: RestoringCurve, centre_ahead: float, added: npt.ArrayLike, surface_slope: float) -> BowHold:
    """Return what is left of the skirt's hold on the bow.

    Parameters
    ----------
    curve : RestoringCurve
        Towards the bow, with hull points and turn limits in it.
    centre_ahead : float [m]
        Centre of gravity ahead of the area's centre.
    added : (k,) [m]
        From `bow_down_offset`.
    surface_slope : float [rad]
        Of the bow planing surface to the flat of the bottom.
    """
    offset = np.atleast_1d(centre_ahead + np.asarray(added, dtype=np.float64))
    rising = (curve.angle >= curve.dead_band) & (curve.angle <= curve.most_held_angle)
    held = np.concatenate([curve.held[rising], [curve.most_held]])
    angle = np.concatenate([curve.angle[rising], [curve.most_held_angle]])
    held, first = np.unique(np.maximum.accumulate(held), return_index=True)
    at = np.interp(offset, held, angle[first], left=0.0, right=np.nan)
    return BowHold(
        offset=frozen_array(offset),
        angle=frozen_array(np.where(offset <= 0.0, 0.0, at)),
        margin=frozen_array((curve.most_held - offset) / curve.extent),
        limit=curve.limit,
        surface_left=surface_slope - curve.limit_angle,
    )


def planing_lift(
    speed: npt.ArrayLike,
    width: npt.ArrayLike,
    wetted_length: npt.ArrayLike,
    angle: npt.ArrayLike,
    water_density: float = FRESH_WATER,
) -> Floats:
    """Return the lift [N] of a flat planing surface.

    Parameters
    ----------
    speed : (...) [m/s]
    width, wetted_length : (...) [m]
    angle : (...) [rad]
        To the water.

    Returns
    -------
    (...) [N]
        nan outside what the formula was made from: 2 to 15 degrees, wetted length up to 4 widths, V/sqrt(g b) 0.6 to
        13. At no or a negative angle there is no lift: 0 there.

    Notes
    -----
    C_L = t^1.1 (0.0120 l^(1/2) + 0.0055 l^(5/2)/C_v^2), t in degrees, l = wetted length/width, C_v = V/sqrt(g b), on
    rho_w/2 V^2 b^2.

    References
    ----------
    Savitsky, Marine Technology 1 (1964) 71; from memory, not looked up.
    """
    v, b = np.asarray(speed, dtype=np.float64), np.asarray(width, dtype=np.float64)
    ratio = np.asarray(wetted_length, dtype=np.float64) / b
    degrees = np.degrees(np.asarray(angle, dtype=np.float64))
    v, b, ratio, degrees = np.broadcast_arrays(v, b, ratio, degrees)
    froude = v / np.sqrt(GRAVITY * b)
    inside = (degrees >= 2.0) & (degrees <= 15.0) & (ratio <= 4.0) & (froude >= 0.6) & (froude <= 13.0)
    safe = np.where(inside, froude, 1.0)
    coefficient = np.abs(degrees) ** 1.1 * (0.0120 * np.sqrt(ratio) + 0.0055 * ratio**2.5 / safe**2)
    lift = coefficient * 0.5 * water_density * v**2 * b**2
    return np.where(degrees <= 0.0, 0.0, np.where(inside, lift, np.nan))


def tuck_speed(
    held_moment: npt.ArrayLike,
    sink: npt.ArrayLike,
    drop: npt.ArrayLike,
    *,
    drag_coefficient: float = 1.0,
    water_density: float = FRESH_WATER,
) -> Floats:
    """Return the speed [m/s] at which water on a sunk bow tip pulls it under.

    Parameters
    ----------
    held_moment : (...) [N m/m]
        Restoring moment about the inner fixing before the loop is straight, tip down (`TautLimits.held_moment`).
    sink : (...) [m]
        Of the tips in the water.
    drop : (...) [m]
        Inner fixing over the tip.
    drag_coefficient : float
        Of the wetted face, on its height; 1 is that of a plate across the stream, roughly (common practice, no source).

    Notes
    -----
    C rho_w/2 V^2 s (drop - s/2) = held moment: pressure of the stream on the sunk height about the inner fixing. Beyond
    the loop's straight place nothing but the cloth stops it. Lift of the air under the tip is left out.

    References
    ----------
    Our own derivation.
    """
    s, z = np.asarray(sink, dtype=np.float64), np.asarray(drop, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        square = np.asarray(held_moment, dtype=np.float64) / (
            0.5 * drag_coefficient * water_density * s * (z - 0.5 * s)
        )
        return np.asarray(np.where(square > 0.0, np.sqrt(np.abs(square)), np.where(s > 0.0, 0.0, math.inf)))
