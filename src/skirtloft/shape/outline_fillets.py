"""Fillets of a half outline: vertices rounded by arcs tangent to both pieces."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from skirtloft.errors import DesignError, Problem, ShapeError
from skirtloft.maths.curves import ArcPiece, Piece, piece_end, piece_start
from skirtloft.maths.fillets import FITS, Rounded, largest_radius, mirrored, round_corners
from skirtloft.shape.outline import NEARLY_TANGENT, OutlinePoint, vertex_turns
from skirtloft.shape.wording import at_most, millimetres


@dataclass(frozen=True, eq=False)
class RoundedOutline:
    """An outline with its fillets, in order; `source` is the drawn piece a part was cut from, None for a fillet.

    Parameters
    ----------
    pieces : tuple of Piece
    labels : tuple of str
        A fillet is a "corner".
    source : tuple of int or None
    shares : tuple of (float, float)
        Where the part starts and ends, as shares of the length of its drawn piece; (0, 0) for a fillet.
    """

    pieces: tuple[Piece, ...]
    labels: tuple[str, ...]
    source: tuple[int | None, ...]
    shares: tuple[tuple[float, float], ...]


def rounded_outline(points: Sequence[OutlinePoint], pieces: Sequence[Piece], key: str) -> RoundedOutline:
    """Return the outline with the fillets its vertices ask for.

    Raises
    ------
    DesignError
        A fillet is asked for where there is no corner.
    ShapeError
        A fillet does not fit; with the largest that does.
    """
    radii = _wanted_fillets(points, vertex_turns(pieces), key)
    whole = round_whole(pieces, radii)
    if not has_room(whole):
        raise _fillet_error(pieces, radii, key)
    parts: list[tuple[Piece, str, int | None, tuple[float, float]]] = []
    for i, arc in enumerate(whole.arcs):
        half = half_at_centre(arc, first=i == 0, last=i == len(pieces))
        if half is not None:
            parts.append((half, "corner", None, (0.0, 0.0)))
        if i < len(pieces):
            shares = _shares(pieces[i], whole.pieces[i + 1])
            if shares[1] - shares[0] > 1e-9:
                parts.append((whole.pieces[i + 1], str(points[i].run), i, shares))
    return RoundedOutline(*(tuple(column) for column in zip(*parts, strict=True)))


def _shares(piece: Piece, part: Piece) -> tuple[float, float]:
    if isinstance(piece, ArcPiece):
        assert isinstance(part, ArcPiece)
        first = (part.start_angle - piece.start_angle) / piece.sweep
        return first, first + part.sweep / piece.sweep
    step = complex(*piece.end) - complex(*piece.start)
    assert not isinstance(part, ArcPiece)
    shares = [(complex(*end) - complex(*piece.start)) / step for end in (part.start, part.end)]
    return shares[0].real, shares[1].real


def _wanted_fillets(points: Sequence[OutlinePoint], turns: Sequence[float], key: str) -> list[float | None]:
    problems = []
    for i, (point, turn) in enumerate(zip(points, turns, strict=True)):
        if point.radius is None:
            continue
        if point.radius <= 0.0:
            problems.append(
                Problem(
                    f"{key}[{i}].radius",
                    f"{point.radius:g} m",
                    "A radius is above zero.",
                    "Leave it out for a sharp corner.",
                )
            )
        elif turn <= NEARLY_TANGENT:
            problems.append(
                Problem(
                    f"{key}[{i}].radius",
                    millimetres(point.radius),
                    "There is no corner here to round.",
                    "Leave it out.",
                )
            )
    if problems:
        raise DesignError(problems)
    return [point.radius for point in points]


def _fillet_error(pieces: Sequence[Piece], radii: Sequence[float | None], key: str) -> ShapeError:
    """Return the error that names the first fillet that is too large, with the largest that fits."""
    arcs = [i for i, radius in enumerate(radii) if radius is not None]
    for i in arcs:
        given, largest = radii[i], largest_at(pieces, radii, [i])
        if given is not None and largest is not None and largest < given:
            return ShapeError(
                f"{key}[{i}].radius",
                f"a fillet of {millimetres(given)} does not fit between its neighbours.",
                f"Use at most {at_most(largest)}.",
            )
    common = largest_at(pieces, radii, arcs)
    return ShapeError(
        f"{key}[{arcs[0]}].radius",
        "the fillets of this outline overlap, or one touches only one of its pieces.",
        f"Use {at_most(common)} for all of them." if common else "Leave them out.",
    )


def largest_at(
    pieces: Sequence[Piece], radii: Sequence[float | None], mine: Sequence[int], spare: float = 0.0
) -> float | None:
    """Return the largest common radius [m] of the corners `mine` that leaves `spare` [m] beside them; None where none.

    The other corners keep their radii.
    """

    def margin(trial: float) -> float:
        return margin_at(pieces, [trial if k in mine else radius for k, radius in enumerate(radii)], mine) - spare

    return largest_radius(margin, outline_size(pieces), radius_step(pieces))


def margin_at(pieces: Sequence[Piece], radii: Sequence[float | None], mine: Sequence[int]) -> float:
    """Return the shortest length left beside the corners `mine` [m]; ``-inf`` where one has no tangent arc."""
    whole = round_whole(pieces, radii)
    if any(k in whole.missing for k in mine):
        return -math.inf
    beside = {run for k in mine for run in (k, k + 1) if 1 <= run <= len(pieces)}
    return min(whole.lengths[run] for run in beside)


def has_room(whole: Rounded) -> bool:
    """Return whether a rounded outline has all its arcs and no two overlap (see `round_whole`)."""
    return not whole.missing and min(whole.lengths[1:-1]) >= -FITS


def radius_step(pieces: Sequence[Piece]) -> float:
    """Return how finely to look for a radius (see `largest_radius`)."""
    return 1.2 if any(isinstance(piece, ArcPiece) for piece in pieces) else 2.0


def outline_size(pieces: Sequence[Piece]) -> float:
    """Return a length [m] of the order of the largest radius in or of the outline."""
    reach = [abs(piece_end(piece) - piece_start(pieces[0])) for piece in pieces]
    return max(*reach, *(piece.radius if isinstance(piece, ArcPiece) else 0.0 for piece in pieces))


def round_whole(pieces: Sequence[Piece], radii: Sequence[float | None]) -> Rounded:
    """Return the outline with its neighbours across the centre line, rounded.

    Parameters
    ----------
    pieces : n pieces of the port half
    radii : n + 1 radii [m]
        At the bow centre, between the pieces, at the stern centre; None where no arc is wanted.

    Returns
    -------
    Rounded
        Of n + 2 pieces: the first and last are the mirror images.
    """
    return round_corners([mirrored(pieces[0]), *pieces, mirrored(pieces[-1])], radii)


def half_at_centre(arc: ArcPiece | None, *, first: bool = False, last: bool = False) -> ArcPiece | None:
    """Return the port half of an arc that crosses the centre line at the bow (first) or stern (last)."""
    if arc is None or not (first or last):
        return arc
    half = arc.sweep / 2.0
    return ArcPiece(arc.centre, arc.radius, arc.start_angle + (half if first else 0.0), half)
