"""The joint strip: a folded band of cloth that loop and segments are bolted to, one length per run."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import hole_places, pitch_lines, pitch_text
from skirtloft.pieces.types import CutPiece, Edge, MarkLine, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design, Making

SLIT_STOPS = 0.2  # share of the finished width left uncut at the fold (common practice, no source)


def hole_line(making: Making) -> float:
    """Return how far outside the joint line the row of holes lies [m]: the joint allowance less the edge distance.

    Raises
    ------
    ShapeError
        The holes would cut the joint line.
    """
    distance = making.joint - making.hole_edge
    if distance <= making.hole / 2.0:
        raise ShapeError(
            "joint allowance",
            f"Holes of {making.hole * 1e3:.1f} mm, {making.hole_edge * 1e3:.1f} mm from the cut edge, would cut the "
            f"joint line of an allowance of {making.joint * 1e3:.1f} mm.",
            f"Make making.joint more than {(making.hole_edge + making.hole / 2.0) * 1e3:.1f} mm.",
        )
    return distance


def joint_strip(design: Design, run: SewnRun, code: str, neighbours: tuple[str, str]) -> CutPiece:
    """Return the strip of a run.

    Parameters
    ----------
    design : Design
    run : SewnRun
    code : str
    neighbours : (loop panels, face)
        Codes for the label.

    Notes
    -----
    Frame: x towards the bow from the middle of the run, the fold on y = 0. The fold lies on the joint line, the half
    with y > 0 against the loop's allowance and the other against the segments'; the finished width is the joint
    allowance. Holes are in both halves, so that they coincide when folded. The ends overlap the next run's by the seam
    allowance. At a corner both halves are slit at every web line, so that they lie round the curve.
    """
    making = design.making
    half, width, row = run.length / 2.0, making.joint, hole_line(making)
    corners = frozen_array([[-half, -width], [half, -width], [half, width], [-half, width]])
    loop, face = neighbours
    edges = (
        Edge("edge on the segments", "joint", corners[[0, 1]], 0.0, joins=face),
        Edge("end, bow", "end", corners[[1, 2]], making.seam),
        Edge("edge on the loop", "joint", corners[[2, 3]], 0.0, joins=loop),
        Edge("end, stern", "end", corners[[3, 0]], making.seam),
    )
    places = half - hole_places(run)
    sewn = Sewn(
        base=code,
        name=f"joint strip, {RUN_WORDS[run.name]}",
        kind="joint_strip",
        run=run.name,
        edges=edges,
        holes=np.concatenate([np.column_stack([places, np.full(len(places), y)]) for y in (row, -row)]),
        warp=np.array([1.0, 0.0]),
        joint_length=run.length,
        marks=_marks(run, half, width, making.seam),
        notes=_notes(design, run),
    )
    return finish(sewn, "", run.sides, making.hole, design.cloth.segment.mass)


def _notes(design: Design, run: SewnRun) -> tuple[str, ...]:
    """What to do with the strip, and how the starboard one lies."""
    width = format_length(design.making.joint, "imperial" if design.project.show == "imperial" else "metric")
    fold = f"Fold on the middle line; the fold lies on the joint line, between loop and face. Finished width {width}."
    other = ("Starboard: the same strip with its bow end to the right; number the marks from there.",)
    return (fold, *(other if run.sides == 2 else ()))


def _marks(run: SewnRun, half: float, width: float, overlap: float) -> tuple[MarkLine, ...]:
    """Fold, a line at every web line, and at a corner two slits at every web line inside the run."""
    end = half + overlap
    marks = [MarkLine(frozen_array([[-end, 0.0], [end, 0.0]]), "fold", "fold: joint line")]
    for line, place in enumerate(half - pitch_lines(run)):
        slit = run.wedge > 0.0 and 0 < line < run.segments
        top = SLIT_STOPS * width if slit else width
        marks.append(MarkLine(_upright(place, -top, top), "pitch", pitch_text(run, line)))
        if slit:
            marks += [MarkLine(_upright(place, *ends), "slit") for ends in ((top, width), (-width, -top))]
    return tuple(marks)


def _upright(x: float, low: float, high: float) -> Floats:
    return frozen_array([[x, low], [x, high]])
