"""Getting up from rest on water: can the fan blow its holes clear, get air under the hull, and go on from there?

Assumed: the hull floats upright in still water with vertical sides (its floating area does not change); the skirt hangs
limp and full of water to the outer level; at no flow nothing is lost on the way, so the fan's shut-off pressure reaches
the holes and the hull bottom. Waves, suction of a wet bottom and water thrown up the duct are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import LiftSystem
from skirtloft.physics.fan import Fan, fan_scales
from skirtloft.physics.feed import FRESH_WATER
from skirtloft.physics.lift_path import load_pressure
from skirtloft.physics.operating import gap_at_speed


@dataclass(frozen=True, eq=False)
class Floating:
    """Hull at rest on water, (...).

    Parameters
    ----------
    draught : [m]  of the flat bottom, level
    low_draught : [m]  at the end that lies deeper for the centre of gravity
    hole_depth : [m]  of the feed holes below the outer water, at the low end; negative: clear of it
    hole_head : [Pa]  pressure that keeps the holes clear
    """

    draught: Floats
    low_draught: Floats
    hole_depth: Floats
    hole_head: Floats


def floating(
    mass: npt.ArrayLike,
    float_area: npt.ArrayLike,
    hole_height: npt.ArrayLike,
    *,
    offset: npt.ArrayLike = 0.0,
    float_length: npt.ArrayLike = 1.0,
    water_density: npt.ArrayLike = FRESH_WATER,
) -> Floating:
    """Return the float line and the head over the feed holes.

    Parameters
    ----------
    mass : (...) [kg]
        With the water that has come aboard.
    float_area : (...) [m2]
        Of the hull bottom in plan.
    hole_height : (...) [m]
        Lower edge of the feed holes above the flat of the bottom.
    offset, float_length : (...) [m]
        Centre of gravity from the middle of the floating area, and length of that area.
    water_density : (...) [kg/m3]

    Notes
    -----
    t = m/(rho A). An offset e of the centre of gravity trims a box by t 12 e/L^2, so the low end lies t 6 |e|/L deeper
    (metacentric height of a box with B M = L^2/(12 t), its height over the bottom left out).
    """
    water = np.asarray(water_density, dtype=np.float64)
    draught = np.asarray(mass, dtype=np.float64) / (water * np.asarray(float_area))
    low = draught * (1.0 + 6.0 * np.abs(np.asarray(offset)) / np.asarray(float_length))
    depth = low - np.asarray(hole_height)
    head = water * GRAVITY * np.maximum(0.0, depth)
    return Floating(*map(frozen_array, np.broadcast_arrays(draught, low, depth, head)))


@dataclass(frozen=True, eq=False)
class StartUp:
    """Whether a craft gets up from rest on water, (...).

    Parameters
    ----------
    floating : Floating
    under_hull : [Pa]  pressure that gets air under the bottom: the cushion pressure at hover
    needed : [Pa]  the larger of the head over the holes and that
    holes_decide : bool  the holes ask for more than the cushion
    shut_off : [Pa]  of the fan at this speed; where its curve begins above no flow, its first point stands in
    shut_off_known : bool
    margin : [Pa]  shut-off less needed
    hangs : bool  it starts, but fan and system meet at a lower flow first, on the stalled side
    gets_up : bool
    """

    floating: Floating
    under_hull: Floats
    needed: Floats
    holes_decide: npt.NDArray[np.bool_]
    shut_off: Floats
    shut_off_known: npt.NDArray[np.bool_]
    margin: Floats
    hangs: npt.NDArray[np.bool_]
    gets_up: npt.NDArray[np.bool_]


def start_up(fan: Fan, system: LiftSystem, mass: npt.ArrayLike, speed: npt.ArrayLike, afloat: Floating) -> StartUp:
    """Return whether the fan at `speed` [rad/s] lifts `mass` [kg] off the water it floats in.

    Notes
    -----
    Under the hull: with pressure p in the ring between hull bottom A and tip line S the hull rises to the draught
    t = (m - p (S - A)/g)/(rho A); air passes below the bottom when p = rho g t, which gives p = m g/S whatever A is.
    The relief by the ring is not counted for the holes: they are taken to be blown clear first.
    """
    p = load_pressure(system, mass)
    needed = np.maximum(afloat.hole_head, p)
    first = fan.pressure.knots[..., 0]
    shut_off = fan_scales(fan, speed, system.density)[1] * cubic_values(fan.pressure, first)
    point = gap_at_speed(fan, system, mass, speed)
    margin = shut_off - needed
    hangs = (point.failure == 0) & (point.crossings > 1)
    shape = np.broadcast_shapes(np.shape(margin), point.failure.shape)
    return StartUp(
        afloat,
        frozen_array(np.broadcast_to(p, shape)),
        frozen_array(np.broadcast_to(needed, shape)),
        np.broadcast_to(afloat.hole_head > p, shape),
        frozen_array(np.broadcast_to(shut_off, shape)),
        np.broadcast_to(first == 0.0, shape),
        frozen_array(np.broadcast_to(margin, shape)),
        np.broadcast_to(hangs, shape),
        (margin >= 0.0) & (point.failure == 0) & ~hangs,
    )
