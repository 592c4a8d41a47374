"""What to do about measured gaps, in plain lines and in order: level by mass, measure again, then trim."""

from __future__ import annotations

import math

from skirtloft.design.model import Show
from skirtloft.design.units import format_angle, format_length, format_mass
from skirtloft.trim.gaps import Measured
from skirtloft.trim.plane import FIRST, LEVEL, LOW, Move, Stand, Trim

CAUTION = (
    "Fans kill: tether the craft, guards on, nobody under or ahead of it, kill switch in hand; measure with the engine"
    " held steady."
)


def trim_lines(
    measured: Measured, found: Stand, move: Move | None, cuts: tuple[Trim, ...], show: Show = "metric"
) -> list[str]:
    """Return the answer; `move` is None where how stiff the skirt is against tilt is not known."""
    lines = [
        f"Stands    {format_length(found.gap, show)} high in the middle; bow {_side(found.along, 'up', 'down', show)},"
        f" port {_side(found.across, 'up', 'down', show)} over what was measured"
        f" ({format_angle(found.pitch)} and {format_angle(found.roll)})",
        f"          the {len(measured.places)} gaps lie {format_length(found.scatter, show)} off that plane (rms)",
    ]
    if found.drags:
        lines.append(f"          no gap at {', '.join(found.drags)}: tips drag there, and the true tilt may be greater")
    lines += _first(found, move, show)
    lines += _then(found, cuts, show)
    return [*lines, f"          {CAUTION}"]


def _side(value: float, up: str, down: str, show: Show) -> str:
    return f"{format_length(abs(value), show)} {up if value >= 0.0 else down}"


def _first(found: Stand, move: Move | None, show: Show) -> list[str]:
    if found.is_level:
        return [f"1 Level   it is, within {format_length(LEVEL, show)} both ways: leave the masses where they are"]
    ways = []
    if abs(found.along) >= LEVEL:
        ways.append("forward" if found.along > 0.0 else "aft")
    if abs(found.across) >= LEVEL:
        ways.append("to port" if found.across > 0.0 else "to starboard")
    lines = [f"1 Level   by mass, before any scissors: move some {' and '.join(ways)}, towards the high side"]
    if move is None:
        lines.append(
            "          how much is not computed here: move a known mass a known distance, measure again; the tilt goes"
            " with mass times distance while all tips are clear"
        )
    else:
        for moment, plus, minus in (
            (move.moment_forward, "forward", "aft"),
            (move.moment_to_port, "to port", "to starboard"),
        ):
            if abs(moment) > 0.05:
                way = plus if moment > 0.0 else minus
                lines.append(
                    f"          {format_mass(abs(moment), show)} moved by {format_length(1.0, show)} {way}, or more by"
                    " less: computed for small tilts, so move half, measure, and see"
                )
    uncertain = [
        word
        for word, angle, error in (("pitch", found.pitch, found.pitch_error), ("roll", found.roll, found.roll_error))
        if math.isfinite(error) and abs(angle) < 2.0 * error
    ]
    if uncertain:
        lines.append(f"          {' and '.join(uncertain)}: no larger than the scatter, so measure again first")
    lines.append("          turn the craft end for end, measure again: what stays with the ground is the floor's slope")
    return lines


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
