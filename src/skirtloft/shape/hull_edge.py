"""The hull edge: where the loop is attached, from the vertices of the design file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import TOUCHING, Path, Piece, make_path
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.outline import OutlinePoint, drawn_pieces, wrong_turns
from skirtloft.shape.outline_fillets import RoundedOutline, rounded_outline

KEY = "hull.edge"


class HullPoint(OutlinePoint, Protocol):
    """A vertex of the hull edge; `height` [m] above the flat of the hull bottom."""

    @property
    def height(self) -> float: ...


@dataclass(frozen=True, eq=False)
class HullEdge:
    """The hull edge of the port half.

    Parameters
    ----------
    path : Path
        With its fillets.
    heights : (k+1,) [m]
        Above the tip plane at ``path.breaks``; linear between.
    labels : tuple of str
        "bow", "side", "stern" or "corner" for every piece of `path`; a fillet is a corner.
    drawn : tuple of (Piece, str)
        The pieces between the vertices before filleting, with their labels: what the joint line is moved from.
    """

    path: Path
    heights: Floats
    labels: tuple[str, ...]
    drawn: tuple[tuple[Piece, str], ...]


def hull_edge(points: Sequence[HullPoint], clearance: float) -> HullEdge:
    """Return the hull edge through `points`, `clearance` [m] above the tip plane.

    Raises
    ------
    DesignError
        Points, labels, arcs or turns are wrong: all problems of a kind at once, each by its TOML path.
    ShapeError
        A fillet does not fit.

    Notes
    -----
    Height is linear in plan length from vertex to vertex of the outline as drawn; over a fillet it runs linearly
    between the heights of its two tangent points, so a filleted vertex itself is not on the edge.
    """
    stern = []
    if abs(points[-1].x) > TOUCHING:
        stern.append(
            Problem(
                f"{KEY}[{len(points) - 1}].x",
                f"{points[-1].x:g} m",
                "x is measured from the hull edge on the centre line at the stern.",
                f"Give 0 m here and take {points[-1].x:g} m off every other x (loads too).",
            )
        )
    return line_on_hull(points, clearance, KEY, "hull edge", stern)


def line_on_hull(
    points: Sequence[HullPoint], clearance: float, key: str, name: str, also: Sequence[Problem] = ()
) -> HullEdge:
    """Return a line on the hull through `points`, drawn as the hull edge is: `key` and `name` are for messages.

    `also` are problems already found; errors and heights as in `hull_edge`.
    """
    pieces = drawn_pieces(points, key)
    problems = [
        Problem(
            f"{key}[{i}]",
            f"x {points[i].x:g} m, y {points[i].y:g} m",
            f"Every turn of the {name} has the same sign; here {why}.",
            "Move the point outboard, or leave it out.",
        )
        for i, why in wrong_turns(pieces)
    ]
    problems += also
    if problems:
        raise DesignError(problems)
    outline = rounded_outline(points, pieces, key)
    return HullEdge(
        make_path(outline.pieces),
        frozen_array(clearance + _heights(points, outline)),
        outline.labels,
        tuple((piece, str(point.run)) for piece, point in zip(pieces, points[:-1], strict=True)),
    )


def _heights(points: Sequence[HullPoint], outline: RoundedOutline) -> Floats:
    """Return the height above the hull bottom at every break of the outline [m]."""
    ends: list[tuple[float, float] | None] = []
    for source, (first, last) in zip(outline.source, outline.shares, strict=True):
        if source is None:
            ends.append(None)
            continue
        low, rise = points[source].height, points[source + 1].height - points[source].height
        ends.append((low + rise * first, low + rise * last))
    heights = []
    for k in range(len(ends) + 1):
        after = ends[k] if k < len(ends) else None
        before = ends[k - 1] if k > 0 else None
        known = before[1] if before is not None else after[0] if after is not None else None
        heights.append(known)
    if heights[0] is None:
        heights[0] = heights[1]
    if heights[-1] is None:
        heights[-1] = heights[-2]
    return np.array(heights, dtype=np.float64)


def hull_height(hull: HullEdge, at: npt.ArrayLike) -> Floats:
    """Return the height of the hull edge above the tip plane [m] at the lengths `at` [m] along it."""
    return np.asarray(np.interp(np.asarray(at, dtype=np.float64), hull.path.breaks, hull.heights), dtype=np.float64)
