"""Ways to lay a new piece on an old one, none turned over: turn (2, 2) and shift (2,) [m], turn @ point + shift."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from scipy.optimize import linprog

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.record import PieceRecord

Laying = tuple[Floats, Floats]
FINE = 5e-3  # m: steps along an outline at which it is looked at
STEPS = 3  # of `snug`; each starts where the last one ended
REACH, TILT = 20e-3, 0.05  # m, rad: the most that a step moves and turns a piece; its lines are straight so far
PAIRED = 10e-3  # m: holes nearer than this are one and the same


def layings(old: PieceRecord, new: PieceRecord) -> Iterator[Laying]:
    """Yield ways that put frames, middles, corners of the sew line (all, or each two) or holes on each other."""
    yield frozen_array(np.eye(2)), frozen_array(np.zeros(2))
    middles = [np.array(shapely.Polygon(piece.cut).centroid.coords[0]) for piece in (old, new)]
    yield frozen_array(np.eye(2)), frozen_array(middles[0] - middles[1])
    if len(old.corners) == len(new.corners) >= 2:
        yield fitted(old.corners, new.corners)
        for k in range(len(new.corners)):
            ends = [k, (k + 1) % len(new.corners)]
            yield fitted(old.corners[ends], new.corners[ends])
    if len(old.holes) == len(new.holes) >= 2:
        yield fitted(old.holes, new.holes)


def fitted(old: Floats, new: Floats) -> Laying:
    """Return the way that brings points (k, 2) nearest to others in least squares."""
    to, start = old.mean(axis=0), new.mean(axis=0)
    a, b = new - start, old - to
    angle = np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b))
    turn = _turn(float(angle))
    return frozen_array(turn), frozen_array(to - turn @ start)


def snug(old: PieceRecord, new: PieceRecord, start: Laying, cloth: float, hole: float) -> Laying:
    """Return the way near `start` in which the worst of two is least: cloth missing by `cloth`, holes off by `hole`.

    Parameters
    ----------
    cloth, hole : float [m]
        What may be missing, and how far a hole may be off: the worst is counted in these.
    """
    ring = np.array(shapely.orient_polygons(shapely.Polygon(old.cut)).exterior.coords)
    outline = shapely.get_coordinates(shapely.segmentize(shapely.LinearRing(new.cut), FINE))
    turn, shift = (np.array(part) for part in start)
    for _ in range(STEPS):
        at, holes = outline @ turn.T + shift, new.holes @ turn.T + shift
        pivot = at.mean(axis=0)
        beyond, out = _beyond(at, ring)
        rows, room = [_row(out, at - pivot, cloth)], [-beyond]
        if len(holes) and len(old.holes):
            near = old.holes[np.hypot(*(old.holes[None] - holes[:, None]).transpose(2, 0, 1)).argmin(axis=1)]
            off = near - holes
            is_pair = np.hypot(*off.T) < PAIRED
            for way in np.vstack([np.eye(2), -np.eye(2)]):
                rows.append(_row(np.tile(way, (int(is_pair.sum()), 1)), (holes - pivot)[is_pair], hole / np.sqrt(2.0)))
                room.append(off[is_pair] @ way)
        bounds = [(-REACH, REACH), (-REACH, REACH), (-TILT, TILT), (None, None)]
        found = linprog([0.0, 0.0, 0.0, 1.0], np.vstack(rows), np.concatenate(room), bounds=bounds)
        if found.x is None:
            break
        by = _turn(float(found.x[2]))
        turn, shift = by @ turn, by @ (shift - pivot) + pivot + found.x[:2]
    return frozen_array(turn), frozen_array(shift)


def _row(way: Floats, arm: Floats, unit: float) -> Floats:
    """Return how a step (x, y, angle) moves points along `way` (k, 2), less the unit in which the worst is counted."""
    across = way[:, 1] * arm[:, 0] - way[:, 0] * arm[:, 1]
    return frozen_array(np.column_stack([way, across, np.full(len(way), -unit)]))


def _beyond(points: Floats, ring: Floats) -> tuple[Floats, Floats]:
    """Return how far points (k, 2) lie beyond the nearest side of an anticlockwise ring, and its way out (k, 2)."""
    a, side = ring[:-1], np.diff(ring, axis=0)
    long = np.hypot(*side.T)
    a, side, long = a[long > 0.0], side[long > 0.0], long[long > 0.0]
    from_a = points[:, None] - a[None]
    share = np.clip((from_a * side).sum(axis=2) / long**2, 0.0, 1.0)
    nearest = np.hypot(*(from_a - share[..., None] * side).transpose(2, 0, 1)).argmin(axis=1)
    out = np.column_stack([side[:, 1], -side[:, 0]]) / long[:, None]
    k = np.arange(len(points))
    return frozen_array((from_a[k, nearest] * out[nearest]).sum(axis=1)), frozen_array(out[nearest])


def _turn(angle: float) -> Floats:
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
