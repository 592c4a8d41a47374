"""Lines and arcs for every piece of a port half: drawn ones as they are, curves as biarcs within the tolerance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from skirtloft.errors import Problem
from skirtloft.maths.biarcs import fit_biarcs
from skirtloft.maths.curves import ArcPiece, LinePiece, Piece, line_piece, piece_end, piece_length, piece_start
from skirtloft.maths.plane_curves import PlaneCurve
from skirtloft.shape.drawn.pieces import (
    DrawnPiece,
    moved,
    shape_end,
    shape_length,
    shape_start,
    with_ends,
)
from skirtloft.shape.drawn.smooth import is_smoothed, smooth_runs, stretched_run, turn_at
from skirtloft.shape.outline import NEARLY_TANGENT
from skirtloft.shape.wording import place_text

TINY = 1e-5  # m: shorter pieces are left out, their ends drawn together
# An arc whose third point stands off its chord by less than this share of it is no arc to the design file
# (design.rules: 1e-4); it is written as a line.
SAGITTA = 1.05e-4


@dataclass(frozen=True, eq=False)
class RoundPiece:
    """A line or an arc of the outline, heights [m] at its ends, and the entity it stands for."""

    piece: Piece
    heights: tuple[float, float]
    source: str
    is_fitted: bool


def round_pieces(half: Sequence[DrawnPiece], tolerance: float) -> list[RoundPiece] | list[Problem]:
    """Return the port half as lines and arcs, or every place where it bends inward.

    Parameters
    ----------
    half : sequence of DrawnPiece
        From bow centre to stern centre.
    tolerance : float [m]
        For curves.
    """
    pieces = _without_tiny(half)
    problems = _inward(pieces)
    runs = dict(smooth_runs(pieces))
    found: list[RoundPiece] = []
    k = 0
    while k < len(pieces):
        if k not in runs:
            shape = pieces[k].shape
            assert not isinstance(shape, PlaneCurve)
            found.append(RoundPiece(shape, pieces[k].heights, pieces[k].source, False))
            k += 1
            continue
        fitted = _fitted(pieces, k, runs[k], tolerance)
        if isinstance(fitted, Problem):
            problems.append(fitted)
        else:
            found += fitted
        k = runs[k]
    return problems or _merged([_as_written(one) for one in found])


def _without_tiny(half: Sequence[DrawnPiece]) -> list[DrawnPiece]:
    """Return the pieces without those too short to be one, the ones after them drawn back to close the gap."""
    kept: list[DrawnPiece] = []
    for piece in half:
        if shape_length(piece.shape) >= TINY:
            start = shape_end(kept[-1].shape) if kept else complex(shape_start(half[0].shape))
            kept.append(with_ends(piece, start, shape_end(piece.shape)))
    last = shape_end(half[-1].shape)
    if shape_end(kept[-1].shape) != last:
        kept[-1] = with_ends(kept[-1], shape_start(kept[-1].shape), last)
    return kept


def _inward(pieces: Sequence[DrawnPiece]) -> list[Problem]:
    """Return a problem for every arc that bends inward and every vertex that turns the wrong way."""
    found = []
    would_do = "The hull edge must be convex: move the point outboard, or draw a straight line across the hollow."
    for piece in pieces:
        if isinstance(piece.shape, ArcPiece) and piece.shape.sweep < 0.0:
            where = place_text(shape_start(piece.shape))
            found.append(Problem(piece.source, where, "This arc bends inward.", would_do))
    for k in range(len(pieces) + 1):
        turn = turn_at(pieces, k)
        if turn < -NEARLY_TANGENT and not is_smoothed(pieces, k):
            piece = pieces[min(k, len(pieces) - 1)]
            place = shape_start(piece.shape) if k < len(pieces) else shape_end(piece.shape)
            wrong = f"Here the outline turns inward by {math.degrees(-turn):.2f} deg."
            found.append(Problem(piece.source, place_text(place), wrong, would_do))
    return found


def _fitted(pieces: Sequence[DrawnPiece], first: int, last: int, tolerance: float) -> list[RoundPiece] | Problem:
    """Return the curves from `first` to before `last` as lines and arcs."""
    stretched = stretched_run(pieces, first, last, tolerance)
    if isinstance(stretched, Problem):
        return stretched
    samples, depth = stretched
    fit = fit_biarcs(samples, 0.97 * (tolerance - depth))
    ends = zip(fit.heights[:-1], fit.heights[1:], strict=True)
    source = " and ".join(dict.fromkeys(piece.source for piece in pieces[first:last]))
    return [RoundPiece(own, heights, source, True) for own, heights in zip(fit.pieces, ends, strict=True)]


def shifted(one: RoundPiece, along: float) -> RoundPiece:
    """Return the piece moved forward by `along` [m]."""
    shape = moved(DrawnPiece(one.piece, one.heights, one.source), 1.0, along).shape
    assert not isinstance(shape, PlaneCurve)
    return replace(one, piece=shape)


def _as_written(one: RoundPiece) -> RoundPiece:
    """Return an arc too flat for three points to tell as the line between its ends."""
    arc = one.piece
    if isinstance(arc, ArcPiece) and math.tan(abs(arc.sweep) / 4.0) / 2.0 < SAGITTA:
        return replace(one, piece=line_piece(piece_start(arc), piece_end(arc)))
    return one


def _merged(pieces: Sequence[RoundPiece]) -> list[RoundPiece]:
    """Return the pieces with neighbours on one line or one circle, rising evenly, made one."""
    kept: list[RoundPiece] = []
    for one in pieces:
        joined = _as_one(kept[-1], one) if kept else None
        if joined is None:
            kept.append(one)
        else:
            kept[-1] = joined
    return kept


def _as_one(before: RoundPiece, after: RoundPiece) -> RoundPiece | None:
    first, last = before.piece, after.piece
    lengths = piece_length(first), piece_length(last)
    rise = before.heights[1] - before.heights[0], after.heights[1] - after.heights[0]
    if abs(rise[0] * lengths[1] - rise[1] * lengths[0]) > 1e-9 * (lengths[0] + lengths[1]):
        return None
    made: Piece | None = None
    if isinstance(first, LinePiece) and isinstance(last, LinePiece):
        start, middle, end = piece_start(first), piece_end(first), piece_end(last)
        off = abs(((middle - start) * (end - start).conjugate()).imag) / abs(end - start)
        made = line_piece(start, end) if off < 1e-10 else None
    elif isinstance(first, ArcPiece) and isinstance(last, ArcPiece):
        apart = abs(complex(*first.centre) - complex(*last.centre)) + abs(first.radius - last.radius)
        whole = first.sweep + last.sweep
        if apart < 1e-10 and first.sweep * last.sweep > 0.0 and abs(whole) < math.pi:
            made = ArcPiece(first.centre, first.radius, first.start_angle, whole)
    if made is None:
        return None
    source = before.source if before.source == after.source else f"{before.source} and {after.source}"
    heights = (before.heights[0], after.heights[1])
    return RoundPiece(made, heights, source, before.is_fitted or after.is_fitted)
