"""Labels beside curves and points: the nearest free place, with a thin line to what is meant where that is far off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.overlap import item_shape
from skirtloft.drawing.page import Room
from skirtloft.drawing.sheet import Circle, Item, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

if TYPE_CHECKING:
    from shapely import Geometry

HEIGHT = 2.5  # mm
AWAY = (1.4, 2.6, 4.5, 7.0, 10.0, 14.0, 19.0, 25.0)  # mm between label and what it names
LEADER = 3.0  # mm: from here on a line shows what is meant
CLEAR = 0.7  # mm around a label
PLACES = 14  # along a curve
DIRECTIONS = tuple((np.cos(a), np.sin(a)) for a in np.radians((90.0, 45.0, 135.0, 0.0, 180.0, 315.0, 225.0, 270.0)))


@dataclass(frozen=True, eq=False)
class Wanted:
    """A label to place: its words, the points (n, 2) [mm] it may stand beside, and the radius kept free there."""

    words: str
    points: Floats
    radius: float


def placed_labels(wanted: Sequence[Wanted], drawn: Sequence[Item], box: Room) -> list[Item]:
    """Return the labels, each clear of everything drawn, of each other and inside `box`.

    Notes
    -----
    Labels are placed in turn, each at the cheapest free place: near, to the right end of a curve, above rather than
    below; where there is none, at one from which a thin line crosses curves; then without what follows its first comma.
    Where nothing at all is free the label is left out; with charts of a dozen curves that has not been seen (a test
    looks).
    """
    import shapely

    taken: list[Geometry] = [item_shape(item) for item in drawn]
    words: list[Geometry] = [item_shape(item) for item in drawn if isinstance(item, Text | Circle)]
    items: list[Item] = []
    for label in wanted:
        tree = shapely.STRtree(taken)
        barred = shapely.STRtree(words)
        found = _cheapest(label, tree, tree, box) or _cheapest(label, tree, barred, box)
        if found is None and "," in label.words:
            found = _cheapest(replace(label, words=label.words.partition(",")[0]), tree, barred, box)
        if found is None:
            continue
        text, anchor, away = found
        items.append(text)
        taken.append(shapely.Polygon(text_box(text)))
        words.append(taken[-1])
        if away > LEADER:
            leader = _leader(text, anchor, label.radius)
            items.append(leader)
            taken.append(shapely.LineString(leader.points))
    return items


def _cheapest(label: Wanted, tree: object, barred: object, box: Room) -> tuple[Text, Floats, float] | None:
    best: tuple[float, Text, Floats, float] | None = None
    picks = np.unique(np.linspace(len(label.points) - 1, 0, PLACES).round().astype(int))[::-1]
    for order, k in enumerate(picks):
        anchor = label.points[k]
        for turn, (across, up) in enumerate(DIRECTIONS):
            for away in AWAY:
                cost = away + 0.15 * turn + 0.35 * order + (2.0 if away > LEADER else 0.0)
                if best is not None and cost >= best[0]:
                    break
                text = _text_at(label, anchor, across, up, away)
                if _is_free(text, anchor, label.radius, away, tree, barred, box):
                    best = (cost, text, anchor, away)
                    break
    return None if best is None else best[1:]


def _text_at(label: Wanted, anchor: Floats, across: float, up: float, away: float) -> Text:
    """Return the text with the near edge or corner of its box `away` from the anchor."""
    plain = text_box(Text("text", 0.0, 0.0, label.words, HEIGHT))
    low, high = plain.min(axis=0), plain.max(axis=0)
    half = (high - low) / 2.0
    reach = label.radius + away
    centre = anchor + np.array([across * (reach + half[0]), up * (reach + half[1])])
    if abs(up) > 0.9:
        centre[0] = anchor[0]
    x, y = centre - half - low
    return Text("text", float(x), float(y), label.words, HEIGHT)


def _is_free(text: Text, anchor: Floats, radius: float, away: float, tree: object, barred: object, box: Room) -> bool:
    """Tell whether a text meets nothing in `tree`, and its leader nothing in `barred`."""
    import shapely

    corners = text_box(text)
    low, high = corners.min(axis=0) - CLEAR, corners.max(axis=0) + CLEAR
    if low[0] < box.left or low[1] < box.bottom or high[0] > box.right or high[1] > box.top:
        return False
    assert isinstance(tree, shapely.STRtree)
    if len(tree.query(shapely.box(*low, *high), predicate="intersects")):
        return False
    if away <= LEADER:
        return True
    line = shapely.LineString(_leader(text, anchor, radius + 0.4).points)
    assert isinstance(barred, shapely.STRtree)
    return not len(barred.query(line, predicate="intersects"))


def _leader(text: Text, anchor: Floats, radius: float) -> Line:
    """Return a line from the nearest point of the text's box to the anchor, stopping at its edge."""
    corners = text_box(text)
    near = np.clip(anchor, corners.min(axis=0) - 0.4, corners.max(axis=0) + 0.4)
    step = near - anchor
    start = anchor + step / np.hypot(*step) * radius
    return Line("dimension", frozen_array([near, start]))
