"""The joint of the port half divided into nodes: segment ends and panel seams all fall on nodes.

Loop and segments meet node on node along the joint. Lengths along it are those of the sewn joint edge (`SewnRun`), so
that every piece keeps its own flat length whatever the others do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.inflate.types import Ints
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.joint import pitch_lines
from skirtloft.pieces.segment_set import SegmentSet
from skirtloft.pieces.types import SewnRun
from skirtloft.shape.types import Plan

Part = Literal["whole", "bow part", "stern part"]
NEAR = 0.03  # of a step: a seam nearer to a segment's end than this meets it there


@dataclass(frozen=True)
class SegmentSpan:
    """One segment, or the half of one that the centre line cuts.

    Parameters
    ----------
    run : int
        Index among the sewn runs.
    number : int
        In its run, from 0.
    first, last : int
        Joint nodes of its ends.
    face, bow_web, stern_web : int
        As in `SegmentSet`.
    part : Part
        "stern part" at the bow centre: the part of it nearer the stern.
    """

    run: int
    number: int
    first: int
    last: int
    face: int
    bow_web: int
    stern_web: int
    part: Part = "whole"


@dataclass(frozen=True)
class PanelSpan:
    """One loop panel, or the half of one that goes on across the centre line; `first`, `last` as in `SegmentSpan`."""

    panel: str
    first: int
    last: int
    part: Part = "whole"


@dataclass(frozen=True, eq=False)
class JointChain:
    """The joint from bow centre to stern centre as nodes.

    Parameters
    ----------
    at : (c,) [m]
        Place along the joint line of the plan.
    sewn : (c,) [m]
        Place along the sewn joint edges from the bow centre.
    runs : (c - 1,)
        Index of the sewn run of every step.
    segments : tuple of SegmentSpan
    panels : tuple of PanelSpan
    """

    at: Floats
    sewn: Floats
    runs: Ints
    segments: tuple[SegmentSpan, ...]
    panels: tuple[PanelSpan, ...]


@dataclass(frozen=True)
class _Stretch:
    """The port half of a run: from `low` to `high` of its length, `base` along the whole sewn joint at `low` [m]."""

    low: float
    high: float
    base: float


def joint_chain(plan: Plan, runs: Sequence[SewnRun], segments: SegmentSet, across: int) -> JointChain:
    """Return the joint divided into `across` (even) steps per segment.

    Raises
    ------
    ShapeError
        More seams fall into one segment than it has steps.
    """
    own = [run for run in plan.runs if run.end > run.start]
    stretches, base = [], 0.0
    for sewn in runs:
        low = sewn.length / 2.0 if sewn.crosses == "bow" else 0.0
        high = sewn.length / 2.0 if sewn.crosses == "stern" else sewn.length
        stretches.append(_Stretch(low, high, base))
        base += high - low
    ends = _panel_ends(runs, stretches)
    sewn_at, plan_at, of_run = [0.0], [0.0], []
    spans: list[SegmentSpan] = []
    for number, (sewn, stretch, drawn) in enumerate(zip(runs, stretches, own, strict=True)):
        for k, low, high, part in _segments(sewn, stretch):
            steps = across if part == "whole" else across // 2
            nodes = _divided(low, high, steps, ends, f"segment {k + 1} of the {sewn.name} run")
            share = (nodes[1:] - stretch.base) / (stretch.high - stretch.low)
            first = len(sewn_at) - 1
            sewn_at += nodes[1:].tolist()
            plan_at += (drawn.start + share * (drawn.end - drawn.start)).tolist()
            of_run += [number] * steps
            face, bow, stern = _pieces_of(segments, number, k)
            spans.append(SegmentSpan(number, k, first, first + steps, face, bow, stern, part))
    places = np.array(sewn_at)
    panels = tuple(_panel(runs, name, low, high, places) for name, low, high in _panel_spans(runs, stretches))
    return JointChain(
        at=frozen_array(plan_at), sewn=frozen_array(places), runs=np.array(of_run), segments=tuple(spans), panels=panels
    )


def _segments(run: SewnRun, stretch: _Stretch) -> list[tuple[int, float, float, Part]]:
    """Return number, ends along the sewn joint and part of the segments of the port half of a run."""
    lines, close = pitch_lines(run), 1e-6 * run.pitch
    found: list[tuple[int, float, float, Part]] = []
    for k in range(run.segments):
        low, high = max(float(lines[k]), stretch.low), min(float(lines[k + 1]), stretch.high)
        if high - low < close:
            continue
        is_whole = high - low > run.pitch - close
        part: Part = "whole" if is_whole else "stern part" if run.crosses == "bow" else "bow part"
        found.append((k, low - stretch.low + stretch.base, high - stretch.low + stretch.base, part))
    return found


def _panel_spans(runs: Sequence[SewnRun], stretches: Sequence[_Stretch]) -> list[tuple[str, float, float]]:
    """Return every panel's stretch of the sewn joint of the port half."""
    found = []
    for run, stretch in zip(runs, stretches, strict=True):
        for name, (low, high) in zip(run.panels, run.spans, strict=True):
            low, high = max(float(low), stretch.low), min(float(high), stretch.high)
            found.append((name, low - stretch.low + stretch.base, high - stretch.low + stretch.base))
    return found


def _panel_ends(runs: Sequence[SewnRun], stretches: Sequence[_Stretch]) -> Floats:
    return np.array([low for _, low, _ in _panel_spans(runs, stretches)])


def _panel(runs: Sequence[SewnRun], name: str, low: float, high: float, places: Floats) -> PanelSpan:
    first, last = (int(np.argmin(np.abs(places - end))) for end in (low, high))
    run = next(run for run in runs if name in run.panels)
    length = float(np.diff(run.spans[run.panels.index(name)])[0])
    is_whole = high - low > (1.0 - 1e-6) * length
    part: Part = "whole" if is_whole else "stern part" if run.crosses == "bow" else "bow part"
    return PanelSpan(name, first, last, part)


def _divided(low: float, high: float, steps: int, seams: Floats, where: str) -> Floats:
    """Return steps + 1 places from low to high, on every seam between, steps spread as evenly as that allows."""
    near = NEAR * (high - low) / steps
    inside = seams[(seams > low + near) & (seams < high - near)]
    if len(inside) >= steps:
        raise ShapeError(
            f"mesh of {where}",
            f"{len(inside)} loop seams fall into it, and it has {steps} steps.",
            "A finer mesh, or fewer stations in the corner, would do.",
        )
    ends = np.concatenate([[low], inside, [high]])
    wanted = np.round((ends - low) / (high - low) * steps).astype(int)
    wanted[0], wanted[-1] = 0, steps
    for i in range(1, len(wanted)):
        wanted[i] = max(wanted[i], wanted[i - 1] + 1)
    wanted[-1] = steps
    for i in range(len(wanted) - 2, 0, -1):
        wanted[i] = min(wanted[i], wanted[i + 1] - 1)
    return np.interp(np.arange(steps + 1), wanted, ends)


def _pieces_of(segments: SegmentSet, run: int, number: int) -> tuple[int, int, int]:
    """Return face and webs of a segment."""
    for place in segments.places:
        if place.run == run and place.first <= number < place.first + place.count:
            return place.face, place.bow_web, place.stern_web
    raise ShapeError(f"segment {number + 1} of run {run + 1}", "No face was cut for it.", "Cut the pieces again.")
