"""A curve that bends inward a little, stretched over its hollows: nearly convex samples made convex."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Complexes, CurveSamples, apart


@dataclass(frozen=True, eq=False)
class ConvexSamples:
    """Samples with their hollows bridged, and the deepest hollow.

    Parameters
    ----------
    curve : CurveSamples
        Convex.
    depth : float [m]
        Of the deepest hollow; 0 where the curve is convex itself.
    deepest : complex [m]
        Where that is.
    """

    curve: CurveSamples
    depth: float
    deepest: complex


def convex_samples(curve: CurveSamples, start_angle: float, end_angle: float) -> ConvexSamples:
    """Return the samples as they lie under a cord stretched round the left-turning curve.

    Parameters
    ----------
    curve : CurveSamples
        Turns left, but for hollows.
    start_angle, end_angle : float [rad]
        Directions wanted at its ends in place of its own; taken as far as the curve stays convex.

    Notes
    -----
    Points are dropped while the last three turn right; dropped points are put on the chord over them. Every direction
    is then held between those of the chords beside it, so that any two points and directions can be joined by a biarc.
    """
    kept = _stretched(curve.points)
    points = curve.points.copy()
    for first, last in pairwise(kept):
        if last - first > 1:
            chord = curve.points[last] - curve.points[first]
            share = ((curve.points[first : last + 1] - curve.points[first]) / chord).real
            points[first : last + 1] = curve.points[first] + np.maximum.accumulate(np.clip(share, 0.0, 1.0)) * chord
    points[kept] = curve.points[kept]
    gaps = np.abs(points - curve.points)
    deepest = int(np.argmax(gaps))
    bridged = apart(CurveSamples(curve.at, points, curve.directions, curve.heights))
    directions = _held(bridged.points, bridged.directions, start_angle, end_angle)
    convex = CurveSamples(bridged.at, bridged.points, directions, bridged.heights)
    return ConvexSamples(convex, float(gaps[deepest]), complex(curve.points[deepest]))


def _stretched(points: Complexes) -> list[int]:
    """Return the samples that a stretched cord touches."""
    kept: list[int] = []
    for k in range(len(points)):
        while len(kept) > 1:
            before = points[kept[-1]] - points[kept[-2]]
            after = points[k] - points[kept[-1]]
            if (before.conjugate() * after).imag > 1e-14 * abs(before) * abs(after):
                break
            kept.pop()
        kept.append(k)
    return kept


def _held(points: Complexes, directions: Floats, start_angle: float, end_angle: float) -> Floats:
    """Return directions that rise, each between the directions of the chords before and after it."""
    chords = np.unwrap(np.angle(np.diff(points)))
    chords += 2.0 * np.pi * np.round((directions[0] - chords[0]) / (2.0 * np.pi))
    chords = np.maximum.accumulate(chords)
    wanted = directions.copy()
    wanted[0] = start_angle + 2.0 * np.pi * np.round((directions[0] - start_angle) / (2.0 * np.pi))
    wanted[-1] = end_angle + 2.0 * np.pi * np.round((directions[-1] - end_angle) / (2.0 * np.pi))
    lower, upper = np.concatenate([[-np.inf], chords]), np.append(chords, np.inf)
    return np.asarray(np.clip(wanted, lower, upper), dtype=np.float64)
