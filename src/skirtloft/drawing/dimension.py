"""Dimensions, leaders and arrows in sheet millimetres, and lengths in words.

Every function returns a `Dimension`: the items to draw and the box its text fills, so a drawing can keep other things
clear of it. Angles are in degrees, as on `Text`. Line widths after ISO 128-2, letter heights after ISO 3098-1
(2.5, 3.5, 5 mm), arrangement after ISO 129-1: from memory, no figure of theirs is copied.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.lettering import descender, text_box, text_width
from skirtloft.drawing.sheet import Area, Item, Layer, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

Point = Sequence[float] | Floats

HEAD = 3.0  # arrow head, length [mm]
GAP = 1.0  # free space between outline and extension line, and between line and text [mm]
OVERRUN = 2.0  # extension line beyond the dimension line [mm]


@dataclass(frozen=True, eq=False)
class Dimension:
    """Items to draw and the corners (4, 2) [mm] of the box its text fills."""

    items: tuple[Item, ...]
    text_box: Floats


def readable_angle(angle: float) -> float:
    """Return `angle` [deg] or its opposite, whichever reads from below or from the right: in (-75, 105]."""
    turned = (angle + 75.0) % 180.0 - 75.0
    return 105.0 if turned <= -75.0 + 1e-9 else turned


def direction(angle: float) -> Floats:
    """Return the unit vector (2,) at `angle` [deg]."""
    radians = np.radians(angle)
    return np.array([np.cos(radians), np.sin(radians)])


def arrow_head(tip: Point, towards: Point, layer: Layer = "dimension", length: float = HEAD) -> Area:
    """Return a filled arrow head with its point at `tip` [mm], pointing along `towards` (any length)."""
    at, along = np.asarray(tip, float), np.asarray(towards, float)
    along = along / np.hypot(*along)
    side = np.array([-along[1], along[0]]) * length / 6.0
    return Area(layer, frozen_array([at, at - along * length + side, at - along * length - side]))


def arrow(start: Point, end: Point, layer: Layer = "mark", head: float = 4.0) -> tuple[Item, ...]:
    """Return a shaft from `start` to `end` [mm] with a head at `end`; the shaft stops inside the head."""
    a, b = np.asarray(start, float), np.asarray(end, float)
    along = (b - a) / np.hypot(*(b - a))
    return (Line(layer, frozen_array([a, b - along * head * 0.8])), arrow_head(b, along, layer, head))


def _text_on_line(middle: Floats, angle: float, text: str, height: float) -> Text:
    """Return `text` centred over `middle`, its lowest letters clear of a line at `angle` [deg]."""
    reads = readable_angle(angle)
    x, y = middle + (0.8 * GAP + descender(text, height)) * direction(reads + 90.0)
    return Text("text", float(x), float(y), text, height, reads, "middle")


def _measured_line(
    a: Floats, b: Floats, text: str, height: float, layer: Layer, beyond: Literal["start", "end"]
) -> Dimension:
    """Return the dimension line from `a` to `b` with its heads and text; what does not fit between goes outside."""
    length = float(np.hypot(*(b - a)))
    along = (b - a) / length
    angle = float(np.degrees(np.arctan2(along[1], along[0])))
    width = text_width(text, height, False)
    heads_inside = length >= 3.0 * HEAD
    fits = width + 2 * GAP <= length
    items: list[Item] = []
    tail = 0.0 if heads_inside else 2.0 * HEAD
    items += [arrow_head(a, -along if heads_inside else along, layer)]
    items += [arrow_head(b, along if heads_inside else -along, layer)]
    first, last = -tail, length + tail
    middle = length / 2.0
    if not fits:  # text beyond one end, over the line carried on under it
        room = max(tail, HEAD) + width + GAP
        if beyond == "end":
            last, middle = length + room, length + max(tail, HEAD) + width / 2.0
        else:
            first, middle = -room, -max(tail, HEAD) - width / 2.0
    items.append(Line(layer, frozen_array([a + along * first, a + along * last])))
    words = _text_on_line(a + along * middle, angle, text, height)
    items.append(words)
    return Dimension(tuple(items), frozen_array(text_box(words)))


def linear_dimension(
    start: Point,
    end: Point,
    offset: float,
    text: str,
    *,
    along: Literal["points", "x", "y"] = "points",
    height: float = 3.5,
    layer: Layer = "dimension",
    beyond: Literal["start", "end"] = "end",
) -> Dimension:
    """Return a dimension between two points with extension lines, heads and text above the line.

    Parameters
    ----------
    start, end : (2,) [mm]
    offset : float [mm]
        Where the dimension line lies, to the left of start -> end when positive; measured from `start`.
    along : "points" | "x" | "y"
        What is measured: the distance itself, or its part along x or y.
    beyond : "start" | "end"
        Where the text goes when it is wider than the distance.

    Raises
    ------
    ValueError
        The two points are not apart in the measured direction.
    """
    p, q = np.asarray(start, float), np.asarray(end, float)
    step = q - p
    if along != "points":
        step = step * (np.array([1.0, 0.0]) if along == "x" else np.array([0.0, 1.0]))
    if np.hypot(*step) < 1e-9:
        raise ValueError(f"nothing to measure along {along} between {tuple(p)} and {tuple(q)}")
    u = step / np.hypot(*step)
    n = np.array([-u[1], u[0]])
    a = p + n * offset
    b = a + step
    items: list[Item] = []
    for foot, top in ((p, a), (q, b)):
        reach = float((top - foot) @ n)
        if abs(reach) > GAP:
            out = n * np.sign(reach)
            items.append(Line(layer, frozen_array([foot + out * GAP, top + out * OVERRUN])))
    line = _measured_line(a, b, text, height, layer, beyond)
    return Dimension((*items, *line.items), line.text_box)


def radius_dimension(
    centre: Point,
    radius: float,
    angle: float,
    text: str,
    *,
    outside: bool = False,
    height: float = 3.5,
    layer: Layer = "dimension",
) -> Dimension:
    """Return a radius: a line at `angle` [deg] with a head on the arc; from the centre, or from outside when asked.

    `centre` (2,) and `radius` in mm. Text wider than the radius goes outside as well.
    """
    c, out = np.asarray(centre, float), direction(angle)
    width = text_width(text, height, False)
    on_arc = c + out * radius
    if outside or width + HEAD + 2 * GAP > radius:
        far = HEAD * 1.5 + width + GAP
        items: list[Item] = [arrow_head(on_arc, -out, layer), Line(layer, frozen_array([on_arc, on_arc + out * far]))]
        middle = on_arc + out * (HEAD * 1.5 + width / 2.0)
    else:
        items = [arrow_head(on_arc, out, layer), Line(layer, frozen_array([c, on_arc]))]
        middle = c + out * (radius - HEAD) / 2.0
    words = _text_on_line(middle, angle, text, height)
    return Dimension((*items, words), frozen_array(text_box(words)))


def angle_dimension(
    corner: Point,
    radius: float,
    start: float,
    end: float,
    text: str,
    *,
    height: float = 3.5,
    layer: Layer = "dimension",
) -> Dimension:
    """Return an angle: an arc of `radius` [mm] about `corner`, anticlockwise from `start` to `end` [deg].

    The text is level and stands just outside the middle of the arc. Heads go outside where the arc is short.
    """
    c = np.asarray(corner, float)
    span = (end - start) % 360.0
    turn = np.degrees(HEAD / radius)
    inside = span > 3.0 * turn
    tail = 0.0 if inside else 2.0 * turn
    angles = np.radians(np.linspace(start - tail, start + span + tail, 33))
    arc = c + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    items: list[Item] = [Line(layer, frozen_array(arc))]
    for at, sign in ((start, -1.0), (start + span, 1.0)):
        way = sign if inside else -sign
        chord = direction(at + 90.0 - way * turn / 2.0) * way  # lies along the arc's chord, not its tangent
        items.append(arrow_head(c + radius * direction(at), chord, layer))
    out = direction(start + span / 2.0)
    box = text_box(Text("text", 0.0, 0.0, text, height, 0.0, "middle"))
    middle = box.mean(axis=0)
    x, y = c + out * (radius + GAP + float(np.abs(out) @ (box[2] - middle))) - middle
    words = Text("text", float(x), float(y), text, height, 0.0, "middle")
    return Dimension((*items, words), frozen_array(text_box(words)))


def leader(
    target: Point,
    elbow: Point,
    text: str,
    *,
    height: float = 3.5,
    layer: Layer = "dimension",
    head: bool = True,
) -> Dimension:
    """Return a note: a line from `elbow` to `target` [mm], and text over a level shelf that runs on from the elbow."""
    t, e = np.asarray(target, float), np.asarray(elbow, float)
    width = text_width(text, height, False)
    way = 1.0 if e[0] >= t[0] else -1.0
    shelf = e + np.array([way * (width + GAP), 0.0])
    items: list[Item] = [Line(layer, frozen_array([t, e, shelf]))]
    if head:
        items.append(arrow_head(t, t - e, layer))
    anchor: Literal["start", "end"] = "start" if way > 0 else "end"
    x, y = float(e[0] + way * GAP / 2.0), float(e[1] + 0.8 * GAP + descender(text, height))
    words = Text("text", x, y, text, height, 0.0, anchor)
    return Dimension((*items, words), frozen_array(text_box(words)))


def inches(metres: float, parts: int = 32) -> str:
    """Return a length as inches and a fraction to the nearest 1/`parts`: ``17 7/32 in``; exact inch 25.4 mm."""
    ticks = round(abs(metres) / 0.0254 * parts)
    whole, rest = divmod(ticks, parts)
    sign = "-" if metres < 0 and ticks else ""
    if not rest:
        return f"{sign}{whole} in"
    part = Fraction(rest, parts)
    return f"{sign}{whole} {part} in" if whole else f"{sign}{part} in"


def length_text(metres: float, show: Show = "metric", decimals: int = 1) -> str:
    """Return a length [m] in words: ``437.2 mm``, ``17 7/32 in`` or ``437.2 mm (17 7/32 in)``."""
    millimetres = f"{metres * 1000.0:.{decimals}f} mm"
    if show == "metric":
        return millimetres
    return inches(metres) if show == "imperial" else f"{millimetres} ({inches(metres)})"
