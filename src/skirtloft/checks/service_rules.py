"""Rules on the cloth in use: its weight and strength, seams and holes, the diaphragm, and the craft at rest."""

from __future__ import annotations

import numpy as np

from skirtloft.checks.diaphragm_rules import diaphragm_findings
from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.design.model import Design
from skirtloft.physics.types import Cushion
from skirtloft.service.at_rest import AtRest
from skirtloft.service.cloth import ClothInUse, ClothWeight, Pull
from skirtloft.service.in_service import InService
from skirtloft.shape.types import Plan

LEAST_FACTOR = 2.0  # on a shock: age, folds and sun take half of what new cloth and stitches hold; our own choice
SKID_AIR = 0.020  # m under the skids at hover; our own choice
TITLES = {
    "cloth": "Cloth against the pull of a shock",
    "seam": "Sewn seams against the pull of a shock",
    "hole": "Bolt holes against the pull of a shock",
    "tear": "A torn bolt hole against the pull of a shock",
}


def service_findings(
    design: Design, plan: Plan, cushions: tuple[Cushion, ...], service: InService
) -> tuple[Finding, ...]:
    """Return the findings on diaphragm, cloth and rest; those on strength only where the file states it."""
    return (
        *diaphragm_findings(design, plan, cushions, service.diaphragm),
        *(_weight(service.cloth, weight) for weight in service.cloth.weights),
        *_strength(service.cloth),
        _pinched(plan, service.rest),
        *_skids(design, service.rest),
    )


def _weight(cloth: ClothInUse, weight: ClothWeight) -> Finding:
    band = cloth.band
    craft = f"a craft of up to {band.seats} seats" if cloth.by_seats else f"a craft of up to {band.mass:.0f} kg"
    verdict: Verdict = "pass" if weight.verdict == "usual" else "warn"
    return Finding(
        rule=f"cloth-weight-{weight.part}",
        title=f"Weight of the {weight.part} cloth for the craft",
        verdict=verdict,
        value=weight.mass,
        unit="kg/m2",
        low=weight.low,
        high=weight.high,
        where=f"cloth.{weight.part}, {craft}",
        why="Lighter cloth wears through and tears; heavier makes a stiff skirt that drags and hides its faults.",
        change=f"Use {1000 * weight.low:.0f} to {1000 * weight.high:.0f} g/m2"
        + (" (the loop may be one grade lighter than the segments)." if weight.part == "loop" else "."),
        source=f"{TRADE}, from memory"
        + ("" if cloth.by_seats else "; masses of the bands: our own choice, craft.seats takes their place"),
    )


def _strength(cloth: ClothInUse) -> list[Finding]:
    found = []
    for kind in TITLES:
        stated = [pull for pull in cloth.pulls if pull.kind == kind and pull.shock_factor is not None]
        if stated:
            found.append(_factor(min(stated, key=lambda pull: pull.shock_factor or 0.0)))
    return found


def _factor(pull: Pull) -> Finding:
    value = pull.shock_factor
    assert value is not None
    verdict: Verdict = "fail" if not value >= 1.0 else grade(value, LEAST_FACTOR, None, "warn")
    needed = LEAST_FACTOR * pull.needed
    return Finding(
        rule=f"{pull.kind}-strength",
        title=TITLES[pull.kind],
        verdict=verdict,
        value=value,
        unit="1",
        low=LEAST_FACTOR,
        high=None,
        where=f"{pull.name}, {pull.where} ({pull.run.replace('_', ' ')}), load {pull.case!r}",
        why=f"{pull.load:.3g} {pull.unit} in hover, {pull.shock:g} times that in a shock. Static stress never sizes a"
        " light skirt: tear, abrasion and flogging do, so a high factor is no promise.",
        change=f"What holds here should be {needed:.3g} {pull.unit} or more: stronger cloth or thread, smaller hole"
        " pitch, larger hole_edge.",
        source=f"pull: p R and p w/2; strength: {pull.source}; factor 2: our own choice",
    )


def _pinched(plan: Plan, rest: AtRest) -> Finding:
    sitting, stations = rest.sitting, plan.stations
    i = int(np.argmin(sitting.spare))
    value = float(sitting.spare[i])
    height = 1000 * float(sitting.least_skid.max())
    return Finding(
        rule="sitting-pinched",
        title="Room for the segments when she sits on the ground",
        verdict=grade(value, 0.0, None, "warn"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where=f"{stations.ids[i]} ({stations.runs[i].replace('_', ' ')})",
        why=f"Under the inner fixings {1000 * float(sitting.available[i]):.0f} mm are left for"
        f" {1000 * float(sitting.heap[i]):.0f} mm of folded cloth and the fixings: pinched, it chafes and ties break.",
        change=f"Give her skids of {height:.0f} mm or more (hull.skids.height), or fix the segments higher.",
        source="derived; thickness of a heap of folds and of a fixing: our own choice",
    )


def _skids(design: Design, rest: AtRest) -> list[Finding]:
    if rest.skid_height <= 0.0:
        return []
    value = float(np.min(rest.sitting.skid_air))
    verdict: Verdict = "fail" if not value > 0.0 else grade(value, SKID_AIR, None, "warn")
    most = 1000 * max(design.hull.clearance - SKID_AIR, 0.0)
    return [
        Finding(
            rule="skids-clear",
            title="Air under the skids at hover",
            verdict=verdict,
            value=value,
            unit="m",
            low=SKID_AIR,
            high=None,
            where="hull.skids",
            why="Skids that reach the ground at hover carry the craft in place of the air.",
            change=f"Make them {most:.0f} mm or less, or the clearance larger.",
            source="closed form: clearance less height; 20 mm: our own choice",
        )
    ]
