"""The cut pieces of the port half as flat meshes: what is laid on the table, in triangles, divided for sewing.

Pieces are taken along their sew lines. On the port side a piece is drawn with x to the left: numbers are turned round
(x becomes -x), so that the outside of the cloth faces you and the bow lies to the left.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.flat_mesh import divide, four_sided, three_sided
from skirtloft.inflate.skirt.chain import PanelSpan, SegmentSpan
from skirtloft.inflate.types import FlatMesh
from skirtloft.maths.frozen import Floats
from skirtloft.maths.polylines import polyline_length
from skirtloft.pieces.tips import cut_short, trimmed
from skirtloft.pieces.types import CutPiece

MIRROR = np.array([-1.0, 1.0])


@dataclass(frozen=True)
class Detail:
    """Steps across a face (and the loop over it), down the loop, and down a face and along each edge of a web."""

    across: int
    loop: int
    face: int


COARSE, FINE = Detail(6, 20, 10), Detail(8, 32, 16)


def by_base(pieces: tuple[CutPiece, ...]) -> dict[str, CutPiece]:
    """Return the port pieces, or those of no hand, by their code without the hand."""
    return {piece.base: piece for piece in pieces if piece.hand != "S"}


def panel_mesh(piece: CutPiece, span: PanelSpan, shares: Floats, rows: int) -> FlatMesh:
    """Return a loop panel, or the part of it that is there.

    Parameters
    ----------
    piece : CutPiece
        A loop panel: joint, seam nearer the bow, hull edge, seam nearer the stern.
    span : PanelSpan
    shares : (k,)
        Where along its joint edge the nodes lie, 0 to 1 from the bow; the hull edge alike.
    rows : int
    """
    joint, bow_seam, hull, stern_seam = (edge.points * MIRROR for edge in piece.edges)
    top, bottom = part_of(hull, span), part_of(joint[::-1], span)
    left, right = _sides(bow_seam[::-1], stern_seam, (top, bottom), span)
    name = f"panel {piece.id}"
    return four_sided(
        name, divide(top, shares), divide(bottom, shares), divide(left, rows), divide(right, rows), _warp(piece)
    )


def face_mesh(piece: CutPiece, span: SegmentSpan, shares: Floats, rows: int, trim: float = 0.0) -> FlatMesh:
    """Return the face of a segment; arguments as `panel_mesh`, `trim` [m] taken off its tip along the side edges."""
    bow_side, top, stern_side, tip = (edge.points * MIRROR for edge in piece.edges)
    left, right, bottom = bow_side[::-1], stern_side, tip[::-1]
    if trim != 0.0:
        left, right, bottom = trimmed(left, right, bottom, trim)
    top, bottom = part_of(top, span), part_of(bottom, span)
    left, right = _sides(left, right, (top, bottom), span)
    name = f"face {piece.id}"
    return four_sided(
        name, divide(top, shares), divide(bottom, shares), divide(left, rows), divide(right, rows), _warp(piece)
    )


def web_mesh(piece: CutPiece, steps: int, trim: float = 0.0) -> FlatMesh:
    """Return a web: x outboard, y up, as the section shows it; edges J to I, I to G, G to J."""
    lower, face, upper = (edge.points for edge in piece.edges)
    joint, inner, tip = upper[0], lower[0], cut_short(face[::-1], trim)[-1]
    first, second, third = (divide(np.array(ends), steps) for ends in ((joint, inner), (inner, tip), (tip, joint)))
    return three_sided(f"web {piece.id}", first, second, third, float(np.arctan2(piece.warp[1], piece.warp[0])))


def _sides(left: Floats, right: Floats, ends: tuple[Floats, Floats], span: PanelSpan | SegmentSpan) -> list[Floats]:
    """Return the sides of a piece from the upper edge down, straight where it is cut off."""
    top, bottom = ends
    return [
        left if span.low == 0.0 else np.array([top[0], bottom[0]]),
        right if span.high == 1.0 else np.array([top[-1], bottom[-1]]),
    ]


def part_of(line: Floats, span: PanelSpan | SegmentSpan) -> Floats:
    """Return the part of a line from the bow that is there."""
    length = polyline_length(line)
    kept = cut_short(line, (1.0 - span.high) * length) if span.high < 1.0 else line
    return cut_short(kept[::-1], span.low * length)[::-1] if span.low > 0.0 else kept


def _warp(piece: CutPiece) -> float:
    return float(np.arctan2(piece.warp[1], -piece.warp[0]))


def areal_masses(pieces: Mapping[str, CutPiece], cloth: Mapping[str, float]) -> dict[str, float]:
    """Return what a square metre inside the sew line weighs, seams and hems spread over the piece, by base [kg/m2].

    The allowance at a joint is left out: it hangs at the joint. So is what is left on below the tip.
    """
    found = {}
    for base, piece in pieces.items():
        sewn = enclosed(piece.sew_line)
        off = sum(edge.length * edge.allowance for edge in piece.edges if edge.kind in ("joint", "hull", "tip"))
        found[base] = cloth[piece.cloth] * max(piece.area - off, sewn) / sewn
    return found


def enclosed(line: Floats) -> float:
    """Return the area inside a closed line [m2]."""
    x, y = line.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2.0
