"""How far points lie from lines, arcs and curves, and how far two outlines lie from each other."""

from __future__ import annotations

import cmath
from collections.abc import Sequence

import numpy as np

from skirtloft.maths.curves import ArcPiece, LinePiece, Piece
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import Complexes, PlaneCurve, sample_curve

FINE = 1e-4  # m: how far the samples that start the search for a foot may lie from their curve
HALVINGS = 40
AnyPiece = Piece | PlaneCurve


def distances(points: Complexes, pieces: Sequence[AnyPiece]) -> Floats:
    """Return the distance (n,) [m] of each point from the nearest of the pieces, ends included.

    Notes
    -----
    Exact for lines and arcs. For a curve, the nearest sample, and then halving for the foot of the perpendicular
    beside it.
    """
    return nearest(points, pieces)[0]


def nearest(points: Complexes, pieces: Sequence[AnyPiece]) -> tuple[Floats, Floats]:
    """Return the distance (n,) [m] to the nearest piece, and the place (n,) there: piece number plus share of it.

    The share is by length for lines and arcs, by parameter for curves.
    """
    best = np.full(len(points), np.inf)
    place = np.zeros(len(points))
    for k, piece in enumerate(pieces):
        own, share = _from_piece(points, piece)
        closer = own < best
        best = np.where(closer, own, best)
        place = np.where(closer, k + share, place)
    return best, place


def _from_piece(points: Complexes, piece: AnyPiece) -> tuple[Floats, Floats]:
    if isinstance(piece, LinePiece):
        start, end = complex(*piece.start), complex(*piece.end)
        share = np.clip(((points - start) / (end - start)).real, 0.0, 1.0)
        return np.abs(points - start - share * (end - start)), share
    if isinstance(piece, ArcPiece):
        return _from_arc(points, piece)
    return _from_curve(points, piece)


def _from_arc(points: Complexes, arc: ArcPiece) -> tuple[Floats, Floats]:
    middle = cmath.rect(1.0, arc.start_angle + arc.sweep / 2.0)
    from_middle = np.angle((points - complex(*arc.centre)) / middle)
    half = abs(arc.sweep) / 2.0
    held = np.clip(from_middle, -half, half)
    feet = complex(*arc.centre) + arc.radius * middle * np.exp(1j * held)
    return np.abs(points - feet), 0.5 + held / arc.sweep


def _from_curve(points: Complexes, curve: PlaneCurve) -> tuple[Floats, Floats]:
    from scipy.spatial import cKDTree

    samples = sample_curve(curve, FINE)
    tree = cKDTree(np.column_stack([samples.points.real, samples.points.imag]))
    best, found = tree.query(np.column_stack([points.real, points.imag]))
    first, last = curve.breaks[0], curve.breaks[-1]
    low, high = samples.at[np.maximum(found - 1, 0)], samples.at[np.minimum(found + 1, len(samples.at) - 1)]
    for _ in range(HALVINGS):
        at = (low + high) / 2.0
        here, speed, _ = curve.evaluate(at)
        is_before = ((points - here) * np.conj(speed)).real > 0.0
        low, high = np.where(is_before, at, low), np.where(is_before, high, at)
    feet = np.abs(points - curve.evaluate(at)[0])
    closer = feet < best
    return np.where(closer, feet, best), (np.where(closer, at, samples.at[found]) - first) / (last - first)


def points_along(pieces: Sequence[AnyPiece], per_piece: int = 65) -> Complexes:
    """Return points on every piece, ends included: `per_piece` on lines and arcs, more on curves."""
    share = np.linspace(0.0, 1.0, per_piece)
    found: list[Complexes] = []
    for piece in pieces:
        if isinstance(piece, LinePiece):
            start, end = complex(*piece.start), complex(*piece.end)
            found.append(np.asarray(start + share * (end - start), dtype=np.complex128))
        elif isinstance(piece, ArcPiece):
            turned = np.exp(1j * (piece.start_angle + share * piece.sweep))
            found.append(np.asarray(complex(*piece.centre) + piece.radius * turned, dtype=np.complex128))
        else:
            found.append(sample_curve(piece, FINE / 20.0).points)
    return np.concatenate(found)
