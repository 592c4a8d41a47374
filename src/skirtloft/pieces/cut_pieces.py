"""From flat panels and the plan to every distinct piece to cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from skirtloft.pieces.joint import order, sewn_runs
from skirtloft.pieces.loop_panels import loop_pieces, loop_seams
from skirtloft.pieces.marks import seam_letter
from skirtloft.pieces.segment_pieces import face_pieces, web_pieces
from skirtloft.pieces.segment_set import SegmentSet, segment_set
from skirtloft.pieces.strip import joint_strip
from skirtloft.pieces.types import CutPiece, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.shape.types import FlatPanel, Plan


@dataclass(frozen=True)
class _Codes:
    """Codes of the faces and the strip of each run."""

    faces: tuple[str, ...]
    strips: tuple[str, ...]


def cut_pieces(
    design: Design, plan: Plan, panels: Sequence[FlatPanel], corner_hull_edge: float | None = None
) -> tuple[CutPiece, ...]:
    """Return every piece to cut: loop panels, faces, webs, joint strips, each once per hand.

    Parameters
    ----------
    design : Design
    plan : Plan
        Its joint runs say how many segments share which length.
    panels : sequence of FlatPanel
        Port half and those across the centre line.
    corner_hull_edge : float, optional [m]
        Allowance at the hull edge of corner panels; else that of the runs.

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
    return tuple(each_piece(design, plan, panels, corner_hull_edge))


def each_piece(
    design: Design, plan: Plan, panels: Sequence[FlatPanel], corner_hull_edge: float | None = None
) -> Iterator[CutPiece]:
    """Yield the pieces of `cut_pieces` one by one, each cut when it is asked for."""
    runs = sewn_runs(plan, panels, design.making.hole_pitch)
    segments = segment_set(runs)
    codes = _codes(segments, runs)
    yield from _loop((design, _with_hull_edge(design, corner_hull_edge)), plan, panels, runs, codes)
    first = len(loop_seams(plan, panels))
    letters = tuple(seam_letter(first + i) for i in range(len(segments.webs)))
    for number in range(len(segments.faces)):
        own = list(dict.fromkeys(place.run for place in segments.places if place.face == number))
        joint = ", ".join([*(codes.strips[i] for i in own), *(_listed(runs[i].panels) for i in own)])
        yield from face_pieces(design, number, segments, runs, (joint, letters))
    for number in range(len(segments.webs)):
        mine = [place.face for place in segments.places if number in (place.bow_web, place.stern_web)]
        faces = ", ".join(dict.fromkeys(f"F{face + 1}" for face in mine))
        yield from web_pieces(design, number, segments, runs, (faces, letters[number]))
    for i, run in enumerate(runs):
        yield joint_strip(design, run, codes.strips[i], (_listed(run.panels), codes.faces[i]))


def _codes(segments: SegmentSet, runs: tuple[SewnRun, ...]) -> _Codes:
    faces = []
    for i in range(len(runs)):
        own = dict.fromkeys(f"F{place.face + 1}" for place in segments.places if place.run == i)
        faces.append(_listed(tuple(own)))
    return _Codes(tuple(faces), tuple(f"J{i + 1}" for i in range(len(runs))))


def _with_hull_edge(design: Design, allowance: float | None) -> Design:
    """Return the design with another allowance at the hull edge [m]."""
    if allowance is None:
        return design
    return design.model_copy(update={"making": design.making.model_copy(update={"hull_edge": allowance})})


def _loop(
    designs: tuple[Design, Design], plan: Plan, panels: Sequence[FlatPanel], runs: tuple[SewnRun, ...], codes: _Codes
) -> Iterator[CutPiece]:
    """Loop pieces from bow to stern, runs by the first design and corners by the second."""
    seams = loop_seams(plan, panels)
    for panel in sorted(panels, key=lambda panel: order(plan, panel)):
        i = next(i for i, run in enumerate(runs) if panel.id in run.panels)
        design = designs[1 if panel.run.endswith("corner") else 0]
        yield from loop_pieces(design, panel, runs[i], seams, f"{codes.strips[i]}, {codes.faces[i]}")


def _listed(codes: tuple[str, ...]) -> str:
    """Codes in words, a long list by its first and last: "L03 to L08"."""
    return ", ".join(codes) if len(codes) <= 2 else f"{codes[0]} to {codes[-1]}"
