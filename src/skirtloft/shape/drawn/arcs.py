"""Lines and arcs for every piece of a port half: drawn ones as they are, curves as biarcs within the tolerance."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from skirtloft.errors import Problem
from skirtloft.maths.biarcs import fit_biarcs
from skirtloft.maths.convex_chain import convex_samples
from skirtloft.maths.curves import ArcPiece, LinePiece, Piece, line_piece, piece_end, piece_length, piece_start
from skirtloft.maths.fillets import turn_between
from skirtloft.maths.plane_curves import PlaneCurve, sample_curve
from skirtloft.shape.drawn.pieces import (
    DrawnPiece,
    direction_at_end,
    direction_at_start,
    shape_end,
    shape_length,
    shape_start,
    with_ends,
)
from skirtloft.shape.outline import NEARLY_TANGENT
from skirtloft.shape.wording import place_text

TINY = 1e-5  # m: shorter pieces are left out, their ends drawn together
HOLLOW = 0.5  # share of the tolerance that a bridged hollow may take
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
    found: list[RoundPiece] = []
    for k, piece in enumerate(pieces):
        if isinstance(piece.shape, PlaneCurve):
            fitted = _fitted(
                piece, _wanted_angle(pieces, k, start=True), _wanted_angle(pieces, k + 1, start=False), tolerance
            )
            if isinstance(fitted, Problem):
                problems.append(fitted)
            else:
                found += fitted
        else:
            found.append(RoundPiece(piece.shape, piece.heights, piece.source, False))
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
        before = direction_at_end(pieces[k - 1].shape) if k else 1j
        after = direction_at_start(pieces[k].shape) if k < len(pieces) else -1j
        turn = turn_between(before, after)
        if turn < -NEARLY_TANGENT:
            piece = pieces[min(k, len(pieces) - 1)]
            place = shape_start(piece.shape) if k < len(pieces) else shape_end(piece.shape)
            wrong = f"Here the outline turns inward by {math.degrees(-turn):.2f} deg."
            found.append(Problem(piece.source, place_text(place), wrong, would_do))
    return found


def _wanted_angle(pieces: Sequence[DrawnPiece], k: int, *, start: bool) -> float:
    """Return the direction [rad] wanted at the start of piece k, or at the end of piece k - 1.

    Where both nearly agree it is one: that of a line or an arc stands, two curves meet half way, the centre line is met
    squarely. Where they do not, each keeps its own.
    """
    before = direction_at_end(pieces[k - 1].shape) if k else 1j
    after = direction_at_start(pieces[k].shape) if k < len(pieces) else -1j
    if abs(turn_between(before, after)) > NEARLY_TANGENT:
        return cmath.phase(after if start else before)
    if k == 0 or (k < len(pieces) and not isinstance(pieces[k - 1].shape, PlaneCurve)):
        return cmath.phase(before)
    if k == len(pieces) or not isinstance(pieces[k].shape, PlaneCurve):
        return cmath.phase(after)
    return cmath.phase(before + after)


def _fitted(piece: DrawnPiece, start_angle: float, end_angle: float, tolerance: float) -> list[RoundPiece] | Problem:
    curve = piece.shape
    assert isinstance(curve, PlaneCurve)
    samples = sample_curve(curve, tolerance / 50.0)
    convex = convex_samples(samples, start_angle, end_angle)
    if convex.depth > HOLLOW * tolerance:
        wrong = f"The curve bends inward by {1000.0 * convex.depth:.4g} mm."
        would_do = (
            "The hull edge must be convex: mend the curve, or bridge the hollow with "
            f'--tolerance "{2000.0 * convex.depth * 1.01:.3g} mm".'
        )
        return Problem(piece.source, place_text(convex.deepest), wrong, would_do)
    fit = fit_biarcs(convex.curve, 0.97 * (tolerance - convex.depth))
    ends = zip(fit.heights[:-1], fit.heights[1:], strict=True)
    return [RoundPiece(own, heights, piece.source, True) for own, heights in zip(fit.pieces, ends, strict=True)]


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
