"""What to do about measured gaps, in plain lines and in order: level by mass, measure again, then trim."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.ride_model import Movable
from skirtloft.design.units import format_angle, format_length, format_mass, format_mass_moment, format_pressure
from skirtloft.maths.frozen import Floats
from skirtloft.physics.attitude.bounds import CAUTION as HOLD_CAUTION
from skirtloft.trim.gaps import Measured
from skirtloft.trim.plane import FIRST, LEVEL, LOW, Stand, Trim
from skirtloft.trim.righting import Move, Shifted, examples

HEAVIER = 0.05  # share by which mass by pressure may differ from that of the file before it is told
CAUTION = (
    "Fans kill: tether the craft, guards on, nobody under or ahead of it, kill switch in hand; measure with the engine"
    " held steady."
)


def trim_lines(
    measured: Measured,
    found: Stand,
    move: Move,
    cuts: tuple[Trim, ...],
    show: Show = "metric",
    movable: Sequence[Movable] = (),
) -> list[str]:
    """Return the answer; `movable`: what of the design can stand elsewhere, told thing by thing."""
    lines = [
        f"Stands    {format_length(found.gap, show)} high in the middle; bow {_side(found.along, 'up', 'down', show)},"
        f" port {_side(found.across, 'up', 'down', show)} over what was measured"
        f" ({format_angle(found.pitch)} and {format_angle(found.roll)})",
        f"          the {len(measured.places)} gaps lie {format_length(found.scatter, show)} off that plane (rms)",
    ]
    if found.drags:
        more = ", and too few places are clear: the tilt is at least this" if found.at_least else ""
        more = "; how deep, the lift air of the file helps to say" if found.by_air else more
        lines.append(f"          no gap at {', '.join(found.drags)}: tips drag there{more}")
    lines += _weight(measured, move, show)
    lines += _first(found, move, show, movable)
    lines += _then(found, cuts, show)
    return [*lines, f"          {CAUTION}"]


def _side(value: float, up: str, down: str, show: Show) -> str:
    return f"{format_length(abs(value), show)} {up if value >= 0.0 else down}"


def _weight(measured: Measured, move: Move, show: Show) -> list[str]:
    """Return a doubt about the mass where the pressure measured says another."""
    if move.pressure_mass is None or measured.pressure is None or abs(move.pressure_mass / move.mass - 1.0) < HEAVIER:
        return []
    return [
        f"          {format_pressure(measured.pressure, show)} in the cushion carries"
        f" {format_mass(move.pressure_mass, show)}, and load {measured.load!r} of the file is"
        f" {format_mass(move.mass, show)}: weigh it, and look at the manometer again"
    ]


def _first(found: Stand, move: Move, show: Show, movable: Sequence[Movable]) -> list[str]:
    if found.is_level:
        return [f"1 Level   it is, within {format_length(LEVEL, show)} both ways: leave the masses where they are"]
    if not move.touches:
        lines = _clear(found, move)
    else:
        forward, to_port = (float(part) for part in move.moment)
        lines = [
            "1 Level   by mass, before any scissors: move"
            f" {_ways(_moment(forward, show), _moment(to_port, show), forward, to_port)}"
            + (", or more: the tilt is at least this" if found.at_least else ""),
            *(f"          {_example(thing, show)}" for thing in examples(move, movable)),
            f"          between {_size(move.soft, show)} (segments fold) and {_size(move.firm, show)} (they turn about"
            " the inner fixing): move half, measure, and see",
            f"          {HOLD_CAUTION}",
        ]
    uncertain = [
        word
        for word, angle, error in (("pitch", found.pitch, found.pitch_error), ("roll", found.roll, found.roll_error))
        if math.isfinite(error) and abs(angle) < 2.0 * error
    ]
    if uncertain:
        lines.append(f"          {' and '.join(uncertain)}: no larger than the scatter, so measure again first")
    lines.append("          turn the craft end for end, measure again: what stays with the ground is the floor's slope")
    return lines


def _clear(found: Stand, move: Move) -> list[str]:
    """Return what a tilt inside the gap tells: next to nothing."""
    own = " (tips that drag all the same hang low themselves: see 2)" if found.drags else ""
    return [
        f"1 Level   no mass follows from these gaps: by their plane all tips are clear{own}",
        f"          {format_angle(move.tilt)} is inside the {format_angle(move.band)} up to which only a draught, the"
        " floor's slope or the jets under the tips hold any tilt",
        "          to find the side: move 10 kg or so towards the high side by a little more each time, until the other"
        " side goes down; half way between is the middle",
    ]


def _ways(forward_words: str, port_words: str, forward: float, to_port: float) -> str:
    """Return one or two parts with their directions; one under a tenth of the other is left out."""
    parts = []
    if abs(forward) >= 0.1 * abs(to_port):
        parts.append(f"{forward_words} {'forward' if forward > 0.0 else 'aft'}")
    if abs(to_port) >= 0.1 * abs(forward):
        parts.append(f"{port_words} to {'port' if to_port > 0.0 else 'starboard'}")
    return " and ".join(parts)


def _moment(value: float, show: Show) -> str:
    return format_mass_moment(abs(value), show)


def _size(moment: Floats, show: Show) -> str:
    return format_mass_moment(float(np.hypot(*moment)), show)


def _example(thing: Shifted, show: Show) -> str:
    way = _ways(
        format_length(round(abs(thing.forward), 2), show),
        format_length(round(abs(thing.to_port), 2), show),
        thing.forward,
        thing.to_port,
    )
    if thing.name:
        return f"{thing.name} ({format_mass(thing.mass, show)}) alone: {way}"
    return f"that is {format_mass(thing.mass, show)} moved {way}, or more mass by less"


def _then(found: Stand, cuts: tuple[Trim, ...], show: Show) -> list[str]:
    when = "" if found.is_level else ", once it is level and measured again"
    if not cuts:
        return [f"2 Trim    nothing: no tip hangs more than {format_length(LOW, show)} below the rest{when}"]
    lines = [
        f"2 Trim    tips that hang low{when}; cut {100 * FIRST:.0f} % of it first, hover, measure: what is off is off"
    ]
    lines += [
        f"          {cut.place}: {format_length(cut.height, show)} low, {format_length(cut.along_face, show)} along the"
        " face; the segments up to half way to the next place"
        for cut in cuts
    ]
    return lines
