"""Labelled lines and arcs -> points of the design file, read back as the program will and measured."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

import numpy as np

from skirtloft.design.edge_text import as_written
from skirtloft.design.model import HullPoint, RunLabel
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.curves import ArcPiece, piece_end, piece_start
from skirtloft.maths.deviation import nearest, points_along
from skirtloft.maths.frozen import Floats
from skirtloft.maths.plane_curves import PlaneCurve
from skirtloft.shape.drawn.labels import Labelled
from skirtloft.shape.drawn.mirror import heights_at
from skirtloft.shape.drawn.pieces import DrawnPiece
from skirtloft.shape.hull_edge import HullEdge, hull_edge

CLEARANCE = 1.0  # m: any will do to read the edge back, heights are measured from the bottom again


@dataclass(frozen=True)
class Deviation:
    """How far drawing and hull edge lie apart [m], each way, and where on the craft.

    Parameters
    ----------
    edge_from_drawing, drawing_from_edge : the largest distance of any point of the one from the other
    of_drawn : the larger of both on lines and arcs, drawn as such
    height : between the heights
    """

    edge_from_drawing: float
    edge_at: complex
    drawing_from_edge: float
    drawing_at: complex
    of_drawn: float
    height: float


UNMEASURED = Deviation(math.inf, 0j, math.inf, 0j, math.inf, math.inf)


def hull_points(pieces: Sequence[Labelled], imperial: bool) -> tuple[HullPoint, ...]:
    """Return the points of the design file, rounded as they will be written (see `as_written`)."""
    found = []
    for one, label in pieces:
        through = None
        if isinstance(one.piece, ArcPiece):
            middle = complex(*one.piece.centre) + cmath.rect(
                one.piece.radius, one.piece.start_angle + one.piece.sweep / 2.0
            )
            through = (as_written(middle.real, imperial), as_written(middle.imag, imperial))
        found.append(_point(piece_start(one.piece), one.heights[0], label, through, imperial))
    last = pieces[-1][0]
    return (*found, _point(piece_end(last.piece), last.heights[1], None, None, imperial))


def _point(
    place: complex, height: float, label: str | None, through: tuple[float, float] | None, imperial: bool
) -> HullPoint:
    run: RunLabel | None = next((name for name in get_args(RunLabel) if name == label), None)
    x, y, height = (as_written(value, imperial) for value in (place.real, place.imag, height))
    return HullPoint(x=x, y=y, height=height, run=run, through=through)


def read_back(points: Sequence[HullPoint], pieces: Sequence[Labelled]) -> HullEdge:
    """Return the hull edge as the program makes it of the points.

    Raises
    ------
    DesignError
        As `hull_edge`, with the entities in the places.
    """
    try:
        return hull_edge(points, CLEARANCE)
    except DesignError as error:
        raise DesignError([_by_entity(problem, pieces) for problem in error.problems]) from None


def _by_entity(problem: Problem, pieces: Sequence[Labelled]) -> Problem:
    number = re.search(r"\[(\d+)\]", problem.path)
    if number is None:
        return problem
    source = pieces[min(int(number[1]), len(pieces) - 1)][0].source
    return Problem(f"{source} ({problem.path})", problem.given, problem.wrong, problem.would_do)


def measured(half: Sequence[DrawnPiece], edge: HullEdge) -> Deviation:
    """Return how far the port half as drawn and the hull edge lie apart, each way."""
    shapes, path = [piece.shape for piece in half], edge.path.pieces
    on_drawing = [points_along([shape]) for shape in shapes]
    drawing, outline = np.concatenate(on_drawing), points_along(path)
    from_edge, place = nearest(drawing, path)
    from_drawing, _ = nearest(outline, shapes)
    is_curve = np.repeat([isinstance(shape, PlaneCurve) for shape in shapes], [len(part) for part in on_drawing])
    of_drawn = float(np.max(from_edge[~is_curve], initial=0.0))
    there, back = int(np.argmax(from_edge)), int(np.argmax(from_drawing))
    drawn_heights = heights_at(half, nearest(drawing, shapes)[1])
    return Deviation(
        edge_from_drawing=float(from_drawing[back]),
        edge_at=complex(outline[back]),
        drawing_from_edge=float(from_edge[there]),
        drawing_at=complex(drawing[there]),
        of_drawn=of_drawn,
        height=float(np.max(np.abs(drawn_heights - _edge_heights(edge, place)))),
    )


def _edge_heights(edge: HullEdge, places: Floats) -> Floats:
    """Return the heights above the bottom at places given as piece number plus share of it."""
    heights = np.asarray(edge.heights) - CLEARANCE
    return np.asarray(np.interp(places, np.arange(len(heights)), heights), dtype=np.float64)
