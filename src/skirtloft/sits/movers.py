"""Which input moves a margin of the attitude or of the thrust most, and how much of it would do."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_force, format_length, format_mass
from skirtloft.maths.frozen import Floats
from skirtloft.physics.air_types import Assumption
from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.physics.attitude.lean import HoverLoad, lean
from skirtloft.physics.attitude.rest import rest
from skirtloft.physics.attitude.restoring import LOW_SIDE, Side, dead_band, restoring_curve
from skirtloft.physics.attitude.tip_line import TipLine, ends, extent, tip_line
from skirtloft.physics.sensitivity import Margins, Mover, movers, sensitivity
from skirtloft.physics.water.drag import Thrust, UnderWay, drag
from skirtloft.sits.on_water import LoadOnWater
from skirtloft.sits.sits import ANGLES, MOST_TILT, LoadSits

WORDS: dict[str, str] = {
    "mass": "mass",
    "height": "height of the centre of gravity (craft.load.z)",
    "ahead": "place of the centre of gravity forward (craft.load.x)",
    "aside": "place of the centre of gravity to port (craft.load.y)",
    "beam": "width of the cushion",
    "length": "length of the cushion",
    "air": "lift air",
    "stiffness": "stiffness of the sections against turning (hull edge, loop, a taut diaphragm)",
    "thrust": "thrust",
    "frontal": "frontal area",
    "area": "area of the cushion at the same length",
}
PHRASES: dict[str, tuple[str, str]] = {
    "mass": ("{} more mass", "{} less mass"),
    "height": ("the centre of gravity {} higher (craft.load.z)", "the centre of gravity {} lower (craft.load.z)"),
    "ahead": ("the centre of gravity {} farther forward (craft.load.x)",
              "the centre of gravity {} farther aft (craft.load.x)"),
    "aside": ("the centre of gravity {} to port (craft.load.y)",
              "the centre of gravity {} to starboard (craft.load.y)"),
    "beam": ("a cushion {} wider", "a cushion {} narrower"),
    "length": ("a cushion {} longer", "a cushion {} shorter"),
    "air": ("{} more lift air", "{} less lift air"),
    "stiffness": ("sections {} stiffer against turning (hull edge, loop, a taut diaphragm)",
                  "sections {} softer against turning (hull edge, loop)"),
    "thrust": ("{} more thrust", "{} less thrust"),
    "frontal": ("{} more frontal area", "{} less frontal area"),
    "area": ("{} more cushion at the same length", "{} less cushion at the same length"),
}  # fmt: skip
STEPS: dict[str, float] = {
    "mass": 10.0, "height": 0.01, "ahead": 0.01, "aside": 0.01, "beam": 0.05, "length": 0.05, "air": 0.05,
    "stiffness": 0.1, "thrust": 10.0, "frontal": 0.1, "area": 0.1,
}  # fmt: skip
_MIDDLE = np.radians([0.5, 1.5])  # beyond first contact, as `RestoringCurve.contact_slope`
OFF_CENTRE = 0.005  # m
MOST_STEPS = 20.0  # farther, a straight line says nothing of how much would do


def input_text(name: str, value: float, show: Show) -> str:
    """Return a value or a step of an input in words."""
    if name == "mass":
        return format_mass(value, show)
    if name in ("air", "stiffness"):
        return f"{100.0 * value:.3g} %"
    if name == "thrust":
        return format_force(value, show)
    if name in ("frontal", "area"):
        return format_area(value, show)
    return format_length(value, show)


def held_movers(sits: LoadSits, side: Side) -> tuple[Mover, ...]:
    """Return what moves the offset held per degree in contact towards a side [1/rad], strongest first; likely."""

    def margins(inputs: Mapping[str, float]) -> dict[str, float]:
        line, hover = _changed(sits, inputs)
        return {"held": _slope(line, hover, side)}

    return _movers(margins, _inputs(sits, ("mass", "height", "beam", "length", "air", "stiffness")), "held")


def range_movers(sits: LoadSits, side: Side) -> tuple[Mover, ...]:
    """Return what moves the room for the centre of gravity towards a side [m], at the tilt where it ends; likely."""
    curve = sits.curves[side]["likely"]
    low = np.asarray(LOW_SIDE[side])

    def margins(inputs: Mapping[str, float]) -> dict[str, float]:
        line, hover = _changed(sits, inputs)
        at = lean(line, hover, -curve.most_held_angle * low, contact_of(line, "likely"))
        centre = np.array([inputs.get("ahead", sits.offset[0]), inputs.get("aside", sits.offset[1])])
        return {"room": float((at.offset - centre) @ low)}

    names = ["mass", "height", "beam", "length", "air", "stiffness"]
    if side in ("bow", "stern"):
        names.append("ahead")
    elif abs(float(sits.offset[1])) > OFF_CENTRE:  # in the middle, a way to one side is a way from the other
        names.append("aside")
    return _movers(margins, _inputs(sits, names), "room")


def tilt_movers(sits: LoadSits, which: int) -> tuple[Mover, ...]:
    """Return what moves trim (0) or heel (1) at rest, its size [rad], strongest first; likely."""

    def margins(inputs: Mapping[str, float]) -> dict[str, float]:
        line, hover = _changed(sits, inputs)
        centre = line.centre + [inputs.get("ahead", sits.offset[0]), inputs.get("aside", sits.offset[1])]
        return {"tilt": abs(float(rest(line, hover, centre, "likely", most_tilt=MOST_TILT).leaning.tilt[which]))}

    names = ("mass", "height", "ahead" if which == 0 else "aside", "air", "stiffness")
    return _movers(margins, _inputs(sits, names), "tilt")


def loll_movers(sits: LoadSits, side: Side) -> tuple[Mover, ...]:
    """Return what moves the angle of loll towards a side [rad], strongest first; likely."""

    def margins(inputs: Mapping[str, float]) -> dict[str, float]:
        line, hover = _changed(sits, inputs)
        return {"loll": restoring_curve(line, hover, side, "likely", angles=ANGLES[::4]).loll}

    return _movers(margins, _inputs(sits, ("mass", "height", "beam", "air", "stiffness")), "loll")


def thrust_movers(load: LoadOnWater, thrust: Thrust, factors: tuple[Assumption, ...]) -> tuple[Mover, ...]:
    """Return what moves the least thrust to spare at the hump [N], at the speed where it is least."""
    craft, at = load.craft, np.array([load.levels["best"].least_speed])
    if math.isnan(float(at[0])):
        return ()
    own = float(thrust(at)[0])

    def margins(inputs: Mapping[str, float]) -> dict[str, float]:
        other = UnderWay(
            mass=inputs["mass"],
            length=inputs["length"],
            area=inputs["area"] * inputs["length"] / craft.length,
            perimeter=craft.perimeter,
            flow=craft.flow * inputs["air"],
            frontal_area=inputs["frontal"],
            air_density=craft.air_density,
            water_density=craft.water_density,
        )
        return {"spare": inputs["thrust"] - float(drag(other, at, "best", factors).total[0])}

    inputs = {
        "mass": craft.mass, "length": craft.length, "area": craft.area, "air": 1.0, "frontal": craft.frontal_area,
        "thrust": own,
    }  # fmt: skip
    return _movers(margins, inputs, "spare")


def change_words(
    found: Sequence[Mover], wanted: float, show: Show, text: Callable[[float], str], *, smaller: bool = False
) -> str:
    """Return what helps most: the two strongest inputs, and how much of each would do on a straight line.

    Parameters
    ----------
    wanted : float
        How far the margin has to rise (or, `smaller`, the value to fall); 0 or less: it holds already.
    text : callable
        Change of the margin to words.
    """
    first = [mover for mover in found if mover.change][:2]
    if not first:
        return "Nothing in the file is known to move it."
    parts = []
    for mover in first:
        step = STEPS[mover.name]
        way = PHRASES[mover.name][0 if (mover.change > 0.0) != smaller else 1]
        words = way.format(input_text(mover.name, step, show))
        words += f": {text(abs(mover.change))} {'less' if smaller else 'more'}"
        needed = wanted / abs(mover.slope)
        if 0.0 < needed <= MOST_STEPS * step:
            words += f", so about {input_text(mover.name, _tidy(needed), show)} would do"
        parts.append(words)
    whole = f"{'; '.join(parts)} (on a straight line)."
    return whole[0].upper() + whole[1:]


def _tidy(value: float) -> float:
    """Return a value to two digits, upwards: no more is known."""
    if not value > 0.0:
        return value
    power = 10.0 ** (math.floor(math.log10(value)) - 1)
    return math.ceil(value / power - 1e-9) * power


def _movers(margins: Margins, inputs: Mapping[str, float], margin: str) -> tuple[Mover, ...]:
    return movers(sensitivity(margins, inputs, {name: STEPS[name] for name in inputs}), margin)


def _inputs(sits: LoadSits, names: Sequence[str]) -> dict[str, float]:
    own = {
        "mass": sits.mass,
        "height": float(np.asarray(sits.hover.height)),
        "beam": extent(sits.line, (0.0, 1.0)),
        "length": extent(sits.line, (1.0, 0.0)),
        "air": 1.0,
        "stiffness": 1.0,
        "ahead": float(sits.offset[0]),
        "aside": float(sits.offset[1]),
    }
    return {name: own[name] for name in names}


def _changed(sits: LoadSits, inputs: Mapping[str, float]) -> tuple[TipLine, HoverLoad]:
    """Return tip line and load with inputs changed; those not named as they are."""
    line, hover = sits.line, sits.hover
    own = _inputs(sits, ("beam", "length"))
    scale = np.array([inputs.get(name, own[name]) / own[name] for name in ("length", "beam")])
    if not np.array_equal(scale, [1.0, 1.0]):
        line = _scaled(line, scale)
    stiffer = inputs.get("stiffness", 1.0)
    line = replace(line, stiffness=line.stiffness * stiffer, pressed=line.pressed * stiffer)
    share, flow = inputs.get("air", 1.0), hover.flow
    hover = replace(
        hover,
        mass=inputs.get("mass", hover.mass),
        height=inputs.get("height", hover.height),
        flow=(lambda p: share * flow(p)) if callable(flow) else share * np.asarray(flow),
    )
    return line, hover


def _scaled(line: TipLine, scale: Floats) -> TipLine:
    """Return the tip line with its plan stretched along and across; sections and curvature as they are."""
    first, last = ((line.centre + end) * scale for end in ends(line))
    side = last - first
    size = np.hypot(side[:, 0], side[:, 1])
    return tip_line(
        0.5 * (first + last),
        np.column_stack([side[:, 1], -side[:, 0]]) / size[:, None],
        size,
        depth=line.depth,
        lever=line.lever,
        drop=line.drop,
        face_angle=line.face_angle,
        stiffness=line.stiffness,
        discharge=line.discharge,
        curvature=line.curvature,
        turn_limit=line.turn_limit,
        pressed=line.pressed,
        pressed_turn=line.pressed_turn,
    )


def _slope(line: TipLine, hover: HoverLoad, side: Side) -> float:
    low = np.asarray(LOW_SIDE[side])
    angle = dead_band(line, hover, low) + _MIDDLE
    held = lean(line, hover, -angle[:, None] * low, contact_of(line, "likely")).offset @ low
    return float(np.diff(held)[0]) / (float(np.diff(angle)[0]) * extent(line, low))
