"""One try of a fit: the real plan, sections and checks of a candidate, weighed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.checks.behaviour_rules import behaviour_findings
from skirtloft.checks.check import check_without_pieces
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design
from skirtloft.errors import SkirtloftError
from skirtloft.fit.variables import STEPS, Variable, usual_depth, with_values
from skirtloft.maths.frozen import Floats
from skirtloft.physics.behaviour import section_behaviour
from skirtloft.physics.design_case import rest_under, sections_of
from skirtloft.pipeline import equilibrium, support_loads
from skirtloft.shape.fixing_line import FixingMiss, fixing_miss
from skirtloft.shape.hull_lines import section_points
from skirtloft.shape.plan import lay_out
from skirtloft.shape.types import Stations

# What a try costs beside failed rules; all our own choice.
FIXING_SCALE = 0.003  # m: root mean square of the inner fixings off the hull's line that counts as one
WATCH = 4.0  # each rule to watch, and as much again for every whole limit it is outside
REFUSED = 1e6  # a shape that cannot be made
FAILED = 0.1  # each failed rule, beside how far it is outside its limits
SCALES = {"m": 0.010, "1": 0.1, "N m/rad/m": 10.0, "Pa": 100.0, "rad": 0.1}  # what is one outside, by unit


@dataclass(frozen=True, eq=False)
class Trial:
    """A candidate and what the checks say of it.

    Parameters
    ----------
    values : tuple of float [m]
        One per variable.
    violation : float
        0 where no rule fails; else how far outside, added up.
    cost : float
        How far from usual, how many rules to watch, how far the inner fixings lie off the hull's line.
    findings : tuple of Finding
        Empty where the shape cannot be made.
    refusal : str
        Why it cannot be made; "" where it can.
    miss : FixingMiss or None
        Of the inner fixings from the hull's.
    stations : Stations or None
    inner : (n, 2) or None [m]
        The inner fixings in section axes.
    """

    values: tuple[float, ...]
    violation: float
    cost: float
    findings: tuple[Finding, ...]
    refusal: str
    miss: FixingMiss | None
    stations: Stations | None
    inner: Floats | None

    @property
    def rank(self) -> tuple[float, float]:
        """Less is better: first no failed rule, then the cost."""
        return round(self.violation, 9), round(self.cost, 9)

    @property
    def holds(self) -> bool:
        """True where no rule fails."""
        return self.violation == 0.0


def try_values(design: Design, names: Sequence[Variable], values: tuple[float, ...]) -> Trial:
    """Return what plan, sections and checks say of `design` with the variables at `values` [m].

    Notes
    -----
    cost = sum of ((value - usual) / scale)^2 over depth, insets and radii
         + (root mean square of the fixings' distance / 3 mm)^2 + 4 (1 + excess) for each rule to watch.
    Pieces are not cut: the rules on what fits the roll wait for the whole flow.
    """
    candidate = with_values(design, names, values)
    try:
        plan = lay_out(candidate)
        cushions = support_loads(candidate, plan)
        statics = equilibrium(candidate, plan, cushions[0].pressure)
        sections = sections_of(statics)
        behaviour = section_behaviour(statics, rest_under(statics, [cushion.pressure for cushion in cushions]))
        findings = (
            *check_without_pieces(candidate, plan, cushions, sections),
            *behaviour_findings(candidate, plan, behaviour),
        )
        miss = fixing_miss(candidate, plan, sections)
    except SkirtloftError as error:
        return Trial(values, REFUSED, change_cost(names, values), (), str(error), None, None, None)
    violation = sum(FAILED + excess(finding) for finding in findings if finding.verdict == "fail")
    watch = sum(WATCH * (1.0 + excess(finding)) for finding in findings if finding.verdict == "warn")
    off = 0.0
    if miss is not None and not np.isnan(miss.distance).all():
        off = float(np.nanmean((miss.distance / FIXING_SCALE) ** 2))
    cost = change_cost(names, values) + watch + off
    inner = section_points(sections).inner
    return Trial(values, float(violation), float(cost), findings, "", miss, plan.stations, inner)


def change_cost(names: Sequence[Variable], values: Sequence[float]) -> float:
    """Return the sum of the squared changes from what is usual, each over its scale."""
    usual = usual_values(names, values)
    return sum(((v - u) / name.scale) ** 2 for name, v, u in zip(names, values, usual, strict=True))


def usual_values(names: Sequence[Variable], values: Sequence[float]) -> tuple[float, ...]:
    """Return the usual value of each variable at the clearance in `values` [m]."""
    clearance = next(value for name, value in zip(names, values, strict=True) if name.kind == "clearance")
    return tuple(
        usual_depth(clearance, imperial=name.step != STEPS[False][0]) if name.usual is None else name.usual
        for name in names
    )


def excess(finding: Finding) -> float:
    """Return how far a value lies outside its limits, in the unit's scale; 0 inside."""
    if math.isnan(finding.value):
        return REFUSED
    outside = -margin(finding)
    return max(0.0, outside) / SCALES.get(finding.unit, 1.0)


def margin(finding: Finding) -> float:
    """Return how far a value lies inside its nearer limit, negative outside; ``inf`` where there is no limit."""
    rooms = []
    if finding.low is not None:
        rooms.append(finding.value - finding.low)
    if finding.high is not None:
        rooms.append(finding.high - finding.value)
    return min(rooms, default=math.inf)
