"""How symmetrical an outline is about y = c, and the c about which it is most so."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.deviation import nearest, points_along
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import PlaneCurve
from skirtloft.shape.drawn.pieces import DrawnPiece, extents, moved, shape_start

SAMPLES = 4000  # points on the outline, about
CLEARLY = 0.9  # of two centre lines, the one with less than this share of the other's asymmetry is better
PAIRED = 0.02  # of the width: vertices that are mirror images lie no further off than this


@dataclass(frozen=True)
class Asymmetry:
    """The largest distance between an outline and its mirror image [m], where, and by which entity."""

    worst: float
    where: complex
    source: str
    in_height: bool


def best_centre(pieces: Sequence[DrawnPiece], told: float | None) -> tuple[float, Asymmetry]:
    """Return the c of the centre line y = c, and the asymmetry about it.

    Notes
    -----
    Where it is not told: the median of the places half way between pairs of vertices, which one vertex drawn wrongly
    does not move, or half way between the outermost points, where that leaves clearly less asymmetry.
    """
    if told is not None:
        low, high = extents(pieces)
        if not low.imag < told < high.imag:
            return told, Asymmetry(math.inf, complex(low.real, told), "outline", False)
        return told, asymmetry(pieces, told)
    found = [(centre, asymmetry(pieces, centre)) for centre in _centres(pieces)]
    best = min(found, key=lambda entry: entry[1].worst)
    return found[0] if CLEARLY * found[0][1].worst <= best[1].worst else best


def _centres(pieces: Sequence[DrawnPiece]) -> list[float]:
    low, high = extents(pieces)
    middle = (low.imag + high.imag) / 2.0
    vertices = np.array([shape_start(piece.shape) for piece in pieces])
    images = np.conj(vertices - 1j * middle) + 1j * middle
    gaps = np.abs(images[:, None] - vertices[None, :])
    partner = np.argmin(gaps, axis=1)
    paired = gaps[np.arange(len(vertices)), partner] < PAIRED * (high.imag - low.imag)
    if not np.any(paired):
        return [middle]
    return [float(np.median((vertices.imag + vertices.imag[partner])[paired]) / 2.0), middle]


def asymmetry(pieces: Sequence[DrawnPiece], centre: float) -> Asymmetry:
    """Return how far the outline lies from its mirror image in y = centre, in plan or in height."""
    centred = [moved(piece, 1.0, -1j * centre) for piece in pieces]
    shapes = [piece.shape for piece in centred]
    count = max(5, SAMPLES // len(shapes))
    own = [points_along([shape], count) for shape in shapes]
    points = np.concatenate(own)
    number = np.repeat(np.arange(len(shapes)), [len(part) for part in own])
    gaps, image = nearest(np.conj(points), shapes)
    k = int(np.argmax(gaps))
    worst = Asymmetry(float(gaps[k]), complex(points[k]) + 1j * centre, centred[number[k]].source, False)
    steps = np.abs(heights_at(centred, nearest(points, shapes)[1]) - heights_at(centred, image))
    j = int(np.argmax(steps))
    if steps[j] > worst.worst:
        return Asymmetry(float(steps[j]), complex(points[j]) + 1j * centre, centred[number[j]].source, True)
    return worst


def heights_at(pieces: Sequence[DrawnPiece], places: Floats) -> Floats:
    """Return the heights (n,) [m] at places given as piece number plus share of it (see `nearest`)."""
    number = np.minimum(places.astype(np.intp), len(pieces) - 1)
    share = places - number
    found = np.empty(len(places))
    for k in np.unique(number):
        piece, mine = pieces[k], number == k
        if isinstance(piece.shape, PlaneCurve):
            first, last = piece.shape.breaks[0], piece.shape.breaks[-1]
            found[mine] = piece.shape.evaluate(first + share[mine] * (last - first))[2]
        else:
            low, high = piece.heights
            found[mine] = low + share[mine] * (high - low)
    return found
