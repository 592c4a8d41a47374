"""How big should the feed holes be, smaller aft or bigger at the bow, and can the cushion fill a segment by itself?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.answers.subject import Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.units import format_flow, format_hole_area, format_length, format_pressure
from skirtloft.lift.match import feed_for
from skirtloft.physics.feed import drop_of_area_ratio, segment_underpressure, size_feed_holes

TIRED_BOW = 0.10  # of cushion pressure that a loop fed aft has less at the bow; our own example
HEAD = ("run", "segments", "through each", "hole", "area of one", "times escape area")


def feed_lines(subject: Subject) -> list[str]:
    """Return the sizes of feed holes, run by run."""
    lift, show = subject.lift, subject.design.project.show
    drop, pressure = subject.design.air.feed_drop, float(lift.need.cushion_pressure[0])
    feed = lift.feed
    rows = [
        (
            run.replace("_", " "),
            str(lift.segments[k]),
            format_flow(float(feed.flow[0, k]), show),
            format_length(float(feed.diameter[0, k]), show),
            format_hole_area(float(feed.area[0, k]), show),
            f"{float(feed.area_ratio[0, k]):.2f}",
        )
        for k, run in enumerate(lift.runs)
    ]
    name = subject.design.craft.load[0].name
    return [
        f"Holes     one for each segment, to spend {drop:.0%} of the cushion's {format_pressure(pressure, show)}"
        " in them"
        f" (air.feed_drop), with {name!r} at {format_length(lift.gap, show)}",
        *table(HEAD, rows),
        *_rule(subject),
        *_own(subject),
        "",
        *_along(subject),
        "",
        *_from_the_cushion(subject),
    ]


def _rule(subject: Subject) -> list[str]:
    """The trade's rule of 2 to 3 times, beside its price."""
    lift, show = subject.lift, subject.design.project.show
    low, high = (float(drop_of_area_ratio(ratio)) for ratio in (2.0, 3.0))
    sizes = []
    for share in (low, high):
        holes = feed_for(lift.system, lift.need, lift.gap, lift.segments, share)
        sizes.append(math.sqrt(float((holes.area[0] * lift.segments).sum()) / sum(lift.segments) * 4.0 / math.pi))
    return prose(
        f"  The rule of 2 to 3 times the effective escape area (common practice, no source) means holes of"
        f" {format_length(sizes[0], show)} to {format_length(sizes[1], show)} here and costs {low:.0%} to"
        f" {high:.0%} of the"
        " cushion's pressure in the holes alone; 20 to 50 % for all losses is common practice too."
    )


def _own(subject: Subject) -> list[str]:
    lift, show = subject.lift, subject.design.project.show
    lines = []
    for k, line in enumerate(lift.system.losses):
        if line.place == "feed":
            drop = float(lift.budget.drop[k, 0])
            share = drop / float(lift.need.cushion_pressure[0])
            words = f"  In the file: {line.name}, {format_hole_area(float(line.area), show)} together, spend"
            lines.append(f"{words} {format_pressure(drop, show)}, {share:.0%}.")
    return lines


def _along(subject: Subject) -> list[str]:
    """A loop fed aft has less at the bow: larger holes there."""
    lift, show = subject.lift, subject.design.project.show
    pressure = lift.need.cushion_pressure[:1]
    drop = subject.design.air.feed_drop
    per_run = np.array([drop - TIRED_BOW if run.startswith("bow") else drop for run in lift.runs])
    if (per_run <= 0.0).any():
        return []
    flow = lift.feed.flow[:1] * np.array(lift.segments)
    holes = size_feed_holes(flow, lift.segments, pressure, per_run * pressure[:, None], lift.density)
    even, bow = (
        {run: float(sizes[0, k]) for k, run in enumerate(lift.runs)} for sizes in (lift.feed.diameter, holes.diameter)
    )
    first = next((run for run in lift.runs if run.startswith("bow")), None)
    if first is None:
        return []
    return prose(
        "Along the loop  Holes differ from run to run only where more leaves under a segment (a higher gap, a"
        " wider pitch)"
        f" or less pressure arrives. If the loop, fed aft, has {TIRED_BOW:.0%} of the cushion's pressure less at"
        " the bow,"
        f" holes there grow from {format_length(even[first], show)} to {format_length(bow[first], show)}; the"
        " others stay."
        " Measure the loop's pressure at bow and stern with a water manometer before you cut."
    )


def _from_the_cushion(subject: Subject) -> list[str]:
    lift, show = subject.lift, subject.design.project.show
    stations = subject.plan.stations
    behind = stations.inboard - stations.depth / np.tan(stations.face_angle)
    lower_edge = float(np.hypot(behind, stations.depth - stations.drop).min())
    discharge = float(lift.system.escape.discharge[0])
    mouth = lift.pitch * lower_edge  # from web to web, between inner fixing and tip
    short = float(segment_underpressure(discharge * lift.pitch * lift.gap, mouth))
    most = float(segment_underpressure(discharge * lift.pitch * 0.05, mouth))
    return prose(
        "From the cushion  A segment that only the cushion fills through its open back"
        f" ({format_hole_area(mouth, show)}) stays {short:.2%} below the cushion's pressure at a"
        f" {format_length(lift.gap, show)} gap and {most:.1%} at {format_length(0.05, show)}: for pressure it"
        " needs no hole of"
        " its own. A hole still fills it first from rest, dries it and keeps the loop blown up."
    )
