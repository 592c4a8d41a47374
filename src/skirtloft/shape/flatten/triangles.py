"""Triangles laid flat one by one: their own plane, their area, and how a function of the nodes changes over them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class Triangles:
    """The triangles of p panels, t each, as they lie on the surface.

    Parameters
    ----------
    sides : (p, t, 2, 2) [m]
        Columns: the edges 01 and 02 in the triangle's own plane, 01 along its x.
    metric : (p, t, 2, 2) [m2]
        Products of the two edges with each other.
    slopes : (p, t, 2, 3) [1/m]
        Slope in x and y of the function that is 1 at one corner and 0 at the others.
    area : (p, t) [m2]
    """

    sides: Floats
    metric: Floats
    slopes: Floats
    area: Floats


def lay_triangles(lengths: Floats) -> Triangles:
    """Return the triangles with the edge lengths 01, 02, 12 (p, t, 3) [m]."""
    one, two, across = np.moveaxis(lengths, -1, 0)
    along = (one**2 + two**2 - across**2) / (2.0 * one)
    up = np.sqrt(two**2 - along**2)
    zero = np.zeros_like(one)
    sides = np.stack([np.stack([one, along], axis=-1), np.stack([zero, up], axis=-1)], axis=-2)
    back = inverse(sides)
    differences = np.array([[-1.0, 1.0, 0.0], [-1.0, 0.0, 1.0]])
    slopes = back.swapaxes(-1, -2) @ differences
    return Triangles(sides, sides.swapaxes(-1, -2) @ sides, slopes, one * up / 2.0)


def take_triangles(triangles: Triangles, which: Indices) -> Triangles:
    """Return the triangles of some of the panels."""
    return Triangles(triangles.sides[which], triangles.metric[which], triangles.slopes[which], triangles.area[which])


def flat_sides(flat: Floats, corners: Indices) -> Floats:
    """Return the edges 01 and 02 of the flat triangles as columns, (p, t, 2, 2) [m]; `flat` is (p, nodes, 2)."""
    at = flat[:, corners]
    sides: Floats = (at[:, :, 1:] - at[:, :, :1]).swapaxes(-1, -2)
    return sides


def turned_over(flat: Floats, corners: Indices) -> Floats:
    """Return the least signed area of the triangles of each panel, (p,) [m2]: not positive where one is turned over."""
    sides = flat_sides(flat, corners)
    least: Floats = np.min(sides[..., 0, 0] * sides[..., 1, 1] - sides[..., 0, 1] * sides[..., 1, 0], axis=1) / 2.0
    return least


def inverse(matrix: Floats) -> Floats:
    """Return the inverses of 2 by 2 matrices (..., 2, 2)."""
    a, b, c, d = matrix[..., 0, 0], matrix[..., 0, 1], matrix[..., 1, 0], matrix[..., 1, 1]
    turned = np.stack([np.stack([d, -b], axis=-1), np.stack([-c, a], axis=-1)], axis=-2)
    found: Floats = turned / (a * d - b * c)[..., None, None]
    return found
