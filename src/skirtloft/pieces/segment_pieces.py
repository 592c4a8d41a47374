"""Faces and webs as cut pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.allowance import MITRE_LIMIT
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.marks import mirrored, seam_notches
from skirtloft.pieces.segment import FaceShape, face_shape, web_corners
from skirtloft.pieces.strip import hole_line
from skirtloft.pieces.types import CutPiece, Edge, MarkLine, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design

WEB = "W1"
SAME_PITCH = 1e-9  # m
SAME_SHAPE = 1e-6  # m


def run_faces(design: Design, runs: tuple[SewnRun, ...]) -> tuple[tuple[FaceShape, ...], tuple[int, ...]]:
    """Return the distinct face shapes, and for every run which of them it takes.

    Raises
    ------
    ShapeError
        As `face_shape`.
    """
    shapes: list[FaceShape] = []
    pitches: list[float] = []
    which: list[int] = []
    for run in runs:
        shape = face_shape(run.pitch, design.skirt.depth, design.skirt.face_angle, run.radius, run.wedge)
        same = [i for i, other in enumerate(shapes) if abs(pitches[i] - run.pitch) < SAME_PITCH and _same(shape, other)]
        which.append(same[0] if same else len(shapes))
        if not same:
            shapes.append(shape)
            pitches.append(run.pitch)
    return tuple(shapes), tuple(which)


def _same(one: FaceShape, other: FaceShape) -> bool:
    gap = max(np.abs(one.side - other.side).max(), np.abs(one.tip - other.tip).max())
    return bool(gap < SAME_SHAPE)


def face_piece(
    design: Design, code: str, shape: FaceShape, runs: tuple[SewnRun, ...], labels: tuple[str, str]
) -> CutPiece:
    """Return the face `code`, shared by `runs`.

    Parameters
    ----------
    design : Design
    code : str
    shape : FaceShape
    runs : tuple of SewnRun
        All with the same cut pitch.
    labels : (joint, letter)
        What the top edge is bolted to, and the letter of the seams to the webs.

    Notes
    -----
    Left and right as the outside faces you with the joint up: on the port side the left edge is towards the bow and
    takes the bow-side web, W1-P; on the starboard side it is towards the stern and takes the stern-side web, W1-P.
    The top edge is exactly the cut pitch and carries the holes of one pitch. Below the finished tip line `tip_trim` is
    left on, to be trimmed level at the first hover.
    """
    making, first = design.making, runs[0]
    joint, letter = labels
    edges = (
        Edge("left side", "seam", shape.side, making.seam, letter, f"{WEB}-P"),
        Edge("joint", "joint", shape.top, making.joint, joins=joint),
        Edge("right side", "seam", mirrored(shape.side), making.seam, letter, f"{WEB}-S"),
        Edge("tip", "tip", shape.tip, making.tip_trim),
    )
    places = first.pitch / 2.0 - (np.arange(first.holes) + 0.5) * (first.pitch / first.holes)
    sewn = Sewn(
        base=code,
        name="segment face, " + ", ".join(dict.fromkeys(RUN_WORDS[run.name] for run in runs)),
        kind="face",
        run=", ".join(dict.fromkeys(run.name for run in runs)),
        edges=edges,
        holes=np.column_stack([places, np.full(len(places), hole_line(making))]),
        warp=np.array([1.0, 0.0] if design.cloth.segment.warp == "along" else [0.0, 1.0]),
        joint_length=edges[1].length,
        notches=seam_notches(edges[0], from_end=True) + seam_notches(edges[2], from_end=False),
        marks=(MarkLine(shape.tip, "trim", "trim to here at first hover"),),
    )
    return finish(sewn, "", segment_count(runs), making.hole, design.cloth.segment.mass)


def segment_count(runs: tuple[SewnRun, ...]) -> int:
    """Return how many segments the runs have on the whole craft."""
    return sum(run.segments * run.sides for run in runs)


def web_pieces(design: Design, runs: tuple[SewnRun, ...], labels: tuple[str, str]) -> tuple[CutPiece, CutPiece]:
    """Return the webs of both hands, one of each for every segment of the craft.

    Parameters
    ----------
    design : Design
    runs : tuple of SewnRun
    labels : (faces, letter)
        Codes of the faces, and the letter of the seam to them.

    Notes
    -----
    Frame: x outboard, y up, J at the origin. P is the bow-side web of a port segment and the stern-side web of a
    starboard one, drawn with x to the right (looked at from ahead); S is its mirror. Upper and lower edge are hemmed;
    round the tie hole at I a square tab keeps the edge distance. At the tip a tongue goes on along the face edge to the
    level of the face's trim allowance, tip_trim / sin(face angle) further. Warp "around" runs along the face edge,
    "along" (a web has no such way) along its level upper edge.
    """
    making, (faces, letter) = design.making, labels
    corners = web_corners(design.skirt.depth, design.skirt.face_angle)
    joint, tip, inner = corners
    edges = (
        Edge("lower edge", "hem", frozen_array([inner, tip]), making.hem),
        Edge("face edge", "seam", frozen_array([tip, joint]), making.seam, letter, faces),
        Edge("upper edge", "hem", frozen_array([joint, inner]), making.hem),
    )
    up_face = (joint - tip) / np.hypot(*(joint - tip))
    sewn = Sewn(
        base=WEB,
        name="segment web",
        kind="web",
        run="",
        edges=edges,
        holes=inner[None, :],
        warp=np.array([1.0, 0.0]) if design.cloth.segment.warp == "along" else up_face,
        joint_length=0.0,
        notches=seam_notches(edges[1], from_end=True),
        marks=_tip_level(tip, making.seam),
        tabs=(
            _tie_tab(corners, max(making.hole_edge + making.hole / 2.0, MITRE_LIMIT * making.hem)),
            *_tip_tongue(tip, up_face, making.seam, making.tip_trim / np.sin(design.skirt.face_angle)),
        ),
        notes=("Hems stop at the tab. Leave the tab flat, sew a patch behind it, and set the tie hole through both.",),
    )
    port = finish(sewn, "P", segment_count(runs), making.hole, design.cloth.segment.mass)
    starboard = finish(sewn, "S", segment_count(runs), making.hole, design.cloth.segment.mass)
    return port, starboard


def _tie_tab(corners: Floats, half_side: float) -> Floats:
    """Square round the inner fixing, its sides square to the line that halves the corner there, flush with its end."""
    joint, tip, inner = corners
    way = (joint - inner) / np.hypot(*(joint - inner)) + (tip - inner) / np.hypot(*(tip - inner))
    way = way / np.hypot(*way) * half_side
    across = np.array([-way[1], way[0]])
    tab: Floats = inner + np.array([way + across, -way + across, -way - across, way - across])
    return tab


def _tip_level(tip: Floats, width: float) -> tuple[MarkLine, ...]:
    """The finished level of the tip across the seam allowance: the web is trimmed here with its face."""
    if width <= 0.0:
        return ()
    return (MarkLine(frozen_array([tip, tip + np.array([width, 0.0])]), "trim", "tip: trim with the face"),)


def _tip_tongue(tip: Floats, up_face: Floats, width: float, reach: float) -> tuple[Floats, ...]:
    """Cloth left on beyond the tip along the face edge, `width` wide outboard and running out as far inboard."""
    if reach <= 0.0 or width <= 0.0:
        return ()
    out = np.array([up_face[1], -up_face[0]]) * width
    down = -up_face * reach
    return (tip + np.array([out, -out, down, out + down]),)
