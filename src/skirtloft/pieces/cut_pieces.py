"""From flat panels and the plan to every distinct piece to cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skirtloft.pieces.joint import order, sewn_runs
from skirtloft.pieces.loop_panels import loop_pieces, loop_seams
from skirtloft.pieces.marks import seam_letter
from skirtloft.pieces.segment_pieces import face_piece, run_faces, web_pieces
from skirtloft.pieces.strip import joint_strip
from skirtloft.pieces.types import CutPiece, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.shape.types import FlatPanel, Plan


@dataclass(frozen=True)
class _Codes:
    """Codes of the face and the strip of each run."""

    faces: tuple[str, ...]
    strips: tuple[str, ...]


def cut_pieces(design: Design, plan: Plan, panels: Sequence[FlatPanel]) -> tuple[CutPiece, ...]:
    """Return every piece to cut: loop panels, faces, webs, joint strips, each once per hand.

    Parameters
    ----------
    design : Design
    plan : Plan
        Its joint runs say how many segments share which length.
    panels : sequence of FlatPanel
        Port half and those across the centre line.

    Raises
    ------
    ShapeError
        A piece cannot be made: which, why, and what would do.

    Notes
    -----
    Everything that meets at the joint is measured along the sewn joint edges of the loop panels: the cut pitch of a run
    is their sum divided by its segments; strip, segment tops, holes and web lines all come from it. Segments never lie
    across the end of a run; they may lie across a loop seam inside one.
    """
    runs = sewn_runs(plan, panels, design.making.hole_pitch)
    shapes, which = run_faces(design, runs)
    codes = _Codes(tuple(f"F{i + 1}" for i in which), tuple(f"J{i + 1}" for i in range(len(runs))))
    pieces = list(_loop(design, plan, panels, runs, codes))
    web_seam = seam_letter(len(loop_seams(plan, panels)))
    for number, shape in enumerate(shapes):
        own = [i for i, used in enumerate(which) if used == number]
        joint = ", ".join([*(codes.strips[i] for i in own), *(_listed(runs[i].panels) for i in own)])
        pieces.append(face_piece(design, f"F{number + 1}", shape, tuple(runs[i] for i in own), (joint, web_seam)))
    pieces += web_pieces(design, runs, (", ".join(dict.fromkeys(codes.faces)), web_seam))
    for i, run in enumerate(runs):
        pieces.append(joint_strip(design, run, codes.strips[i], (_listed(run.panels), codes.faces[i])))
    return tuple(pieces)


def _loop(
    design: Design, plan: Plan, panels: Sequence[FlatPanel], runs: tuple[SewnRun, ...], codes: _Codes
) -> list[CutPiece]:
    """Loop pieces from bow to stern."""
    seams = loop_seams(plan, panels)
    pieces: list[CutPiece] = []
    for panel in sorted(panels, key=lambda panel: order(plan, panel)):
        i = next(i for i, run in enumerate(runs) if panel.id in run.panels)
        pieces += loop_pieces(design, panel, runs[i], seams, f"{codes.strips[i]}, {codes.faces[i]}")
    return pieces


def _listed(codes: tuple[str, ...]) -> str:
    """Codes in words, a long list by its first and last: "L03 to L08"."""
    return ", ".join(codes) if len(codes) <= 2 else f"{codes[0]} to {codes[-1]}"
