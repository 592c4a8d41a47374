"""The cut line: every edge of the sew line moved out by its own allowance, corners mitred and clipped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import Edge

if TYPE_CHECKING:
    from shapely import Polygon

MITRE_LIMIT = 1.5  # times the wider allowance: square corners stay whole, sharp ones are cut off so layers do not stack
STRAIGHT = 1e-9  # m: a point nearer than this to the line of its neighbours is no corner
GRID = 1e-11  # m: cut lines are rounded to this, so that parts that touch leave no slit between them
WHISKER, WHISKER_ANGLE = 2e-5, 0.1  # m, rad: a corner sharper and thinner than this is a sliver; no piece has one
BENDS = 1e-12  # sine of the turn from which a corner counts as convex
SMALLEST_AREA = 1e-16  # m2: patches below this are left out


def closed_line(edges: Sequence[Edge]) -> Floats:
    """Return the edges laid end to end, (k, 2) [m], first point not repeated."""
    return frozen_array(np.concatenate([edge.points[:-1] for edge in edges]))


def enclosed_area(points: Floats) -> float:
    """Return the signed area inside a closed line, (k, 2) [m] to [m2]; positive anticlockwise."""
    x, y = points[:, 0], points[:, 1]
    return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def cut_line(edges: Sequence[Edge], tabs: Sequence[Floats] = (), piece: str = "piece") -> Floats:
    """Return the closed outline to cut round `edges`, (m, 2) [m], anticlockwise, first point not repeated.

    Parameters
    ----------
    edges : sequence of Edge
        Once round, anticlockwise, each with its allowance.
    tabs : sequence of (k, 2) [m]
        Polygons of cloth to leave on besides.
    piece : str
        Name for the error.

    Raises
    ------
    ShapeError
        The sew line crosses itself or runs clockwise.

    Notes
    -----
    The outline is that of the union of the sewn area, one band of the allowance's width along every edge, and at
    every convex corner the patch up to where the two moved edges meet. Where that point lies more than `MITRE_LIMIT`
    times the wider allowance away, the patch is cut off square to its direction. Where a wide allowance meets a narrow
    one at a blunt corner, the wide one is cut back to the moved narrow edge. A union cannot cross itself, however
    hollow an edge is.
    """
    import shapely

    edges = _joined(edges)
    sewn = shapely.Polygon(closed_line(edges))
    if not sewn.is_valid or enclosed_area(closed_line(edges)) <= 0.0:
        raise ShapeError(piece, "The sewn outline crosses itself or runs the wrong way round.", "Use more stations.")
    cloth, surplus = _pieces_of_cloth(edges)
    whole = shapely.union_all([sewn, *cloth, *(shapely.Polygon(tab) for tab in tabs)], grid_size=GRID)
    if surplus:
        spare = shapely.union_all(surplus, grid_size=GRID)
        whole = shapely.union_all([shapely.difference(whole, spare, grid_size=GRID), sewn], grid_size=GRID)
    if whole.geom_type != "Polygon":
        whole = max(whole.geoms, key=lambda part: part.area)
    outline = np.asarray(shapely.orient_polygons(whole).exterior.coords)[:-1]
    outline = _without_whiskers(_without_straight_points(outline))
    return frozen_array(_without_straight_points(outline))


def is_rectangle(points: Floats) -> bool:
    """Return whether a closed line (k, 2) [m] is four corners with right angles."""
    if len(points) != 4:
        return False
    steps = np.roll(points, -1, axis=0) - points
    steps = steps / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    return bool(np.all(np.abs(np.sum(steps * np.roll(steps, -1, axis=0), axis=1)) < 1e-6))


def _joined(edges: Sequence[Edge]) -> list[Edge]:
    """The edges with every last point put exactly on the next one's first."""
    following = [*edges[1:], edges[0]]
    return [
        replace(edge, points=np.vstack([edge.points[:-1], after.points[:1]]))
        for edge, after in zip(edges, following, strict=True)
    ]


def _pieces_of_cloth(edges: Sequence[Edge]) -> tuple[list[Polygon], list[Polygon]]:
    """Bands along the edges with patches at their convex corners, and what sticks out past a narrower neighbour."""
    patches: list[Polygon] = []
    surplus: list[Polygon] = []
    ways = [_normals(edge.points) for edge in edges]
    for i, edge in enumerate(edges):
        patches += _band(edge, ways[i])
        before, after = ways[i - 1][-1], ways[i][0]
        if before[0] * after[1] - before[1] * after[0] > BENDS:
            allowances = (edges[i - 1].allowance, edge.allowance)
            patch, cut_back = _corner_patch(edge.points[0], (before, after), allowances)
            patches += patch
            surplus += cut_back
    return patches, surplus


def _normals(points: Floats) -> Floats:
    """Outward unit normals of the steps of an anticlockwise line, (k - 1, 2)."""
    steps = np.diff(points, axis=0)
    normals: Floats = np.column_stack([steps[:, 1], -steps[:, 0]]) / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    return normals


def _band(edge: Edge, normals: Floats) -> list[Polygon]:
    """The strip of cloth outside one edge: in one piece, or step by step where a hollow would fold it over itself."""
    import shapely

    points, wide = edge.points, edge.allowance
    if wide <= 0.0:
        return []
    before, after = normals[:-1], normals[1:]
    level = np.sum(before * after, axis=1)
    if np.all(level > 0.0):
        meet = points[1:-1] + wide / (1.0 + level)[:, None] * (before + after)
        moved = np.vstack([points[0] + wide * normals[0], meet, points[-1] + wide * normals[-1]])
        if np.all(np.sum(np.diff(moved, axis=0) * np.diff(points, axis=0), axis=1) > 0.0):
            whole = shapely.Polygon(np.vstack([points, moved[::-1]]))
            if whole.is_valid:
                return [whole]
    out = wide * normals
    strips = _polygons(np.stack([points[:-1], points[:-1] + out, points[1:] + out, points[1:]], axis=1))
    bends = np.flatnonzero(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0] > BENDS)
    for i in bends:
        strips += _corner_patch(points[i + 1], (before[i], after[i]), (wide, wide))[0]
    return strips


def _polygons(shapes: Floats) -> list[Polygon]:
    """Polygons (n, k, 2) that have an area."""
    import shapely

    x, y = shapes[..., 0], shapes[..., 1]
    area = 0.5 * np.sum(x * np.roll(y, -1, axis=-1) - np.roll(x, -1, axis=-1) * y, axis=-1)
    return list(shapely.polygons(shapes[np.abs(area) > SMALLEST_AREA]))


def _corner_patch(
    at: Floats, normals: tuple[Floats, Floats], allowances: tuple[float, float]
) -> tuple[list[Polygon], list[Polygon]]:
    """The cloth between the strips before and after a convex corner, and what to take off one of them."""
    (before, after), (wide, narrow) = normals, allowances
    level = float(before @ after)
    meet = np.linalg.solve(np.array([before, after]), np.array([wide, narrow]))
    first, last = wide * before, narrow * after
    if narrow < wide * level:
        return _cut_back(at, first, last, meet, narrow / level * before)
    if wide < narrow * level:
        return _cut_back(at, last, first, meet, wide / level * after)
    reach = float(np.hypot(meet[0], meet[1]))
    limit = MITRE_LIMIT * max(wide, narrow)
    tip = [meet] if reach <= limit else [_clipped(first, meet, limit), _clipped(last, meet, limit)]
    return _polygons((at + np.array([[0.0, 0.0], first, *tip, last]))[None]), []


def _cut_back(
    at: Floats, wide: Floats, narrow: Floats, meet: Floats, foot: Floats
) -> tuple[list[Polygon], list[Polygon]]:
    """Patch up to `foot`, where the end of the wide strip crosses the moved narrow edge; the rest of that end goes."""
    return _polygons((at + np.array([[0.0, 0.0], foot, narrow]))[None]), _polygons(
        (at + np.array([meet, wide, foot]))[None]
    )


def _clipped(start: Floats, meet: Floats, limit: float) -> Floats:
    """The point on the way from `start` to `meet` that lies `limit` out in the direction of `meet`."""
    way = meet / np.hypot(meet[0], meet[1])
    share = (limit - start @ way) / ((meet - start) @ way)
    clipped: Floats = start + share * (meet - start)
    return clipped


def _without_whiskers(points: Floats) -> Floats:
    """Leave out the ends of slivers, where the outline runs out and comes back on itself.

    Where a wide allowance is cut back along its own end, rounding can leave a sliver standing there: a line of no
    width, which scissors cannot cut and a plotter would draw.
    """
    kept = points
    while len(kept) > 3:
        to_before, to_after = np.roll(kept, 1, axis=0) - kept, np.roll(kept, -1, axis=0) - kept
        before, after = np.hypot(*to_before.T), np.hypot(*to_after.T)
        level = np.sum(to_before * to_after, axis=1)
        turned = np.abs(to_before[:, 0] * to_after[:, 1] - to_before[:, 1] * to_after[:, 0])
        longer = np.maximum(np.maximum(before, after), STRAIGHT)
        is_end = (level > 0.0) & (turned <= WHISKER * longer) & (turned <= WHISKER_ANGLE * level)
        if not is_end.any():
            break
        kept = np.delete(kept, int(np.argmax(is_end)), axis=0)
    return kept


def _without_straight_points(points: Floats) -> Floats:
    """Leave out points that lie on the line of their neighbours, or on top of one."""
    behind = points - np.roll(points, 1, axis=0)
    apart = points[np.hypot(behind[:, 0], behind[:, 1]) > STRAIGHT]
    before, chord = apart - np.roll(apart, 1, axis=0), np.roll(apart, -1, axis=0) - np.roll(apart, 1, axis=0)
    off = np.abs(before[:, 0] * chord[:, 1] - before[:, 1] * chord[:, 0]) / np.hypot(chord[:, 0], chord[:, 1])
    corners: Floats = apart[off > STRAIGHT]
    return corners
