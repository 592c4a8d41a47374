"""Rules on what water does: thrust over the hump, the hold on the bow, the slope of its planing surface, tuck-under.

They are findings of this chapter, printed by its command and on its sheets, and not in the flow.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.checks.finding import Finding, Verdict, as_sentence, grade
from skirtloft.design.units import format_force
from skirtloft.physics.water.drag import CAUTION
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.pipeline import Skirt
from skirtloft.sits.enough import effect_words, help_words
from skirtloft.sits.on_water import STATES, LoadOnWater, OnWater
from skirtloft.sits.sits import LoadSits, Sits
from skirtloft.sits.water_margins import bow_margin, hump_margin, surface_margin, tuck_margin

OURS = "choice of this program"
BOW_MARGIN = 0.02  # of the length
SURFACE = math.radians(2.0)


def water_findings(skirt: Skirt, sits: Sits, water: OnWater, only: str | None = None) -> tuple[Finding, ...]:
    """Return the findings on what water does, each at its worst load; of one rule only, where it is named."""
    hump = "over-hump" if water.has_thrust else "thrust-told"
    rules: dict[str, Callable[[], Finding]] = {
        hump: lambda: (_over_hump if water.has_thrust else _needs_thrust)(skirt, water),
        "bow-held": lambda: _bow(skirt, sits, water),
        "bow-surface": lambda: _surface(skirt, sits, water),
        "bow-tuck": lambda: _tuck(skirt, water),
    }
    return tuple(find() for rule, find in rules.items() if only in (None, rule))


def _over_hump(skirt: Skirt, water: OnWater) -> Finding:
    values = [load.levels["high"].least_margin for load in water.loads]
    k = int(np.argmin([-math.inf if math.isnan(value) else value for value in values]))
    load = water.loads[k]
    best, value = load.levels["best"].least_margin, values[k]
    verdict: Verdict = "fail" if not best > 0.0 else grade(value, 0.0, None, "warn")
    if math.isnan(value):
        why = "The thrust curve does not reach the hump."
        change = "Give points up to the speed of the hump and beyond."
        verdict = "warn"
    else:
        why = f"Where thrust is less than drag it stays before the hump, wet and slow. {as_sentence(CAUTION)}"
        change = (
            "Nothing: it gets over even with the drag as high as it may be."
            if verdict == "pass"
            else help_words(hump_margin(skirt, water, load), skirt.design.project.show)
        )
    return Finding(
        rule="over-hump",
        title="Least thrust to spare over the hump, drag as high as it may be",
        verdict=verdict,
        value=value,
        unit="N",
        low=0.0,
        high=None,
        where=f"load {load.name!r}",
        why=why,
        change=change,
        source="linear theory of waves; factors of the drag as `water` lists them",
    )


def _needs_thrust(skirt: Skirt, water: OnWater) -> Finding:
    values = [-load.levels["high"].least_margin for load in water.loads]
    k = int(np.argmax(values))
    needed = format_force(values[k], skirt.design.project.show)
    return Finding(
        rule="thrust-told",
        title="Thrust that the hump asks for, drag as high as it may be",
        verdict="note",
        value=values[k],
        unit="N",
        low=None,
        high=None,
        where=f"load {water.loads[k].name!r}",
        why=f"No thrust is told, so nothing is compared with the drag. {as_sentence(CAUTION)}",
        change=f"Write [under_way] with static_thrust and disc; at the speed of the hump it has to be above {needed}.",
        source="linear theory of waves; factors of the drag as `water` lists them",
    )


def _bow(skirt: Skirt, sits: Sits, water: OnWater) -> Finding:
    rows = [
        (float(load.bow[state].margin[place]), load, state, place)
        for load in water.loads
        for state in STATES
        for place in (0, 1)
    ]
    value, load, state, place = min(rows, key=lambda row: row[0])
    verdict: Verdict = "fail" if not value > 0.0 else grade(value, BOW_MARGIN, None, "warn")
    change = "Nothing: it holds."
    if verdict != "pass":
        change = help_words(bow_margin(skirt, _entry(sits, load), water, load, BOW_MARGIN), skirt.design.project.show)
    return Finding(
        rule="bow-held",
        title="Hold left on the bow under way, share of the length",
        verdict=verdict,
        value=value,
        unit="1",
        low=BOW_MARGIN,
        high=None,
        where=f"{state}, {('at the hump', 'fast')[place]}, load {load.name!r}",
        why="Thrust above and drag below press the bow down; beyond what the skirt holds the craft may plough in."
        f" {as_sentence(BOW_CAUTION)}",
        change=change,
        source=f"statics, derived; limit: {OURS}",
    )


def _entry(sits: Sits, load: LoadOnWater) -> LoadSits:
    return next(entry for entry in sits.loads if entry.name == load.name)


def _surface(skirt: Skirt, sits: Sits, water: OnWater) -> Finding:
    loads: tuple[LoadOnWater, ...] = water.loads
    values = [load.bow["under thrust"].surface_left for load in loads]
    k = int(np.argmin(values))
    verdict: Verdict = "fail" if not values[k] > 0.0 else grade(values[k], SURFACE, None, "warn")
    return Finding(
        rule="bow-surface",
        title="Slope left of the bow planing surface where the bow comes down on it",
        verdict=verdict,
        value=values[k],
        unit="rad",
        low=SURFACE,
        high=None,
        where=f"load {loads[k].name!r}",
        why="A surface that still slopes up lifts the bow off again; one that does not digs in.",
        change="Nothing: it slopes."
        if verdict == "pass"
        else help_words(surface_margin(skirt, _entry(sits, loads[k]), SURFACE), skirt.design.project.show),
        source=f"least angle of the planing formula (2 deg); limit: {OURS}",
    )


def _tuck(skirt: Skirt, water: OnWater) -> Finding:
    """A note, not a judgement: whether tips get wet is the pilot's and the water's doing."""
    k = int(np.argmin([load.tuck for load in water.loads]))
    load = water.loads[k]
    return Finding(
        rule="bow-tuck",
        title="Speed at which water pulls wet bow tips under",
        verdict="note",
        value=load.tuck,
        unit="m/s",
        low=None,
        high=None,
        where=f"bow, tips a tenth of their depth in the water, load {load.name!r}",
        why="Faster, only the straight loop holds them, the bow loses its cushion there and goes down."
        f" {as_sentence(BOW_CAUTION)}",
        change="Keep the bow up in waves; a taut diaphragm at the bow holds its tips. What moves it most: "
        f"{effect_words(tuck_margin(skirt, load), skirt.design.project.show)}",
        source=f"derived: stream on the wet face against the loop; share and drag coefficient: {OURS}",
    )
