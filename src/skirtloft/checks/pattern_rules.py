"""Rules on how near the sewn and inflated loop comes to the drawn one: thread strain, expected deviation."""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import Finding, grade
from skirtloft.design.model import Design
from skirtloft.shape.develop import Development
from skirtloft.shape.types import Plan

HELD = "this loop's own panels, sewn and inflated by computation, joint line held (`inflate --held`)"
STUDY = (
    "our own study: rule of thumb from six corners sewn and inflated by computation, joint line held; whole loops came"
    " to 1.4 to 1.7 times as much at the worst panel: `inflate --held` computes yours"
)


def pattern_findings(design: Design, plan: Plan, development: Development) -> list[Finding]:
    """Return the finding on expected deviation, and that on thread strain where panels were flattened by strain."""
    found = []
    if any(development.strain):
        found.append(_thread_strain(design, plan, development))
    if development.deviation is not None:
        found.append(_deviation(design, plan, development))
    return found


def _thread_strain(design: Design, plan: Plan, development: Development) -> Finding:
    strains = [report.thread.largest if report else 0.0 for report in development.strain]
    worst, limit = int(np.argmax(strains)), design.making.loop.thread_strain
    panel, report = development.panels[worst], development.strain[worst]
    assert report is not None
    across, down = report.thread.at
    return Finding(
        rule="thread-strain",
        title="Stretch of warp or weft between flat panel and drawn shape",
        verdict=grade(strains[worst], None, limit, "warn"),
        value=strains[worst],
        unit="1",
        low=None,
        high=limit,
        where=f"{panel.id}, {panel.start} to {panel.end}, {across:.0%} of the way along, {down:.0%} down from the hull",
        why="Coated cloth hardly stretches: what it should and does not becomes puckers or a loop off its drawn shape.",
        change=_more_stations(plan, worst),
        source="the limit is the design's own, making.loop.thread_strain",
    )


def _deviation(design: Design, plan: Plan, development: Development) -> Finding:
    assert development.deviation is not None
    worst, limit = int(np.argmax(development.deviation)), design.making.loop.deviation
    value, panel = float(development.deviation[worst]), development.panels[worst]
    quick, inflated = design.making.loop.pattern == "quick", development.deviation_by == "inflated"
    return Finding(
        rule="panel-deviation",
        title=f"How far the inflated loop {'stands' if inflated else 'may stand'} off the drawn shape,"
        f" {'quick' if quick else 'exact'} patterns",
        verdict=grade(value, None, limit, "warn"),
        value=value,
        unit="m",
        low=None,
        high=limit,
        where=f"{panel.id}, {panel.start} to {panel.end}",
        why="Flat panels between sections cannot follow a loop that is curved both ways: the wider, the less.",
        change=('Set making.loop.pattern = "exact". ' if quick else "") + _more_stations(plan, worst),
        source=HELD if inflated else STUDY,
    )


def _more_stations(plan: Plan, panel: int) -> str:
    middle = float(plan.stations.at[panel] + plan.stations.at[panel + 1]) / 2.0
    more = f"A station at {middle:.3f} m along the joint line, or more stations_per_corner"
    return f"{more}; `stations` says what each does."
