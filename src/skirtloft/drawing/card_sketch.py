"""The sketch on a measure-and-mark card: in proportion, broken in the middle where the piece is long."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.card_measures import Rectangle, end_names, measured, sew_lines, side_name, side_words
from skirtloft.drawing.dimension import linear_dimension
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

ASIDE, ABOVE, BELOW = 26.0, 26.0, 9.0  # room round the sketch for dimensions [mm]
TALLEST = 46.0  # sketch [mm]
LARGEST = 0.5  # scale: narrow strips show more of their length
BREAK_FROM = 2.5  # longer than so many widths: broken
GAP = 6.0  # between the broken parts [mm]
LETTERS = 3.5  # [mm]


@dataclass(frozen=True)
class View:
    """Where a distance from the bow end and from the hull side [mm] lies on the page.

    `shown` is the length drawn at each end of a broken piece, 0 where nothing is left out; the bow is on the left
    unless `bow_right`.
    """

    left: float
    top: float
    width: float
    height: float
    scale: float
    length: float
    shown: float
    bow_right: bool

    def at(self, from_bow: float, from_hull: float) -> tuple[float, float]:
        """Return the point on the page [mm]."""
        x = from_bow * self.scale
        if self.shown and from_bow > self.length / 2.0:
            x = self.width - (self.length - from_bow) * self.scale
        return (self.left + self.width - x if self.bow_right else self.left + x), self.top - from_hull * self.scale

    def shows(self, from_bow: float) -> bool:
        """Tell whether a distance from the bow end is drawn, clear of the break lines."""
        seen = self.shown - 3.5 / self.scale
        return not self.shown or from_bow <= seen or from_bow >= self.length - seen


def sketch(card: Rectangle, left: float, right: float, top: float, show: Show) -> tuple[list[Item], float]:
    """Return the items of the sketch between `left` and `right` under `top` [mm], and the height where it ends."""
    view = _view(card, left, right, top)
    items: list[Item] = [*_outline(card, view), *_sewn(card, view), *_details(card, view)]
    items += [*_dimensions(card, view, show), *_words(card, view)]
    return items, view.top - view.height - BELOW


def _view(card: Rectangle, left: float, right: float, top: float) -> View:
    room = right - left - 2 * ASIDE
    broken = card.length > BREAK_FROM * card.width
    scale = TALLEST / card.width if broken else min(TALLEST / card.width, room / card.length)
    scale = min(scale, LARGEST)
    shown = (room - GAP) / 2.0 / scale if broken and card.length * scale > room else 0.0
    width = room if shown else card.length * scale
    middle = (left + right) / 2.0
    return View(
        left=middle - width / 2.0,
        top=top - ABOVE,
        width=width,
        height=card.width * scale,
        scale=scale,
        length=card.length,
        shown=shown,
        bow_right=not card.piece.drawn_x_left,
    )


def _parts(view: View) -> list[tuple[float, float]]:
    """Stretches drawn, as distances from the bow end."""
    return [(0.0, view.shown), (view.length - view.shown, view.length)] if view.shown else [(0.0, view.length)]


def _line(view: View, layer: Layer, *points: tuple[float, float]) -> Line:
    return Line(layer, frozen_array([view.at(*point) for point in points]))


def _outline(card: Rectangle, view: View) -> list[Item]:
    """Cut line, break lines and both diagonals."""
    w = card.width
    if not view.shown:
        corners = [view.at(0.0, 0.0), view.at(view.length, 0.0), view.at(view.length, w), view.at(0.0, w)]
        items: list[Item] = [Line("cut", frozen_array(corners), True)]
    else:
        items = []
        for end, inner in ((0.0, view.shown), (view.length, view.length - view.shown)):
            items.append(_line(view, "cut", (inner, 0.0), (end, 0.0), (end, w), (inner, w)))
            items.append(Line("dimension", _wave(view.at(inner, 0.0), view.at(inner, w))))
    for a, b in (((0.0, 0.0), (view.length, w)), ((0.0, w), (view.length, 0.0))):
        items.append(Line("axis", frozen_array([view.at(*a), view.at(*b)])))
    return items


def _wave(start: tuple[float, float], end: tuple[float, float]) -> Floats:
    """A freehand-looking break line from `start` to `end` with a little over at both ends."""
    share = np.linspace(-0.02, 1.02, 41)
    a, b = np.array(start), np.array(end)
    aside = 0.9 * np.sin(2.0 * np.pi * 1.5 * share)
    return frozen_array(a + share[:, None] * (b - a) + np.column_stack([aside, np.zeros_like(aside)]))


def _sewn(card: Rectangle, view: View) -> list[Item]:
    """Sew lines inside the cut line, and folds."""
    inside = sew_lines(card)
    low, high = inside["hull"], card.width - inside["joint"]
    near, far = inside["bow"], view.length - inside["stern"]
    items: list[Item] = []
    for first, last in _parts(view):
        for y, side in ((low, "hull"), (high, "joint")):
            if inside[side] > 0.0:
                items.append(_line(view, "sew", (max(first, near), y), (min(last, far), y)))
        for mark in card.piece.marks:
            ends = measured(card, mark.points)
            if mark.kind == "fold" and np.ptp(ends[:, 1]) < 1.0:
                items.append(_line(view, "fold", (first, float(ends[0, 1])), (last, float(ends[0, 1]))))
    for x, side in ((near, "bow"), (far, "stern")):
        if inside[side] > 0.0:
            items.append(_line(view, "sew", (x, low), (x, high)))
    return items


def _details(card: Rectangle, view: View) -> list[Item]:
    """Holes, lines across and notches, where drawn."""
    items: list[Item] = []
    radius = max(0.6, card.piece.hole_diameter * 500.0 * view.scale)
    for x, y in measured(card, card.piece.holes):
        if view.shows(x):
            at = view.at(float(x), float(y))
            items.append(Circle("holes", at[0], at[1], radius))
    for mark in card.piece.marks:
        ends = measured(card, mark.points)
        if mark.kind != "fold" and np.ptp(ends[:, 0]) < 1.0 and view.shows(float(ends[0, 0])):
            items.append(_line(view, "mark", *((float(x), float(y)) for x, y in ends)))
    inside = sew_lines(card)
    for notch in card.piece.notches:
        x, y = measured(card, notch.at)[0]
        if not view.shows(x):
            continue
        along, across = float(notch.outward @ card.to_stern), float(notch.outward @ card.to_joint)
        if abs(across) > abs(along):
            end = (x, y + across * inside["joint" if across > 0 else "hull"])
        else:
            end = (x + along * inside["stern" if along > 0 else "bow"], y)
        a, b = np.array(view.at(x, y)), np.array(view.at(*end))
        if np.hypot(*(b - a)) < 1e-9:
            continue
        aside = np.array([-(b - a)[1], (b - a)[0]]) / np.hypot(*(b - a)) * (0.7 if notch.count > 1 else 0.0)
        items += [Line("mark", frozen_array([a + sign * aside, b + sign * aside])) for sign in (1, -1)[: notch.count]]
    return items


def _dimensions(card: Rectangle, view: View, show: Show) -> list[Item]:
    """Cut sides and sewn sides, outside the sketch; in one unit, both stand in the facts below."""
    show = "metric" if show == "both" else show
    inside = sew_lines(card)
    bow, stern = inside["bow"], view.length - inside["stern"]
    hull, joint = inside["hull"], card.width - inside["joint"]
    left, right = sorted((view.at(0.0, 0.0)[0], view.at(view.length, 0.0)[0]))
    sewn_left, sewn_right = sorted((view.at(bow, 0.0)[0], view.at(stern, 0.0)[0]))
    top, low = view.top, view.top - view.height
    sew_top, sew_low = view.at(0.0, hull)[1], view.at(0.0, joint)[1]
    items: list[Item] = []
    sewn_long, sewn_wide = stern - bow, joint - hull
    if view.length - sewn_long > 0.05:
        words = f"sew {side_words(sewn_long, show)}"
        items += linear_dimension((sewn_left, top), (sewn_right, top), 8.0, words, height=LETTERS).items
    words = f"cut {side_words(view.length, show)}"
    items += linear_dimension((left, top), (right, top), 16.0, words, height=LETTERS).items
    words = f"cut {side_words(card.width, show)}"
    items += _upright_dimension(left, low, top, 12.0, words)
    if card.width - sewn_wide > 0.05:
        words = f"sew {side_words(sewn_wide, show)}"
        items += _upright_dimension(right, sew_low, sew_top, -18.0, words)
    return items


def _upright_dimension(x: float, low: float, high: float, offset: float, words: str) -> tuple[Item, ...]:
    """A dimension up the side of the sketch, in small letters where it is short."""
    height = LETTERS if text_width(words, LETTERS) + 2.0 <= high - low else 2.5
    return linear_dimension((x, low), (x, high), offset, words, height=height, along="y").items


def _words(card: Rectangle, view: View) -> list[Item]:
    """Names of the sides and numbers of the corners, outside the cut line."""
    left, right = view.left, view.left + view.width
    top, low = view.top, view.top - view.height
    middle = (left + right) / 2.0
    bow, stern = (right, left) if view.bow_right else (left, right)
    items: list[Item] = [
        Text("text", middle, top + 2.0, side_name(card, "hull"), 2.5, 0.0, "middle"),
        Text("text", middle, low - 5.0, side_name(card, "joint"), 2.5, 0.0, "middle"),
    ]
    for x, words in zip((bow, stern), end_names(card), strict=True):
        base = x - 2.5 if x == left else x + 5.0
        items.append(Text("text", base, (top + low) / 2.0, words, 2.5, 90.0, "middle"))
    for number, (x, y) in enumerate(((bow, top), (stern, top), (stern, low), (bow, low))):
        items.append(
            Text(
                "text",
                x - 2.0 if x == left else x + 2.0,
                y + 2.0 if y == top else y - 2.0 - LETTERS,
                f"{number + 1}",
                LETTERS,
                0.0,
                "end" if x == left else "start",
                True,
            )
        )
    return items
