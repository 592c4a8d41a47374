"""What the rides of a design say against limits: heave with the skirt held, bounce with it free, each with its cure.

Every figure here is a screening indicator, so none of these findings fails a design: the worst of them is "warn". They
are told by the command that asks for them and stand in the pack; the general checks know nothing of them.
"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding, grade
from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_length, format_volume
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.bounce.sensitivities import Sensitivity, bounce_sensitivities
from skirtloft.physics.bounce.types import SkirtRuns
from skirtloft.rides.types import Hover, Rides

WANTED_MARGIN = 2.0  # tip-flow inertia and loss are known to a factor of two or so: our own choice
WANTED_GAP = 2.0  # gap over the least gap: our own choice
WANTED_MOUTH = 2.0  # way from loop to cushion over the least: our own choice
MOST_CHANGE = 2.0  # a factor on an input beyond which its slope says nothing
SOURCE = "own model, screening, unvalidated; limit: choice of this program"

# What a builder can turn, with the word for more and for less of it.
TURNABLE: dict[str, tuple[str, str]] = {
    "gap": ("more gap", "less gap"),
    "mouth area": ("a wider way from loop to cushion", "a narrower way from loop to cushion"),
    "loss factor": ("cloth and seams with more loss", "cloth and seams with less loss"),
    "cloth mass": ("heavier cloth", "lighter cloth"),
    "section stiffness": ("stiffer sections (hull edge higher or further out)", "softer sections"),
    "cushion volume": ("more cushion volume", "less cushion volume"),
    "fan steepness": ("a steeper fan", "a flatter fan"),
    "all-up mass": ("more mass", "less mass"),
    "fixed openings": ("more fixed openings", "fewer fixed openings"),
    "duct inertance": ("a longer, narrower duct", "a shorter, wider duct"),
}


def rides_findings(rides: Rides, show: Show = "metric") -> tuple[Finding, ...]:
    """Return the findings: heave first, then the craft's bounce, its sections worst first, and the loop's mouth."""
    order = np.argsort(rides.margins.margin, kind="stable")
    found = [
        _held(rides, show),
        _least_gap(rides, show),
        _craft_margin(rides),
        *(_section(rides, int(k)) for k in order),
    ]
    if rides.least_mouth > 0.0:
        found.append(_mouth(rides, show))
    return tuple(found)


def _held(rides: Rides, show: Show) -> Finding:
    growth = float(rides.held.growth)
    return Finding(
        rule="heave-held",
        title="Damping of heave with the segments held",
        verdict="pass" if growth < 0.0 else "warn",
        value=float(rides.held.damping),
        unit="1",
        low=0.0,
        high=None,
        where=_load(rides),
        why="With the segments held she heaves by herself: the spring of the cushion's own air. No diaphragm cures it.",
        change=_gap_change(rides, show),
        source=SOURCE,
    )


def _least_gap(rides: Rides, show: Show) -> Finding:
    ratio = rides.hover.point.gap / rides.least_gap if rides.least_gap > 0.0 else 0.0  # stalled: no gap is safe
    return Finding(
        rule="heave-gap",
        title="Gap over the least gap at which the cushion's air does not heave her by itself",
        verdict=grade(ratio, WANTED_GAP, None, "warn"),
        value=ratio,
        unit="1",
        low=WANTED_GAP,
        high=None,
        where=_load(rides),
        why="Below the least gap the cushion's own air makes her heave, skirt held or not; a diaphragm is no cure.",
        change=_gap_change(rides, show),
        source=SOURCE,
    )


def _gap_change(rides: Rides, show: Show) -> str:
    """Return what reaches the wanted gap over the least one.

    Notes
    -----
    h_crit = 2 p V/[S gamma (pa + p)(1 + 2/tau)]: the ratio goes with gap, 1/volume and 1 + 2/tau; d ln/d ln tau =
    -2/(tau + 2).
    """
    tau, least = float(rides.hover.craft.steepness), rides.least_gap
    if math.isnan(least):
        return "The fan works on its stalled side: run it at more flow, or take one whose pressure falls there."
    ratio = rides.hover.point.gap / least
    volume = float(rides.hover.craft.volume) * ratio / WANTED_GAP
    gap = format_length(WANTED_GAP * least, show)
    fan = f"a fan 10 % flatter (steepness {tau:.2g}) moves it by {20.0 / (tau + 2.0):.0f} %"
    return (
        f"A gap of {gap}, or no more than {format_volume(volume, show)} of cushion air, makes it {WANTED_GAP:g}; {fan}."
    )


def _craft_margin(rides: Rides) -> Finding:
    margins, margin = rides.margins, float(rides.margins.craft_margin)
    held = float(rides.held.growth) >= 0.0
    why = (
        "Air feeds the swing of the segments faster than the cloth takes it away: she bounces on her skirt."
        if not held
        else "The cushion's own air heaves her; mend that first, the skirt's own bounce hides behind it."
    )
    return Finding(
        rule="bounce-margin",
        title="Loss in the cloth over the loss needed, all sections together",
        verdict=grade(margin, WANTED_MARGIN, None, "warn"),
        value=margin,
        unit="1",
        low=WANTED_MARGIN,
        high=None,
        where=f"{_load(rides)}, needed {float(margins.craft_needed):.3g}",
        why=why,
        change=f"{change_of(rides.sensitivities, margin)} {_diaphragm_words(rides)}".strip(),
        source=SOURCE,
    )


def _section(rides: Rides, k: int) -> Finding:
    margin = float(rides.margins.margin[k])
    verdict = grade(margin, WANTED_MARGIN, None, "warn")
    moved = section_sensitivities(rides.hover, k) if verdict != "pass" else rides.sensitivities
    return Finding(
        rule="bounce-section",
        title="Loss in the cloth over the loss needed, this section all the way round",
        verdict=verdict,
        value=margin,
        unit="1",
        low=WANTED_MARGIN,
        high=None,
        where=f"{rides.hover.names[k]} ({rides.hover.stations[k]})",
        why=f"{_alone(margin)} What feeds it most: {rides.margins.drives[k]}.",
        change=change_of(moved, margin),
        source=SOURCE,
    )


def _alone(margin: float) -> str:
    if margin < 1.0:
        return "All round the craft this section would bounce."
    return "All round the craft this section would be close to bouncing." if margin < WANTED_MARGIN else "Quiet."


def _mouth(rides: Rides, show: Show) -> Finding:
    hover = rides.hover
    ratio = hover.mouth.area / rides.least_mouth
    return Finding(
        rule="loop-mouth",
        title="Way from loop to cushion over the least that keeps her from bouncing",
        verdict=grade(ratio, WANTED_MOUTH, None, "warn"),
        value=ratio,
        unit="1",
        low=WANTED_MOUTH,
        high=None,
        where=f"{_load(rides)}, {format_area(hover.mouth.area, show)} effective ({hover.mouth.told_by})",
        why="Lift air that has to squeeze from the loop into the cushion presses the segments shut and feeds a bounce.",
        change=f"Keep {format_area(WANTED_MOUTH * rides.least_mouth, show)} effective open"
        f" ({WANTED_MOUTH * rides.least_mouth / hover.mouth.area:.0%} of what there is), or let"
        " part of the lift air into the cushion directly."
        if math.isfinite(rides.least_mouth)
        else "No way from loop to cushion quiets her: see the other findings.",
        source=SOURCE,
    )


def _load(rides: Rides) -> str:
    return f"load {rides.loads[rides.hover.load].name!r}"


def section_sensitivities(hover: Hover, k: int) -> tuple[Sensitivity, ...]:
    """Return what moves the margin of one section, as if it went all the way round."""
    runs = hover.runs
    one = {name: value[k : k + 1] for name, value in vars(runs).items()}
    one["length"] = frozen_array(np.array([runs.length.sum()]))
    return bounce_sensitivities(
        hover.craft,
        SkirtRuns(**one),
        cloth_inertia=hover.cloth_inertia[k : k + 1],
        mouth_area=hover.mouth.area,
        flow_share=hover.flow_share,
    )


def change_of(moved: tuple[Sensitivity, ...], margin: float, wanted: float = WANTED_MARGIN) -> str:
    """Return which input that a builder can turn moves a margin most, and how much of it would reach the limit.

    Notes
    -----
    margin ~ input^slope: the factor on the input is (wanted/margin)^(1/slope). Beyond a factor of two the slope says
    nothing, and the sentence says so.
    """
    turnable = [one for one in moved if one.name in TURNABLE and math.isfinite(one.slope) and one.slope != 0.0]
    if not turnable or not (math.isfinite(margin) and margin > 0.0):
        return "No single input moves it here: it is without bound, or nothing in the cloth would do."
    first, *rest = turnable
    words = [_turn_words(first, margin, wanted)]
    other = next((one for one in rest if one.name != "loss factor"), None)
    if first.name == "loss factor" and other is not None:
        words = [
            "Measure the loss first (swing test): the margin goes with it one to one.",
            _turn_words(other, margin, wanted),
        ]
    return " ".join(words)


def _turn_words(one: Sensitivity, margin: float, wanted: float) -> str:
    factor = (wanted / margin) ** (1.0 / one.slope) if margin < wanted else 1.1 if one.slope > 0.0 else 1.0 / 1.1
    word = TURNABLE[one.name][0 if factor > 1.0 else 1]
    effect = f"10 % more {one.name} moves it by {1.1**one.slope - 1.0:+.0%}"
    if margin >= wanted:
        return f"What would add most: {word} ({effect})."
    if not 1.0 / MOST_CHANGE <= factor <= MOST_CHANGE:
        return f"What would add most: {word} ({effect}), but by itself not enough within a factor of {MOST_CHANGE:g}."
    return f"What would add most: {word}, by {abs(factor - 1.0):.0%} for a margin of {wanted:g} ({effect})."


def _diaphragm_words(rides: Rides) -> str:
    if float(rides.margins.craft_margin) >= WANTED_MARGIN:
        return ""
    result = rides.cure.result
    if result is None or not result.cures.any():
        return ""
    k = int(np.flatnonzero(result.cures)[0])
    flat = "" if all(rides.cure.found) else ", though this hull has no place for it that is steep enough"
    return f"A taut diaphragm of margin {result.margin[k]:.2f} stops it{flat}."
