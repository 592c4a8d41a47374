"""What may go wrong with this skirt, what it is likely to be and what to do; only what concerns its design.

Common practice, no source: the order of causes and the remedies are what builders tell; the figures are computed.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from skirtloft.book.sewing import is_glued, is_sewn
from skirtloft.book.subject import Subject
from skirtloft.book.types import Block, Chapter, Table, Text
from skirtloft.design.units import format_pressure, format_rotation


@dataclass(frozen=True)
class Fault:
    """A symptom, its likely causes and remedies, whether it concerns a design, and what its figures say."""

    seen: str
    causes: str
    remedy: str
    concerns: Callable[[Subject], bool] = lambda subject: True
    here: Callable[[Subject], str] = lambda subject: ""


def _has_run(*names: str) -> Callable[[Subject], bool]:
    return lambda subject: any(run.name in names for run in subject.skirt.plan.runs)


def _corners(subject: Subject) -> bool:
    return any(math.isfinite(run.radius) for run in subject.skirt.plan.runs)


def _corner_faces(subject: Subject) -> str:
    faces = dict.fromkeys(piece.base for piece in subject.pieces("face") if piece.run.endswith("corner"))
    return f"corner faces {', '.join(faces)}"


def _has_fan(subject: Subject) -> bool:
    return subject.skirt.air.match is not None


def _on_water(subject: Subject) -> bool:
    return subject.skirt.design.air.water is not None


def _lift(subject: Subject) -> str:
    first = subject.skirt.cushions[0]
    told = f"needs {format_pressure(first.pressure, subject.show)} under the hull with {first.name!r}"
    match = subject.skirt.air.match
    if match is not None and math.isfinite(float(match.for_gap.speed[0])):
        told += f", about {format_rotation(float(match.for_gap.speed[0]))}"
    return told


def _gap(subject: Subject) -> str:
    match = subject.skirt.air.match
    if match is None or int(match.at_speed.failure[0]):
        return f"wanted gap {subject.length(subject.skirt.air.gap)}"
    return f"gap of {subject.length(float(match.at_speed.gap[0]))} at {format_rotation(match.speed)}"


def _pitch(subject: Subject) -> str:
    return f"pitch {subject.span(run.fitted_pitch for run in subject.skirt.plan.runs)}"


def _rule(*rules: str) -> Callable[[Subject], str]:
    def told(subject: Subject) -> str:
        found = [finding for rule in rules if (finding := subject.finding(rule)) is not None]
        return "; ".join(f"{f.title}: {subject.value(f)}" for f in found)

    return told


def _spray(subject: Subject) -> bool:
    return _on_water(subject) and _has_run("bow")(subject)


FAULTS = (
    Fault(
        "Does not lift, or slowly",
        "Belt slips or is wet. Speed too low. Heavier than written. Feed holes or duct blocked.",
        "Belt, speed, scales, holes, in that order; the skirt last.",
        here=_lift,
    ),
    Fault(
        "The bow drops all at once, skirt whole",
        "The lift belt slips or has turned over; the fan has lost speed.",
        "Look at belt and speed before touching the skirt. Write speed and pressure into the log.",
        _has_fan,
    ),
    Fault(
        "Lifts on water or a floor, not on shingle or long grass",
        "Rough ground lets out many times the air of the gap.",
        "Start from smoother ground. More flow in hand is the only cure.",
        here=_gap,
    ),
    Fault(
        "Air pours out at the corners",
        "Straight segments used in a corner, or one left out; tops that gape; ties too long.",
        "Compare the codes with the table of fitting. Shorten the ties there; close gaping tops with the loop"
        " inflated.",
        _corners,
        _corner_faces,
    ),
    Fault(
        "Tips stand open between segments",
        "Ties too long or stretched, a segment left out, faces sewn too narrow.",
        "Count, then ties, then measure a face across its tip against the template.",
        here=_pitch,
    ),
    Fault(
        "Segments crowd and wrinkle",
        "One too many in the run, faces sewn too wide, joint bolted out of step.",
        "Compare hole numbers along the run; take one out only where the table has fewer.",
        here=_pitch,
    ),
    Fault(
        "Segments fold in under the hull and stay",
        "Inner fixing too near the joint, loop short of air, drag of wet or rough ground.",
        "Free the feed of the loop. Move the inner fixings inboard. Slow down on wetting ground.",
        here=_rule("force-line-margin"),
    ),
    Fault(
        "Noses in while running straight",
        "Weight forward, bow trimmed too low, lift lost at speed, bow segments tucked under.",
        "Throttle back, never turn hard. Weight aft, bow a little up, planing surface kept clean of anything that"
        " grips.",
        here=_rule("bow-taut-limit"),
    ),
    Fault(
        "A side digs in while sliding",
        "Somebody moved outward; low leading side; heavy side.",
        "Lean into the slide, sit still, level her. The side's planing surface must be there all along.",
        _has_run("side"),
    ),
    Fault(
        "Bounces at hover",
        "Fan working where its curve rises or lies flat; too tight on a smooth floor; loop fed too strongly.",
        "Change the speed, try grass. Then a small leak or vent, or a damping flap. Do not fly it out.",
        here=_rule("fan-stall", "fan-stable"),
    ),
    Fault(
        "Tips flutter and buzz, coating comes off",
        "Cloth at the tip too light or the edge loose; a feed hole blows on to it; too much left on below.",
        "Trim to the line; double the edge; move or shade the hole.",
        here=lambda s: f"{s.length(s.skirt.design.making.tip_trim)} left on below the line",
    ),
    Fault(
        "The stern scoops water",
        "Stern low, weight aft, open backs of segments facing the water when she drifts back.",
        "Weight forward, stern trimmed up. Flaps over the backs of the stern segments.",
        _has_run("stern"),
    ),
    Fault(
        "Will not get over the hump",
        "Overweight, tail heavy, water in the loop, skirt dragging; shallow water makes it worse.",
        "Drain her, weight forward, full thrust into the wind, deeper water. Take somebody off.",
        _on_water,
    ),
    Fault(
        "Loop full of water after stopping",
        "No drain low aft, drains shut or too small; nose dipped coming down a ramp.",
        "Open drains at the lowest aft points, flaps opening aft.",
        _on_water,
    ),
    Fault(
        "Heels in a turn, or hangs to one side",
        "Mass off the centre line, one side of the loop short of air, tips trimmed unevenly.",
        "Level by mass first, then measure the gaps, then look for a blocked feed on the low side.",
        here=_rule("balance-sideways"),
    ),
    Fault(
        "The loop folds in waves, and she stops",
        "Loop too soft for the sea; too fast for it.",
        "Slow down; more speed of the fan. Wait for smaller waves.",
        _on_water,
    ),
    Fault(
        "Spray over the crew",
        "Low speed near the hump, open corners, bow face steep.",
        "Get over the hump or stay well below it; close corners; an apron on the outside of the loop.",
        _spray,
    ),
    Fault(
        "Hard ride, much drag",
        "Cloth too heavy, too many layers, lumps of glue.",
        "Single layers; wear patches at the tips only.",
        here=_rule("cloth-weight-segment"),
    ),
    Fault(
        "Seams open on hot days",
        "A glue that softens with heat.",
        "Two-part glue, stitched as well; park in the shade.",
        lambda s: is_glued(s.skirt.design),
    ),
    Fault(
        "Seams peel",
        "Damp or cold when glued, not wiped, coats not dry, loaded too soon; the pull peels instead of shears.",
        "Clean off, do it again by the clock; a cover strip, and stitches.",
        lambda s: is_glued(s.skirt.design),
    ),
    Fault(
        "A row of stitches tears like a stamp",
        "Stitches too short, needle too thick or cutting.",
        "Longer stitches, a reinforcing tape, the next row well away from the old holes.",
        lambda s: is_sewn(s.skirt.design),
    ),
    Fault(
        "Cloth tears at a bolt",
        "Hole too near the edge, no washer, bolt overtightened.",
        "Patch, washer on both sides, fold the edge double.",
        here=lambda s: f"holes at least {s.length(s.skirt.design.making.hole_edge)} from the edge",
    ),
    Fault(
        "Ties break often",
        "Segments catch on the hull, webs pull unevenly. A tie that never breaks is too strong.",
        "Keep them weak and carry many. Relieve what they catch on.",
        here=_rule("sitting-pinched"),
    ),
    Fault(
        "Holes where the skirt lies under the hull",
        "Skids, bars or edges of the bottom rub when she sits.",
        "Round the edges, a rub strip on the hull, move the fixing.",
        here=_rule("sitting-pinched"),
    ),
    Fault(
        "One side or the stern wears fast",
        "Not level, mass off centre, run on concrete.",
        "Measure the gaps, level, trim. Change segments round within one code.",
        here=_rule("balance-fore-aft"),
    ),
    Fault(
        "Stones and sand in the loop",
        "They come in by the feed holes when she lands.",
        "A slot low aft to sweep them out; rinse after sand.",
    ),
    Fault(
        "Segments torn after backing",
        "Faces slope outwards and catch when she goes astern.",
        "Go astern only afloat in the air, slowly, never over stones.",
    ),
)  # fmt: skip


def faults(subject: Subject) -> Chapter:
    """Return the faults that concern this design."""
    rows = tuple((f.seen, f.causes, f.remedy, f.here(subject)) for f in FAULTS if f.concerns(subject))
    blocks: tuple[Block, ...] = (
        Text(
            "Look in the order in which the causes stand: the cheap ones come first, and scissors last. What is told"
            " here is common practice without a source; the figures of the last column are those of this design."
        ),
        Table(("What you see", "Likely because", "What to do", "This design"), rows, (2.4, 3.4, 3.4, 2.2)),
    )
    return Chapter("Faults", blocks)
