"""The joint, measured once along the sewn joint edges of the loop: strip, segments and loop all take it from here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, dataclass, replace

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.polylines import polyline_length
from skirtloft.pieces.types import SewnRun
from skirtloft.shape.types import FlatPanel, Plan

SPREADS = np.round(np.linspace(0.7, 1.3, 121), 3)  # of the holes in a pitch
WIDEST = 1.25  # times the even spacing: no gap between two holes is wider


@dataclass(frozen=True)
class _Place:
    """A panel and the index of its joint run in the plan."""

    panel: FlatPanel
    run: int


def joint_edge_length(panel: FlatPanel) -> float:
    """Return the length of a panel's joint edge along its line [m]."""
    return polyline_length(panel.joint_line)


def holes_per_pitch(pitch: float, hole_pitch: float) -> int:
    """Return how many holes share one pitch: at least 2, so that no bolt sits on a web line and none can turn."""
    return max(2, round(pitch / hole_pitch))


def sewn_runs(plan: Plan, panels: Sequence[FlatPanel], hole_pitch: float, clear: float = 0.0) -> tuple[SewnRun, ...]:
    """Return the runs of the joint that have panels, bow to stern, as long as they will be sewn.

    Parameters
    ----------
    plan : Plan
    panels : sequence of FlatPanel
        Port half and those across the centre line, any order.
    hole_pitch : float [m]
        Wanted distance between holes.
    clear : float [m]
        Wanted distance of a hole's centre from a seam of the loop; with 0 the holes of every run are evenly spaced.

    Raises
    ------
    ShapeError
        A run of the plan that has length has no panel.

    Notes
    -----
    length = sum of the joint edges (off the centre line counted on both sides where the run crosses it);
    cut pitch = length / segments.
    """
    places = [_Place(panel, _run_of(plan, panel)) for panel in panels]
    runs: list[SewnRun] = []
    first = 1
    for index, run in enumerate(plan.runs):
        if run.end - run.start <= 0.0:
            continue
        here = sorted((place.panel for place in places if place.run == index), key=lambda panel: order(plan, panel))
        if not here:
            raise ShapeError(f"joint run {index} ({run.name})", "It has no loop panel.", "Develop the whole loop.")
        sewn = _sewn_run(plan, index, here, hole_pitch, first)
        sewn = replace(sewn, spread=_spread(sewn, clear))
        first += sewn.segments if not sewn.crosses else (sewn.segments + 1) // 2
        runs.append(sewn)
    return tuple(runs)


def _sewn_run(plan: Plan, index: int, panels: list[FlatPanel], hole_pitch: float, first: int) -> SewnRun:
    """One run from its panels in order from bow to stern."""
    run = plan.runs[index]
    crosses = ("bow" if index == 0 else "stern") if run.crosses_centre else ""
    edges = np.array([joint_edge_length(panel) for panel in panels])
    across = np.array([panel.across for panel in panels])
    length = float(np.sum(np.where(across | (crosses == ""), edges, 2.0 * edges)))
    start = 0.0 if crosses != "bow" else length - float(edges.sum())
    ends = start + np.cumsum(edges)
    pitch = length / run.segments
    return SewnRun(
        name=run.name,
        length=length,
        segments=run.segments,
        pitch=pitch,
        holes=holes_per_pitch(pitch, hole_pitch),
        first_segment=first,
        crosses="bow" if crosses == "bow" else "stern" if crosses == "stern" else "",
        radius=run.radius,
        wedge=0.0 if np.isinf(run.radius) else run.fitted_pitch / run.radius,
        panels=tuple(panel.id for panel in panels),
        spans=frozen_array(np.column_stack([ends - edges, ends])),
        first=run.first,
        last=run.last,
        lines=run.lines,
    )


def order(plan: Plan, panel: FlatPanel) -> float:
    """Return the place of a panel along the joint line from the bow centre [m], by its middle on the port side."""
    last = len(plan.stations.ids) - 1
    first, second = sorted((station_number(panel.start), station_number(panel.end)))
    if panel.across:
        return 0.0 if second < last - second else float(plan.stations.at[last])
    return float(plan.stations.at[first] + plan.stations.at[second]) / 2.0


def station_number(station: str) -> int:
    """Return the number of a station id: 3 for "P03" and "S03"."""
    return int(station[1:])


def _run_of(plan: Plan, panel: FlatPanel) -> int:
    """Index of the joint run under the middle of a panel."""
    at = order(plan, panel)
    ends = np.array([run.end for run in plan.runs])
    return min(int(np.searchsorted(ends, at, side="left" if at > 0.0 else "right")), len(ends) - 1)


def pitch_lines(run: SewnRun) -> Floats:
    """Return the places of the web lines in the run, both ends included, (segments + 1,) [m]."""
    lines: Floats = np.arange(run.segments + 1, dtype=np.float64) * run.pitch
    return lines


def places_on_joint_line(plan: Plan, runs: Sequence[SewnRun], index: int) -> Floats:
    """Return where the web lines of run `index` lie along the port joint line from the bow centre, (segments + 1,) [m].

    Negative to starboard of the bow centre, beyond the joint line's length to starboard of the stern centre.
    """
    placed = [run for run in plan.runs if run.end > run.start]
    run, sewn = placed[index], runs[index]
    long = (run.end - run.start) * (2.0 if sewn.crosses else 1.0)
    start = run.start - (run.end - run.start if sewn.crosses == "bow" else 0.0)
    places: Floats = start + pitch_lines(sewn) * (long / sewn.length)
    return places


def line_form(run: SewnRun, line: int) -> SegmentForm:
    """Return the form of the webs at web line `line` of the run, 0 to segments."""
    if run.lines:
        return run.lines[line]
    if not run.is_blended:
        return run.first
    share = line / run.segments
    ends = zip(astuple(run.first), astuple(run.last), strict=True)
    return SegmentForm(*(a + share * (b - a) if line < run.segments else b for a, b in ends))


def alike_segments(run: SewnRun) -> tuple[tuple[int, int], ...]:
    """Return the segments of a run in groups between equal webs: (first, how many), bow end first."""
    if not run.is_blended:
        return ((0, run.segments),)
    if not run.lines:
        return tuple((first, 1) for first in range(run.segments))
    groups: list[tuple[int, int]] = []
    for k in range(run.segments):
        is_even = run.lines[k] == run.lines[k + 1]
        goes_on = is_even and groups and run.lines[groups[-1][0]] == run.lines[k]
        if goes_on and run.lines[k - 1] == run.lines[k]:
            groups[-1] = groups[-1][0], groups[-1][1] + 1
        else:
            groups.append((k, 1))
    return tuple(groups)


def is_starboard(run: SewnRun, segment: int) -> bool:
    """Return whether a segment of a run across the centre line lies to starboard; the middle one counts as port."""
    before, after = segment, run.segments - 1 - segment
    return (run.crosses == "bow" and before < after) or (run.crosses == "stern" and before > after)


def holes_in_pitch(run: SewnRun) -> Floats:
    """Return the places of the holes of one pitch from its middle, (holes,) [m], bow end first.

    Notes
    -----
    ((i + 1/2)/holes - 1/2) spread pitch: the same on either side of the middle, so that a face has no hand by them.
    """
    share = (np.arange(run.holes, dtype=np.float64) + 0.5) / run.holes - 0.5
    places: Floats = share * (run.spread * run.pitch)
    return places


def hole_places(run: SewnRun) -> Floats:
    """Return the places of all holes in the run, (segments * holes,) [m], from its bow end."""
    middles = (np.arange(run.segments, dtype=np.float64) + 0.5) * run.pitch
    places: Floats = (middles[:, None] + holes_in_pitch(run)).ravel()
    return places


def _spread(run: SewnRun, clear: float) -> float:
    """Return the spread nearest to even with which every hole is `clear` of the loop's seams, else the clearest."""
    seams = np.unique(np.round(run.spans.ravel(), 9))
    if run.crosses:
        seams = np.concatenate([seams, run.length - seams])
    across = 1.0 - SPREADS * (run.holes - 1) / run.holes  # gap at a web line over the pitch
    fits = np.maximum(across, SPREADS / run.holes) <= WIDEST / run.holes + 1e-12
    best, best_room = 1.0, -np.inf
    for spread in sorted(SPREADS[fits], key=lambda value: (abs(value - 1.0), value)):
        places = hole_places(replace(run, spread=float(spread)))
        room = float(np.abs(places[:, None] - seams[None, :]).min())
        if room >= clear:
            return float(spread)
        if room > best_room + 1e-9:
            best, best_room = float(spread), room
    return best


def segment_number(run: SewnRun, index: int) -> int:
    """Return the number, counted from the bow centre on its side, of segment `index` of the run.

    On a run across the centre line both sides count alike; an odd one's middle segment belongs to both.
    """
    from_centre = abs(2 * index + 1 - run.segments) // 2
    if run.crosses == "bow":
        return run.first_segment + from_centre
    if run.crosses == "stern":
        return run.first_segment + (run.segments + 1) // 2 - 1 - from_centre
    return run.first_segment + index


def pitch_text(run: SewnRun, line: int) -> str:
    """Return what to write at web line `line` of the run: the two segments that meet there, "7/8"."""
    before = segment_number(run, line - 1) if line > 0 else 0
    after = segment_number(run, line) if line < run.segments else 0
    if 0 in (before, after):
        return f"{before or after}"
    return f"{min(before, after)}/{max(before, after)}"
