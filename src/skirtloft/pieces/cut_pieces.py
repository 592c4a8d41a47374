"""From flat panels and the plan to every distinct piece to cut."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from skirtloft.pieces.backs import back_pieces
from skirtloft.pieces.bands import hull_bands, spray_flaps
from skirtloft.pieces.diaphragm import DiaphragmCut, diaphragm_pieces
from skirtloft.pieces.joint import order, sewn_runs
from skirtloft.pieces.laps import with_joint_slits, with_lap_holes
from skirtloft.pieces.loop_panels import loop_pieces, loop_seams
from skirtloft.pieces.marks import seam_letter
from skirtloft.pieces.patches import patch_piece, with_patch_place
from skirtloft.pieces.seams import loop_allowance, with_zones
from skirtloft.pieces.segment_pieces import face_pieces, tie_tab_half, web_pieces
from skirtloft.pieces.segment_set import SegmentSet, segment_set
from skirtloft.pieces.spares import with_spares
from skirtloft.pieces.straps import bindings, cover_tapes, drain_flap, loop_ties, with_drain_slots
from skirtloft.pieces.strip import joint_strip
from skirtloft.pieces.types import CutPiece, SewnRun
from skirtloft.pieces.wear import wear_piece, with_wear_place

if TYPE_CHECKING:
    from skirtloft.design.model import Design
    from skirtloft.shape.types import FlatPanel, Plan


@dataclass(frozen=True)
class _Codes:
    """Codes of the faces and the strip of each run."""

    faces: tuple[str, ...]
    strips: tuple[str, ...]


def cut_pieces(
    design: Design,
    plan: Plan,
    panels: Sequence[FlatPanel],
    corner_hull_edge: float | None = None,
    diaphragm: DiaphragmCut | None = None,
    between: Callable[[], None] = lambda: None,
) -> tuple[CutPiece, ...]:
    """Return every piece to cut, each once per hand: loop, segments, joint strips, and whatever else the file asks for.

    Parameters
    ----------
    design : Design
    plan : Plan
        Its joint runs say how many segments share which length.
    panels : sequence of FlatPanel
        Port half and those across the centre line.
    corner_hull_edge : float, optional [m]
        Allowance at the hull edge of corner panels; else that of the runs.
    diaphragm : DiaphragmCut, optional
        Its strips, where there are any.
    between : callable
        Called before every piece or two; what it raises ends the work.

    Raises
    ------
    ShapeError
        A piece cannot be made: which, why, and what would do.

    Notes
    -----
    Everything that meets at the joint is measured along the sewn joint edges of the loop panels: the cut pitch of a run
    is their sum divided by its segments; strip, segment tops, holes and web lines all come from it. Segments never lie
    across the end of a run; they may lie across a loop seam inside one. Holes keep clear of the loop's seams where
    spreading them in their pitch can do it.
    """
    making = design.making
    runs = sewn_runs(plan, panels, making.hole_pitch, loop_allowance(making) + making.hole / 2.0)
    segments = segment_set(runs, making.tip_change)
    codes = _codes(segments, runs)
    loop = _loop((design, _with_hull_edge(design, corner_hull_edge)), plan, panels, (runs, codes), between)
    pieces = [*loop, *_segments(design, plan, panels, (runs, segments, codes), between)]
    for i, run in enumerate(runs):
        between()
        pieces.append(joint_strip(design, run, codes.strips[i], (_listed(run.panels), codes.faces[i])))
    pieces += back_pieces(design, runs)
    if diaphragm is not None:
        pieces += diaphragm_pieces(design, plan, runs, diaphragm, codes.faces)
    pieces += _besides(design, plan, runs, loop)
    pieces += bindings(design, pieces)
    corner = [
        any(runs[place.run].wedge > 0.0 for place in segments.places if place.face == face)
        for face in range(len(segments.faces))
    ]
    finished = with_spares(making.spares, pieces, segments, corner)
    return tuple(_with_side(with_zones(piece, design), design) for piece in finished)


def _with_side(piece: CutPiece, design: Design) -> CutPiece:
    """The piece with whether its cloth has an outside; wear panels and diaphragms have none of their own."""
    cloth = design.cloth.loop if piece.cloth == "loop" else design.cloth.segment
    return replace(piece, face_side=cloth.face_side)


def _segments(
    design: Design,
    plan: Plan,
    panels: Sequence[FlatPanel],
    made: tuple[tuple[SewnRun, ...], SegmentSet, _Codes],
    between: Callable[[], None],
) -> list[CutPiece]:
    """Faces, webs, and the wear panels and patches on them."""
    runs, segments, codes = made
    making, wear = design.making, design.making.wear
    pieces: list[CutPiece] = []
    panels_of_wear: list[CutPiece] = []
    first = len(loop_seams(plan, panels))
    letters = tuple(seam_letter(first + i) for i in range(len(segments.webs)))
    for number, shape in enumerate(segments.faces):
        between()
        own = list(dict.fromkeys(place.run for place in segments.places if place.face == number))
        joint = ", ".join([*(codes.strips[i] for i in own), *(_listed(runs[i].panels) for i in own)])
        for face in face_pieces(design, number, segments, runs, (joint, letters)):
            if wear is None:
                pieces.append(face)
                continue
            pieces.append(with_wear_place(face, shape, (wear.height, wear.inset)))
            panels_of_wear.append(wear_piece(design, face, shape, f"X{number + 1}"))
    half = tie_tab_half(making)
    webs: list[CutPiece] = []
    for number in range(len(segments.webs)):
        between()
        mine = [place.face for place in segments.places if number in (place.bow_web, place.stern_web)]
        faces = ", ".join(dict.fromkeys(f"F{face + 1}" for face in mine))
        webs += web_pieces(design, number, segments, runs, (faces, letters[number]))
    if making.patch > 0.0:
        webs = [with_patch_place(web, half, making.patch) for web in webs]
    pieces += webs
    pieces += panels_of_wear
    if making.patch > 0.0:
        codes_of_webs = _listed(tuple(dict.fromkeys(web.base for web in webs)))
        pieces.append(patch_piece(design, half, sum(web.quantity for web in webs), codes_of_webs))
    return pieces


def _besides(design: Design, plan: Plan, runs: tuple[SewnRun, ...], loop: Sequence[CutPiece]) -> list[CutPiece]:
    """Bands, aprons, ties, covers and drain flaps."""
    flap = drain_flap(design)
    return [
        *hull_bands(design, runs, loop),
        *spray_flaps(design, runs, tuple(_listed(run.panels) for run in runs)),
        *loop_ties(design, plan, runs),
        *cover_tapes(design, loop),
        *([] if flap is None else [flap]),
    ]


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
    designs: tuple[Design, Design],
    plan: Plan,
    panels: Sequence[FlatPanel],
    made: tuple[tuple[SewnRun, ...], _Codes],
    between: Callable[[], None],
) -> list[CutPiece]:
    """Loop pieces from bow to stern, runs by the first design and corners by the second."""
    runs, codes = made
    pieces: list[CutPiece] = []
    seams = loop_seams(plan, panels)
    for panel in sorted(panels, key=lambda panel: order(plan, panel)):
        between()
        i = next(i for i, run in enumerate(runs) if panel.id in run.panels)
        design = designs[1 if panel.run.endswith("corner") else 0]
        cut = loop_pieces(design, panel, runs[i], seams, f"{codes.strips[i]}, {codes.faces[i]}")
        pieces += [with_joint_slits(piece) for piece in cut] if runs[i].wedge > 0.0 else cut
    return list(with_drain_slots(designs[0], with_lap_holes(pieces), runs))


def _listed(codes: tuple[str, ...]) -> str:
    """Codes in words, a long list by its first and last: "L03 to L08"."""
    return ", ".join(codes) if len(codes) <= 2 else f"{codes[0]} to {codes[-1]}"
