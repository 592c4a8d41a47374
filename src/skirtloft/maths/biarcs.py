"""Smooth convex curves as lines and circular arcs that join without a kink, within a tolerance, as few as may be.

A biarc is two arcs that join two points with given directions and have one tangent where they meet. Between points a
length h apart its distance from a smooth curve is of order h cubed, so an eighth of the tolerance takes twice the arcs.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.curves import ArcPiece, Piece, line_piece, piece_length, plane_point
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Complexes, CurveSamples

STRAIGHT = 1e-9  # rad: a turn below this is none
SHALLOW = 1e-3  # rad: arcs that turn by less are avoided, three points on one hardly tell it from a line
ROUNDS = 10  # of evening out the error


@dataclass(frozen=True, eq=False)
class BiarcFit:
    """A curve as lines and arcs.

    Parameters
    ----------
    pieces : tuple of Piece
        Tangent-continuous, turning left or not at all.
    heights : (k+1,) [m]
        At the ends of the pieces; linear between, by length.
    error : float [m]
        Largest distance of the samples from the pieces, in plan or in height.
    """

    pieces: tuple[Piece, ...]
    heights: tuple[float, ...]
    error: float


def biarc(start: complex, start_angle: float, end: complex, end_angle: float) -> tuple[Piece, ...]:
    """Return one line, or two pieces tangent to each other, from `start` to `end` [m] with the given directions [rad].

    The data must be convex: start_angle <= angle of the chord <= end_angle, and less than half a turn between.

    Notes
    -----
    With a and b the angles from the first direction to the chord and from the chord to the last, the two arcs may meet
    at any direction within min(a, b) of the chord's; both then turn left. Here they meet along the chord's direction.
    At the limits of that range one arc is a line; that is taken where an arc would turn by less than `SHALLOW`. Radii
    and lengths follow from end - start = r1 u(t0, t) + r2 u(t, t1), u(s, t) = -i (e^it - e^is) (derived).

    Raises
    ------
    ValueError
        The data are not convex.

    References
    ----------
    Bolton, "Biarc curves", Computer-Aided Design 7 (1975); Meek and Walton, J. Comput. Appl. Math. 59 (1995): the
    family and its order (from memory). The choice of the middle direction: our own.
    """
    chord = end - start
    a = _wrapped(cmath.phase(chord) - start_angle)
    b = _wrapped(end_angle - cmath.phase(chord))
    if min(a, b) < 0.0 or a + b >= math.pi:
        raise ValueError(f"no convex biarc: {a} rad to the chord and {b} rad beyond it")
    if a + b < STRAIGHT:
        return (line_piece(start, end),)
    middle = start_angle + a
    if min(a, b) < SHALLOW:
        middle = start_angle if a < b else start_angle + a + b
    last = start_angle + a + b
    first_step, last_step = _step(start_angle, middle), _step(middle, last)
    area = (first_step.conjugate() * last_step).imag
    first_size = (chord.conjugate() * last_step).imag / area
    last_size = (first_step.conjugate() * chord).imag / area
    meeting = start + first_size * first_step
    return (
        *_piece(start, meeting, first_size, start_angle, middle),
        *_piece(meeting, end, last_size, middle, last),
    )


def _wrapped(angle: float) -> float:
    """Return an angle between -pi and pi, and nothing below zero that is only rounding."""
    wrapped = math.remainder(angle, 2.0 * math.pi)
    return 0.0 if -STRAIGHT < wrapped < 0.0 else wrapped


def _step(first: float, last: float) -> complex:
    """Return where an arc of radius 1 between two directions leads; a unit line where they are one."""
    if last == first:
        return cmath.rect(1.0, first)
    half = (last - first) / 2.0
    return cmath.rect(2.0 * math.sin(half), first + half)


def _piece(start: complex, end: complex, size: float, first: float, last: float) -> tuple[Piece, ...]:
    if size * max(last - first, 1.0 if last == first else 0.0) < 1e-12:
        return ()
    if last == first:
        return (line_piece(start, end),)
    centre = start + 1j * size * cmath.rect(1.0, first)
    return (ArcPiece(plane_point(centre), size, first - math.pi / 2.0, last - first),)


def fit_biarcs(curve: CurveSamples, tolerance: float) -> BiarcFit:
    """Return lines and arcs within `tolerance` [m] of every sample of a convex curve.

    Parameters
    ----------
    curve : CurveSamples
        Convex: its directions lie between those of the chords beside them (see `convex_samples`). The ends of the fit
        have its first and last direction exactly.
    tolerance : float [m]

    Notes
    -----
    From the start each biarc reaches as far as the tolerance lets it; then the least tolerance that needs no more
    biarcs is found by halving, which evens out the error.
    """
    spans = _spans(curve, tolerance, len(curve.points))
    assert spans is not None
    low, high = 0.0, tolerance
    for _ in range(ROUNDS):
        middle = (low + high) / 2.0
        trial = _spans(curve, middle, len(spans))
        if trial is None:
            low = middle
        else:
            spans, high = trial, middle
    return _assembled(curve, spans)


def _spans(curve: CurveSamples, tolerance: float, most: int) -> list[tuple[int, int]] | None:
    """Return the first and last sample of every biarc, each as long as it can be; None where it takes over `most`."""
    last, reach = len(curve.points) - 1, 8
    spans: list[tuple[int, int]] = []
    turned = curve.directions[-1] - curve.directions
    start = 0
    while start < last:
        if len(spans) == most:
            return None
        end = _furthest(curve, start, reach, tolerance)
        if end < last and STRAIGHT < turned[end] < 2.0 * SHALLOW:  # leave enough of a turn for the last one
            enough = int(np.searchsorted(-turned, -2.0 * SHALLOW, side="right")) - 1
            end = enough if enough > start else end
        spans.append((start, end))
        reach, start = end - start, end
    return spans


def _furthest(curve: CurveSamples, start: int, reach: int, tolerance: float) -> int:
    """Return the furthest sample that one biarc from `start` reaches within the tolerance, at least the next."""
    last = len(curve.points) - 1
    good, step = start + 1, max(1, reach)
    bad = last + 1
    while good < last:
        trial = min(start + step, last)
        if trial > good:
            if _span_error(curve, start, trial) > tolerance:
                bad = trial
                break
            good = trial
        step *= 2
    while bad - good > 1 and good < last:
        middle = (good + bad) // 2
        if _span_error(curve, start, middle) <= tolerance:
            good = middle
        else:
            bad = middle
    return good


def _span_pieces(curve: CurveSamples, start: int, end: int) -> tuple[Piece, ...]:
    points, directions = curve.points, curve.directions
    return biarc(complex(points[start]), float(directions[start]), complex(points[end]), float(directions[end]))


def _span_error(curve: CurveSamples, start: int, end: int) -> float:
    """Return how far the samples from `start` to `end` lie from one biarc; ``inf`` where it would turn too far."""
    if curve.directions[end] - curve.directions[start] > math.pi / 2.0:
        return math.inf
    pieces = _span_pieces(curve, start, end)
    points = curve.points[start : end + 1]
    first = _is_on_first(pieces, points)
    gap = np.where(first, _distance(pieces[0], points), _distance(pieces[-1], points))
    heights = curve.heights[start : end + 1]
    if np.ptp(heights) == 0.0:
        return float(np.max(gap))
    drawn = _drawn_heights(pieces, points, first, heights)
    return max(float(np.max(gap)), float(np.max(np.abs(drawn - heights))))


def _is_on_first(pieces: tuple[Piece, ...], points: Complexes) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which points lie beside the first piece, before the place where it meets the second."""
    if len(pieces) == 1:
        return np.ones(len(points), dtype=np.bool_)
    second = pieces[1]
    if isinstance(second, ArcPiece):
        outward = cmath.rect(1.0, second.start_angle)
        meeting, onward = complex(*second.centre) + second.radius * outward, 1j * outward
    else:
        meeting = complex(*second.start)
        onward = (complex(*second.end) - meeting) / piece_length(second)
    return np.asarray(((points - meeting) * onward.conjugate()).real <= 0.0)


def _distance(piece: Piece, points: Complexes) -> Floats:
    """Return the distances from the whole line or circle under a piece."""
    if isinstance(piece, ArcPiece):
        return np.asarray(np.abs(np.abs(points - complex(*piece.centre)) - piece.radius))
    start, end = complex(*piece.start), complex(*piece.end)
    return np.asarray(np.abs(((points - start) * ((end - start) / abs(end - start)).conjugate()).imag))


def _drawn_heights(
    pieces: tuple[Piece, ...],
    points: Complexes,
    first: np.ndarray[tuple[int], np.dtype[np.bool_]],
    heights: Floats,
) -> Floats:
    """Return heights linear by length over each piece; where two meet, the curve's own."""
    along = np.where(first, _along(pieces[0], points), _along(pieces[-1], points))
    if len(pieces) == 1:
        places, known = [0.0, piece_length(pieces[0])], [heights[0], heights[-1]]
    else:
        length = piece_length(pieces[0])
        along = np.where(first, along, along + length)
        places = [0.0, length, length + piece_length(pieces[1])]
        known = [heights[0], _height_at(pieces, points, heights), heights[-1]]
    return np.asarray(np.interp(along, places, known), dtype=np.float64)


def _along(piece: Piece, points: Complexes) -> Floats:
    """Return how far along a piece [m] each point lies."""
    if isinstance(piece, ArcPiece):
        start = cmath.rect(1.0, piece.start_angle)
        return np.asarray(piece.radius * np.angle((points - complex(*piece.centre)) / start))
    start, end = complex(*piece.start), complex(*piece.end)
    return np.asarray(((points - start) * ((end - start) / abs(end - start)).conjugate()).real)


def _height_at(pieces: tuple[Piece, ...], points: Complexes, heights: Floats) -> float:
    """Return the curve's height beside the place where two pieces meet."""
    after = int(np.count_nonzero(_is_on_first(pieces, points)))  # the samples lie in order
    if after in (0, len(points)):
        return float(heights[min(after, len(points) - 1)])
    short = piece_length(pieces[0]) - float(_along(pieces[0], points[after - 1 : after])[0])
    beyond = float(_along(pieces[1], points[after : after + 1])[0])
    return float(np.interp(0.0, [-short, beyond], heights[after - 1 : after + 1]))


def _assembled(curve: CurveSamples, spans: list[tuple[int, int]]) -> BiarcFit:
    pieces: list[Piece] = []
    heights = [float(curve.heights[0])]
    error = 0.0
    for start, end in spans:
        own = _span_pieces(curve, start, end)
        if len(own) == 2:
            heights.append(_height_at(own, curve.points[start : end + 1], curve.heights[start : end + 1]))
        heights.append(float(curve.heights[end]))
        pieces.extend(own)
        error = max(error, _span_error(curve, start, end))
    return BiarcFit(tuple(pieces), tuple(heights), error)
