"""Lines, circles, areas and words as typst code: for pages where an SVG image each would be slow and large."""

from __future__ import annotations

import math
from collections.abc import Iterable

from skirtloft.drawing.lettering import FONT_FAMILY, font_size, text_width
from skirtloft.drawing.sheet import STYLES, Area, Circle, Item, Layer, Line, Text
from skirtloft.export.svg import grey_colour, number
from skirtloft.export.typst_job import quote
from skirtloft.maths.frozen import Floats

# Words start on their baseline: `words` takes x, y [mm, y down], size [mm], turn [deg], weight, colour and text.
PREAMBLE = f"""
#set text(font: "{FONT_FAMILY}", kerning: false, ligatures: false, top-edge: "baseline", bottom-edge: "baseline")
#let words(x, y, size, turn, weight, colour, body) = place(top + left, dx: x * 1mm, dy: y * 1mm,
  rotate(turn * 1deg, origin: top + left, box(text(size: size * 1mm, weight: weight, fill: rgb(colour), body))))
#let path(pen, colour, ..steps) = place(top + left, curve(stroke: pen, fill: colour, ..steps))
"""
_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}


def items_code(items: Iterable[Item], height: float) -> str:
    """Return typst code that places `items` on a page `height` [mm] high; needs `PREAMBLE`."""
    return "".join(f"#{_code(item, height)}\n" for item in items)


def _code(item: Item, height: float) -> str:
    if isinstance(item, Line):
        return f"path({_pen(item.layer)}, none, {_steps(item.points, item.closed, height)})"
    if isinstance(item, Area):
        return f"path(none, rgb({quote(grey_colour(item.grey))}), {_steps(item.points, True, height)})"
    if isinstance(item, Circle):
        x, y, radius = number(item.x - item.radius), number(height - item.y - item.radius), number(item.radius)
        return f"place(top + left, dx: {x}mm, dy: {y}mm, circle(radius: {radius}mm, stroke: {_pen(item.layer)}))"
    return _words(item, height)


def _pen(layer: Layer) -> str:
    style = STYLES[layer]
    dash = f"({''.join(f'{number(part)}mm, ' for part in style.dash)})" if style.dash else "none"
    colour = quote(grey_colour(style.grey))
    return f'(paint: rgb({colour}), thickness: {number(style.width)}mm, dash: {dash}, join: "round")'


def _steps(points: Floats, closed: bool, height: float) -> str:
    places = [f"({number(x)}mm, {number(height - y)}mm)" for x, y in points.tolist()]
    steps = [f"curve.move({places[0]})", *(f"curve.line({place})" for place in places[1:])]
    return ", ".join([*steps, 'curve.close(mode: "straight")'] if closed else steps)


def _words(text: Text, height: float) -> str:
    back = text_width(text.text, text.height, text.bold) * _SHIFT[text.anchor]
    angle = math.radians(text.angle)
    x, y = text.x - back * math.cos(angle), text.y - back * math.sin(angle)
    weight = '"bold"' if text.bold else '"regular"'
    place = f"{number(x)}, {number(height - y)}, {number(font_size(text.height))}, {number(-text.angle)}"
    return f"words({place}, {weight}, {quote(grey_colour(STYLES[text.layer].grey))}, {quote(text.text)})"
