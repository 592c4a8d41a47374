"""The craft at rest: overall sizes with the skirt inflated and hanging, and whether segments are pinched on the skids.

Section axes as in the skirt's sections: x outboard from the hull edge E, z up from the tip plane at hover. Cloth is
taken as limp and not to stretch, so these are bounds and not shapes: creases and stiff cloth move a hanging loop by
centimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.stated import DERIVED, MEMORY, OURS, Stated

Flags = npt.NDArray[np.bool_]

SITTING_DEFAULTS: dict[str, Stated] = {
    "cloth_density": Stated(1200.0, "kg/m3 of coated cloth: turns its weight into thickness.", MEMORY),
    "bulk": Stated(5.0, "A heap of folds is so many times thicker than its layers pressed flat.", OURS),
    "fixing": Stated(0.010, "m; bolt head, clip or tie knot under the planing surface.", OURS),
    "flap": Stated(0.5 * math.sqrt(0.25 * math.pi**2 - 1.0), "Fold of a limp half-round face over its pitch.", DERIVED),
}


def overall_size(points: npt.ArrayLike, normals: npt.ArrayLike, reach: npt.ArrayLike) -> tuple[float, float]:
    """Return overall length and width [m] over the skirt.

    Parameters
    ----------
    points : (n, 2) [m]
        Hull edge of the port half in plan, x forward, y to port, both centre stations included.
    normals : (n, 2)
        Outward unit normals there.
    reach : (n,) or one [m]
        How far the skirt stands outboard of the hull edge: of the loop inflated, or from `hanging`.
    """
    outer = np.asarray(points) + np.asarray(normals) * np.broadcast_to(reach, np.shape(points)[:1])[:, None]
    return float(np.ptp(outer[:, 0])), 2.0 * float(outer[:, 1].max())


@dataclass(frozen=True, eq=False)
class HangingCloth:
    """Limp loop and segment of a section without pressure; (...) each.

    Parameters
    ----------
    joint, tip : (..., 2) [m]
        Where J and G come to rest, as low as the cloth lets them; on the ground: J midway in its range.
    outermost : [m]  outboard of E at the least: cloth that hangs straight
    outermost_bound : [m]  at the most
    lowest_bound : [m]  height that nothing reaches below
    lies_on_ground : bool
    fits : bool  the cloth reaches: false where the lengths contradict each other
    """

    joint: Floats
    tip: Floats
    outermost: Floats
    outermost_bound: Floats
    lowest_bound: Floats
    lies_on_ground: Flags
    fits: Flags


def hanging(
    edge: npt.ArrayLike,
    inner: npt.ArrayLike,
    loop_length: npt.ArrayLike,
    upper_edge: npt.ArrayLike,
    face: npt.ArrayLike,
    lower_edge: npt.ArrayLike,
    pitch: npt.ArrayLike,
    *,
    ground: npt.ArrayLike = -np.inf,
) -> HangingCloth:
    """Return where limp cloth comes to rest and the bounds of what it covers.

    Parameters
    ----------
    edge, inner : (..., 2) [m]
        E and I.
    loop_length, upper_edge, face, lower_edge : (...) [m]
        L, |J-I|, |J-G|, |G-I|.
    pitch : (...) [m]
    ground : (...) [m]
        Height of the ground in the section's axes (clearance less skid height when sitting); left out: free below.

    Notes
    -----
    J lies within L of E and |J-I| of I, and as low as that allows; then G within |J-G| of J and |G-I| of I. A chain
    hangs between its ends, so a free loop reaches outboard no farther than E or J; the face adds the flap into which a
    half-round bulge folds, half sqrt(pi^2/4 - 1) of the pitch. The loop's lowest bound is the bottom of the ellipse
    with foci E and J and string L. On the ground J may lie anywhere within reach; the outer bound is then the ellipse's
    outermost point with J as far out as it gets, or the tip's reach and the flap. The hull's side is not looked at: it
    only moves cloth outboard of itself, never of E.

    References
    ----------
    Derived.
    """
    e, i = np.asarray(edge, dtype=np.float64), np.asarray(inner, dtype=np.float64)
    numbers = (loop_length, upper_edge, face, lower_edge, pitch, ground)
    shape = np.broadcast_shapes(e.shape[:-1], i.shape[:-1], *(np.shape(number) for number in numbers))
    e, i = np.broadcast_to(e, (*shape, 2)), np.broadcast_to(i, (*shape, 2))
    length, upper, side, lower, w, floor = (np.broadcast_to(np.asarray(v, np.float64), shape) for v in numbers)
    joint = lowest_common_point(e, length, i, upper)
    grounded = joint[..., 1] < floor
    near, far = _slice(e, length, i, upper, floor)
    joint = np.where(grounded[..., None], np.stack([0.5 * (near + far), floor], axis=-1), joint)
    tip = lowest_common_point(joint, side, i, lower)
    tip_near, tip_far = _slice(joint, side, i, lower, floor)
    tip_lies = tip[..., 1] < floor
    tip = np.where(tip_lies[..., None], np.stack([0.5 * (tip_near + tip_far), floor], axis=-1), tip)
    flap = SITTING_DEFAULTS["flap"].value * w
    straight = np.maximum(np.where(grounded, near, np.maximum(joint[..., 0], tip[..., 0])), e[..., 0])
    free = np.maximum(e[..., 0], np.maximum(joint[..., 0], tip[..., 0]) + flap)
    sprawl = 0.5 * (e[..., 0] + far) + 0.5 * _root(length**2 - (e[..., 1] - floor) ** 2)
    tip_out = i[..., 0] + _root(lower**2 - (i[..., 1] - floor) ** 2) + flap
    lying = np.maximum(e[..., 0], np.maximum(sprawl, tip_out))
    belly = 0.5 * (e[..., 1] + joint[..., 1]) - 0.5 * _root(length**2 - (e[..., 0] - joint[..., 0]) ** 2)
    lowest = np.maximum(np.minimum(np.minimum(joint[..., 1], tip[..., 1]), belly), floor)
    bound = np.where(grounded, lying, free)
    return HangingCloth(
        joint=frozen_array(joint),
        tip=frozen_array(tip),
        outermost=frozen_array(straight - e[..., 0]),
        outermost_bound=frozen_array(bound - e[..., 0]),
        lowest_bound=frozen_array(lowest),
        lies_on_ground=np.asarray(grounded | tip_lies),
        fits=np.asarray(~np.isnan(joint).any(axis=-1) & ~np.isnan(tip).any(axis=-1)),
    )


def _root(square: Floats) -> Floats:
    with np.errstate(invalid="ignore"):
        return np.sqrt(np.maximum(square, 0.0))


def _slice(centre: Floats, radius: Floats, other: Floats, far: Floats, height: Floats) -> tuple[Floats, Floats]:
    """Return the ends, in x, of what two discs have in common at a height; nan where nothing."""
    first = radius**2 - (centre[..., 1] - height) ** 2
    second = far**2 - (other[..., 1] - height) ** 2
    meets = (first >= 0.0) & (second >= 0.0)
    near = np.maximum(centre[..., 0] - _root(first), other[..., 0] - _root(second))
    away = np.minimum(centre[..., 0] + _root(first), other[..., 0] + _root(second))
    meets &= near <= away
    return np.where(meets, near, np.nan), np.where(meets, away, np.nan)


def lowest_common_point(centre: Floats, radius: Floats, other: Floats, far: Floats) -> Floats:
    """Return the lowest point within `radius` of `centre` and within `far` of `other`, (..., 2); nan where none is.

    Notes
    -----
    The bottom of one disc if it lies in the other, else the lower crossing of the two circles.
    """
    down = np.array([0.0, -1.0])
    first, second = centre + radius[..., None] * down, other + far[..., None] * down
    apart = other - centre
    distance = np.hypot(apart[..., 0], apart[..., 1])
    safe = np.where(distance > 0.0, distance, 1.0)
    along = (distance**2 + radius**2 - far**2) / (2.0 * safe)
    unit = apart / safe[..., None]
    aside = np.stack([-unit[..., 1], unit[..., 0]], axis=-1)
    aside = np.where(aside[..., 1:] > 0.0, -aside, aside)
    crossing = centre + along[..., None] * unit + _root(radius**2 - along**2)[..., None] * aside
    first_in = np.hypot(*np.moveaxis(first - other, -1, 0)) <= far
    second_in = np.hypot(*np.moveaxis(second - centre, -1, 0)) <= radius
    point = np.where(first_in[..., None], first, np.where(second_in[..., None], second, crossing))
    reaches = distance <= radius + far
    return np.where(reaches[..., None], point, np.nan)


@dataclass(frozen=True, eq=False)
class Sitting:
    """Room for the segments under the planing surface with the craft on its skids; (...) each.

    Parameters
    ----------
    available : [m]  height of I above the ground
    heap : [m]  thickness of the folded cloth
    spare : [m]  available less heap and fixing
    is_pinched : bool
    least_skid : [m]  skid height at which nothing is pinched
    skid_air : [m]  air under the skids at hover; negative: they drag
    tip_inboard : [m]  how far inboard of I the tips can reach
    tip_reaches_skid : bool  they can come to lie under a skid if the craft drifts as it settles
    """

    available: Floats
    heap: Floats
    spare: Floats
    is_pinched: Flags
    least_skid: Floats
    skid_air: Floats
    tip_inboard: Floats
    tip_reaches_skid: Flags


def sit_on_skids(
    inner_height: npt.ArrayLike,
    clearance: npt.ArrayLike,
    skid_height: npt.ArrayLike,
    *,
    cloth_area: npt.ArrayLike,
    lying_width: npt.ArrayLike,
    areal_mass: npt.ArrayLike,
    lower_edge: npt.ArrayLike,
    skid_inboard: npt.ArrayLike = np.inf,
    fixing: npt.ArrayLike = SITTING_DEFAULTS["fixing"].value,
    bulk: npt.ArrayLike = SITTING_DEFAULTS["bulk"].value,
    cloth_density: npt.ArrayLike = SITTING_DEFAULTS["cloth_density"].value,
) -> Sitting:
    """Return whether fixings and cloth have room between planing surface and level ground.

    Parameters
    ----------
    inner_height : (...) [m]
        I above the tip plane.
    clearance : (...) [m]
        Flat of the hull bottom above the tip plane.
    skid_height : (...) [m]
        Depth of the skids below the flat of the bottom; 0 without skids.
    cloth_area : (...) [m2 per metre of joint]
        Of the segments: faces and webs with their allowances.
    lying_width : (...) [m]
        Ground on which it comes to lie, in the section: from I to J.
    areal_mass : (...) [kg/m2]
    lower_edge : (...) [m]
        |G-I|.
    skid_inboard : (...) [m]
        From I to the skid, horizontally.
    fixing : (...) [m]
        How far bolt head, clip or knot stands off the planing surface.
    bulk : (...) [-]
        Thickness of the heap over that of its layers.

    Notes
    -----
    available = z_I - clearance + skid height. Layers = cloth_area/lying_width on average; heap = bulk layers thickness,
    thickness = areal mass/density. Pinched where available < heap + fixing. Out from I the planing surface rises and
    there is more room. A rule, not a model of folding: look at the first settling. Tips reach
    sqrt(|G-I|^2 - available^2) inboard of I.

    References
    ----------
    Derived; bulk and fixing are our own choice.
    """
    z, clear, skid = (np.asarray(value, dtype=np.float64) for value in (inner_height, clearance, skid_height))
    available = z - clear + skid
    thickness = np.asarray(areal_mass, dtype=np.float64) / np.asarray(cloth_density)
    heap = np.asarray(bulk) * thickness * np.asarray(cloth_area) / np.asarray(lying_width)
    needed = heap + np.asarray(fixing)
    spare = available - needed
    inboard = _root(np.asarray(lower_edge, dtype=np.float64) ** 2 - available**2)
    return Sitting(
        available=frozen_array(available),
        heap=frozen_array(heap),
        spare=frozen_array(spare),
        is_pinched=np.asarray(spare < 0.0),
        least_skid=frozen_array(np.maximum(needed - z + clear, 0.0)),
        skid_air=frozen_array(clear - skid),
        tip_inboard=frozen_array(inboard),
        tip_reaches_skid=np.asarray(inboard >= np.asarray(skid_inboard)),
    )
