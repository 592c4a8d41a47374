"""What neighbours share at a lap: holes that go through both layers, and slits that let an allowance lie in a bend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.strip import SLIT_STOPS
from skirtloft.pieces.types import CutPiece, Edge, MarkLine


def with_lap_holes(pieces: Sequence[CutPiece]) -> tuple[CutPiece, ...]:
    """Return loop pieces with the holes of a neighbour that fall on their lap drawn on them too.

    Notes
    -----
    Laid flat beside each other with the joint ends of the seam together and the seams in line there, a neighbour's
    hole within the lap's width of the seam lies on this piece's allowance; there it is punched through both layers.
    """
    by_id = {piece.id: piece for piece in pieces}
    return tuple(
        replace(piece, lap_holes=_lap_holes(piece, by_id)) if piece.kind == "loop_panel" else piece for piece in pieces
    )


def _lap_holes(piece: CutPiece, by_id: dict[str, CutPiece]) -> Floats:
    import shapely

    cloth = shapely.Polygon(piece.cut_line)
    found: list[Floats] = []
    for edge in piece.edges:
        other = by_id.get(edge.joins) if edge.kind == "seam" else None
        if other is None or not len(other.holes):
            continue
        back = next((mine for mine in other.edges if mine.kind == "seam" and mine.joins == piece.id), None)
        if back is None:
            continue
        corner, along, across = _joint_end(edge)
        its_corner, its_along, its_across = _joint_end(back)
        away = other.holes - its_corner
        # a neighbour lies on the outer side of this seam: its inward is this piece's outward
        placed = corner + np.outer(away @ its_along, along) - np.outer(away @ its_across, across)
        outside = -(away @ its_across)
        near = placed[(outside >= 0.0) & (outside < edge.allowance)]
        found += [hole for hole in near if cloth.covers(shapely.Point(hole).buffer(piece.hole_diameter / 2.0))]
    return frozen_array(np.array(found).reshape(-1, 2))


def _joint_end(edge: Edge) -> tuple[Floats, Floats, Floats]:
    """The joint end of a loop seam, the way from there along the seam, and the way out of the piece."""
    points = edge.points if edge.points[0, 1] < edge.points[-1, 1] else edge.points[::-1]
    along = (points[1] - points[0]) / np.hypot(*(points[1] - points[0]))
    step = edge.points[1] - edge.points[0] if points is edge.points else edge.points[-1] - edge.points[-2]
    outward = np.array([step[1], -step[0]]) / np.hypot(*step)
    return points[0], along, outward


def with_joint_slits(piece: CutPiece) -> CutPiece:
    """Return a loop piece of a corner whose joint allowance is slit at every pitch mark, short of the joint line."""
    marks: list[MarkLine] = []
    for mark in piece.marks:
        if mark.kind != "pitch":
            marks.append(mark)
            continue
        start, end = mark.points[0], mark.points[-1]
        stop = start + SLIT_STOPS * (end - start)
        marks += [
            replace(mark, points=frozen_array([start, stop])),
            MarkLine(frozen_array([stop, end]), "slit"),
        ]
    return replace(piece, marks=tuple(marks))
