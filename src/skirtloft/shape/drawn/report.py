"""What was found in a drawing, in lines for the builder to check: source, centre line, labels, deviations."""

from __future__ import annotations

import math

from skirtloft.design.model import Show
from skirtloft.design.units import format_length
from skirtloft.maths.curves import ArcPiece, piece_length
from skirtloft.shape.drawn.arcs import RoundPiece
from skirtloft.shape.drawn.half import axis_words
from skirtloft.shape.drawn.labels import facing, reach
from skirtloft.shape.drawn.outline import Outline
from skirtloft.shape.wording import place_text

DIRECTIONS = ("+x", "+y", "-x", "-y")


def report_lines(outline: Outline, name: str) -> tuple[str, ...]:
    """Return the report on a drawing called `name`."""
    show: Show = "both" if outline.unit.is_imperial else "metric"
    return (
        *_source_lines(outline, name),
        *_symmetry_lines(outline),
        *_size_lines(outline, show),
        *_deviation_lines(outline),
        *_table(outline, show),
    )


def _source_lines(outline: Outline, name: str) -> list[str]:
    counts = ", ".join(f"{count} {kind}" for kind, count in sorted(outline.reading.counts.items()))
    layers = ", ".join(outline.reading.layers)
    lines = [f"{name}: layer {layers}; {counts}; in {outline.unit.name} ({outline.unit.said_by})"]
    lines += [f"  {note}" for note in outline.reading.notes]
    chain = outline.chain
    if chain.left_out:
        lines.append(f"  Shorter than the snap distance and left out: {', '.join(chain.left_out[:6])}")
    if chain.widest_gap > 1e-9:
        place = place_text(chain.gap_at)
        lines.append(f"  Widest gap that was closed: {_small(chain.widest_gap)}, at {place} in the drawing")
    return lines


def _symmetry_lines(outline: Outline) -> list[str]:
    half = outline.half
    where = axis_words(half.bow, half.centre)
    bow = _direction(half.bow)
    if outline.request.bow is None:
        other = f"{(math.degrees(half.bow) + 180.0) % 360.0:g} deg"
        told = f'not told, so towards rising {bow[-1]}; if it is the other way: --bow "{other}"'
    else:
        told = "told"
    lines = [f"Centre line {where}; bow towards {bow} ({told})"]
    if half.asymmetry is None:
        return [*lines, "A half outline: there was nothing to compare it with"]
    place = place_text(half.asymmetry.where * complex(math.cos(half.bow), math.sin(half.bow)))
    kind = " in height" if half.asymmetry.in_height else ""
    limit = _small(outline.request.symmetry)
    worst = f"Port and starboard differ by at most {_small(half.asymmetry.worst)}{kind} (limit {limit})"
    if half.asymmetry.worst > 1e-9:
        worst += f", at {place} in the drawing ({half.asymmetry.source}); port is taken"
    return [*lines, worst]


def _direction(bow: float) -> str:
    quarters = bow / (math.pi / 2.0)
    if abs(quarters - round(quarters)) < 1e-9:
        return DIRECTIONS[round(quarters) % 4]
    return f"{math.degrees(bow):.6g} deg"


def _size_lines(outline: Outline, show: Show) -> list[str]:
    points = outline.points
    width = 2.0 * max(reach(one) for one, _ in outline.pieces)
    low, high = min(point.height for point in points), max(point.height for point in points)
    heights = (
        format_length(low, show) if high - low < 1e-9 else f"{format_length(low, show)} to {format_length(high, show)}"
    )
    source = "as told" if outline.request.height is not None else "the drawing's z"
    return [
        f"Length {format_length(points[0].x, show)}, width {format_length(width, show)}, "
        f"height above the bottom {heights} ({source})"
    ]


def _deviation_lines(outline: Outline) -> list[str]:
    deviation, fitted = outline.deviation, sum(one.is_fitted for one, _ in outline.pieces)
    lines = [f"Lines and arcs, read back: within {_small(deviation.of_drawn)} of the drawing"]
    if fitted:
        lines = [
            f"Curves became {fitted} arcs and lines, tolerance {_small(outline.request.tolerance)}. Measured:",
            f"  drawing from edge at most {_small(deviation.drawing_from_edge)}, at {place_text(deviation.drawing_at)}",
            f"  edge from drawing at most {_small(deviation.edge_from_drawing)}, at {place_text(deviation.edge_at)}",
            *([lines[0]] if fitted < len(outline.pieces) else []),
        ]
    if deviation.height > 1e-9:
        lines.append(f"Heights: within {_small(deviation.height)} of the drawing")
    return lines


def _small(length: float) -> str:
    """Return a small length [m] in millimetres, as many digits as say something."""
    millimetres = 1000.0 * length
    return (
        "0.000001 mm"
        if millimetres < 1e-6
        else f"{millimetres:.3g} mm"
        if millimetres >= 1e-4
        else f"{millimetres:.6f} mm"
    )


def _table(outline: Outline, show: Show) -> list[str]:
    lines = [
        "Labels follow the way a piece faces; correct `run` where you see it otherwise. x from the stern, y to port."
    ]
    lines.append(f"  {'point':>5}  {'x':>10}  {'y':>10}  {'height':>9}  run     piece to the next point")
    for k, point in enumerate(outline.points):
        numbers = [f"{1000.0 * value:10.1f}" for value in (point.x, point.y)]
        row = f"  {k:5d}  {numbers[0]}  {numbers[1]}  {1000.0 * point.height:9.1f}"
        if k < len(outline.pieces):
            row += f"  {outline.pieces[k][1]:<6}  {piece_words(outline.pieces[k][0], show)}"
        lines.append(row)
    return lines


def comments(outline: Outline) -> tuple[str, ...]:
    """Return what to write beside each point in the design file: what the piece from it is."""
    show: Show = "both" if outline.unit.is_imperial else "metric"
    return (*(piece_words(one, show) for one, _ in outline.pieces), "")


def piece_words(one: RoundPiece, show: Show) -> str:
    """Return what a piece is, which way it faces, and where it comes from."""
    length = format_length(piece_length(one.piece), show)
    what = f"straight {length}"
    if isinstance(one.piece, ArcPiece):
        radius = format_length(one.piece.radius, show)
        what = f"arc {length}, radius {radius}, turns {math.degrees(one.piece.sweep):.1f} deg"
    return f"{what}, faces {abs(math.degrees(facing(one))):.0f} deg ({one.source})"
