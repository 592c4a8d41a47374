"""Kinds of seams: how much cloth each leaves outside its sew line, and where its stitches and glue go.

Classes of ISO 4916: in a *superimposed* seam (1) both edges lie on each other and each has the whole allowance; in a
*lapped* one (2) the pieces overlap by the allowance in all, half of it on each; in a *bound* one (3) both edges end
together inside a folded tape. A *turned* edge (6) is folded on its line; a bound edge is cut on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece, Edge, MarkLine

if TYPE_CHECKING:
    from skirtloft.design.extras_model import SeamClass
    from skirtloft.design.model import Design, Making

STITCH_EDGE = 0.008  # m from the cut edge to the first row (common practice, no source)
ROW_STEP = 0.007  # m between two rows, 6 to 8 mm (common practice, no source)
BINDING_STITCH = 0.002  # m from the inner edge of a binding to its stitches (choice of this program)
FLAT_TAB = 0.025  # m round a tie hole without stitches
SHORTEST = 0.004  # m: pieces of zone lines below this are left out


def seam_allowance(making: Making, kind: SeamClass) -> float:
    """Return the cloth outside the sew line of a seam of a kind, on each of the two pieces [m]."""
    if kind == "superimposed":
        return making.seam
    return making.seam / 2.0 if kind == "lapped" else making.seams.binding


def loop_allowance(making: Making) -> float:
    """Return the allowance of the seams between loop panels [m]."""
    return seam_allowance(making, making.seams.loop)


def face_allowance(making: Making) -> float:
    """Return the allowance of the seams between face and webs [m]."""
    return seam_allowance(making, making.seams.face)


def hem_allowance(making: Making) -> float:
    """Return the allowance of free edges [m]: none where they are bound, the tape folds over the edge itself."""
    return making.hem if making.seams.hem == "turned" else 0.0


def stitch_rows(making: Making, kind: SeamClass) -> tuple[float, ...]:
    """Return how far outside the sew line the rows of stitches of a seam lie [m], negative inside.

    Notes
    -----
    Superimposed and bound: the first row on the sew line, the others towards the edge as far as there is room. Lapped:
    evenly about the sew line, the outermost `STITCH_EDGE` from the edges or as near to it as the lap allows.
    """
    count = making.sewn_rows
    if count == 0:
        return ()
    if kind == "bound":
        return (0.0,)
    if kind == "superimposed":
        room = max(0.0, making.seam - STITCH_EDGE)
        return tuple(row * ROW_STEP for row in range(count) if row * ROW_STEP <= room + 1e-9)
    out = max(0.0, making.seam / 2.0 - STITCH_EDGE)
    if count == 1 or out == 0.0:
        return (0.0,)
    return tuple(float(at) for at in np.linspace(-out, out, count))


def with_zones(piece: CutPiece, design: Design) -> CutPiece:
    """Return the piece with its rows of stitches and the edges of its glue as light lines among its marks."""
    making = design.making
    kind = making.seams.loop if piece.kind == "loop_panel" else making.seams.face
    marks: list[MarkLine] = []
    for edge in piece.edges:
        if edge.kind == "seam":
            marks += _lines(piece, edge, stitch_rows(making, kind), "stitch")
            if making.is_glued and kind != "bound":
                marks += _lines(piece, edge, (-edge.allowance,) if kind == "lapped" else (0.0,), "glue")
        elif edge.kind == "hem" and edge.allowance > STITCH_EDGE and making.sewn_rows:
            marks += _lines(piece, edge, (-(edge.allowance - STITCH_EDGE),), "stitch")
    return replace(piece, marks=(*piece.marks, *marks)) if marks else piece


def _lines(piece: CutPiece, edge: Edge, outside: Sequence[float], kind: str) -> list[MarkLine]:
    """Lines beside an edge, cut to the cloth of the piece."""
    import shapely

    cloth = shapely.Polygon(piece.cut_line).buffer(-1e-6)
    if edge.kind == "hem" and piece.kind == "web":  # the tab of the tie hole stays flat
        cloth = cloth.difference(shapely.Point(piece.holes[0]).buffer(FLAT_TAB))
    found = []
    for distance in outside:
        line = shapely.LineString(beside(edge.points, distance)).intersection(cloth)
        for part in getattr(line, "geoms", [line]):
            if part.length > SHORTEST:
                points = frozen_array(np.asarray(part.coords))
                found.append(MarkLine(points, "stitch" if kind == "stitch" else "glue"))
    return found


def beside(points: Floats, distance: float) -> Floats:
    """Return a line moved by `distance` to the right of its way, (k, 2) [m]: outward on an anticlockwise outline."""
    steps = np.diff(points, axis=0)
    normals = np.column_stack([steps[:, 1], -steps[:, 0]]) / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    before, after = np.vstack([normals[:1], normals]), np.vstack([normals, normals[-1:]])
    moved: Floats = points + distance * (before + after) / (1.0 + np.sum(before * after, axis=1))[:, None]
    return moved
