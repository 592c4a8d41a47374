"""Faces and webs as cut pieces."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.allowance import MITRE_LIMIT
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import holes_in_pitch, segment_number
from skirtloft.pieces.marks import seam_notches
from skirtloft.pieces.seams import face_allowance, hem_allowance
from skirtloft.pieces.segment import FaceShape, web_corners
from skirtloft.pieces.segment_set import Placed, SegmentSet, is_handed, web_line_words, web_quantity
from skirtloft.pieces.strip import hole_line
from skirtloft.pieces.tips import with_longer_tip
from skirtloft.pieces.types import CutPiece, Edge, Hand, MarkLine, SewnRun

if TYPE_CHECKING:
    from skirtloft.design.model import Design, Making


def face_pieces(
    design: Design, number: int, segments: SegmentSet, runs: tuple[SewnRun, ...], labels: tuple[str, tuple[str, ...]]
) -> tuple[CutPiece, ...]:
    """Return face `number` of the set: one piece, or one per hand where its two webs differ.

    Parameters
    ----------
    design : Design
    number : int
        Index in `segments.faces`.
    segments : SegmentSet
    runs : tuple of SewnRun
    labels : (joint, letters)
        What the top edge is bolted to, and the letter of the seam to every web.

    Notes
    -----
    Left and right as the outside faces you with the joint up: on the port side the left edge is towards the bow and
    takes the bow-side web, W1-P; on the starboard side it is towards the stern and takes the stern-side web, W1-P.
    The top edge is exactly the cut pitch and carries the holes of one pitch. Below the finished tip line `tip_trim` is
    left on, to be trimmed level at the first hover.
    """
    making, shape = design.making, segments.faces[number]
    places = [place for place in segments.places if place.face == number]
    first, own = runs[places[0].run], [runs[place.run] for place in places]
    at = -holes_in_pitch(first)
    handed = is_handed(segments, number)
    words = ", ".join(dict.fromkeys(RUN_WORDS[run.name] for run in own))
    made = []
    hands: tuple[Hand, ...] = ("P", "S") if handed else ("",)
    for hand in hands:
        edges = _face_edges(design, shape, places[0], labels, hand)
        sewn = Sewn(
            base=f"F{number + 1}",
            name=f"segment {segment_number(first, places[0].first)} face, {words}"
            if handed
            else f"segment face, {words}",
            kind="face",
            run=", ".join(dict.fromkeys(run.name for run in own)),
            edges=edges,
            holes=np.column_stack([at, np.full(len(at), hole_line(making))]),
            warp=np.array([1.0, 0.0] if design.cloth.segment.warp == "along" else [0.0, 1.0]),
            joint_length=edges[1].length,
            notches=seam_notches(edges[0], from_end=True) + seam_notches(edges[2], from_end=False),
            marks=(MarkLine(shape.tip, "trim", "trim to here at first hover"),),
        )
        count = sum(place.count * _times(place, runs[place.run], hand) for place in places)
        made.append(finish(sewn, hand, count, making.hole, design.cloth.segment.mass))
    return tuple(made)


def _times(place: Placed, run: SewnRun, hand: Hand) -> int:
    """Return how often a placed segment takes a face of this hand."""
    if not hand:
        return run.sides
    if not (run.crosses and run.lines):
        return 1
    return int(place.is_mirrored == (hand == "S"))


def _face_edges(
    design: Design, shape: FaceShape, place: Placed, labels: tuple[str, tuple[str, ...]], hand: Hand
) -> tuple[Edge, Edge, Edge, Edge]:
    """Side nearer the bow, joint, side nearer the stern, tip: anticlockwise."""
    making, (joint, letters) = design.making, labels
    ends = [("left side", "P"), ("right side", "S")]
    (bow_name, bow_hand), (stern_name, stern_hand) = ends[::-1] if hand == "S" else ends
    bow, stern = place.bow_web, place.stern_web
    return (
        Edge(bow_name, "seam", shape.side, face_allowance(making), letters[bow], f"W{bow + 1}-{bow_hand}"),
        Edge("joint", "joint", shape.top, making.joint, joins=joint),
        Edge(
            stern_name, "seam", shape.stern_side, face_allowance(making), letters[stern], f"W{stern + 1}-{stern_hand}"
        ),
        Edge("tip", "tip", shape.tip, making.tip_trim),
    )


def web_pieces(
    design: Design, number: int, segments: SegmentSet, runs: tuple[SewnRun, ...], labels: tuple[str, str]
) -> tuple[CutPiece, CutPiece]:
    """Return web `number` of the set in both hands.

    Parameters
    ----------
    design : Design
    number : int
        Index in `segments.webs`.
    segments : SegmentSet
    runs : tuple of SewnRun
    labels : (faces, letter)
        Codes of the faces, and the letter of the seam to them.

    Notes
    -----
    Frame: x outboard, y up, J at the origin. P is the bow-side web of a port segment and the stern-side web of a
    starboard one, drawn with x to the right (looked at from ahead); S is its mirror. Upper and lower edge are hemmed;
    round the tie hole at I a square tab keeps the edge distance. At the tip a tongue goes on along the face edge to the
    level of the face's trim allowance, tip_trim / sin(face angle) further. Warp "around" runs along the face edge,
    "along" (a web has no such way) level.
    """
    making, (faces, letter), form = design.making, labels, segments.webs[number]
    corners = web_corners(form.depth, form.face_angle, form.inboard, form.drop)
    corners = with_longer_tip(corners, making.tip_change)
    joint, tip, inner = corners
    edges = (
        Edge("lower edge", "hem", frozen_array([inner, tip]), hem_allowance(making)),
        Edge("face edge", "seam", frozen_array([tip, joint]), face_allowance(making), letter, faces),
        Edge("upper edge", "hem", frozen_array([joint, inner]), hem_allowance(making)),
    )
    up_face = (joint - tip) / np.hypot(*(joint - tip))
    sewn = Sewn(
        base=f"W{number + 1}",
        name=_web_name(number, segments, runs),
        kind="web",
        run="",
        edges=edges,
        holes=inner[None, :],
        warp=np.array([1.0, 0.0]) if design.cloth.segment.warp == "along" else up_face,
        joint_length=0.0,
        notches=seam_notches(edges[1], from_end=True),
        marks=_tip_level(tip, face_allowance(making)),
        tabs=(
            _tie_tab(corners, tie_tab_half(making)),
            *_tip_tongue(tip, up_face, face_allowance(making), making.tip_trim / np.sin(form.face_angle)),
        ),
        notes=(
            "Hems stop at the tab. Leave the tab flat, sew patch R1 behind it, and set the tie hole through both."
            if making.patch > 0.0
            else "Hems stop at the tab. Leave the tab flat, and set the tie hole through it.",
        ),
    )
    quantity = web_quantity(segments, runs, number)
    port = finish(sewn, "P", quantity, making.hole, design.cloth.segment.mass)
    starboard = finish(sewn, "S", quantity, making.hole, design.cloth.segment.mass)
    return port, starboard


def _web_name(number: int, segments: SegmentSet, runs: tuple[SewnRun, ...]) -> str:
    """What a builder calls a web; with its runs, or the segments it lies between, where not all webs are alike."""
    if len(segments.webs) == 1:
        return "segment web"
    mine = [place for place in segments.places if number in (place.bow_web, place.stern_web)]
    line = web_line_words(segments, runs, number)
    if not line:
        mine = [place for place in mine if place.bow_web == place.stern_web]
    own = [runs[place.run] for place in mine]
    words = ", ".join(dict.fromkeys(RUN_WORDS[run.name] for run in own))
    return f"segment web {line}, {words}" if line else f"segment web, {words}"


def tie_tab_half(making: Making) -> float:
    """Return half the side of the tab round a tie hole [m]: the edge distance, and no less than a mitred hem."""
    return max(making.hole_edge + making.hole / 2.0, MITRE_LIMIT * making.hem)


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
