"""Smooth plane curves given by a formula (splines, ellipses): moved, turned round, cut and sampled.

Points are complex numbers x + iy [m]. A curve may carry a third number along, its height.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

Complexes = npt.NDArray[np.complex128]
Evaluation = tuple[Complexes, Complexes, Floats]
SMALLEST_STEPS = 16  # samples between two breaks before any is halved
MOST_SAMPLES = 20_000
APART = 1e-7  # m: samples nearer than this to the one before are left out, their chord has no direction


@dataclass(frozen=True, eq=False)
class PlaneCurve:
    """A curve with a tangent everywhere between its ends.

    Parameters
    ----------
    evaluate : callable
        Parameters (n,) -> points (n,) [m], their derivatives (n,), heights (n,) [m].
    breaks : tuple of float
        Parameters, rising, of the start, of places where the formula changes (knots), and of the end.
    """

    evaluate: Callable[[Floats], Evaluation]
    breaks: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class CurveSamples:
    """Points along a curve; all arrays (n,).

    Parameters
    ----------
    at : parameters
    points : complex [m]
    directions : [rad]
        Of travel, unwrapped: they run on past half a turn.
    heights : [m]
    """

    at: Floats
    points: Complexes
    directions: Floats
    heights: Floats


def curve_point(curve: PlaneCurve, at: float) -> complex:
    """Return the point x + iy [m] at one parameter."""
    return complex(curve.evaluate(np.array([at]))[0][0])


def curve_start(curve: PlaneCurve) -> complex:
    """Return the first point x + iy [m]."""
    return curve_point(curve, curve.breaks[0])


def curve_end(curve: PlaneCurve) -> complex:
    """Return the last point x + iy [m]."""
    return curve_point(curve, curve.breaks[-1])


def moved_curve(curve: PlaneCurve, factor: complex, shift: complex, mirror: bool = False) -> PlaneCurve:
    """Return the curve with every point p at factor p + shift; with `mirror`, at the conjugate of that.

    Heights are multiplied by the size of `factor`.
    """

    def evaluate(at: Floats) -> Evaluation:
        points, speeds, heights = curve.evaluate(at)
        points, speeds = factor * points + shift, factor * speeds
        if mirror:
            points, speeds = np.conj(points), np.conj(speeds)
        return points, speeds, abs(factor) * heights

    return PlaneCurve(evaluate, curve.breaks)


def reversed_curve(curve: PlaneCurve) -> PlaneCurve:
    """Return the curve run through from its end to its start."""

    def evaluate(at: Floats) -> Evaluation:
        points, speeds, heights = curve.evaluate(-at)
        return points, -speeds, heights

    return PlaneCurve(evaluate, tuple(-at for at in reversed(curve.breaks)))


def part_of_curve(curve: PlaneCurve, first: float, last: float) -> PlaneCurve:
    """Return the curve between two parameters."""
    inner = [at for at in curve.breaks if first < at < last]
    return PlaneCurve(curve.evaluate, (first, *inner, last))


def sample_curve(curve: PlaneCurve, max_error: float) -> CurveSamples:
    """Return points on the curve whose chords stay within about `max_error` [m] of it; every break is one of them.

    Notes
    -----
    A step is halved while an eighth of its length times the turn over it, the sagitta of an arc, is above `max_error`,
    or while it turns by more than 2 degrees.
    """
    at = np.unique(np.concatenate([np.linspace(a, b, SMALLEST_STEPS + 1) for a, b in pairwise(curve.breaks)]))
    while True:
        points, speeds, heights = curve.evaluate(at)
        directions = _directions(points, speeds)
        turns = np.abs(np.diff(directions))
        wide = (np.abs(np.diff(points)) * turns / 8.0 > max_error) | (turns > np.radians(2.0))
        wide &= np.diff(at) > 1e-12 * (curve.breaks[-1] - curve.breaks[0])
        if not np.any(wide) or len(at) >= MOST_SAMPLES:
            break
        at = np.sort(np.concatenate([at, ((at[:-1] + at[1:]) / 2.0)[wide]]))
    return apart(CurveSamples(at, points, directions, heights))


def apart(curve: CurveSamples) -> CurveSamples:
    """Return the samples without those that lie `APART` or less from the one before; both ends stay."""
    kept = np.concatenate([[True], np.abs(np.diff(curve.points)) > APART])
    if not kept[-1]:
        kept[np.flatnonzero(kept)[-1]] = len(np.flatnonzero(kept)) == 1
        kept[-1] = True
    return CurveSamples(curve.at[kept], curve.points[kept], curve.directions[kept], curve.heights[kept])


def _directions(points: Complexes, speeds: Complexes) -> Floats:
    """Return unwrapped directions; where the derivative vanishes, those of the chord to the next or last point."""
    chords = np.diff(points)
    forward, backward = np.append(chords, chords[-1]), np.concatenate([chords[:1], chords])
    chord = np.where(np.abs(forward) > 0.0, forward, backward)
    still = np.abs(speeds) <= 1e-9 * np.max(np.abs(speeds))
    return np.asarray(np.unwrap(np.angle(np.where(still, chord, speeds))), dtype=np.float64)
