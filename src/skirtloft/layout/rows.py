"""Outlines seen in rows across the roll: how far left and right a piece reaches in each, gap included."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from skirtloft.maths.frozen import Floats, frozen_array

SHORT = 4e-6  # [m] two pieces corner to corner are nearer than the gap by twice this at most


@dataclass(frozen=True, eq=False)
class Rows:
    """A grown outline in rows of one height, its lowest point on the lower edge of row 0 unless raised.

    Parameters
    ----------
    left, right : (m,) [m]
        Least and greatest x of the grown outline anywhere in a row, from the least x of all.
    width : float [m]
        Greatest `right`.
    corner : (2,) [m]
        Lower left corner of the box round the grown outline, in the outline's own frame.
    lefts : float [m]
        Sum of `left`.
    ends : (2,) [m]
        How long the piece is in its lowest and in its highest row.
    """

    left: Floats
    right: Floats
    width: float
    corner: Floats
    lefts: float
    ends: tuple[float, float]


def grown(outline: Floats, by: float) -> Floats:
    """Return an outline with `by` [m] added all round, (n, 2) [m], closed, first point repeated.

    Straight edges are moved exactly; round corners are polygons that come short of the true round by `SHORT` at most.
    """
    polygon = shapely.Polygon(outline)
    if by < SHORT:
        return np.asarray(polygon.exterior.coords)
    sides = int(np.ceil(np.pi / 4.0 / np.sqrt(2.0 * SHORT / by)))  # by (1 - cos(pi / 4 sides)) = SHORT
    return np.asarray(polygon.buffer(by, quad_segs=max(4, sides)).exterior.coords)


def rows(outline: Floats, gap: float, height: float, raised: float = 0.0) -> Rows:
    """Return the rows that an outline takes, half the gap added all round.

    Parameters
    ----------
    outline : (n, 2) [m]
    gap : float [m]
    height : float [m]
        Of a row.
    raised : float [m]
        Of the grown outline's lowest point above the lower edge of row 0, less than `height`.
    """
    points = grown(outline, gap / 2.0)
    corner = points.min(axis=0)
    points = points - corner + np.array([0.0, raised])
    count = max(1, int(np.ceil(points[:, 1].max() / height - 1e-9)))
    left, right = np.full(count, np.inf), np.full(count, -np.inf)
    pieces = _cut_at_rows(points, height)
    row = np.clip((0.5 * (pieces[:-1, 1] + pieces[1:, 1]) / height).astype(int), 0, count - 1)
    for ends in (pieces[:-1, 0], pieces[1:, 0]):
        np.minimum.at(left, row, ends)
        np.maximum.at(right, row, ends)
    lengths = float(right[0] - left[0]), float(right[-1] - left[-1])
    return Rows(
        frozen_array(left), frozen_array(right), float(right.max()), frozen_array(corner), float(left.sum()), lengths
    )


def _cut_at_rows(points: Floats, height: float) -> Floats:
    """Return a closed line with a point wherever it crosses from one row to the next, in order."""
    start, step = points[:-1], np.diff(points, axis=0)
    low = np.minimum(start[:, 1], points[1:, 1])
    high = np.maximum(start[:, 1], points[1:, 1])
    first = np.floor(low / height).astype(int) + 1
    counts = np.maximum(0, np.ceil(high / height - 1e-12).astype(int) - first)
    edge = np.repeat(np.arange(len(start)), counts)
    line = (np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts) + first[edge]) * height
    along = (line - start[edge, 1]) / step[edge, 1]
    crossing = np.column_stack([start[edge, 0] + along * step[edge, 0], line])
    order = np.lexsort((np.concatenate([np.zeros(len(start)), along]), np.concatenate([np.arange(len(start)), edge])))
    return np.asarray(np.concatenate([np.concatenate([start, crossing])[order], points[-1:]]))
