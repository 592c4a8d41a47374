"""Three segments of a straight run with their strip and loop: what is sewn first and tried in a box."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import Sewn, finish, with_hand
from skirtloft.pieces.joint import hole_places, pitch_lines, pitch_text, sewn_runs
from skirtloft.pieces.patches import patch_piece, with_patch_place
from skirtloft.pieces.seams import loop_allowance, with_zones
from skirtloft.pieces.segment_pieces import face_pieces, tie_tab_half, web_pieces
from skirtloft.pieces.segment_set import segment_set
from skirtloft.pieces.strip import hole_line, joint_strip
from skirtloft.pieces.types import CutPiece, Edge, MarkLine, SewnRun
from skirtloft.shape.types import FlatPanel, Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design

SEGMENTS = 3  # the middle one has a neighbour on either side: it is the one that counts
END_FLAP = 0.03  # m of loop cloth turned in at either end; the pressure lays it on the wall


def trial_run(design: Design, plan: Plan, panels: Sequence[FlatPanel]) -> tuple[SewnRun, float]:
    """Return a straight run of three segments like those of the side, else of the longest run, and where that is.

    Pitch, holes in a pitch and form of the segments are the run's own, the joint straight; the place is its middle,
    along the joint line from the bow centre [m].
    """
    making = design.making
    runs = sewn_runs(plan, panels, making.hole_pitch, loop_allowance(making) + making.hole / 2.0)
    number = max(range(len(runs)), key=lambda i: (runs[i].wedge == 0.0, runs[i].name == "side", runs[i].length))
    like, where = runs[number], [run for run in plan.runs if run.end > run.start][number]
    run = replace(
        like,
        length=SEGMENTS * like.pitch,
        segments=SEGMENTS,
        first_segment=1,
        crosses="",
        radius=float("inf"),
        wedge=0.0,
        panels=("TL1",),
        spans=frozen_array([[0.0, SEGMENTS * like.pitch]]),
        last=like.first,
    )
    return run, (where.start + where.end) / 2.0


def trial_pieces(design: Design, run: SewnRun, loop_length: float) -> tuple[CutPiece, ...]:
    """Return the pieces of the trial: face, both webs, strip, loop and patch, codes beginning with T.

    Parameters
    ----------
    design : Design
    run : SewnRun
        From `trial_run`.
    loop_length : float [m]
        From hull edge to joint, without the diaphragm that the kit has not.
    """
    segments, making = segment_set((run,)), design.making
    (face,) = face_pieces(design, 0, segments, (run,), ("TJ1, TL1", ("A",)))[:1]
    webs: list[CutPiece] = list(web_pieces(design, 0, segments, (run,), ("TF1", "A")))
    half = tie_tab_half(making)
    if making.patch > 0.0:
        webs = [with_patch_place(web, half, making.patch) for web in webs]
    made = [_called(face, "TF1", SEGMENTS), *(_called(web, "TW1", SEGMENTS) for web in webs)]
    made += [_called(joint_strip(design, run, "TJ1", ("TL1", "TF1")), "TJ1", 1), _loop(design, run, loop_length)]
    if making.patch > 0.0:
        made.append(_called(patch_piece(design, half, 2 * SEGMENTS, "TW1"), "TR1", 2 * SEGMENTS))
    return tuple(with_zones(piece, design) for piece in made)


def _called(piece: CutPiece, base: str, quantity: int) -> CutPiece:
    """Return the piece with a code of the trial's own."""
    edges = tuple(replace(edge, joins=edge.joins.replace("W1", "TW1").replace("TTW", "TW")) for edge in piece.edges)
    notes = tuple(note.replace("patch R1", "patch TR1") for note in piece.notes if not note.startswith("Starboard"))
    return replace(piece, id=with_hand(base, piece.hand), base=base, quantity=quantity, edges=edges, notes=notes)


def _loop(design: Design, run: SewnRun, length: float) -> CutPiece:
    """Return the loop: a rectangle whose ends are turned in against the walls of the box."""
    making, half = design.making, run.length / 2.0
    low, high = frozen_array([[-half, 0.0], [half, 0.0]]), frozen_array([[half, length], [-half, length]])
    edges = (
        Edge("joint", "joint", low, making.joint, joins="TJ1, TF1"),
        Edge("end, turned in", "fold", frozen_array([low[1], high[0]]), END_FLAP),
        Edge("hull edge", "hull", high, making.hull_edge, joins="the deck of the box"),
        Edge("end, turned in", "fold", frozen_array([high[1], low[0]]), END_FLAP),
    )
    at = half - hole_places(run)
    marks = [
        MarkLine(_upright(x, -making.joint), "pitch", pitch_text(run, line))
        for line, x in enumerate(half - pitch_lines(run))
    ]
    sewn = Sewn(
        base="TL1",
        name="loop of the trial",
        kind="loop_panel",
        run=run.name,
        edges=edges,
        holes=np.column_stack([at, np.full(len(at), -hole_line(making))]),
        warp=np.array([1.0, 0.0] if design.cloth.loop.warp == "along" else [0.0, 1.0]),
        joint_length=run.length,
        marks=tuple(marks),
        notes=("Turn both ends in along their fold lines; do not sew them down: the air lays them on the walls.",),
    )
    return finish(sewn, "", 1, making.hole, design.cloth.loop.mass)


def _upright(x: float, low: float) -> Floats:
    return frozen_array([[x, low], [x, 0.0]])
