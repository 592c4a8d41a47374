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
AT_ONCE = 12  # places tried together at first, then more: most labels stand at one of the first
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
    """Return the cheapest free place: in the order of their cost, as many at once as pays."""
    picks = np.unique(np.linspace(len(label.points) - 1, 0, PLACES).round().astype(int))[::-1]
    order, turn, aways = (part.reshape(-1) for part in np.meshgrid(
        np.arange(len(picks)), np.arange(len(DIRECTIONS)), np.array(AWAY), indexing="ij"))  # fmt: skip
    cost = aways + 0.15 * turn + 0.35 * order + np.where(aways > LEADER, 2.0, 0.0)
    ranked = np.argsort(cost, kind="stable")
    anchors, directions = np.asarray(label.points)[picks][order[ranked]], np.array(DIRECTIONS)[turn[ranked]]
    aways = aways[ranked]
    starts, low, high = _text_places(label, anchors, directions, aways)
    first, last = 0, AT_ONCE
    while first < len(ranked):
        part = slice(first, last)
        clear = first + np.flatnonzero(_is_clear(low[part] - CLEAR, high[part] + CLEAR, tree, box))
        near = np.clip(anchors[clear], low[clear] - 0.4, high[clear] + 0.4)
        free = (aways[clear] <= LEADER) | _are_led(near, anchors[clear], label.radius, barred)
        if free.any():
            i = int(clear[np.argmax(free)])
            text = Text("text", float(starts[i, 0]), float(starts[i, 1]), label.words, HEIGHT)
            return text, anchors[i], float(aways[i])
        first, last = last, 4 * last
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


def _are_led(near: Floats, anchors: Floats, radius: float, barred: object) -> BoolArray:
    """Tell of which texts, `near` (n, 2) their points next to what they name, the leader meets nothing in `barred`."""
    import shapely

    assert isinstance(barred, shapely.STRtree)
    led = np.ones(len(near), dtype=bool)
    if len(near):
        step = near - anchors
        away = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)
        lines = shapely.linestrings(np.stack([near, anchors + step / away[:, None] * (radius + 0.4)], axis=1))
        led[barred.query(lines, predicate="intersects")[0]] = False
    return led


def _leader(text: Text, anchor: Floats, radius: float) -> Line:
    """Return a line from the nearest point of the text's box to the anchor, stopping at its edge."""
    corners = text_box(text)
    near = np.clip(anchor, corners.min(axis=0) - 0.4, corners.max(axis=0) + 0.4)
    step = near - anchor
    start = anchor + step / np.hypot(*step) * radius
    return Line("dimension", frozen_array([near, start]))
