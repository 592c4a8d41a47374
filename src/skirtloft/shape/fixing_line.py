"""The inner-fixing line of a hull that exists, and how far the sections' inner fixings are from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.curves import Side, piece_index, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.shape.hull_edge import HullEdge, hull_edge, hull_height, line_on_hull
from skirtloft.shape.hull_lines import RUNS, in_craft, section_points
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design, FixingPoint

KEY = "hull.fixing.line"
STEP = 0.002  # m: along the line, for the nearest point; on a radius of 0.1 m a chord of it is off by 5 micrometres


@dataclass(frozen=True)
class _Vertex:
    """A vertex of the line with the label that outlines ask for."""

    x: float
    y: float
    height: float
    run: str | None
    radius: float | None
    through: tuple[float, float] | None


@dataclass(frozen=True, eq=False)
class FixingMiss:
    """Where the inner fixing of each section lies from the line on the hull; nan where the file says nothing.

    Parameters
    ----------
    distance : (n,) [m]
    outboard : (n,) [m]
        The skirt's fixing lies so much further outboard than the hull's.
    up : (n,) [m]
        And so much higher.
    """

    distance: Floats
    outboard: Floats
    up: Floats


def fixing_line(points: Sequence[FixingPoint], clearance: float) -> HullEdge:
    """Return the inner-fixing line given as points, `clearance` [m] above the tip plane.

    Raises
    ------
    DesignError
        Points, arcs or turns are wrong.
    ShapeError
        A fillet does not fit.
    """
    last = len(points) - 1
    vertices = [
        _Vertex(point.x, point.y, point.height, "side" if i < last else None, point.radius, point.through)
        for i, point in enumerate(points)
    ]
    return line_on_hull(vertices, clearance, KEY, "inner-fixing line")


def fixing_miss(design: Design, plan: Plan, sections: Sections) -> FixingMiss | None:
    """Return how far every section's inner fixing is from the hull's; None where the hull's is not given.

    Raises
    ------
    DesignError, ShapeError
        The line is drawn wrongly (see `fixing_line`).

    Notes
    -----
    Given by run: from the place in the same section, `inboard` of E and `height` above the bottom, at the stations
    of the run whose E lies on the run's own piece of the hull edge (in a corner, and where the edge is already
    rounded, nothing is given). Given as a line: from the nearest point of the line in space.
    """
    fixing = design.hull.fixing
    if fixing is None:
        return None
    inner = section_points(sections).inner
    if fixing.line is not None:
        nearest = _nearest(fixing_line(fixing.line, design.hull.clearance), in_craft(plan.stations, inner))
        away = in_craft(plan.stations, inner) - nearest
        outboard = (away[:, :2] * plan.stations.outward).sum(axis=1)
        return FixingMiss(frozen_array(np.linalg.norm(away, axis=1)), frozen_array(outboard), frozen_array(away[:, 2]))
    wanted = np.full(inner.shape, math.nan)
    own = _own_labels(design, plan)
    for i, run in enumerate(plan.stations.runs):
        place = getattr(fixing, run) if run in RUNS else None
        if place is not None and run in own[i]:
            wanted[i] = -place.inboard, design.hull.clearance + place.height
    outboard, up = (inner - wanted).T
    return FixingMiss(frozen_array(np.hypot(outboard, up)), frozen_array(outboard), frozen_array(up))


def _own_labels(design: Design, plan: Plan) -> list[set[str]]:
    """Return the labels of the hull edge's pieces that E of each station lies on: two where pieces meet."""
    edge, at = hull_edge(design.hull.edge, design.hull.clearance), plan.stations.hull_at
    sides: tuple[Side, Side] = ("before", "after")
    pieces = [piece_index(edge.path, at, side) for side in sides]
    return [{edge.labels[k] for k in pair} for pair in zip(*pieces, strict=True)]


def _nearest(line: HullEdge, places: Floats) -> Floats:
    """Return the points of a line [m] nearest to `places`, both (n, 3)."""
    total = float(line.path.breaks[-1])
    at = np.unique(np.concatenate([line.path.breaks, np.linspace(0.0, total, math.ceil(total / STEP) + 1)]))
    points = np.column_stack([points_at(line.path, at), hull_height(line, at)])
    gaps = ((places[:, None, :] - points[None, :, :]) ** 2).sum(axis=2)
    best = np.argmin(gaps, axis=1)
    found: Floats = points[best]
    least = gaps[np.arange(len(places)), best]
    for first in (np.maximum(best - 1, 0), np.minimum(best, len(points) - 2)):
        start, step = points[first], points[first + 1] - points[first]
        share = np.clip(((places - start) * step).sum(axis=1) / (step**2).sum(axis=1), 0.0, 1.0)
        foot = start + share[:, None] * step
        gap = ((places - foot) ** 2).sum(axis=1)
        closer = gap < least
        found[closer], least[closer] = foot[closer], gap[closer]
    return found
