"""Bounce in plain sentences: each figure as one line that a builder understands, and what it is worth at the end."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import format_length
from skirtloft.physics.bounce.cure import DiaphragmCure
from skirtloft.physics.bounce.outcome import MotionOutcome
from skirtloft.physics.bounce.sensitivities import Sensitivity
from skirtloft.physics.bounce.swing_decay import SwingTest
from skirtloft.physics.bounce.threshold import MECHANISMS, BounceMargins
from skirtloft.physics.bounce.types import SCREENING, Modes

CAUTIONS = (
    "All segments of a run are taken to move together, the unfavourable case; roll and pitch bounce are not computed.",
    "The loss in the cloth and the way from loop to cushion are rarely measured: the swing test and a pressure gauge in"
    " the loop are cheap and tell more than this.",
    "Try a new skirt tethered, on grass before concrete, hands clear of fan and skirt, and shut the lift down at the"
    " first bounce: it can shake a craft to pieces.",
)

CAUSES = {
    "tip flow": "the inertia of the air on its way to the tips",
    "loop over-pressure": "the loop's pressure above the cushion's: open the way from loop to cushion",
    "lip suction": "suction under rounded tips",
    "air spring": "the spring of the cushion's own air: more gap, a steeper fan or less volume",
}


def _per_second(frequency: float) -> str:
    return f"{frequency / (2.0 * math.pi):.1f} times a second"


def heave_sentences(locked: Modes, gap: float, least_gap: float, *, show: Show = "metric") -> tuple[str, ...]:
    """Return what the cushion's own air does, the segments locked.

    Parameters
    ----------
    locked : Modes
        Of one state, from `locked_modes`.
    gap, least_gap : float [m]
        At hover, and from `least_gap_of`; nan on the stalled side of the fan.
    """
    if float(locked.growth) >= 0.0:
        first = (
            f"Even with the segments held, she may heave by herself about {_per_second(float(locked.frequency))}: the"
            " spring of the cushion's own air. A diaphragm does not cure that; more gap, a steeper fan or less cushion"
            " volume do."
        )
    elif float(locked.frequency) == 0.0:
        first = "With the segments held, she comes back from a knock without swinging."
    else:
        fade = math.exp(-2.0 * math.pi * -float(locked.growth) / float(locked.frequency))
        rest = (
            f"{max(0.01, fade):.0%} of it is left after one swing"
            if fade >= 0.01
            else "next to nothing is left after one swing"
        )
        first = f"With the segments held, a knock makes her heave {_per_second(float(locked.frequency))}; {rest}."
    if math.isnan(least_gap):
        second = (
            "The fan works on its stalled side: no gap is safe from heaving by this rule. Move the working point first."
        )
    else:
        second = (
            f"Below a gap of {format_length(least_gap, show)} the cushion's own air can make her heave, skirt held or"
            f" not; she hovers at {format_length(gap, show)}, {gap / least_gap:.1f} times that."
        )
    return first, second, SCREENING


def margin_sentences(margins: BounceMargins, names: Sequence[str], loss_factor: Sequence[float]) -> tuple[str, ...]:
    """Return the bounce margins of one craft, worst section first, and what feeds the bounce there.

    Parameters
    ----------
    margins : BounceMargins
        () and (n,).
    names : (n,)
        Of the runs.
    loss_factor : (n,) [-]
        As put in.
    """
    lines = [_craft_line(float(margins.craft_margin), float(margins.craft_needed))]
    for k in np.argsort(margins.margin, kind="stable"):
        needed, margin = float(margins.needed[k]), float(margins.margin[k])
        if needed == 0.0:
            lines.append(f"{names[k]}: the air alone quiets this section; it needs no loss in the cloth.")
            continue
        if math.isinf(needed):
            lines.append(
                f"{names[k]}: no loss in the cloth would stop it here. What feeds it: {_cause(margins, int(k))}."
            )
            continue
        lines.append(
            f"{names[k]}: needs a loss factor of {needed:.3f} in its cloth and has {loss_factor[k]:.3f}, margin"
            f" {margin:.2f}{_word(margin)}; it would swing {_per_second(float(margins.frequency[k]))}."
            f" What feeds it most: {_cause(margins, int(k))}."
        )
        lines.append("  alone it would need: " + _alone(margins, int(k)) + ".")
    return (*lines, SCREENING)


def _craft_line(margin: float, needed: float) -> str:
    if needed == 0.0:
        return "All sections together: no bounce is expected even without loss in the cloth."
    if math.isinf(needed):
        return "All sections together: a bounce or heave is to be expected whatever the cloth."
    return (
        f"All sections together: margin {margin:.2f} against bounce{_word(margin)} (above 1 is quiet, below 1 bounces)."
    )


def _word(margin: float) -> str:
    return ", likely to bounce" if margin < 1.0 else ", close" if margin < 2.0 else ""


def _cause(margins: BounceMargins, k: int) -> str:
    return CAUSES.get(str(margins.drives[k]), "nothing in particular")


def _alone(margins: BounceMargins, k: int) -> str:
    parts = []
    for name in MECHANISMS:
        need = float(margins.alone[name][k])
        parts.append(f"{name} {need:.3f}" if math.isfinite(need) else f"{name} more than any cloth has")
    return ", ".join(parts)


def motion_sentences(outcome: MotionOutcome, drop: float, *, show: Show = "metric") -> tuple[str, ...]:
    """Return what a time run showed after a drop [m]."""
    start = f"Let go {format_length(drop, show)} too low, "
    if outcome.outcome == "cancelled":
        return (f"{start}the run in time was stopped before its end: nothing can be said.", SCREENING)
    if outcome.outcome == "dies away":
        return (f"{start}she comes to rest.", SCREENING)
    verb = "keeps bouncing" if outcome.outcome == "keeps bouncing" else "bounces more and more"
    return (
        f"{start}she {verb}, {format_length(outcome.heave, show)} up and down about {_per_second(outcome.frequency)}.",
        f"The gap swings by {format_length(outcome.gap, show)} either way; the tips are shut {outcome.sealed:.0%} of"
        f" the time, and the cushion's pressure runs between {outcome.lowest:.2f} and {outcome.highest:.2f} of that at"
        " rest.",
        SCREENING,
    )


def cure_sentences(cure: DiaphragmCure) -> tuple[str, ...]:
    """Return which diaphragm stops the bounce, if one does."""
    if cure.locked_growth >= 0.0:
        return (
            "No diaphragm stops this heave: it is the cushion's own air. More gap, a steeper fan or less volume do.",
            SCREENING,
        )
    least = float(cure.least_margin.max())
    lines = []
    if cure.free_growth < 0.0:
        lines.append("Small knocks die away without a diaphragm, with the loss put in.")
    taut = f"It must stay taut at half pressure and half a g: that takes a margin of {least:.2f} or more."
    works = np.flatnonzero(cure.cures)
    if works.size == 0:
        return (*lines, "None of the diaphragms looked at stops the bounce and stays taut.", taut, SCREENING)
    k = int(works[0])
    lines.append(
        f"A taut diaphragm of margin {cure.margin[k]:.2f} stops the bounce: cut the loop"
        f" {1.0 - float(cure.length_share[k].min()):.1%} shorter, pull {float(cure.tension[k].max()):.0f} N per metre,"
        f" sections {float(cure.stiffness_gain[k].min()):.0%} stiffer before it helps."
    )
    lines.append(f"{taut} Sewing takes some of it: 0.15 to 0.25 is usual.")
    return (*lines, SCREENING)


def sensitivity_sentences(found: Sequence[Sensitivity], *, most: int = 5) -> tuple[str, ...]:
    """Return the inputs that move the margin most."""
    lines = []
    for one in [s for s in found if math.isfinite(s.slope)][:most]:
        change = 1.1**one.slope - 1.0
        unsure = "" if one.is_measured else ", and it is rarely measured"
        lines.append(f"10 % more {one.name} changes the bounce margin by {change:+.0%}{unsure}.")
    if not lines:
        lines.append("No input changes the margin here: it is without bound, or nothing in the cloth would do.")
    return (*lines, SCREENING)


def swing_sentences(test: SwingTest, fed: float | None = None) -> tuple[str, ...]:
    """Return what a swing test gave; `fed` from `fed_at_constant_pressure` where air escaped under the tips."""
    lines = [
        f"Over {test.swings} swings the segment lost {1.0 - math.exp(-test.decrement):.0%} of its travel each swing:"
        f" loss factor {test.loss_factor:.3f}, between {max(0.0, test.low):.3f} and {test.high:.3f} by the scatter."
    ]
    if fed is not None:
        lines.append(
            f"The air under the tips takes {fed:.3f} of that away while it escapes: use"
            f" {test.loss_factor + fed:.3f} for the cloth."
        )
    return (*lines, *test.doubts, "One segment on one day: colder or wetter cloth, and other seams, lose differently.")
