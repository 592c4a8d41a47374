"""A sheet as SVG text at true size: width and height in mm, one unit of the drawing is one millimetre."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

import numpy as np

from skirtloft.drawing.lettering import FONT_FAMILY, font_size
from skirtloft.drawing.sheet import STYLES, Area, Circle, Item, Layer, Line, Sheet, Text
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats

FONTS = f"'{FONT_FAMILY}','DejaVu Sans',sans-serif"
TEXT_STYLE = "font-kerning:none;font-variant-ligatures:none"  # so that lettering.text_width is what is printed
FILL_EDGE = 0.05  # areas are outlined in their own grey, so that neighbours leave no white hairline [mm]
_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def render(sheet: Sheet) -> str:
    """Return `sheet` as an SVG document, one group per layer, the layers in the order in which they first occur.

    Raises
    ------
    ExportError
        The size is not positive, or a coordinate is not a number.
    """
    check_sheet(sheet)
    layers: dict[Layer, list[Item]] = {}
    for item in sheet.items:
        layers.setdefault(item.layer, []).append(item)
    size = f'width="{number(sheet.width)}mm" height="{number(sheet.height)}mm"'
    view = f'viewBox="0 0 {number(sheet.width)} {number(sheet.height)}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {view} xml:space="preserve">',
        f"<title>{escape(sheet.title)}</title>",
    ]
    for layer, items in layers.items():
        lines.append(_group(layer))
        lines += [_element(item, sheet.height) for item in items]
        lines.append("</g>")
    return "\n".join([*lines, "</svg>"]) + "\n"


def check_sheet(sheet: Sheet) -> None:
    """Raise an ExportError if `sheet` has no size or holds a coordinate that is not a finite number."""
    if not (0.0 < sheet.width < np.inf and 0.0 < sheet.height < np.inf):
        raise ExportError(f"Sheet {sheet.name}: its size is {sheet.width} x {sheet.height} mm; it must be positive.")
    for item in sheet.items:
        if not np.isfinite(_coordinates(item)).all():
            what = f"the text {item.text!r}" if isinstance(item, Text) else f"a {type(item).__name__.lower()}"
            raise ExportError(f"Sheet {sheet.name}: {what} on layer {item.layer} has a place that is no number.")


def _coordinates(item: Item) -> Floats:
    """Return every coordinate and size of an item."""
    if isinstance(item, Line | Area):
        return np.asarray(item.points)
    if isinstance(item, Circle):
        return np.array([item.x, item.y, item.radius])
    return np.array([item.x, item.y, item.height, item.angle])


def number(value: float) -> str:
    """Return `value` with at most 4 decimals: the millimetre's tenth of a micrometre."""
    words = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words


def escape(text: str) -> str:
    """Return `text` fit for XML; characters that XML forbids are left out."""
    clean = _NOT_XML.sub("", text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def grey_colour(grey: float) -> str:
    """Return grey 0 black .. 1 white as a hexadecimal colour."""
    level = round(255 * min(1.0, max(0.0, grey)))
    return f"#{level:02x}{level:02x}{level:02x}"


def _group(layer: Layer) -> str:
    style = STYLES[layer]
    dash = f' stroke-dasharray="{",".join(number(part) for part in style.dash)}"' if style.dash else ""
    stroke = f'stroke="{grey_colour(style.grey)}" stroke-width="{number(style.width)}"{dash}'
    return f'<g id="{layer}" fill="none" {stroke} stroke-linejoin="round" stroke-linecap="butt">'


def _element(item: Item, height: float) -> str:
    """Return one element; y is turned down."""
    if isinstance(item, Line):
        return f'<path d="{_path(item.points, item.closed, height)}"/>'
    if isinstance(item, Circle):
        return f'<circle cx="{number(item.x)}" cy="{number(height - item.y)}" r="{number(item.radius)}"/>'
    if isinstance(item, Area):
        colour = grey_colour(item.grey)
        edge = f'stroke="{colour}" stroke-width="{number(FILL_EDGE)}" stroke-dasharray="none"'
        return f'<path d="{_path(item.points, True, height)}" fill="{colour}" {edge}/>'
    return _text(item, height)


def _path(points: Floats, closed: bool, height: float) -> str:
    steps: Iterable[Sequence[float]] = np.asarray(points).tolist()
    return "M" + "L".join(f"{number(x)} {number(height - y)}" for x, y in steps) + ("Z" if closed else "")


def _text(text: Text, height: float) -> str:
    x, y = number(text.x), number(height - text.y)
    turn = f' transform="rotate({number(-text.angle)} {x} {y})"' if number(text.angle) != "0" else ""
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    weight = ' font-weight="bold"' if text.bold else ""
    font = f'font-family="{FONTS}" font-size="{number(font_size(text.height))}"{weight}{anchor} style="{TEXT_STYLE}"'
    fill = f'fill="{grey_colour(STYLES[text.layer].grey)}" stroke="none"'
    return f'<text x="{x}" y="{y}" {font} {fill}{turn}>{escape(text.text)}</text>'
