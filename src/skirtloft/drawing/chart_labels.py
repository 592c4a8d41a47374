"""Labels beside curves and points: the nearest free place, with a thin line to what is meant where that is far off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.overlap import item_shape
from skirtloft.drawing.page import Room
from skirtloft.drawing.sheet import Circle, Item, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

BoolArray = npt.NDArray[np.bool_]

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
    """Return the cheapest free place: all are tried at once, then in the order of their cost their leaders."""
    picks = np.unique(np.linspace(len(label.points) - 1, 0, PLACES).round().astype(int))[::-1]
    places = [
        (away + 0.15 * turn + 0.35 * order + (2.0 if away > LEADER else 0.0), label.points[k], direction, away)
        for order, k in enumerate(picks)
        for turn, direction in enumerate(DIRECTIONS)
        for away in AWAY
    ]
    places.sort(key=lambda place: place[0])
    anchors = np.array([anchor for _, anchor, _, _ in places])
    directions = np.array([direction for _, _, direction, _ in places])
    aways = np.array([away for _, _, _, away in places])
    starts, low, high = _text_places(label, anchors, directions, aways)
    for i in np.flatnonzero(_is_clear(low - CLEAR, high + CLEAR, tree, box)):
        text = Text("text", float(starts[i, 0]), float(starts[i, 1]), label.words, HEIGHT)
        away = float(aways[i])
        if away <= LEADER or _is_led(text, anchors[i], label.radius, barred):
            return text, anchors[i], away
    return None


def _text_places(label: Wanted, anchors: Floats, directions: Floats, aways: Floats) -> tuple[Floats, Floats, Floats]:
    """Return where the text starts and the corners of its box, its near edge or corner `aways` from the anchors."""
    plain = text_box(Text("text", 0.0, 0.0, label.words, HEIGHT))
    low, high = plain.min(axis=0), plain.max(axis=0)
    half = (high - low) / 2.0
    centre = anchors + directions * ((label.radius + aways)[:, None] + half)
    centre[:, 0] = np.where(np.abs(directions[:, 1]) > 0.9, anchors[:, 0], centre[:, 0])
    starts = centre - half - low
    return starts, starts + low, starts + high


def _is_clear(low: Floats, high: Floats, tree: object, box: Room) -> BoolArray:
    """Tell which boxes, corners (n, 2), lie in the room and meet nothing in `tree`."""
    import shapely

    assert isinstance(tree, shapely.STRtree)
    inside: BoolArray = np.all(low >= (box.left, box.bottom), axis=1) & np.all(high <= (box.right, box.top), axis=1)
    at = np.flatnonzero(inside)
    met, _ = tree.query(shapely.box(*low[at].T, *high[at].T), predicate="intersects")
    inside[at[met]] = False
    return inside


def _is_led(text: Text, anchor: Floats, radius: float, barred: object) -> bool:
    """Tell whether the leader of a text meets nothing in `barred`."""
    import shapely

    assert isinstance(barred, shapely.STRtree)
    line = shapely.LineString(_leader(text, anchor, radius + 0.4).points)
    return not len(barred.query(line, predicate="intersects"))


def _leader(text: Text, anchor: Floats, radius: float) -> Line:
    """Return a line from the nearest point of the text's box to the anchor, stopping at its edge."""
    corners = text_box(text)
    near = np.clip(anchor, corners.min(axis=0) - 0.4, corners.max(axis=0) + 0.4)
    step = near - anchor
    start = anchor + step / np.hypot(*step) * radius
    return Line("dimension", frozen_array([near, start]))
