"""What a tile carries beside the template: frame, register marks, rules, codes, footer and key.

Items in printed millimetres, y up.
"""

from __future__ import annotations

import numpy as np

from skirtloft.drawing.lettering import text_width, wrap
from skirtloft.drawing.sheet import Area, Circle, Item, Layer, Line, Sheet, Text
from skirtloft.export.tile_plan import BOTTOM_BAND, KEY_CELL, LEFT_BAND, PAPER_ONLY, Tile, TilePlan, neighbour
from skirtloft.maths.frozen import Floats, frozen_array

RULE = 100.0  # mm
MARK = 3.0  # half a register diamond [mm]
CODE_HEIGHT = 9.0
FOOTER_ROOM = 13.0  # height of the footer below the rule [mm]
FOOTER_SIZES = (2.5, 2.3, 2.1, 1.9, 1.7)  # tried in turn until the words fit [mm]
PITCH = 1.5  # from line to line of the footer, in letter heights
PRINT_SO = "Print at 100 %, no fit to page. Both rules must measure 100 mm."
LAY_SO = "Trim left and lower edge on the frame; lay them on the neighbours' dashed lines so that the diamonds meet."


def fixed_items(plan: TilePlan) -> tuple[Item, ...]:
    """Return what every tile of a plan has in the same place: the frame and the two rules."""
    left, bottom, width, height = plan.window
    frame = Line("register", _corners(left, bottom, left + width, bottom + height), True)
    low, aside = plan.margin[1] + FOOTER_ROOM + 2.5, plan.margin[0] + 0.5
    return (
        frame,
        *rule_items(left, low, level=True),
        *rule_items(aside, bottom, level=False),
    )


def rule_items(x: float, y: float, level: bool) -> tuple[Item, ...]:
    """Return a rule of 100 mm from (x, y) with a tick every millimetre, and its length written beyond its end."""
    along, aside = np.eye(2) if level else np.eye(2)[::-1]
    steps: list[Floats] = []
    for mm in range(int(RULE) + 1):
        foot = np.array([x, y]) + along * mm
        tall = 4.0 if mm % 10 == 0 else 3.0 if mm % 5 == 0 else 2.0
        steps += [foot, foot + aside * tall, foot]
    end = np.array([x, y]) + along * (RULE + 2.0) + (aside * 0.5 if level else aside * 3.2)
    text = Text("register", float(end[0]), float(end[1]), f"{RULE:.0f} mm", 2.7, 0.0 if level else 90.0)
    return Line("register", frozen_array(steps)), text


def tile_items(plan: TilePlan, tile: Tile, lines: tuple[str, ...]) -> tuple[Item, ...]:
    """Return what is one tile's own: register marks, laying lines, codes, footer with the paragraphs `lines`, key."""
    return (*_marks(plan, tile), *_joins(plan, tile), *_footer(plan, tile, lines))


def _marks(plan: TilePlan, tile: Tile) -> list[Item]:
    """Diamonds where this tile and a neighbour must agree, and the dashed lines on which trimmed edges come to lie."""
    left, bottom, width, height = plan.window
    x, y = (left + np.array([0.0, 0.5, 1.0]) * plan.step[0]), (bottom + np.array([0.0, 0.5, 1.0]) * plan.step[1])
    items: list[Item] = []
    if neighbour(plan, tile, 0, 1):
        items.append(Line("ghost", frozen_array([[x[2], bottom], [x[2], bottom + height]])))
    if neighbour(plan, tile, -1, 0):
        items.append(Line("ghost", frozen_array([[left, y[2]], [left + width, y[2]]])))
    for across in (-1, 0, 1):
        for up in (-1, 0, 1):
            others = {(right, down) for right in {0, across} for down in {0, -up}} - {(0, 0)}
            if any(neighbour(plan, tile, down, right) for right, down in others):
                items += _diamond(float(x[1 + across]), float(y[1 + up]))
    return items


def _diamond(x: float, y: float) -> tuple[Item, ...]:
    at, reach = np.array([x, y]), MARK * np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])
    return (
        Line("register", frozen_array(at + reach), True),
        Line("register", frozen_array([at + reach[0], at + reach[2]])),
        Line("register", frozen_array([at + reach[1], at + reach[3]])),
    )


def _joins(plan: TilePlan, tile: Tile) -> list[Item]:
    """The code of the neighbour at each edge that has one."""
    left, bottom, width, height = plan.window
    right, top, third = left + width, bottom + height, bottom + height * 2.0 / 3.0
    places = (
        (neighbour(plan, tile, 0, -1), left - LEFT_BAND + 3.7, max(third, bottom + RULE + 40.0), 90.0),
        (neighbour(plan, tile, 0, 1), right + 4.0, third, 90.0),
        (
            neighbour(plan, tile, 1, 0),
            left + max(width * 0.72, RULE + 40.0),
            bottom - BOTTOM_BAND + FOOTER_ROOM + 3.0,
            0.0,
        ),
        (neighbour(plan, tile, -1, 0), left + width / 2.0, top + 1.2, 0.0),
    )
    return [Text("text", x, y, f"joins {code}", 3.0, angle, "middle") for code, x, y, angle in places if code]


def _footer(plan: TilePlan, tile: Tile, lines: tuple[str, ...]) -> list[Item]:
    """The tile's code, large; beside it the paragraphs; at the right the key."""
    left, low, width = plan.window[0], plan.margin[1], plan.window[2]
    start = left + text_width(tile.code, CODE_HEIGHT, True) + 5.0
    has_key = plan.key == "footer"
    room = left + width - start - (plan.columns * KEY_CELL[0] + 5.0 if has_key else 0.0)
    items: list[Item] = [Text("text", left, low + 3.0, tile.code, CODE_HEIGHT, bold=True)]
    for size in FOOTER_SIZES:
        words = [line for paragraph in lines for line in wrap(paragraph, size, room)]
        if len(words) * PITCH * size <= FOOTER_ROOM:
            break
    most = int(FOOTER_ROOM / (PITCH * size))
    for place, line in enumerate(words[:most]):
        items.append(Text("text", start, low + FOOTER_ROOM - size * (1.0 + PITCH * place), line, size))
    if has_key:
        items += key_items(plan, left + width - plan.columns * KEY_CELL[0], low + 0.3, KEY_CELL, 1.5, tile)
    return items


def key_items(
    plan: TilePlan, x: float, y: float, cell: tuple[float, float], size: float, here: Tile | None
) -> list[Item]:
    """Return the printed tiles as boxes with their codes, lower left corner at (x, y); the tile `here` is grey."""
    items: list[Item] = []
    for tile in plan.tiles:
        left, low = x + tile.column * cell[0], y + (plan.rows - 1 - tile.row) * cell[1]
        box = _corners(left, low, left + cell[0], low + cell[1])
        if here is not None and tile.code == here.code:
            items.append(Area("register", box, 0.8))
        items.append(Line("register", box, True))
        items.append(Text("text", left + cell[0] / 2.0, low + (cell[1] - size) / 2.0, tile.code, size, 0.0, "middle"))
    return items


def key_page_items(plan: TilePlan, sheet: Sheet, lines: tuple[str, ...]) -> tuple[Item, ...]:
    """Return the key on a page of its own: the piece, small, under the grid of its tiles, with how to lay them."""
    left, bottom, width, height = plan.window
    corner = np.array([min(tile.x for tile in plan.tiles), min(tile.y for tile in plan.tiles)])
    end = np.array([max(tile.x for tile in plan.tiles), max(tile.y for tile in plan.tiles)]) + plan.window[2:]
    words = [line for paragraph in lines for line in wrap(paragraph, 3.0, width)]
    top = bottom + height - 14.0 - len(words) * 4.8
    scale = min(width / (end - corner)[0], (top - plan.margin[1]) / (end - corner)[1])
    base = np.array([left, top - (end - corner)[1] * scale])

    items: list[Item] = [Text("text", left, bottom + height - 8.0, "Key to the tiles", 6.0, bold=True)]
    items += [Text("text", left, bottom + height - 15.0 - 4.8 * place, line, 3.0) for place, line in enumerate(words)]
    items += [small for item in sheet.items for small in _shrunk(item, corner, base, scale)]
    for tile in plan.tiles:
        low = base + (np.array([tile.x, tile.y]) - corner) * scale
        ends = tile.column == plan.columns - 1, tile.row == 0
        high = low + np.where(ends, plan.window[2:], plan.step) * scale
        items.append(Line("dimension", _corners(*low, *high), True))
        size = min(6.0, 0.3 * plan.step[1] * scale, 0.2 * plan.step[0] * scale)
        x, y = low + np.array(plan.step) * scale / 2.0
        half = text_width(tile.code, size, True) / 2.0 + 0.4
        items.append(Area("text", _corners(x - half, y - 0.75 * size, x + half, y + 0.75 * size), 1.0))
        items.append(Text("text", float(x), float(y - size / 2.0), tile.code, size, 0.0, "middle", True))
    return tuple(items)


def _shrunk(item: Item, corner: Floats, base: Floats, scale: float) -> list[Item]:
    """Return the cut line and the holes for the small picture of the piece; nothing for the rest."""
    thin: Layer = "segment"
    if item.layer in PAPER_ONLY:
        return []
    if isinstance(item, Line) and item.layer == "cut":
        return [Line(thin, frozen_array(base + (item.points - corner) * scale), item.closed)]
    if isinstance(item, Circle):
        at = base + (np.array([item.x, item.y]) - corner) * scale
        return [Circle(thin, float(at[0]), float(at[1]), item.radius * scale)]
    return []


def footer_lines(plan: TilePlan, title: str, note: str) -> tuple[str, ...]:
    """Return the paragraphs every tile carries: piece, note, how to print and lay it, printer correction."""
    sides = ("along the long side", "across the short side") if plan.landscape else ("across", "along")
    drawn = [f"{100 * factor:.1f} % {side}" for factor, side in zip(plan.scale, sides, strict=True) if factor != 1.0]
    how = [PRINT_SO]
    if len(plan.tiles) > 1:
        how.append(LAY_SO)
    if drawn:
        how.append(f"Drawn {' and '.join(drawn)} to correct the printer.")
    return title, *([note] if note else []), " ".join(how)


def _corners(left: float, bottom: float, right: float, top: float) -> Floats:
    return frozen_array([[left, bottom], [right, bottom], [right, top], [left, top]])
