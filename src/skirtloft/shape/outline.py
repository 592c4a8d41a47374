"""Half outlines drawn by vertices, bow centre to stern centre on the port side: pieces, labels, what is wrong.

The hull edge and a joint line given outright are both drawn this way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import (
    TOUCHING,
    ArcPiece,
    Piece,
    arc_through,
    end_direction,
    line_piece,
    start_direction,
)
from skirtloft.maths.fillets import turn_between
from skirtloft.shape.wording import place_text

LABELS = ("bow", "side", "stern", "corner")
# A turn below this counts as none: what rounding a drawing to the nearest millimetre per metre makes of a straight
# or tangent join. Our own choice.
NEARLY_TANGENT = 2e-3  # rad


class OutlinePoint(Protocol):
    """A vertex: place [m], label of the piece to the next vertex, fillet radius [m], third point of an arc [m]."""

    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def run(self) -> str | None: ...
    @property
    def radius(self) -> float | None: ...
    @property
    def through(self) -> tuple[float, float] | None: ...


def drawn_pieces(points: Sequence[OutlinePoint], key: str) -> tuple[Piece, ...]:
    """Return the pieces between the vertices, fillets not yet made.

    Parameters
    ----------
    points : sequence of OutlinePoint
    key : str
        TOML path of the list, for messages: ``hull.edge``.

    Raises
    ------
    DesignError
        Points missing, repeated, on the wrong side or in the wrong order, labels missing or out of order, arcs that
        are none: all of them at once.
    """
    problems = [*_end_problems(points, key), *_label_problems(points, key)]
    pieces: list[Piece] = []
    for i, (point, following) in enumerate(pairwise(points)):
        start, end = complex(point.x, point.y), complex(following.x, following.y)
        if abs(end - start) < TOUCHING:
            problems.append(
                Problem(f"{key}[{i + 1}]", place_text(end), "It repeats the point before it.", "Leave it out.")
            )
            continue
        piece: Piece | None = line_piece(start, end)
        if point.through is not None:
            piece = arc_through(start, complex(*point.through), end)
        if piece is None:
            problems.append(_no_arc(f"{key}[{i}].through", point))
        else:
            pieces.append(piece)
    if problems:
        raise DesignError(problems)
    return tuple(pieces)


def _no_arc(path: str, point: OutlinePoint) -> Problem:
    assert point.through is not None
    return Problem(
        path,
        place_text(complex(*point.through)),
        "It lies in line with both ends of the piece, so there is no arc.",
        "Leave it out for a straight piece, or give a point on the arc about half way.",
    )


def _end_problems(points: Sequence[OutlinePoint], key: str) -> list[Problem]:
    if len(points) < 2:
        return [
            Problem(
                key,
                f"{len(points)} points",
                "An outline needs at least two.",
                "Give bow centre, corners, stern centre.",
            )
        ]
    found = [
        Problem(
            f"{key}[{i}].y",
            f"{points[i].y:g} m",
            "The outline starts and ends on the centre line.",
            f"Give 0 m, or add a point at the {name} centre.",
        )
        for i, name in ((0, "bow"), (len(points) - 1, "stern"))
        if abs(points[i].y) > TOUCHING
    ]
    if points[0].x <= points[-1].x:
        found.append(
            Problem(
                f"{key}[0].x",
                f"{points[0].x:g} m",
                f"The first point is the bow centre; it must lie forward of the last one (x {points[-1].x:g} m).",
                "List the points from bow centre to stern centre, x forward.",
            )
        )
    found += [
        Problem(
            f"{key}[{i}].y",
            f"{point.y:g} m",
            "Only the port half is drawn, so y is positive between bow centre and stern centre.",
            "Give the distance from the centre line, or leave the point out.",
        )
        for i, point in enumerate(points[1:-1], start=1)
        if point.y <= TOUCHING
    ]
    last = points[-1]
    for name, value in (("through", last.through), ("run", last.run)):
        if value is not None:
            found.append(
                Problem(
                    f"{key}[{len(points) - 1}].{name}",
                    str(value),
                    "No piece starts at the last point.",
                    "Leave it out.",
                )
            )
    return found


def _label_problems(points: Sequence[OutlinePoint], key: str) -> list[Problem]:
    found, furthest, seen = [], 0, set()
    for i, point in enumerate(points[:-1]):
        if point.run not in LABELS:
            found.append(
                Problem(
                    f"{key}[{i}].run",
                    "(nothing)" if point.run is None else repr(point.run),
                    "The piece from this point to the next has no label.",
                    f"Give one of {', '.join(LABELS)}.",
                )
            )
            continue
        seen.add(point.run)
        if point.run == "corner":
            continue
        rank = LABELS.index(point.run)
        if rank < furthest:
            found.append(
                Problem(
                    f"{key}[{i}].run",
                    repr(point.run),
                    f"It comes after a piece labelled {LABELS[furthest]}.",
                    "Pieces run from bow by side to stern.",
                )
            )
        furthest = max(furthest, rank)
    if not found and len(points) > 2 and "side" not in seen:
        found.append(Problem(f"{key}[0].run", repr(points[0].run), "No piece is labelled side.", "Label the sides."))
    return found


def vertex_turns(pieces: Sequence[Piece]) -> tuple[float, ...]:
    """Return the turn [rad] at every vertex, left positive.

    At the first and last it is half the turn across the centre line: zero where that is met squarely.
    """
    inner = [turn_between(end_direction(before), start_direction(after)) for before, after in pairwise(pieces)]
    return (
        turn_between(1j, start_direction(pieces[0])),
        *inner,
        turn_between(end_direction(pieces[-1]), -1j),
    )


def wrong_turns(pieces: Sequence[Piece]) -> list[tuple[int, str]]:
    """Return (vertex, what is wrong) wherever the outline is not convex; an arc counts with the vertex it starts at."""
    turns = vertex_turns(pieces)
    found = [
        (i, f"it turns the wrong way by {math.degrees(-turn):.2f} deg")
        for i, turn in enumerate(turns)
        if turn < -NEARLY_TANGENT
    ]
    found += [
        (i, "its arc bends inward")
        for i, piece in enumerate(pieces)
        if isinstance(piece, ArcPiece) and piece.sweep < 0.0
    ]
    total = sum(turns) + sum(piece.sweep for piece in pieces if isinstance(piece, ArcPiece))
    if not found and abs(total - math.pi) > 1e-6:
        found.append((0, f"the outline turns by {math.degrees(2.0 * total):.0f} deg in all instead of 360"))
    return sorted(found)
