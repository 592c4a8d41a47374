"""The margins of how a load sits, as functions of what can be turned: each solved again, hull and every limit in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import format_length
from skirtloft.maths.frozen import Floats
from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.physics.attitude.heel_limits import PERSON_MASS
from skirtloft.physics.attitude.lean import HoverLoad, lean
from skirtloft.physics.attitude.rest import Rest, rest
from skirtloft.physics.attitude.restoring import LOW_SIDE, RestoringCurve, Side, dead_band, restoring_curve
from skirtloft.physics.attitude.tip_line import TipLine, extent
from skirtloft.physics.sensitivity import Mover
from skirtloft.sits.enough import Margin, margin_movers
from skirtloft.sits.inputs import own_inputs, turned
from skirtloft.sits.sits import ANGLES, MOST_TILT, PERSON_ASIDE, LoadSits

OFF_CENTRE = 0.005  # m
LOOKS = ANGLES[::4]  # rad: where the curve is looked at; where it ends is solved for in any case
ROUNDING = 1e-9  # rad
_MIDDLE = np.radians([0.5, 1.5])  # beyond first contact, as `RestoringCurve.contact_slope`
_WHOLE = ("mass", "height", "beam", "length", "air", "stiffness")


def degrees_text(value: float) -> str:
    """Return an angle [rad] in degrees."""
    return f"{math.degrees(value):.2g} deg"


def tilt_of(found: Rest, which: int) -> float:
    """Return trim (0) or heel (1) of one load at rest, its size [rad]; nan where nothing holds it.

    A lean that only the height of the centre of gravity makes counts as none: it is the angle of loll.
    """
    hold = str(found.hold)
    if hold in ("no rest", "not lifted"):
        return math.nan
    if hold == "lolls" and abs(float(found.offset[which])) < OFF_CENTRE:
        return 0.0
    tilt = abs(float(found.leaning.tilt[which]))
    return tilt if tilt > ROUNDING else 0.0


def room_of(curve: RestoringCurve, offset: Floats, mass: float, arm: float) -> float:
    """Return the room for the centre of gravity (2,) [m] over what 75 kg moved by `arm` [m] take of it.

    Across it is the smaller of both sides: the tip line is alike on both.
    """
    ahead, aside = (float(value) for value in offset)
    off = {"starboard": abs(aside), "port": abs(aside), "bow": ahead, "stern": -ahead}[curve.towards]
    return float((curve.most_held - off) * mass / (PERSON_MASS * arm))


def contact_slope(line: TipLine, load: HoverLoad, side: Side) -> float:
    """Return the offset held per degree in contact over beam or length [1/rad]; likely."""
    low = np.asarray(LOW_SIDE[side])
    angle = dead_band(line, load, low) + _MIDDLE
    held = lean(line, load, -angle[:, None] * low, contact_of(line, "likely")).offset @ low
    return float(np.diff(held)[0]) / (float(np.diff(angle)[0]) * extent(line, low))


def held_movers(sits: LoadSits, side: Side) -> tuple[Mover, ...]:
    """Return what moves the offset held per degree in contact towards a side [1/rad], strongest first; likely."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, _, _ = turned(sits, inputs)
        return contact_slope(line, hover, side)

    return margin_movers(Margin(own_inputs(sits, _WHOLE), value, 0.0, str))


def _rest(line: TipLine, hover: HoverLoad, hull: Floats, centre: Floats) -> Rest | None:
    """Return where a load comes to rest; None where the curves say that nothing holds it, which is quicker to see."""
    ahead, aside = (float(value) for value in centre - line.centre)
    sides: tuple[tuple[Side, float], ...] = (("bow" if ahead > 0.0 else "stern", abs(ahead)), ("starboard", abs(aside)))
    for side, off in sides:
        low = np.asarray(LOW_SIDE[side])
        held = lean(line, hover, -LOOKS[:, None] * low, contact_of(line, "likely")).offset @ low
        if off > 0.0 and not np.nanmax(held) > off:
            return None
    return rest(line, hover, centre, "likely", hull=hull, most_tilt=MOST_TILT)


def tilt_margin(sits: LoadSits, which: int, limit: float) -> Margin:
    """Return trim (0) or heel (1) at rest against its limit [rad]."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, centre = turned(sits, inputs)
        found = _rest(line, hover, hull, centre)
        return math.nan if found is None else -tilt_of(found, which)

    names = ("mass", "height", "ahead" if which == 0 else "aside", "air", "stiffness")
    return Margin(own_inputs(sits, names), value, -limit, degrees_text, falls=True)


def clearance_margin(sits: LoadSits, low: float, show: Show) -> Margin:
    """Return the least height of the hull at rest against what is wanted [m]."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, centre = turned(sits, inputs)
        found = _rest(line, hover, hull, centre)
        return math.nan if found is None or str(found.hold) == "no rest" else float(found.leaning.hull_clearance)

    names = ("mass", "height", *_off(sits), "air", "stiffness")
    return Margin(own_inputs(sits, names), value, low, lambda v: format_length(v, show))


def slope_margin(sits: LoadSits, sides: tuple[Side, ...], low: float) -> Margin:
    """Return the offset held per degree in contact, the least of the sides, against what is wanted [%/deg]."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, _, _ = turned(sits, inputs)
        return min(100.0 * math.radians(contact_slope(line, hover, side)) for side in sides)

    return Margin(own_inputs(sits, _WHOLE), value, low, lambda v: f"{v:.2g} %/deg")


def room_margin(sits: LoadSits, sides: tuple[Side, ...], arm: float) -> Margin:
    """Return the room for the centre of gravity, the least of the sides, against one person who moves by `arm` [m]."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, centre = turned(sits, inputs)
        mass = float(np.asarray(hover.mass))
        curves = (restoring_curve(line, hover, side, "likely", angles=LOOKS, hull=hull) for side in sides)
        return min(room_of(curve, centre - line.centre, mass, arm) for curve in curves)

    moved = PERSON_MASS * arm / sits.mass
    names = (*_WHOLE, *_off(sits, ahead=sides != ("starboard",), aside=sides == ("starboard",)))
    return Margin(own_inputs(sits, names), value, 1.0, lambda v: f"{1000.0 * v * moved:.2g} mm of room")


def loll_margin(sits: LoadSits, limit: float) -> Margin:
    """Return the angle of loll to the side against its limit [rad]."""

    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, _ = turned(sits, inputs)
        return -restoring_curve(line, hover, "starboard", "likely", angles=LOOKS, hull=hull).loll

    return Margin(own_inputs(sits, ("mass", "height", "beam", "air", "stiffness")), value, -limit, degrees_text, True)


def person_margin(sits: LoadSits, limit: float) -> Margin:
    """Return the heel with 75 kg moved 0.3 m aside against its limit [rad]."""
    return _heel_margin(sits, limit, lambda mass, height: PERSON_MASS * PERSON_ASIDE / mass)


def turn_margin(sits: LoadSits, limit: float, aside: Callable[[float, float], float]) -> Margin:
    """Return the outward heel in a turn against its limit [rad]; `aside` [m] by mass [kg] and height [m]."""
    return _heel_margin(sits, limit, aside)


def _heel_margin(sits: LoadSits, limit: float, aside: Callable[[float, float], float]) -> Margin:
    def value(inputs: Mapping[str, float]) -> float:
        line, hover, hull, _ = turned(sits, inputs)
        off = aside(float(np.asarray(hover.mass)), float(np.asarray(hover.height)))
        found = _rest(line, hover, hull, line.centre + [0.0, -off])
        return math.nan if found is None or str(found.hold) == "no rest" else -abs(float(found.leaning.tilt[1]))

    return Margin(own_inputs(sits, ("mass", "height", "beam", "air", "stiffness")), value, -limit, degrees_text, True)


def _off(sits: LoadSits, ahead: bool = True, aside: bool = True) -> tuple[str, ...]:
    """Return how its centre of gravity can be shifted; from the middle, no way aside is towards the middle."""
    across = aside and abs(float(sits.offset[1])) > OFF_CENTRE
    return (*(("ahead",) if ahead else ()), *(("aside",) if across else ()))
