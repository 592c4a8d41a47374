"""A template drawn small: outline, sew and fold lines, holes, without its words; to be known again by its shape."""

from __future__ import annotations

from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Sheet
from skirtloft.drawing.template import bare_template
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.types import CutPiece

SCALES = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0)
EDGE = 0.6  # [mm] left free round it
SMALL: dict[Layer, Layer] = {"cut": "mark", "sew": "ghost", "fold": "ghost", "finished": "ghost"}
LEAST_HOLE = 0.25  # [mm] radius of a hole as drawn


def thumbnail(piece: CutPiece, width: float, height: float) -> tuple[Sheet, float]:
    """Return the piece's template at the largest standard scale that fits `width` by `height` [mm], and that scale."""
    drawn = bare_template(piece)
    lines = [item for item in drawn if isinstance(item, Line) and item.layer in SMALL]
    circles = [item for item in drawn if isinstance(item, Circle)]
    cut = next(item.points for item in lines if item.layer == "cut")
    low, size = cut.min(axis=0), cut.max(axis=0) - cut.min(axis=0)
    fits = [s for s in SCALES if size[0] / s <= width - 2 * EDGE and size[1] / s <= height - 2 * EDGE]
    scale = fits[0] if fits else SCALES[-1]
    items: list[Item] = [
        Line(SMALL[item.layer], frozen_array((item.points - low) / scale + EDGE), item.closed) for item in lines
    ]
    items += [
        Circle(
            "dimension", (c.x - low[0]) / scale + EDGE, (c.y - low[1]) / scale + EDGE, max(LEAST_HOLE, c.radius / scale)
        )
        for c in circles
    ]
    wide, high = size / scale + 2 * EDGE
    return Sheet(f"small-{piece.base}", piece.base, float(wide), float(high), tuple(items)), scale
