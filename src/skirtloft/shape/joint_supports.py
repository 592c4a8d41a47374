"""The lines and circles the joint line runs along: hull edge pieces, each moved by its run's offset."""

from __future__ import annotations

import cmath
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from skirtloft.errors import ShapeError
from skirtloft.maths.curves import (
    TOUCHING,
    ArcPiece,
    LinePiece,
    Piece,
    RunName,
    end_direction,
    line_piece,
    parallel_piece,
    piece_end,
    piece_start,
    plane_point,
    start_direction,
)
from skirtloft.maths.fillets import end_for_end, turn_between
from skirtloft.shape.outline import NEARLY_TANGENT
from skirtloft.shape.wording import millimetres, place_text


@dataclass(frozen=True, eq=False)
class Support:
    """A moved piece, the line or circle the joint line runs along, and its label."""

    piece: Piece
    label: RunName


def moved_supports(drawn: Sequence[tuple[Piece, str]], offsets: Mapping[str, float]) -> list[Support]:
    """Return the moved pieces, straight neighbours merged, squared at the centre line and drawn tangent there."""
    supports: list[Support] = []
    kept = [(piece, label) for piece, label in drawn if label != "corner"]
    merged: list[tuple[Piece, str]] = []
    for piece, label in kept:
        one = as_one(merged[-1][0], piece) if merged and merged[-1][1] == label else None
        if one is None:
            merged.append((piece, label))
        else:
            merged[-1] = one, label
    for piece, label in merged:
        try:
            supports.append(Support(parallel_piece(piece, offsets[label]), run_name(label)))
        except ValueError:
            assert isinstance(piece, ArcPiece)
            inward = millimetres(-offsets[label])
            raise ShapeError(
                f"{label} arc, {place_text(piece_start(piece))}",
                f"its radius of {millimetres(piece.radius)} is less than the {inward} it moves in.",
                f"Move the {label} in by less than its radius.",
            ) from None
    pieces = _square([support.piece for support in supports])
    return [Support(piece, support.label) for piece, support in zip(pieces, supports, strict=True)]


def run_name(label: str) -> RunName:
    names: dict[str, RunName] = {"bow": "bow", "side": "side", "stern": "stern"}
    return names[label]


def as_one(before: Piece, after: Piece) -> Piece | None:
    """Return two neighbours as one piece where they lie on the same line or circle, else None."""
    if abs(piece_end(before) - piece_start(after)) > TOUCHING:
        return None
    if isinstance(before, LinePiece) and isinstance(after, LinePiece):
        if abs(turn_between(start_direction(before), start_direction(after))) > NEARLY_TANGENT:
            return None
        return line_piece(piece_start(before), piece_end(after))
    if isinstance(before, ArcPiece) and isinstance(after, ArcPiece):
        same = abs(complex(*before.centre) - complex(*after.centre)) < 1e-6 and abs(before.radius - after.radius) < 1e-6
        return ArcPiece(before.centre, before.radius, before.start_angle, before.sweep + after.sweep) if same else None
    return None


def _square(pieces: list[Piece]) -> list[Piece]:
    """Return the pieces with bow and stern square to the centre line and tangent to the next where nearly so."""
    for _ in range(2):
        pieces[0] = _squared(pieces[0])
        if len(pieces) > 1:
            pieces[:2] = _drawn_tangent(pieces[0], pieces[1])
        pieces = [end_for_end(piece) for piece in reversed(pieces)]
    return pieces


def _squared(piece: Piece) -> Piece:
    """Return the first piece square to the centre line where it nearly is, else unchanged."""
    if isinstance(piece, LinePiece):
        if abs(turn_between(1j, start_direction(piece))) > NEARLY_TANGENT:
            return piece
        x = (piece.start[0] + piece.end[0]) / 2.0
        return line_piece(complex(x, 0.0), complex(x, piece.end[1]))
    if abs(piece.centre[1]) > NEARLY_TANGENT * piece.radius:
        return piece
    return ArcPiece(plane_point(complex(piece.centre[0], 0.0)), piece.radius, 0.0, piece.start_angle + piece.sweep)


def _drawn_tangent(arc: Piece, line: Piece) -> tuple[Piece, Piece]:
    """Return a first arc, square to the centre line, tangent to the line after it where it nearly is, and that line.

    Notes
    -----
    Its foremost point x0 stays; with n the outward normal of the line and D its distance from the origin the radius
    is (D - n_x x0) / (1 - n_x) (derived).
    """
    if not isinstance(arc, ArcPiece) or not isinstance(line, LinePiece) or arc.centre[1] != 0.0:
        return arc, line
    direction = start_direction(line)
    gap = abs(piece_end(arc) - piece_start(line))
    kink = abs(turn_between(end_direction(arc), direction))
    if kink > NEARLY_TANGENT or gap > NEARLY_TANGENT * arc.radius:
        return arc, line
    normal = -1j * direction
    front = float(arc.centre[0]) + arc.radius
    distance = (piece_start(line) / normal).real
    radius = (distance - normal.real * front) / (1.0 - normal.real)
    tangent = ArcPiece(plane_point(complex(front - radius, 0.0)), radius, 0.0, cmath.phase(normal))
    return tangent, line_piece(piece_end(tangent), piece_end(line))
