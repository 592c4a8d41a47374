"""Rules on corners: room between the inner fixings, and what it costs where webs are shortened for it."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding, grade
from skirtloft.design.model import Design
from skirtloft.design.segment_form import TIP_ANGLES
from skirtloft.shape.types import Plan


def corner_findings(design: Design, plan: Plan) -> list[Finding]:
    """Return the findings on the arcs of the joint line, each at the worst; none where it has no arc."""
    return [*_corner_room(design, plan), *_webs_shortened(plan)]


def _corner_room(design: Design, plan: Plan) -> list[Finding]:
    arcs = [run for run in plan.runs if math.isfinite(run.radius)]
    if not arcs:
        return []
    turns = [(run.end - run.start) / run.radius * (2.0 if run.crosses_centre else 1.0) / run.segments for run in arcs]
    inboard = [max(run.first.inboard, run.last.inboard) for run in arcs]
    room = [(run.radius - reach) * turn for run, reach, turn in zip(arcs, inboard, turns, strict=True)]
    worst = int(np.argmin(room))
    run, hem = arcs[worst], design.making.hem
    least = inboard[worst] + hem / turns[worst]
    return [
        Finding(
            rule="corner-inner-room",
            title="Room between neighbouring inner fixings in a corner",
            verdict=grade(room[worst], hem, None, "fail"),
            value=room[worst],
            unit="m",
            low=hem,
            high=None,
            where=run.name.replace("_", " "),
            why="The inner corners of the segments crowd together: their hems overlap and cannot be tied.",
            change=f"Use a corner radius of at least {1000 * least:.0f} mm, or a smaller depth.",
            source="derived: spacing of the inner fixings in plan, against the hem",
        )
    ]


def _webs_shortened(plan: Plan) -> list[Finding]:
    if not any(math.isfinite(run.radius) for run in plan.runs):
        return []
    worst = max(plan.tight, key=lambda corner: corner.whole - corner.inboard, default=None)
    where, cost, change, tip = "all corners", "", "Nothing: every web is whole.", math.inf
    if worst is not None:
        run = plan.runs[worst.piece]
        where = ", ".join(plan.runs[corner.piece].name.replace("_", " ") for corner in plan.tight)
        tip = min(min(plan.runs[c.piece].first.tip_angle, plan.runs[c.piece].last.tip_angle) for c in plan.tight)
        beside = sum(len(corner.before) + len(corner.after) for corner in plan.tight)
        cost = (
            f" So they are shortened: the inner fixings of the {run.name.replace('_', ' ')} lie"
            f" {1000 * worst.inboard:.0f} mm inboard of the joint in place of {1000 * worst.whole:.0f} mm, the"
            f" tip angle comes to {math.degrees(tip):.0f} deg, and the loops there are cut for it"
            + (", with a station more at each end." if beside else ".")
        )
        change = (
            f"A corner radius of {1000 * worst.least_radius:.0f} mm takes whole webs; so does less depth."
            ' skirt.inner.tight = "whole" never shortens.'
        )
    steep = tip < TIP_ANGLES[0]
    value = 0.0 if worst is None else worst.whole - worst.inboard
    return [
        Finding(
            rule="corner-webs-shortened",
            title="Webs shortened in tight corners",
            verdict=grade(value, None, 0.0, "fail" if steep else "warn"),
            value=value,
            unit="m",
            low=None,
            high=0.0,
            where=where,
            why="Whole webs would cross one another, or their hems crowd, at the inner end of a tight corner."
            + cost
            + (" A tip that sharp does not hold the face; the file takes none below 70 deg." if steep else ""),
            change=change,
            source="derived: spacing of the inner fixings in plan, against the hem",
        )
    ]
