"""What gives first: the extra mass, and the shift of the centre of gravity, at which each rule first changes its word.

The skirt stays as it was cut for the file's first load; sections and air are solved again with the mass on every load.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.checks.air_rules import air_findings
from skirtloft.checks.finding import Finding
from skirtloft.checks.making_rules import pressure_finding
from skirtloft.checks.plan_rules import balance_findings
from skirtloft.checks.section_rules import section_findings
from skirtloft.design.model import Design
from skirtloft.errors import SolveError
from skirtloft.lift.match import match_air
from skirtloft.physics.design_case import sections_of
from skirtloft.pipeline import Skirt, equilibrium, support_loads

RANK = {"note": 0, "pass": 0, "warn": 1, "fail": 2}
STEPS = 16  # looks over the range before halving
HALVINGS = 9
MOST_MASS = 2.0  # of the heaviest load, on top
MOST_SHIFT = 0.25  # of the length or width of the cushion's hull edge

Look = Callable[[float], tuple[Finding, ...]]


@dataclass(frozen=True)
class Giving:
    """Where a rule first warns and first fails; None: not in the range looked at.

    Parameters
    ----------
    rule : str
    warns, fails : float or None
        Extra mass [kg] or shift [m].
    """

    rule: str
    warns: float | None
    fails: float | None


def by_mass(skirt: Skirt) -> tuple[Giving, ...]:
    """Return every rule that an extra mass on every load changes, the first to give at the top."""
    heaviest = max(load.mass for load in skirt.design.craft.load)
    return _giving(lambda extra: findings_with(skirt, extra_mass=extra), MOST_MASS * heaviest, _turns(skirt))


def _turns(skirt: Skirt) -> tuple[float, ...]:
    """Return the extra masses just below each limit that the air solves directly: rules turn bad and good there.

    A load that no longer hovers leaves the rules on gap and stall to the others, so between even looks their word can
    get worse and better again.
    """
    if skirt.air.match is None:
        return ()
    extra = np.asarray(skirt.air.match.limits.extra, dtype=np.float64)
    near = extra[np.isfinite(extra) & (extra > 0.0)]
    return tuple(float(mass) * (1.0 - 1e-3) for mass in near.ravel())


def by_shift(skirt: Skirt, along: str) -> tuple[Giving, ...]:
    """Return every rule that a shift of all centres of gravity changes.

    Parameters
    ----------
    along : "forward", "aft" or "sideways"
    """
    edge = skirt.design.hull.edge
    length = max(point.x for point in edge) - min(point.x for point in edge)
    sign = -1.0 if along == "aft" else 1.0
    most = MOST_SHIFT * (2.0 * max(point.y for point in edge) if along == "sideways" else length)
    if along == "sideways":
        return _giving(lambda shift: findings_with(skirt, shift_y=shift), most)
    return _giving(lambda shift: findings_with(skirt, shift_x=sign * shift), most)


def findings_with(
    skirt: Skirt, *, extra_mass: float = 0.0, shift_x: float = 0.0, shift_y: float = 0.0
) -> tuple[Finding, ...]:
    """Return the findings that masses and centres of gravity can change, with these on every load.

    Parameters
    ----------
    extra_mass : float [kg]
    shift_x, shift_y : float [m]
        Forward and to port.
    """
    design, plan = loaded(skirt.design, extra_mass, shift_x, shift_y), skirt.plan
    cushions = support_loads(design, plan)
    found = [
        pressure_finding(cushions),
        *balance_findings(design, plan),
        *air_findings(design, match_air(design, plan)),
    ]
    if extra_mass:
        try:
            sections = sections_of(equilibrium(design, plan, cushions[0].pressure))
            found += section_findings(plan.stations, sections)
        except SolveError:
            broken = [f for f in skirt.findings if f.rule == "section-stable"]
            found += [Finding(**{**vars(f), "verdict": "fail", "value": float("nan")}) for f in broken]
    else:
        found += section_findings(plan.stations, skirt.sections)
    return tuple(found)


def loaded(design: Design, extra_mass: float, shift_x: float, shift_y: float) -> Design:
    """Return the design with more mass on every load, at the load's own centre, and all centres shifted."""
    loads = tuple(
        load.model_copy(update={"mass": load.mass + extra_mass, "x": load.x + shift_x, "y": load.y + shift_y})
        for load in design.craft.load
    )
    return design.model_copy(update={"craft": design.craft.model_copy(update={"load": loads})})


def _giving(look: Look, most: float, also: Sequence[float] = ()) -> tuple[Giving, ...]:
    """Return where each rule's word first gets worse, to 1/8000 of the range.

    Notes
    -----
    Looks at even steps and at `also`, then halving. A rule that gets worse and better again between two looks is not
    seen.
    """
    known: dict[float, dict[str, int]] = {}

    def ranks(value: float) -> dict[str, int]:
        if value not in known:
            known[value] = {f.rule: RANK[f.verdict] for f in look(value)}
        return known[value]

    even = [most * k / STEPS for k in range(STEPS + 1)]
    places = sorted({*even, *(place for place in also if place < most)})
    rules = list(dict.fromkeys(rule for place in places for rule in ranks(place)))
    table = [Giving(rule, _first(ranks, places, rule, 1), _first(ranks, places, rule, 2)) for rule in rules]
    moved = [row for row in table if row.warns is not None or row.fails is not None]
    return tuple(sorted(moved, key=lambda row: min(x for x in (row.warns, row.fails) if x is not None)))


def _first(ranks: Callable[[float], dict[str, int]], places: Sequence[float], rule: str, level: int) -> float | None:
    """Return the first value at which a rule's rank is `level` (a warning only where it does not fail as well)."""
    after = next((k for k, place in enumerate(places) if ranks(place).get(rule, 0) >= level), None)
    if after is None:
        return None
    if after == 0:
        return 0.0
    low, high = places[after - 1], places[after]
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        if ranks(middle).get(rule, 0) >= level:
            high = middle
        else:
            low = middle
    return float(np.float64(high)) if ranks(high).get(rule, 0) == level else None if level == 1 else high
