"""What the rides of a design say against limits: heave with the skirt held, bounce with it free, each with its cure.

Every figure here is a screening indicator, so none of these findings fails a design: the worst of them is "warn". They
are told by the command that asks for them and stand in the pack; the general checks know nothing of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.checks.finding import Finding, grade
from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_length, format_volume
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.sensitivities import Sensitivity, bounce_sensitivities, turned_by
from skirtloft.physics.bounce.threshold import craft_loss_needed, loss_needed, margin_of_loss
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from skirtloft.rides.types import Hover, Rides

WANTED_MARGIN = 2.0  # tip-flow inertia and loss are known to a factor of two or so: our own choice
WANTED_GAP = 2.0  # gap over the least gap: our own choice
WANTED_MOUTH = 2.0  # way from loop to cushion over the least: our own choice
MOST_CHANGE = 2.0  # a factor on an input beyond which she is another craft: our own choice
TRIED = 3  # of the strongest inputs, until one of them would do
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
        _craft_margin(rides, show),
        *(_section(rides, int(k), show) for k in order),
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


def _craft_margin(rides: Rides, show: Show) -> Finding:
    margins, margin = rides.margins, float(rides.margins.craft_margin)
    held = float(rides.held.growth) >= 0.0
    why = (
        "Air feeds the swing of the segments faster than the cloth takes it away: she bounces on her skirt."
        if not held
        else "The cushion's own air heaves her; mend that first, the skirt's own bounce hides behind it."
    )
    moved = change_of(rides.sensitivities, margin, craft_margin_at(rides.hover))
    change = _gap_change(rides, show) if held else f"{moved} {_diaphragm_words(rides)}".strip()
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
        change=change,
        source=SOURCE,
    )


def _section(rides: Rides, k: int, show: Show) -> Finding:
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
        change=_gap_change(rides, show)
        if float(rides.held.growth) >= 0.0
        else change_of(moved, margin, section_margin_at(rides.hover, k)),
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
    return bounce_sensitivities(
        hover.craft,
        _all_round(hover, k),
        cloth_inertia=hover.cloth_inertia[k : k + 1],
        mouth_area=hover.mouth.area,
        flow_share=hover.flow_share,
    )


def _all_round(hover: Hover, k: int) -> SkirtRuns:
    one = {name: value[k : k + 1] for name, value in vars(hover.runs).items()}
    one["length"] = frozen_array(np.array([hover.runs.length.sum()]))
    return SkirtRuns(**one)


MarginAt = Callable[[str, Floats], Floats]


def craft_margin_at(hover: Hover) -> MarginAt:
    """Return the bounce margin of the craft (k,) with one input times factors (k,), solved again."""

    def at(name: str, by: Floats) -> Floats:
        craft, runs = _turned(hover, hover.runs, hover.cloth_inertia, name, by)
        return np.asarray(margin_of_loss(runs.loss_factor.min(axis=-1), craft_loss_needed(craft, runs)))

    return at


def section_margin_at(hover: Hover, k: int) -> MarginAt:
    """Return the bounce margin of one section all the way round (k,) with one input times factors (k,)."""

    def at(name: str, by: Floats) -> Floats:
        craft, runs = _turned(hover, _all_round(hover, k), hover.cloth_inertia[k : k + 1], name, by)
        return np.asarray(margin_of_loss(runs.loss_factor[..., 0], loss_needed(craft, runs)))

    return at


def _turned(
    hover: Hover, runs: SkirtRuns, cloth_inertia: Floats, name: str, by: Floats
) -> tuple[HeaveCraft, SkirtRuns]:
    return turned_by(
        hover.craft,
        runs,
        name,
        by,
        cloth_inertia=cloth_inertia,
        mouth_area=hover.mouth.area,
        flow_share=hover.flow_share,
    )


def change_of(moved: tuple[Sensitivity, ...], margin: float, margin_at: MarginAt, wanted: float = WANTED_MARGIN) -> str:
    """Return which input that a builder can turn moves a margin most, and how much of it reaches the limit.

    Notes
    -----
    The first of factors up to two, a per cent apart, at which the margin solved again is the wanted one. The strongest
    input that gets there is told; where none does, the strongest, and that it does not.
    """
    turnable = [one for one in moved if one.name in TURNABLE and math.isfinite(one.slope) and one.slope != 0.0]
    if not turnable or not (math.isfinite(margin) and margin > 0.0):
        return "No single input moves it here: it is without bound, or nothing in the cloth would do."
    first = turnable[0]
    if margin >= wanted:
        return f"What would add most: {_word(first, first.slope > 0.0)} ({_effect(first)})."
    cloth = [one for one in turnable if one.name != "loss factor"]
    before = (
        "Measure the loss first (swing test): the margin goes with it one to one. "
        if first.name == "loss factor"
        else ""
    )
    words = ""
    for one in (cloth or turnable)[:TRIED]:
        more = one.slope > 0.0
        by = np.linspace(1.0, MOST_CHANGE, 101)[1:]
        good = np.flatnonzero(margin_at(one.name, by if more else 1.0 / by) >= wanted)
        if good.size:
            by_share = float(by[good[0]]) - 1.0 if more else 1.0 - 1.0 / float(by[good[0]])
            share = math.ceil(100.0 * by_share - 1e-9)
            return (
                f"{before}{'What would do' if words else 'What would add most'}: {_word(one, more)}, by {share} % for a"
                f" margin of {wanted:g} (solved again; {_effect(one)})."
            )
        words = words or (
            f"What would add most: {_word(one, more)} ({_effect(one)}), but by itself not enough within a factor of"
            f" {MOST_CHANGE:g}."
        )
    return f"{before}{words}"


def _word(one: Sensitivity, more: bool) -> str:
    return TURNABLE[one.name][0 if more else 1]


def _effect(one: Sensitivity) -> str:
    return f"10 % more {one.name} moves it by {1.1**one.slope - 1.0:+.0%}"


def _diaphragm_words(rides: Rides) -> str:
    if float(rides.margins.craft_margin) >= WANTED_MARGIN:
        return ""
    result = rides.cure.result
    if result is None or not result.cures.any():
        return ""
    k = int(np.flatnonzero(result.cures)[0])
    flat = "" if all(rides.cure.found) else ", though this hull has no place for it that is steep enough"
    return f"A taut diaphragm of margin {result.margin[k]:.2f} stops it{flat}."
