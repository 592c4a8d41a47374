"""The joint of the port half divided into nodes: segment ends and panel seams all fall on nodes.

Loop and segments meet node on node along the joint. Lengths along it are those of the sewn joint edge (`SewnRun`), so
that every piece keeps its own flat length whatever the others do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.inflate.types import Ints
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.joint import pitch_lines
from skirtloft.pieces.segment_set import SegmentSet
from skirtloft.pieces.types import SewnRun
from skirtloft.shape.types import Plan

WHOLE, BOW_HALF, STERN_HALF = (0.0, 1.0), (0.0, 0.5), (0.5, 1.0)
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
    low, high : float
        The part of its width that is there, from the bow: 1/2 to 1 where the bow's centre line cuts it.
    """

    run: int
    number: int
    first: int
    last: int
    face: int
    bow_web: int
    stern_web: int
    low: float = 0.0
    high: float = 1.0


@dataclass(frozen=True)
class PanelSpan:
    """One loop panel, or the part of one that is there; `first`, `last`, `low` and `high` as in `SegmentSpan`."""

    panel: str
    first: int
    last: int
    low: float = 0.0
    high: float = 1.0


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
            steps = across if part == WHOLE else across // 2
            nodes = _divided(low, high, steps, ends, f"segment {k + 1} of the {sewn.name} run")
            share = (nodes[1:] - stretch.base) / (stretch.high - stretch.low)
            first = len(sewn_at) - 1
            sewn_at += nodes[1:].tolist()
            plan_at += (drawn.start + share * (drawn.end - drawn.start)).tolist()
            of_run += [number] * steps
            face, bow, stern = _pieces_of(segments, number, k)
            spans.append(SegmentSpan(number, k, first, first + steps, face, bow, stern, *part))
    places = np.array(sewn_at)
    panels = tuple(_panel(runs, name, low, high, places) for name, low, high in _panel_spans(runs, stretches))
    return JointChain(
        at=frozen_array(plan_at), sewn=frozen_array(places), runs=np.array(of_run), segments=tuple(spans), panels=panels
    )


def window(chain: JointChain, first: int, last: int) -> JointChain:
    """Return the chain from segment `first` to segment `last` alone, panels cut off at its ends.

    A panel that is cut must be a rectangle there: its cut edge runs straight from the hull edge to the joint.
    """
    segments = chain.segments[first : last + 1]
    start, stop = segments[0].first, segments[-1].last
    panels = []
    for span in chain.panels:
        low, high = max(span.first, start), min(span.last, stop)
        if low >= high:
            continue
        own = chain.sewn[[span.first, low, high, span.last]]
        shares = span.low + (own[1:3] - own[0]) / (own[3] - own[0]) * (span.high - span.low)
        panels.append(PanelSpan(span.panel, low - start, high - start, float(shares[0]), float(shares[1])))
    return JointChain(
        at=frozen_array(chain.at[start : stop + 1]),
        sewn=frozen_array(chain.sewn[start : stop + 1]),
        runs=chain.runs[start:stop],
        segments=tuple(replace(span, first=span.first - start, last=span.last - start) for span in segments),
        panels=tuple(panels),
    )


def _segments(run: SewnRun, stretch: _Stretch) -> list[tuple[int, float, float, tuple[float, float]]]:
    """Return number, ends along the sewn joint and part of the segments of the port half of a run."""
    lines, close = pitch_lines(run), 1e-6 * run.pitch
    found: list[tuple[int, float, float, tuple[float, float]]] = []
    for k in range(run.segments):
        low, high = max(float(lines[k]), stretch.low), min(float(lines[k + 1]), stretch.high)
        if high - low < close:
            continue
        is_whole = high - low > run.pitch - close
        part = WHOLE if is_whole else STERN_HALF if run.crosses == "bow" else BOW_HALF
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
    part = WHOLE if is_whole else STERN_HALF if run.crosses == "bow" else BOW_HALF
    return PanelSpan(name, first, last, *part)


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
    return np.asarray(np.interp(np.arange(steps + 1), wanted, ends))


def _pieces_of(segments: SegmentSet, run: int, number: int) -> tuple[int, int, int]:
    """Return face and webs of a segment."""
    for place in segments.places:
        if place.run == run and place.first <= number < place.first + place.count:
            return place.face, place.bow_web, place.stern_web
    raise ShapeError(f"segment {number + 1} of run {run + 1}", "No face was cut for it.", "Cut the pieces again.")
