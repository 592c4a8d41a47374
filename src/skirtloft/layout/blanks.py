"""Cut pieces -> blanks: outside up, warp along the roll, hands together only where the cloth has no face side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from skirtloft.design.model import Cloth, Design
from skirtloft.layout.types import Blank, Lie, Problem, Roll
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece

CLOTHS = ("loop", "segment")


def problems(design: Design, pieces: Sequence[CutPiece]) -> tuple[Problem, ...]:
    """Return what is to be laid out, one problem for each kind of cloth that has pieces."""
    found = []
    for cloth in CLOTHS:
        mine = [piece for piece in pieces if piece.cloth == cloth]
        if mine:
            kind: Cloth = getattr(design.cloth, cloth)
            layout = design.layout
            found.append(Problem(cloth, blanks(mine, kind), rolls(design, cloth), gap=layout.gap, margin=layout.margin))
    return tuple(found)


def rolls(design: Design, cloth: str) -> tuple[Roll, ...]:
    """Return the rolls of the file for a cloth, in order, and after them one to buy from if none of them is endless."""
    width = float(getattr(design.cloth, cloth).roll_width)
    listed = [
        Roll(
            roll.name, width if roll.width is None else roll.width, float("inf") if roll.length is None else roll.length
        )
        for roll in design.layout.roll or ()
        if roll.cloth == cloth
    ]
    endless = next((k for k, roll in enumerate(listed) if roll.length == float("inf")), None)
    if endless is not None:
        return tuple(listed[: endless + 1])
    return (*listed, Roll("new roll", width))


def blanks(pieces: Sequence[CutPiece], cloth: Cloth) -> tuple[Blank, ...]:
    """Return the blanks of pieces of one cloth, in the order of the pieces.

    Where the cloth has no face side a piece and its other hand are the same blank, which may be flipped over; where it
    has one every hand is a blank of its own. A blank may lie either way along the roll unless the cloth runs one way.
    """
    merged: dict[str, tuple[CutPiece, int]] = {}
    for piece in pieces:
        code = piece.id if cloth.face_side else piece.base
        first, count = merged.get(code, (piece, 0))
        merged[code] = (first, count + piece.quantity)
    return tuple(_blank(code, piece, count, cloth) for code, (piece, count) in merged.items())


def _blank(code: str, piece: CutPiece, quantity: int, cloth: Cloth) -> Blank:
    outline = along_the_warp(piece)
    allowed = [
        (turned, flipped)
        for flipped in ((False,) if cloth.face_side else (False, True))
        for turned in ((False,) if cloth.one_way else (False, True))
    ]
    different: list[tuple[bool, bool]] = []
    for lie in allowed:
        shape = laid(outline, *lie)
        if not any(_same_shape(shape, laid(outline, *other)) for other in different):
            different.append(lie)
    apart = np.hypot(*(outline[:, None, :] - outline[None, :, :]).transpose(2, 0, 1))
    one, other = (int(k) for k in np.unravel_index(np.argmax(np.round(apart, 6)), apart.shape))
    return Blank(code, piece.name, quantity, outline, piece.area, tuple(different), (one, other))


def along_the_warp(piece: CutPiece) -> Floats:
    """Return the cut line of a piece with the outside facing you and the warp along +x, (n, 2) [m]."""
    points, warp = np.array(piece.cut_line), np.array(piece.warp)
    if piece.drawn_x_left:
        points[:, 0] *= -1.0
        warp[0] *= -1.0
    cos, sin = warp / np.hypot(*warp)
    turned = points @ np.array([[cos, -sin], [sin, cos]])
    if _signed_area(turned) < 0.0:
        turned = turned[::-1]
    return frozen_array(turned - turned.min(axis=0))


def laid(outline: Floats, turned: bool, flipped: bool, x: float = 0.0, y: float = 0.0) -> Floats:
    """Return an outline as it lies on the roll, (n, 2) [m]; see `Lie`."""
    sign = np.array([-1.0 if turned != flipped else 1.0, -1.0 if turned else 1.0])
    return np.asarray(outline * sign + np.array([x, y]))


def lies_at(blank: Blank, lie: Lie) -> Floats:
    """Return the outline of a blank at its place on the roll, (n, 2) [m]."""
    return laid(blank.outline, lie.turned, lie.flipped, lie.x, lie.y)


def _signed_area(points: Floats) -> float:
    following = np.roll(points, -1, axis=0)
    return float(0.5 * np.sum(points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1]))


def _same_shape(one: Floats, other: Floats, within: float = 1e-5) -> bool:
    """Tell whether two outlines, each pushed into its corner, are the same within `within` [m]."""
    one, other = one - one.min(axis=0), other - other.min(axis=0)
    away = np.hypot(*(one[:, None, :] - other[None, :, :]).transpose(2, 0, 1))
    return bool(away.min(axis=0).max() < within and away.min(axis=1).max() < within)
