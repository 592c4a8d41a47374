"""Rules on a hull that exists: do the inner fixings of the skirt lie where the hull has them?"""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import Finding, Verdict, grade
from skirtloft.design.model import Design
from skirtloft.physics.types import Sections
from skirtloft.shape.fixing_line import FixingMiss, fixing_miss
from skirtloft.shape.hull_lines import bottom_given, section_points
from skirtloft.shape.types import Plan

ON_LINE, OFF_LINE = 0.010, 0.025  # m: warn and fail, our own choice


def hull_findings(design: Design, plan: Plan, sections: Sections) -> list[Finding]:
    """Return a finding for each thing that the file says of a hull that exists; none where it says nothing."""
    found = []
    miss = fixing_miss(design, plan, sections)
    if miss is not None and not np.isnan(miss.distance).all():
        found.append(_fixings_on_line(plan, miss))
    inside = bottom_given(design, plan.stations)
    if inside is not None:
        found.append(_bottom_inboard(plan, section_points(sections).inner[:, 0] + inside))
    return found


def _fixings_on_line(plan: Plan, miss: FixingMiss) -> Finding:
    worst = int(np.nanargmax(miss.distance))
    value, out, up = (float(part[worst]) for part in (miss.distance, miss.outboard, miss.up))
    verdict: Verdict = "fail" if not value <= OFF_LINE else grade(value, None, ON_LINE, "warn")
    return Finding(
        rule="inner-fixing-on-line",
        title="The inner fixings lie on the hull's fixing line",
        verdict=verdict,
        value=value,
        unit="m",
        low=None,
        high=ON_LINE,
        where=f"{plan.stations.ids[worst]} ({plan.stations.runs[worst].replace('_', ' ')})",
        why=f"The skirt wants its inner fixing there {_words(out, 'outboard', 'inboard')} and "
        f"{_words(up, 'above', 'below')} of the hull's: tied to the hull's, the segments stand at another angle.",
        change="Move the fixing line, or let the fit command look for the depth, insets and radii that meet it.",
        source="our own choice: 10 mm to watch, 25 mm at most",
    )


def _words(value: float, positive: str, negative: str) -> str:
    return f"{abs(1000.0 * value):.0f} mm {positive if value >= 0.0 else negative}"


def _bottom_inboard(plan: Plan, room: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Finding:
    worst = int(np.argmin(room))
    value = float(room[worst])
    return Finding(
        rule="flat-bottom-inside-fixings",
        title="The flat of the bottom ends inboard of the inner fixings",
        verdict=grade(value, np.nextafter(0.0, 1.0), None, "fail"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where=f"{plan.stations.ids[worst]} ({plan.stations.runs[worst].replace('_', ' ')})",
        why="Between the flat of the bottom and the inner fixing there is no planing surface left to tie to.",
        change="Bring the joint line outboard there, make the depth smaller, or narrow the flat of the bottom.",
        source="derived: the planing surface rises from the flat's edge to the inner fixing",
    )
