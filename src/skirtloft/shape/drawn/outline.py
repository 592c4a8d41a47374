"""A DXF drawing -> the points of the hull edge, read back and measured against the drawing: the whole flow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from skirtloft.design.model import HullPoint
from skirtloft.errors import DesignError, Problem, ShapeError
from skirtloft.maths.curves import piece_end
from skirtloft.shape.drawn.arcs import RoundPiece, round_pieces, shifted
from skirtloft.shape.drawn.chain import Chain, join_strokes
from skirtloft.shape.drawn.dxf import Reading, read_dxf
from skirtloft.shape.drawn.half import PortHalf, port_half
from skirtloft.shape.drawn.labels import Labelled, labelled
from skirtloft.shape.drawn.pieces import Stroke, extents, levelled, moved
from skirtloft.shape.drawn.points import UNMEASURED, Deviation, hull_points, measured, read_back
from skirtloft.shape.drawn.request import HEIGHTS, Request, request_problems, told
from skirtloft.shape.drawn.units import DrawingUnit, drawing_unit

ATTEMPTS = (1.0, 0.7, 0.4)  # of the tolerance, for a fit that measures too far off once written


@dataclass(frozen=True, eq=False)
class Outline:
    """The hull edge of a drawing.

    Parameters
    ----------
    points : tuple of HullPoint
        As the design file will say them.
    pieces : tuple of (RoundPiece, label)
        One from each point but the last to the next.
    reading, unit, chain, half : how it was found
    deviation : Deviation
    """

    points: tuple[HullPoint, ...]
    pieces: tuple[Labelled, ...]
    reading: Reading
    unit: DrawingUnit
    chain: Chain
    half: PortHalf
    deviation: Deviation
    request: Request


def outline_of_dxf(data: bytes, request: Request) -> Outline:
    """Return the hull edge drawn in a DXF file.

    Raises
    ------
    DesignError
        The drawing or the request is wrong: every problem, by entity.
    ShapeError
        The tolerance cannot be kept.
    """
    problems = request_problems(request)
    reading = read_dxf(data, request.layers)
    problems += reading.problems
    if not reading.strokes:
        raise DesignError(problems or [_nothing(reading)])
    unit, strokes, wrong = _in_metres(reading, request.units)
    problems += wrong
    strokes, wrong = _with_heights(strokes, request.height)
    problems += wrong
    if len(reading.layers) > 1 and not request.layers:
        raise DesignError(problems)
    chain = join_strokes(strokes, request.snap)
    if not isinstance(chain, Chain):
        raise DesignError([*problems, *chain])
    half = port_half(chain, told(request))
    if not isinstance(half, PortHalf):
        raise DesignError([*problems, *half])
    return _fitted(half, problems, Outline((), (), reading, unit, chain, half, UNMEASURED, request))


def _nothing(reading: Reading) -> Problem:
    return Problem("drawing", ", ".join(reading.layers), "Nothing on it has any length.", "Draw the outline.")


def _in_metres(reading: Reading, told_unit: str | None) -> tuple[DrawingUnit, list[Stroke], list[Problem]]:
    low, high = extents(piece for stroke in reading.strokes for piece in stroke.pieces)
    size = max(high.real - low.real, high.imag - low.imag)
    unit, problems = drawing_unit(reading.unit_code, told_unit, size)
    strokes = [
        Stroke(tuple(moved(piece, unit.metres) for piece in stroke.pieces), stroke.source) for stroke in reading.strokes
    ]
    return unit, strokes, problems


def _with_heights(strokes: Sequence[Stroke], height: float | None) -> tuple[list[Stroke], list[Problem]]:
    """Return the strokes at the height told, or as drawn where it is not."""
    drawn = [value for stroke in strokes for piece in stroke.pieces for value in piece.heights]
    if height is not None:
        level = [Stroke(tuple(levelled(piece, height) for piece in stroke.pieces), stroke.source) for stroke in strokes]
        return level, []
    if all(abs(value) < 1e-9 for value in drawn):
        wrong = "The drawing lies flat at z = 0, so it does not say how high the hull edge lies."
        would_do = 'Give its height above the flat of the hull bottom: --height "340 mm"; or draw it in 3D.'
        return list(strokes), [Problem("--height", "(nothing)", wrong, would_do)]
    low, high = min(drawn), max(drawn)
    if low < HEIGHTS[0] or high > HEIGHTS[1]:
        wrong = "z in the drawing is taken as the height above the flat of the hull bottom, and this is none."
        would_do = 'Draw the bottom at z = 0 (heights of 20 mm to 3 m would do), or give --height "340 mm".'
        given = f"z from {1000.0 * low:.5g} to {1000.0 * high:.5g} mm"
        return list(strokes), [Problem("drawing", given, wrong, would_do)]
    return list(strokes), []


def _fitted(half: PortHalf, problems: list[Problem], found: Outline) -> Outline:
    """Return the outline with points within the tolerance; raises with all `problems` so far.

    Where a hollow at the stern was bridged the stern lies a hair further aft than drawn, and x is counted from there.
    """
    request = found.request
    for share in ATTEMPTS:
        rounded = round_pieces(half.pieces, share * request.tolerance)
        wrong = [piece for piece in rounded if isinstance(piece, Problem)]
        if wrong or problems:
            raise DesignError([*problems, *wrong])
        pieces = [piece for piece in rounded if isinstance(piece, RoundPiece)]
        stern = piece_end(pieces[-1].piece).real
        named = labelled([shifted(piece, -stern) for piece in pieces])
        drawn = replace(half, pieces=tuple(moved(piece, 1.0, -stern) for piece in half.pieces))
        points = hull_points(named, found.unit.is_imperial)
        deviation = measured(drawn.pieces, read_back(points, named))
        worst = max(deviation.edge_from_drawing, deviation.drawing_from_edge, deviation.height)
        if worst <= request.tolerance:
            return replace(found, points=points, pieces=tuple(named), half=drawn, deviation=deviation)
    raise ShapeError(
        "outline",
        f"arcs and lines come no nearer to the drawing than {1000.0 * worst:.4g} mm.",
        f'Use --tolerance "{1000.0 * worst * 1.05:.3g} mm".',
    )
