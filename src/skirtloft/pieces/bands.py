"""Bands along the craft besides the joint strip: the folded hull band, and the apron against spray."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import hole_places, pitch_lines, pitch_text
from skirtloft.pieces.strip import SLIT_STOPS, hole_line
from skirtloft.pieces.types import CutPiece, Edge, MarkLine, SewnRun

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skirtloft.design.model import Design

STEPS = 8  # of an arc in every pitch
FLAP_RUNS: dict[str, tuple[str, ...]] = {
    "bow": ("bow", "bow_corner"),
    "bow and sides": ("bow", "bow_corner", "side", "side_corner"),
    "all": ("bow", "bow_corner", "side", "side_corner", "stern_corner", "stern"),
}


def hull_bands(design: Design, runs: Sequence[SewnRun], loop: Sequence[CutPiece]) -> tuple[CutPiece, ...]:
    """Return the folded bands along the hull edge, one length per run of the joint; () where none are wanted.

    Notes
    -----
    A band is as long as the hull edges of its run's loop panels together; the seams of the loop are marked across it.
    Fold on y = 0, which lies on the hull edge; x to the bow from the middle.
    """
    band = design.making.hull_band
    if band is None:
        return ()
    made = []
    for index, run in enumerate(runs):
        panels = [next(piece for piece in loop if piece.base == panel) for panel in run.panels]
        lengths = [edge.length for piece in panels for edge in piece.edges if edge.kind == "hull"]
        letters = [next(e.letter for e in reversed(piece.edges) if e.kind == "seam") for piece in panels]
        seams = np.cumsum(lengths)
        port = float(seams[-1])
        across = [piece.hand == "" for piece in panels]
        length = sum(x * (1.0 if run.crosses == "" or own else 2.0) for x, own in zip(lengths, across, strict=True))
        places = [(float(at) + (length - port if run.crosses == "bow" else 0.0), letter)
                  for at, letter in zip(seams[:-1], letters[:-1], strict=True)]  # fmt: skip
        if run.crosses:
            places += [(length - at, letter) for at, letter in places]
        made.append(_hull_band(design, run, f"E{index + 1}", length, places))
    return tuple(made)


def _hull_band(design: Design, run: SewnRun, code: str, length: float, seams: Sequence[tuple[float, str]]) -> CutPiece:
    assert design.making.hull_band is not None
    making, width, half = design.making, design.making.hull_band.width, length / 2.0
    corners = frozen_array([[-half, -width], [half, -width], [half, width], [-half, width]])
    edges = (
        Edge("edge below", "free", corners[[0, 1]], 0.0, joins=run.panels[0] if len(run.panels) == 1 else "loop"),
        Edge("end, bow", "end", corners[[1, 2]], making.seam),
        Edge("edge above", "free", corners[[2, 3]], 0.0, joins="hull"),
        Edge("end, stern", "end", corners[[3, 0]], making.seam),
    )
    end = half + making.seam
    marks = [MarkLine(frozen_array([[-end, 0.0], [end, 0.0]]), "fold", "fold: hull edge")]
    for at, letter in seams:
        x = half - at
        marks.append(MarkLine(frozen_array([[x, -width], [x, width]]), "pitch", letter))
    sewn = Sewn(
        base=code,
        name=f"hull band, {RUN_WORDS[run.name]}",
        kind="hull_band",
        run=run.name,
        edges=edges,
        holes=np.zeros((0, 2)),
        warp=np.array([1.0, 0.0]),
        joint_length=0.0,
        marks=tuple(marks),
        notes=(
            "Fold on the middle line, over the raw hull edge of the loop; sew through both. Letters: the loop's seams. "
            "In a bend cut both halves to 5 mm from the fold at the letters.",
        ),
    )
    return finish(sewn, "", run.sides, making.hole, design.cloth.segment.mass)


def spray_flaps(design: Design, runs: Sequence[SewnRun], loop_codes: Sequence[str]) -> tuple[CutPiece, ...]:
    """Return the aprons that hang from the joint over the tops of the segments, one length per run wanted.

    Notes
    -----
    On a straight run a rectangle; round a corner of radius r the sector of a cone that slopes as the faces do, top
    radius r/cos(face angle), its top edge as long as the joint.
    """
    wanted = design.making.spray_flap
    if wanted is None:
        return ()
    made: list[CutPiece] = []
    for run, codes in zip(runs, loop_codes, strict=True):
        if run.name in FLAP_RUNS[wanted.runs]:
            made.append(_spray_flap(design, run, f"A{len(made) + 1}", codes))
    return tuple(made)


def flap_point(run: SewnRun, at: Floats, above: float) -> Floats:
    """Return points of an apron at places (k,) [m] of the joint, `above` [m] beyond the joint line, (k, 2) [m]."""
    middle = run.length / 2.0 - at
    if run.wedge == 0.0:
        return np.column_stack([middle, np.full(len(at), above)])
    radius = _flap_radius(run)
    turn = middle / radius
    points: Floats = np.column_stack([(radius + above) * np.sin(turn), (radius + above) * np.cos(turn) - radius])
    return points


def _flap_radius(run: SewnRun) -> float:
    """Top radius of a corner's apron [m], in the mean of the run's two ends."""
    return float(run.radius / np.cos((run.first.face_angle + run.last.face_angle) / 2.0))


def _spray_flap(design: Design, run: SewnRun, code: str, codes: str) -> CutPiece:
    wanted, making = design.making.spray_flap, design.making
    assert wanted is not None
    count = 1 if run.wedge == 0.0 else STEPS * run.segments
    at = np.linspace(0.0, run.length, count + 1)
    top, low = flap_point(run, at, 0.0), flap_point(run, at, -wanted.drop)
    edges = (
        Edge("lower edge", "free", frozen_array(low[::-1]), 0.0),
        Edge("end, bow", "end", frozen_array([low[0], top[0]]), making.seam),
        Edge("joint", "joint", frozen_array(top), making.joint, joins=codes),
        Edge("end, stern", "end", frozen_array([top[-1], low[-1]]), making.seam),
    )
    marks = []
    for line, place in enumerate(pitch_lines(run)):
        slit = run.wedge > 0.0 and 0 < line < run.segments
        stop = SLIT_STOPS * making.joint if slit else making.joint
        ends = [flap_point(run, np.array([place]), above)[0] for above in (0.0, stop, making.joint)]
        marks.append(MarkLine(frozen_array(ends[:2]), "pitch", pitch_text(run, line)))
        if slit:
            marks.append(MarkLine(frozen_array(ends[1:]), "slit"))
    sewn = Sewn(
        base=code,
        name=f"apron against spray, {RUN_WORDS[run.name]}",
        kind="spray_flap",
        run=run.name,
        edges=edges,
        holes=flap_point(run, hole_places(run), hole_line(making)),
        warp=np.array([1.0, 0.0]),
        joint_length=run.length,
        marks=tuple(marks),
        notes=("Bolt it at the joint under the loop, outside the faces; it hangs free over their tops.",),
    )
    return finish(sewn, "", run.sides, making.hole, design.cloth.segment.mass)
