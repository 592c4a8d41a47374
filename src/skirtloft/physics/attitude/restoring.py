"""Restoring curves: how far off its middle the centre of gravity may be at each heel or trim, and where that ends."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, get_args

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.attitude.bounds import BOUNDS, Bound, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, Leaning, lean
from skirtloft.physics.attitude.tip_line import TipLine, ends, extent

Side = Literal["starboard", "port", "bow", "stern"]
LimitName = Literal["hull touches", "loop straight", "end of the angles"]
SIDES: tuple[Side, ...] = get_args(Side)
LOW_SIDE: dict[Side, tuple[float, float]] = {
    "starboard": (0.0, -1.0),
    "port": (0.0, 1.0),
    "bow": (1.0, 0.0),
    "stern": (-1.0, 0.0),
}  # plan direction of the side that goes down; the tilt (trim, heel) is its negative

ANGLES = np.radians(np.linspace(0.0, 6.0, 61))
_PAST = math.radians(1.0)  # beyond first contact, middle of the stretch on which the slope is taken
_STRETCH = math.radians(1.0)
_CLOSE = 1e-11  # rad: nearer no root is looked for


@dataclass(frozen=True, eq=False)
class RestoringCurve:
    """One restoring curve; (k,) along the angles, offsets towards the low side.

    Parameters
    ----------
    towards : str  side that goes down
    bound : str  soft, likely or firm
    angle : (k,) [rad]
    extent : float [m]  beam or length of the tip line that way
    restoring : (k,) [m]  shift of the centre of lift
    held : (k,) [m]  offset of the centre of gravity balanced there, its height counted in
    leaning : Leaning
    dead_band : float [rad]  angle at which the first tip touches
    contact_slope : float [1/rad]  rise of `held` over `extent`, mean of the degree around 1 degree past first contact
    restoring_slope : float [1/rad]  the same of `restoring`: without the height of the centre of gravity
    limit : str  what ends the range, at `limit_angle` [rad]
    most_held : float [m]  largest offset balanced on the way there, at `most_held_angle` [rad]
    linear_angle : float [rad]  beyond it tips are sunk more than 0.3 of their depth; inf where nowhere
    find_loll : callable  solves for `loll`
    """

    towards: Side
    bound: Bound
    angle: Floats
    extent: float
    restoring: Floats
    held: Floats
    leaning: Leaning
    dead_band: float
    contact_slope: float
    restoring_slope: float
    limit: LimitName
    limit_angle: float
    most_held: float
    most_held_angle: float
    linear_angle: float
    find_loll: Callable[[], float]

    @cached_property
    def loll(self) -> float:
        """Angle [rad] to which a craft with its centre of gravity in the middle leans; 0 upright, nan: it goes over.

        Solved for when it is first asked for: most that look at a curve do not.
        """
        return self.find_loll()


def restoring_curves(
    line: TipLine,
    load: HoverLoad,
    towards: Side,
    *,
    angles: npt.ArrayLike = ANGLES,
    hull: npt.ArrayLike | None = None,
) -> dict[Bound, RestoringCurve]:
    """Return the curve towards one side by each of the three bounds."""
    return {bound: restoring_curve(line, load, towards, bound, angles=angles, hull=hull) for bound in BOUNDS}


def restoring_curve(
    line: TipLine,
    load: HoverLoad,
    towards: Side,
    bound: Bound,
    *,
    angles: npt.ArrayLike = ANGLES,
    hull: npt.ArrayLike | None = None,
) -> RestoringCurve:
    """Return the restoring curve of one load towards one side.

    Parameters
    ----------
    line : TipLine
    load : HoverLoad
        One load.
    towards : "starboard", "port", "bow" or "stern"
        The side that goes down.
    bound : "soft", "likely" or "firm"
    angles : (k,) [rad]
        Increasing from 0.
    hull : (m, 3) [m], optional
        Low points of the hull, see `lean`.

    Notes
    -----
    Print `bounds.CAUTION` with every number of it. Inside the gap the lift stays in the middle, whatever the tilt: only
    what comes with contact is an answer, and `held` there is just the height of the centre of gravity; jets and faces
    leaning with the craft, left out, count as much there.

    References
    ----------
    Our own derivation.
    """
    contact = contact_of(line, bound)
    low = np.asarray(LOW_SIDE[towards])

    def at(angle: npt.ArrayLike) -> Leaning:
        return lean(line, load, -np.asarray(angle, dtype=np.float64)[..., None] * low, contact, hull=hull)

    angle = np.asarray(angles, dtype=np.float64)
    leaning, wide = at(angle), extent(line, low)
    held = leaning.offset @ low
    dead = dead_band(line, load, low)
    about = at(np.concatenate([dead + _PAST + _STRETCH * np.array([-0.5, 0.5]), [0.5 * dead, dead]]))
    rise = [float(np.diff(value[:2] @ low)[0]) / (_STRETCH * wide) for value in (about.offset, about.lift_centre)]
    inside, at_touch = (float(value) for value in about.offset[2:] @ low)
    limit, end, at_end = _limit(at, low, angle, leaning)
    most, most_angle = _most_held(angle, held, end, at_end)
    return RestoringCurve(
        towards=towards,
        bound=bound,
        angle=frozen_array(angle),
        extent=wide,
        restoring=frozen_array(leaning.lift_centre @ low),
        held=frozen_array(held),
        leaning=leaning,
        dead_band=dead,
        contact_slope=rise[0],
        restoring_slope=rise[1],
        limit=limit,
        limit_angle=end,
        most_held=most,
        most_held_angle=most_angle,
        linear_angle=_first_false(angle, leaning.is_linear),
        find_loll=lambda: _loll(at, low, (angle, held), (dead, inside, at_touch), (end, at_end)),
    )


def dead_band(line: TipLine, load: HoverLoad, low_side: npt.ArrayLike) -> float:
    """Return the angle [rad] at which the first tip touches when the side `low_side` (2,) goes down.

    Notes
    -----
    Without contact pressure and flow stay, so the mean gap, weighted with Cd, stays: the heave at the weighted middle
    of the tip line. A tip at x is then at h - angle (x - x_mean) . low. A box of beam B: 2 h/B.
    """
    low = np.asarray(low_side, dtype=np.float64)
    level = lean(line, load, np.zeros(2), contact_of(line, "soft"))
    weight = line.discharge * line.length
    middle = float(weight @ (line.middle @ low)) / float(weight.sum())
    reach = float(np.max(np.concatenate(ends(line)) @ low)) - middle
    return float(np.max(level.least_gap)) / reach


At = Callable[[npt.ArrayLike], Leaning]


def _spare(leaning: Leaning) -> Floats:
    """Return what is left before the hull touches or a loop is straight, the smaller; only its sign counts."""
    return np.minimum(leaning.hull_clearance, leaning.turn_left)


def _limit(at: At, low: Floats, angle: Floats, leaning: Leaning) -> tuple[LimitName, float, float]:
    """Return what ends the range, where [rad], and the offset held there [m]."""
    over = ~(_spare(leaning) > 0.0)
    if not over.any():
        return "end of the angles", float(angle[-1]), float(leaning.offset[-1] @ low)
    k = int(np.argmax(over))
    if k == 0 or np.isnan(leaning.heave[k]):
        end = float(angle[k])
    else:
        ends_at = bracketed_roots(lambda a: _spare(at(a)), angle[k - 1 : k], angle[k : k + 1], tolerance=_CLOSE)
        end = float(ends_at[0])
    touching = at(np.array([end]))
    limit: LimitName = "hull touches" if touching.hull_clearance[0] <= touching.turn_left[0] else "loop straight"
    return limit, end, float(touching.offset[0] @ low)


def _most_held(angle: Floats, held: Floats, end: float, at_end: float) -> tuple[float, float]:
    """Return the largest offset held up to `end` [m] and its angle [rad]."""
    before = np.where((angle <= end) & ~np.isnan(held), held, -np.inf)
    k = int(np.argmax(before))
    if before[k] <= at_end:
        return at_end, end
    return float(held[k]), float(angle[k])


def _loll(
    at: At,
    low: Floats,
    curve: tuple[Floats, Floats],
    touch: tuple[float, float, float],
    limit: tuple[float, float],
) -> float:
    """Return where a centre of gravity in the middle is balanced again with a rising curve [rad].

    Parameters
    ----------
    curve : angles and offsets held (k,)
    touch : dead band, offset held in its middle and at its end
    limit : angle and offset held where the range ends
    """
    (angle, held), (dead, inside, at_touch), (end, at_end) = curve, touch, limit
    if inside >= -1e-12:
        return 0.0
    some = (angle > dead) & (angle <= end)
    near = np.concatenate([[dead], angle[some], [end]])
    values = np.concatenate([[at_touch], held[some], [at_end]])
    rises = (values[:-1] < 0.0) & (values[1:] >= 0.0)
    if not rises.any():
        return math.nan
    k = int(np.argmax(rises))
    found = bracketed_roots(lambda a: at(a).offset @ low, near[k : k + 1], near[k + 1 : k + 2], tolerance=_CLOSE)
    return float(found[0])


def _first_false(angle: Floats, flags: npt.NDArray[np.bool_]) -> float:
    return math.inf if flags.all() else float(angle[int(np.argmin(flags))])
