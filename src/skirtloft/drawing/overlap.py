"""Finds words that cannot be read: over each other, over a line, or off the piece or page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import numpy.typing as npt

from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.sheet import Area, Circle, Item, Line, Sheet, Text

if TYPE_CHECKING:
    from shapely import Geometry

OFF_PIECE: tuple[str, ...] = ("register", "frame")  # layers that lie outside the piece on purpose


@dataclass(frozen=True)
class Overlap:
    """A text, what it meets ("text", "line" or "outside"), and the other thing in words."""

    text: str
    meets: Literal["text", "line", "outside"]
    other: str = ""


def overlaps(sheet: Sheet, clearance: float = 0.0) -> list[Overlap]:
    """Return every text of `sheet` that overlaps a text or a line, or leaves its piece (on a template) or its page.

    `clearance` [mm] is kept from everything but the edge of the page; the outline of a text is the box of its letters,
    that of a line its middle. Arrow heads and filled areas count as lines. Words may stand on the light dots of a zone.
    """
    import shapely

    texts = [item for item in sheet.items if isinstance(item, Text)]
    if not texts:
        return []
    boxes = shapely.polygons(np.array([text_box(text) for text in texts]))
    found = _texts_on_texts(texts, boxes)
    drawn = [item for item in sheet.items if not isinstance(item, Text) and item.layer != "zone"]
    shapes = [item_shape(item) for item in drawn]
    if shapes:
        hits = shapely.STRtree(shapes).query(boxes, predicate="dwithin", distance=clearance)
        for i, k in sorted(map(tuple, hits.T.tolist())):
            found.append(Overlap(texts[i].text, "line", f"{type(drawn[k]).__name__.lower()} on {drawn[k].layer}"))
    return found + _outside(sheet, texts, boxes)


def _texts_on_texts(texts: list[Text], boxes: npt.NDArray[np.object_]) -> list[Overlap]:
    import shapely

    pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects")
    return [Overlap(texts[i].text, "text", texts[k].text) for i, k in sorted(map(tuple, pairs.T.tolist())) if i < k]


def _outside(sheet: Sheet, texts: list[Text], boxes: npt.NDArray[np.object_]) -> list[Overlap]:
    import shapely

    page = shapely.box(0.0, 0.0, sheet.width, sheet.height)
    cut = [item for item in sheet.items if isinstance(item, Line) and item.layer == "cut" and item.closed]
    if sheet.kind == "template" and cut:
        piece = shapely.union_all([shapely.Polygon(line.points) for line in cut])
    else:
        piece = page
    found = []
    for text, box in zip(texts, boxes, strict=True):
        room = page if text.layer in OFF_PIECE else piece
        if not room.covers(box):
            found.append(Overlap(text.text, "outside"))
    return found


def item_shape(item: Item) -> Geometry:
    """Return what an item covers; of a text the box of its letters, of a line its middle."""
    import shapely

    if isinstance(item, Line):
        return shapely.LinearRing(item.points) if item.closed else shapely.LineString(item.points)
    if isinstance(item, Circle):
        return shapely.Point(item.x, item.y).buffer(item.radius)
    if isinstance(item, Text):
        return shapely.Polygon(text_box(item))
    assert isinstance(item, Area)
    return shapely.Polygon(item.points)
