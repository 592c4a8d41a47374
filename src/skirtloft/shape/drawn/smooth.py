"""Curves that run on into one another, or across the centre line, sampled as one and stretched over their hollows."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

import numpy as np

from skirtloft.errors import Problem
from skirtloft.maths.convex_chain import convex_samples
from skirtloft.maths.fillets import turn_between
from skirtloft.maths.plane_curves import CurveSamples, PlaneCurve, sample_curve
from skirtloft.shape.drawn.pieces import DrawnPiece, direction_at_end, direction_at_start
from skirtloft.shape.outline import NEARLY_TANGENT
from skirtloft.shape.wording import place_text

HOLLOW = 0.5  # share of the tolerance that a bridged hollow may take
DEEP = 0.02  # m: a deeper one is no waviness
NOTCH = 0.5  # rad: a sharper turn inward is no waviness of a curve


def turn_at(pieces: Sequence[DrawnPiece], k: int) -> float:
    """Return the turn [rad] at the start of piece k, left positive; at the ends, half that across the centre line."""
    before = direction_at_end(pieces[k - 1].shape) if k else 1j
    after = direction_at_start(pieces[k].shape) if k < len(pieces) else -1j
    return turn_between(before, after)


def is_smoothed(pieces: Sequence[DrawnPiece], k: int) -> bool:
    """Return whether only curves, or a curve and the centre line, meet at the start of piece k, and not at a corner."""
    sides = [pieces[i].shape for i in (k - 1, k) if 0 <= i < len(pieces)]
    return all(isinstance(shape, PlaneCurve) for shape in sides) and -NOTCH < turn_at(pieces, k) < NEARLY_TANGENT


def smooth_runs(pieces: Sequence[DrawnPiece]) -> list[tuple[int, int]]:
    """Return the first curve of every run of curves without a corner, and the piece after its last."""
    found: list[tuple[int, int]] = []
    for k, piece in enumerate(pieces):
        if not isinstance(piece.shape, PlaneCurve):
            continue
        if found and found[-1][1] == k and is_smoothed(pieces, k):
            found[-1] = found[-1][0], k + 1
        else:
            found.append((k, k + 1))
    return found


def stretched_run(
    pieces: Sequence[DrawnPiece], first: int, last: int, tolerance: float
) -> tuple[CurveSamples, float] | Problem:
    """Return convex samples of the curves from `first` to before `last`, and the depth [m] of the deepest hollow.

    Parameters
    ----------
    pieces : sequence of DrawnPiece
        The port half; curves that cross the centre line without a corner are stretched together with their image.
    tolerance : float [m]
        Of the fit; a hollow may take `HOLLOW` of it.
    """
    own = _joined([piece.shape for piece in pieces[first:last]], tolerance / 50.0)
    count = len(own.points)
    angles = [_wanted_angle(pieces, first, start=True), _wanted_angle(pieces, last, start=False)]
    at_bow = first == 0 and is_smoothed(pieces, 0)
    at_stern = last == len(pieces) and is_smoothed(pieces, last)
    samples = own
    if at_bow:
        samples = _chained(_image(own, slice(count // 2, 0, -1), math.pi / 2.0), samples)
        angles[0] = float(samples.directions[0])
    if at_stern:
        samples = _chained(samples, _image(own, slice(count - 2, count // 2, -1), 1.5 * math.pi))
        angles[1] = float(samples.directions[-1])
    convex = convex_samples(samples, angles[0], angles[1])
    if convex.depth > HOLLOW * tolerance:
        deepest = complex(convex.deepest.real, abs(convex.deepest.imag))
        wrong = f"The curve bends inward by {1000.0 * convex.depth:.4g} mm."
        would_do = "The hull edge must be convex: mend the curve"
        if convex.depth < DEEP:
            would_do += f', or bridge the hollow with --tolerance "{1010.0 * convex.depth / HOLLOW:.3g} mm"'
        return Problem(_sources(pieces[first:last]), place_text(deepest), wrong, f"{would_do}.")
    return _port_part(convex.curve, count, at_bow, at_stern), convex.depth


def _sources(pieces: Sequence[DrawnPiece]) -> str:
    return " and ".join(dict.fromkeys(piece.source for piece in pieces))


def _joined(shapes: Sequence[object], max_error: float) -> CurveSamples:
    """Return the samples of curves laid end to end; `at` numbers them."""
    parts = [sample_curve(shape, max_error) for shape in shapes if isinstance(shape, PlaneCurve)]
    points = np.concatenate([part.points[min(k, 1) :] for k, part in enumerate(parts)])
    directions = np.concatenate([part.directions[min(k, 1) :] for k, part in enumerate(parts)])
    heights = np.concatenate([part.heights[min(k, 1) :] for k, part in enumerate(parts)])
    unwrapped = np.unwrap(directions)
    unwrapped += 2.0 * math.pi * np.round((math.pi - unwrapped.mean()) / (2.0 * math.pi))  # bow at 1/2 pi, stern at 3/2
    return CurveSamples(np.arange(len(points), dtype=np.float64), points, unwrapped, heights)


def _image(own: CurveSamples, which: slice, square: float) -> CurveSamples:
    """Return samples mirrored in the centre line, where the direction is `square`; their numbers are none."""
    points = np.conj(own.points[which])
    return CurveSamples(np.full(len(points), -1.0), points, 2.0 * square - own.directions[which], own.heights[which])


def _chained(first: CurveSamples, second: CurveSamples) -> CurveSamples:
    return CurveSamples(
        np.concatenate([first.at, second.at]),
        np.concatenate([first.points, second.points]),
        np.concatenate([first.directions, second.directions]),
        np.concatenate([first.heights, second.heights]),
    )


def _port_part(curve: CurveSamples, count: int, at_bow: bool, at_stern: bool) -> CurveSamples:
    """Return the samples of the port half again, square on the centre line where they were stretched across it."""
    own = curve.at >= 0.0
    points, directions = curve.points[own].copy(), curve.directions[own].copy()
    for is_across, end, square in ((at_bow, 0, math.pi / 2.0), (at_stern, -1, 1.5 * math.pi)):
        if is_across:
            points[end], directions[end] = complex(points[end].real, 0.0), square
    return CurveSamples(curve.at[own], points, directions, curve.heights[own])


def _wanted_angle(pieces: Sequence[DrawnPiece], k: int, *, start: bool) -> float:
    """Return the direction [rad] wanted at the start of piece k, or at the end of piece k - 1.

    Where a curve nearly agrees with the line or arc it meets, that of the line or arc; else its own.
    """
    before = direction_at_end(pieces[k - 1].shape) if k else 1j
    after = direction_at_start(pieces[k].shape) if k < len(pieces) else -1j
    if abs(turn_between(before, after)) > NEARLY_TANGENT:
        return cmath.phase(after if start else before)
    return cmath.phase(before if start else after)
