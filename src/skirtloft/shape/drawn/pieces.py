"""What a drawing of an outline is made of: lines, arcs and curves with heights, moved, turned round and cut."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from skirtloft.maths.curves import (
    ArcPiece,
    LinePiece,
    end_direction,
    line_piece,
    piece_end,
    piece_length,
    piece_start,
    plane_point,
    start_direction,
)
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import (
    Evaluation,
    PlaneCurve,
    curve_end,
    curve_start,
    moved_curve,
    part_of_curve,
    reversed_curve,
    sample_curve,
)

Shape = LinePiece | ArcPiece | PlaneCurve
COARSE = 1e-3  # m: chords of a curve where only its rough run is wanted


@dataclass(frozen=True, eq=False)
class DrawnPiece:
    """One piece of the drawing.

    Parameters
    ----------
    shape : LinePiece, ArcPiece or PlaneCurve
        In plan.
    heights : (float, float) [m]
        At start and end, linear between by length; of a curve, its own at its ends.
    source : str
        The entity it comes from, in words: ``ARC 2F``.
    """

    shape: Shape
    heights: tuple[float, float]
    source: str


@dataclass(frozen=True, eq=False)
class Stroke:
    """Pieces that one entity lays end to end."""

    pieces: tuple[DrawnPiece, ...]
    source: str


def shape_start(shape: Shape) -> complex:
    """Return the first point x + iy [m]."""
    return curve_start(shape) if isinstance(shape, PlaneCurve) else piece_start(shape)


def shape_end(shape: Shape) -> complex:
    """Return the last point x + iy [m]."""
    return curve_end(shape) if isinstance(shape, PlaneCurve) else piece_end(shape)


def shape_length(shape: Shape) -> float:
    """Return the length [m]; of a curve, to about a thousandth."""
    if isinstance(shape, PlaneCurve):
        return float(np.sum(np.abs(np.diff(sample_curve(shape, COARSE).points))))
    return piece_length(shape)


def direction_at_start(shape: Shape) -> complex:
    """Return the unit direction of travel at the first point."""
    if isinstance(shape, PlaneCurve):
        return cmath.rect(1.0, float(sample_curve(shape, COARSE).directions[0]))
    return start_direction(shape)


def direction_at_end(shape: Shape) -> complex:
    """Return the unit direction of travel at the last point."""
    if isinstance(shape, PlaneCurve):
        return cmath.rect(1.0, float(sample_curve(shape, COARSE).directions[-1]))
    return end_direction(shape)


def moved(piece: DrawnPiece, factor: complex, shift: complex = 0.0) -> DrawnPiece:
    """Return the piece with every point p at factor p + shift, and heights times the size of `factor`."""
    shape, size = piece.shape, abs(factor)
    made: Shape
    if isinstance(shape, PlaneCurve):
        made = moved_curve(shape, factor, shift)
    elif isinstance(shape, ArcPiece):
        centre = plane_point(factor * complex(*shape.centre) + shift)
        made = ArcPiece(centre, size * shape.radius, shape.start_angle + cmath.phase(factor), shape.sweep)
    else:
        made = line_piece(factor * piece_start(shape) + shift, factor * piece_end(shape) + shift)
    return DrawnPiece(made, (size * piece.heights[0], size * piece.heights[1]), piece.source)


def with_ends(piece: DrawnPiece, start: complex, end: complex) -> DrawnPiece:
    """Return the piece moved, turned and stretched as a whole so that it runs from `start` to `end`."""
    was_start, was_end = shape_start(piece.shape), shape_end(piece.shape)
    if (was_start == start and was_end == end) or abs(was_end - was_start) <= 1e-9:
        return piece
    if isinstance(piece.shape, LinePiece):
        return replace(piece, shape=line_piece(start, end))
    factor = (end - start) / (was_end - was_start)
    return replace(moved(piece, factor, start - factor * was_start), heights=piece.heights)


def levelled(piece: DrawnPiece, height: float) -> DrawnPiece:
    """Return the piece at one height [m]."""
    shape = piece.shape
    if isinstance(shape, PlaneCurve):
        own = shape

        def evaluate(at: Floats) -> Evaluation:
            points, speeds, _ = own.evaluate(at)
            return points, speeds, np.full(len(at), height)

        shape = PlaneCurve(evaluate, own.breaks)
    return DrawnPiece(shape, (height, height), piece.source)


def mirrored_about_centre(piece: DrawnPiece) -> DrawnPiece:
    """Return the piece mirrored in y = 0, run through the other way."""
    shape = piece.shape
    made: Shape
    if isinstance(shape, PlaneCurve):
        made = reversed_curve(moved_curve(shape, 1.0, 0.0, mirror=True))
    elif isinstance(shape, ArcPiece):
        centre = plane_point(complex(*shape.centre).conjugate())
        made = ArcPiece(centre, shape.radius, -(shape.start_angle + shape.sweep), shape.sweep)
    else:
        made = line_piece(piece_end(shape).conjugate(), piece_start(shape).conjugate())
    return DrawnPiece(made, (piece.heights[1], piece.heights[0]), piece.source)


def turned_round(piece: DrawnPiece) -> DrawnPiece:
    """Return the piece run through from its end to its start."""
    shape = piece.shape
    made: Shape
    if isinstance(shape, PlaneCurve):
        made = reversed_curve(shape)
    elif isinstance(shape, ArcPiece):
        made = ArcPiece(shape.centre, shape.radius, shape.start_angle + shape.sweep, -shape.sweep)
    else:
        made = line_piece(piece_end(shape), piece_start(shape))
    return DrawnPiece(made, (piece.heights[1], piece.heights[0]), piece.source)


def reverse_all(pieces: Iterable[DrawnPiece]) -> list[DrawnPiece]:
    """Return pieces laid end to end, run through the other way."""
    return [turned_round(piece) for piece in reversed(list(pieces))]


def cut(piece: DrawnPiece, shares: Sequence[float]) -> list[DrawnPiece]:
    """Return the piece cut at shares of its length (of a curve: of its parameter), rising, between 0 and 1."""
    bounds = [0.0, *shares, 1.0]
    return [part(piece, first, last) for first, last in pairwise(bounds)]


def part(piece: DrawnPiece, first: float, last: float) -> DrawnPiece:
    """Return the part between two shares (see `cut`)."""
    shape, (low, high) = piece.shape, piece.heights
    heights = (low + first * (high - low), low + last * (high - low))
    made: Shape
    if isinstance(shape, PlaneCurve):
        start, end = shape.breaks[0], shape.breaks[-1]
        made = part_of_curve(shape, *(end if s == 1.0 else start + s * (end - start) for s in (first, last)))
        height = made.evaluate(np.array([made.breaks[0], made.breaks[-1]]))[2]
        heights = (float(height[0]), float(height[1]))
    elif isinstance(shape, ArcPiece):
        angle = shape.start_angle + first * shape.sweep
        made = ArcPiece(shape.centre, shape.radius, angle, (last - first) * shape.sweep)
    else:
        start_point, step = piece_start(shape), piece_end(shape) - piece_start(shape)
        ends = [piece_end(shape) if share == 1.0 else start_point + share * step for share in (first, last)]
        made = line_piece(ends[0], ends[1])
    return DrawnPiece(made, heights, piece.source)


def place_at(piece: DrawnPiece, share: float) -> complex:
    """Return the point at a share of the piece (see `cut`)."""
    shape = piece.shape
    if isinstance(shape, PlaneCurve):
        start, end = shape.breaks[0], shape.breaks[-1]
        return complex(shape.evaluate(np.array([start + share * (end - start)]))[0][0])
    if isinstance(shape, ArcPiece):
        return complex(*shape.centre) + cmath.rect(shape.radius, shape.start_angle + share * shape.sweep)
    return piece_start(shape) + share * (piece_end(shape) - piece_start(shape))


def crossing_shares(piece: DrawnPiece) -> list[float]:
    """Return the shares strictly inside the piece (see `cut`) at which it crosses y = 0, rising."""
    shape = piece.shape
    if isinstance(shape, PlaneCurve):
        return _curve_crossings(shape)
    if isinstance(shape, ArcPiece):
        sine = -shape.centre[1] / shape.radius
        if abs(sine) >= 1.0:
            return []
        first = math.asin(sine)
        found = []
        for angle in (first, math.pi - first):
            turn = math.fmod(angle - shape.start_angle, 2.0 * math.pi)
            found += [(turn + 2.0 * math.pi * lap) / shape.sweep for lap in (-1, 0, 1)]
        return sorted(share for share in found if 0.0 < share < 1.0)
    low, high = piece_start(shape).imag, piece_end(shape).imag
    return [low / (low - high)] if low * high < 0.0 else []


def _curve_crossings(curve: PlaneCurve) -> list[float]:
    from scipy.optimize import brentq

    samples = sample_curve(curve, COARSE)
    beside = samples.points.imag
    start, end = curve.breaks[0], curve.breaks[-1]
    found = []
    for k in range(len(beside) - 1):
        if beside[k] == 0.0 and k > 0:
            found.append(float(samples.at[k]))
        elif beside[k] * beside[k + 1] < 0.0:
            root = brentq(
                lambda at: float(curve.evaluate(np.array([at]))[0][0].imag),
                samples.at[k],
                samples.at[k + 1],
                xtol=1e-15 * (end - start),
                rtol=8.9e-16,
            )
            found.append(float(root))
    return [(at - start) / (end - start) for at in found if start < at < end]


def extents(pieces: Iterable[DrawnPiece]) -> tuple[complex, complex]:
    """Return the lower left and the upper right corner of the box round the pieces [m]: exact round lines and arcs."""
    places: list[complex] = []
    for piece in pieces:
        shape = piece.shape
        places += [shape_start(shape), shape_end(shape)]
        if isinstance(shape, ArcPiece):
            quarter = math.pi / 2.0
            first, last = sorted((shape.start_angle, shape.start_angle + shape.sweep))
            for k in range(math.ceil(first / quarter), math.floor(last / quarter) + 1):
                places.append(complex(*shape.centre) + shape.radius * 1j ** (k % 4))
        elif isinstance(shape, PlaneCurve):
            places += _curve_extremes(shape)
    return (
        complex(min(place.real for place in places), min(place.imag for place in places)),
        complex(max(place.real for place in places), max(place.imag for place in places)),
    )


def _curve_extremes(curve: PlaneCurve) -> list[complex]:
    """Return the highest, lowest, leftmost and rightmost points of a curve, to rounding."""
    from scipy.optimize import minimize_scalar

    samples = sample_curve(curve, COARSE)
    found = []
    for turn in (1.0, -1.0, 1j, -1j):
        k = int(np.argmin((samples.points * turn).real))
        low, high = samples.at[max(k - 1, 0)], samples.at[min(k + 1, len(samples.at) - 1)]
        best = minimize_scalar(
            lambda at, turn=turn: float((curve.evaluate(np.array([at]))[0][0] * turn).real),
            bounds=(low, high),
            method="bounded",
            options={"xatol": 1e-12 * (curve.breaks[-1] - curve.breaks[0])},
        )
        found += [complex(curve.evaluate(np.array([best.x]))[0][0]), complex(samples.points[k])]
    return found
