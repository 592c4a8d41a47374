"""What is marked along the hull: stations, seams and holes on the hull edge, ties of the webs on the fixing line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.types import Sections
from skirtloft.pieces.joint import pitch_lines, pitch_text, sewn_runs
from skirtloft.pieces.loop_panels import loop_seams
from skirtloft.pieces.types import SewnRun
from skirtloft.shape.hull_lines import along_hull_edge, inner_line
from skirtloft.shape.types import FlatPanel, JointRun, Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design

SAME = 1e-6  # m: two marks nearer than this are one


@dataclass(frozen=True)
class HullMark:
    """One mark on a line of the hull: `at` [m] from the bow centre along the line, in space."""

    at: float
    kind: Literal["station", "hole", "web"]
    text: str


@dataclass(frozen=True)
class HullStrip:
    """The marks along one line of the hull, port half, bow centre to stern centre.

    Parameters
    ----------
    code : "H" or "I"
    name : str
    length : float [m]
    marks : tuple of HullMark
        In order from the bow centre.
    hole : float [m]
        Diameter to drill.
    bends : tuple of (start, end) [m]
        Where the line is curved in plan.
    """

    code: str
    name: str
    length: float
    marks: tuple[HullMark, ...]
    hole: float
    bends: tuple[tuple[float, float], ...]


def hull_strips(design: Design, plan: Plan, sections: Sections, panels: Sequence[FlatPanel]) -> tuple[HullStrip, ...]:
    """Return what is marked along the hull edge and along the inner-fixing line.

    Notes
    -----
    Hull edge: between two seams of the loop holes at equal steps nearest to the wanted pitch, half a step from each
    seam, so that none falls on one. Inner-fixing line: the webs of neighbouring segments are tied at one point, where
    the section at their web line meets it.
    """
    return (_edge_strip(design, plan, panels), _fixing_strip(design, plan, sections, panels))


def _edge_strip(design: Design, plan: Plan, panels: Sequence[FlatPanel]) -> HullStrip:
    stations = plan.stations
    seams = loop_seams(plan, panels)
    along = along_hull_edge(plan, stations.hull_at)
    length = float(along[-1])
    marks = [
        HullMark(float(along[i]), "station", f"{name}, seam {seams[i].letter}" if i in seams else name)
        for i, name in enumerate(stations.ids)
    ]
    ends = [float(along[i]) for i in sorted(seams)]
    ends = [*([-ends[0]] if ends[0] > SAME else []), *ends, *([2 * length - ends[-1]] if ends[-1] < length else [])]
    for start, end in pairwise(ends):
        count = max(1, round((end - start) / design.making.hole_pitch))
        places = start + (np.arange(count) + 0.5) * (end - start) / count
        marks += [HullMark(float(at), "hole", "") for at in places if -SAME <= at <= length + SAME]
    bends = _bends(plan, stations.at, along)
    return HullStrip("H", "hull edge", length, _in_order(marks), design.making.hole, bends)


def _fixing_strip(design: Design, plan: Plan, sections: Sections, panels: Sequence[FlatPanel]) -> HullStrip:
    line = inner_line(plan, sections)
    length = float(line.along[-1])
    runs = sewn_runs(plan, panels, design.making.hole_pitch)
    texts: dict[float, list[str]] = {}
    for run, sewn in zip((run for run in plan.runs if run.end > run.start), runs, strict=True):
        for at, text in _web_lines(run, sewn):
            near = next((known for known in texts if abs(known - at) < SAME), at)
            texts.setdefault(near, []).append(text)
    webs = [
        HullMark(float(np.interp(at, line.joint_at, line.along)), "web", "/".join(dict.fromkeys(words)))
        for at, words in texts.items()
    ]
    at_stations = np.interp(plan.stations.at, line.joint_at, line.along)
    marks = [HullMark(float(at), "station", name) for at, name in zip(at_stations, plan.stations.ids, strict=True)]
    bends = _bends(plan, line.joint_at, line.along)
    return HullStrip("I", "inner-fixing line", length, _in_order([*marks, *webs]), design.making.hole, bends)


def _web_lines(run: JointRun, sewn: SewnRun) -> list[tuple[float, str]]:
    """Return the place of every web line of a run on the port half [m along the joint line] with its segments."""
    pitch = run.fitted_pitch
    places = run.start + pitch_lines(sewn) * (pitch / sewn.pitch)
    if sewn.crosses == "bow":
        places = places - (run.end - run.start)
    return [
        (abs(float(at)), pitch_text(sewn, k)) for k, at in enumerate(places) if run.start - SAME <= at <= run.end + SAME
    ]


def _bends(plan: Plan, joint_at: Floats, along: Floats) -> tuple[tuple[float, float], ...]:
    """Return where the runs of the joint line that are arcs lie on a line."""
    return tuple(
        (float(np.interp(run.start, joint_at, along)), float(np.interp(run.end, joint_at, along)))
        for run in plan.runs
        if np.isfinite(run.radius)
    )


def _in_order(marks: Sequence[HullMark]) -> tuple[HullMark, ...]:
    return tuple(sorted(marks, key=lambda mark: (mark.at, mark.kind)))
