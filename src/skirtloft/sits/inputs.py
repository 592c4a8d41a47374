"""What a builder can turn of a load that is solved: words, equal steps, how far, and the load with it turned."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_force, format_length, format_mass
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.attitude.lean import HoverLoad
from skirtloft.physics.attitude.tip_line import TipLine, ends, extent, tip_line
from skirtloft.sits.sits import LoadSits

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
    "thrust": ("{} more thrust standing still", "{} less thrust standing still"),
    "thrust height": ("a thrust line {} higher (under_way.thrust_height)",
                      "a thrust line {} lower (under_way.thrust_height)"),
    "frontal": ("{} more frontal area", "{} less frontal area"),
    "area": ("{} more cushion at the same length", "{} less cushion at the same length"),
    "bottom": ("the edge of the flat bottom at the bow {} farther inside the hull edge (hull.bottom.bow)",
               "the edge of the flat bottom at the bow {} nearer to the hull edge (hull.bottom.bow)"),
    "bow joint": ("the bow joint {} farther inside the hull edge (skirt.bow.joint_inside)",
                  "the bow joint {} nearer to the hull edge (skirt.bow.joint_inside)"),
    "bow edge": ("the hull edge {} higher at the bow", "the hull edge {} lower at the bow"),
}  # fmt: skip
STEPS: dict[str, float] = {
    "mass": 10.0, "height": 0.01, "ahead": 0.01, "aside": 0.01, "beam": 0.05, "length": 0.05, "air": 0.05,
    "stiffness": 0.1, "thrust": 10.0, "thrust height": 0.01, "frontal": 0.1, "area": 0.1, "bottom": 0.01,
    "bow joint": 0.01, "bow edge": 0.01,
}  # fmt: skip
# How far an input is turned when it is asked how much would do: as a share of itself, or outright. All chosen: farther
# it would be another craft.
_MOST_SHARE = {"mass": 0.3, "height": 0.9, "beam": 0.25, "length": 0.25, "thrust": 1.0, "area": 0.25,
               "frontal": 0.5, "bottom": 0.9, "thrust height": 0.9}  # fmt: skip
_MOST = {"air": 0.3, "stiffness": 1.0, "bow joint": 0.1, "bow edge": 0.1}
PAST_MIDDLE = 0.3  # m, how far past the middle a centre of gravity is shifted at most
# Which way helps a load that nothing holds; -1.0: less of it. A centre of gravity goes towards the middle.
WAYS: dict[str, float] = {"mass": -1.0, "height": -1.0, "beam": 1.0, "length": 1.0, "air": -1.0, "stiffness": 1.0}


def most_of(name: str, own: float, way: float) -> float:
    """Return how far an input of the value `own` is turned at most, 1.0 up or -1.0 down."""
    if name in ("ahead", "aside"):
        return abs(own) if way * own < 0.0 and abs(own) > PAST_MIDDLE else PAST_MIDDLE
    return _MOST[name] if name in _MOST else _MOST_SHARE[name] * abs(own)


def helpful_way(name: str, own: float) -> float:
    """Return which way an input of the value `own` helps a load that nothing holds: 1.0 up or -1.0 down."""
    return -math.copysign(1.0, own) if name in ("ahead", "aside") else WAYS[name]


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


def own_inputs(sits: LoadSits, names: Sequence[str]) -> dict[str, float]:
    """Return what the inputs named are now; air and stiffness are shares."""
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


def turned(sits: LoadSits, inputs: Mapping[str, float]) -> tuple[TipLine, HoverLoad, Floats, Floats]:
    """Return tip line, load, low points of the hull (m, 3) [m] and centre of gravity (2,) [m] with inputs turned.

    Notes
    -----
    Those not named stay as they are. A wider or longer cushion stretches tip line and hull in plan; lift air is a share
    of the flow at the same pressure; more mass keeps the section's stiffness over the pressure.
    """
    line, hover, hull = sits.line, sits.hover, sits.hull
    own = own_inputs(sits, ("beam", "length", "ahead", "aside"))
    scale = np.array([inputs.get(name, own[name]) / own[name] for name in ("length", "beam")])
    if not np.array_equal(scale, [1.0, 1.0]):
        hull = np.column_stack([hull[:, :2] * scale, hull[:, 2]])
        line = _scaled(line, scale)
    if "stiffness" in inputs:
        stiffer = inputs["stiffness"]
        stiffness, pressed = frozen_array(line.stiffness * stiffer), frozen_array(line.pressed * stiffer)
        line = replace(line, stiffness=stiffness, pressed=pressed)
    share, flow = inputs.get("air", 1.0), hover.flow
    hover = replace(
        hover,
        mass=inputs.get("mass", hover.mass),
        height=inputs.get("height", hover.height),
        flow=(lambda p: share * flow(p)) if callable(flow) else share * np.asarray(flow),
    )
    offset = np.array([inputs.get(name, own[name]) for name in ("ahead", "aside")])
    return line, hover, np.asarray(hull), line.centre + offset


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


def tidy(value: float, name: str) -> float:
    """Return an amount to two digits, upwards, a length to a whole millimetre at least: no more is known."""
    if not value > 0.0:
        return value
    power = 10.0 ** (math.floor(math.log10(value)) - 1)
    if name not in ("mass", "air", "stiffness", "thrust", "frontal", "area"):
        power = max(power, 0.001)
    return math.ceil(value / power - 1e-9) * power
