"""What is to be written on a piece, and the blocks of text it can be set in.

A `Label` is a wish: forms of words from the best to the shortest, heights, angles, a place to be near. `blocks` turns
it into `Block`s, each a rectangle with its text and arrow inside, in order of how much is given up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

import numpy as np

from skirtloft.drawing.dimension import arrow_head
from skirtloft.drawing.lettering import ascender, descender, text_width
from skirtloft.drawing.sheet import Item, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

LEAST_HEIGHT = 3.5  # of any letter on a piece [mm]; requirement
LEADING = 0.35  # free space between two rows, in letter heights
ARROW_ROOM = 3.4  # height of the strip an arrow takes under its word [mm]

# What is given up for a nearer place, in millimetres of distance.
COST_OF_FORM, COST_OF_SHRINKING, COST_OF_LINE, COST_OF_TURNING = 300.0, 12.0, 4.0, 25.0


@dataclass(frozen=True)
class Row:
    """One sentence of a label; `scale` is its letter height over the label's."""

    text: str
    scale: float = 1.0
    bold: bool = False


@dataclass(frozen=True)
class Shaft:
    """An arrow that belongs to a label: lengths [mm] to choose from, heads, and whether it points backwards."""

    lengths: tuple[float, ...]
    heads: Literal[1, 2] = 1
    backwards: bool = False


@dataclass(frozen=True, eq=False)
class Label:
    """Something to write inside a piece.

    Parameters
    ----------
    name : str
        What a message calls it.
    forms : tuple of tuple of Row
        Ways to say it, best first, each one row or more.
    at : (2,) [mm]
        Where its middle would best be.
    heights : tuple of float [mm]
        Letter heights, tallest first, none below `LEAST_HEIGHT`.
    angles : tuple of float [deg]
        Allowed angles, best first.
    lines : int
        Lines a single row may be wrapped to.
    reach : float [mm]
        How far from `at` it may go.
    required : bool
        Left out where there is no room, if False.
    spare : bool
        May be left out where nothing else helps, since it is said elsewhere (on the piece's card).
    shaft : Shaft or None
    edge : (k, 2) [mm] or None
        Edge to follow: the block then lies along it, at one of `bands`, before anything else is tried.
    bands : tuple of float [mm]
        Distance from the edge to the near side of the block, positive to the left of the edge, best first.
    otherwise : tuple of Label
        What to place instead, one by one, where the label as a whole finds no room.
    """

    name: str
    forms: tuple[tuple[Row, ...], ...]
    at: Floats
    heights: tuple[float, ...] = (5.0, 4.2, 3.5)
    angles: tuple[float, ...] = (0.0, 90.0)
    lines: int = 1
    reach: float = float("inf")
    required: bool = True
    spare: bool = False
    shaft: Shaft | None = None
    edge: Floats | None = None
    bands: tuple[float, ...] = ()
    otherwise: tuple[Label, ...] = ()


@dataclass(frozen=True)
class Block:
    """A label set in a rectangle [mm]: rows as (x, baseline, text, height, bold) from its lower left corner.

    `shaft` is (x from, x to, y) of the arrow; `cost` [mm] is what was given up.
    """

    width: float
    height: float
    rows: tuple[tuple[float, float, str, float, bool], ...]
    shaft: tuple[float, float, float] | None
    heads: int
    cost: float


@cache
def width_per_height(text: str, bold: bool) -> float:
    """Return the width of one line of `text`, in letter heights."""
    return float(text_width(text, 1.0, bold))


@cache
def wrapped(text: str, lines: int, bold: bool) -> tuple[str, ...] | None:
    """Return `text` broken at spaces into `lines` lines, the longest as short as can be; None with fewer words."""
    words = text.split(" ")
    if lines > len(words):
        return None
    best: dict[tuple[int, int], tuple[float, tuple[str, ...]]] = {}

    def split(first: int, left: int) -> tuple[float, tuple[str, ...]]:
        if (first, left) not in best:
            whole = " ".join(words[first:])
            choice: tuple[float, tuple[str, ...]] = (width_per_height(whole, bold), (whole,))
            if left > 1:
                options = []
                for end in range(first + 1, len(words) - left + 2):
                    head = " ".join(words[first:end])
                    tail = split(end, left - 1)
                    options.append((max(width_per_height(head, bold), tail[0]), (head, *tail[1])))
                choice = min(options, key=lambda option: option[0])
            best[first, left] = choice
        return best[first, left]

    return split(0, lines)[1]


def lower(label: Label, tallest: float) -> Label:
    """Return `label` without its heights above `tallest` [mm]; its least height stays."""
    if label.heights[0] <= tallest:
        return label
    heights = tuple(height for height in label.heights if height <= tallest) or label.heights[-1:]
    return replace(label, heights=heights, otherwise=tuple(lower(part, tallest) for part in label.otherwise))


def closest_packed(label: Label, end: Floats) -> Label:
    """Return `label` in its shortest form and least size, along its edge or as near to `end` (2,) [mm] as it goes."""
    shaft = replace(label.shaft, lengths=label.shaft.lengths[-1:]) if label.shaft else None
    return replace(
        label, forms=label.forms[-1:], heights=label.heights[-1:], at=end, lines=4, shaft=shaft, otherwise=()
    )


def _set(rows: tuple[Row, ...], height: float, shaft: Shaft | None, length: float, beside: bool, cost: float) -> Block:
    """Return one block: rows from the top down, the arrow under them or beside them."""
    sizes = [row.scale * height for row in rows]
    below = [descender(row.text, size, row.bold) for row, size in zip(rows, sizes, strict=True)]
    above = [ascender(row.text, size, row.bold) for row, size in zip(rows, sizes, strict=True)]
    widths = [width_per_height(row.text, row.bold) * size for row, size in zip(rows, sizes, strict=True)]
    text_wide = max(widths)
    under = ARROW_ROOM if shaft and not beside else 0.0
    tall = sum(below) + sum(above) + LEADING * height * (len(rows) - 1) + under
    wide = max(text_wide, length) if not beside else text_wide + 2.0 + length
    set_rows, y = [], tall
    for k, row in enumerate(rows):
        y -= above[k]
        x = (wide - widths[k]) / 2.0 if shaft and not beside else 0.0
        set_rows.append((x, y, row.text, sizes[k], row.bold))
        y -= below[k] + LEADING * height
    line = None
    if shaft:
        start, at = ((wide - length) / 2.0, 0.9) if not beside else (text_wide + 2.0, below[-1] + height / 2.0)
        line = (start + length, start, at) if shaft.backwards else (start, start + length, at)
    return Block(wide, tall, tuple(set_rows), line, shaft.heads if shaft else 0, cost)


def _ways(label: Label) -> Iterator[tuple[tuple[Row, ...], float]]:
    """Yield the rows of every form and wrapping with what it gives up."""
    for number, form in enumerate(label.forms):
        yield form, COST_OF_FORM * number
        if len(form) == 1:
            for count in range(2, label.lines + 1):
                lines = wrapped(form[0].text, count, form[0].bold)
                if lines is None:
                    break
                rows = tuple(Row(line, form[0].scale, form[0].bold) for line in lines)
                yield rows, COST_OF_FORM * number + COST_OF_LINE * (count - 1)


def blocks(label: Label) -> list[Block]:
    """Return the blocks `label` can be set in, in order of what is given up."""
    found = []
    for rows, cost in _ways(label):
        for step, height in enumerate(label.heights):
            given_up = cost + COST_OF_SHRINKING * step
            if label.shaft is None:
                found.append(_set(rows, height, None, 0.0, False, given_up))
                continue
            for shorter, length in enumerate(label.shaft.lengths):
                for beside in (False, True):
                    worse = given_up + 8.0 * shorter + (6.0 if beside else 0.0)
                    found.append(_set(rows, height, label.shaft, length, beside, worse))
    return sorted(found, key=lambda block: block.cost)


def draw_block(block: Block, middle: Floats, angle: float) -> tuple[Item, ...]:
    """Return the items of `block` with its middle at `middle` [mm], turned by `angle` [deg]."""
    radians = np.radians(angle)
    along, up = np.array([np.cos(radians), np.sin(radians)]), np.array([-np.sin(radians), np.cos(radians)])
    corner = middle - along * block.width / 2.0 - up * block.height / 2.0
    items: list[Item] = []
    for x, y, text, height, bold in block.rows:
        at = corner + along * x + up * y
        items.append(Text("text", float(at[0]), float(at[1]), text, height, angle, "start", bold))
    if block.shaft is not None:
        x0, x1, y = block.shaft
        a, b = corner + along * x0 + up * y, corner + along * x1 + up * y
        way = (b - a) / abs(x1 - x0)
        items.append(arrow_head(b, way, "mark", 4.0))
        items.append(Line("mark", frozen_array([a + way * (3.0 if block.heads == 2 else 0.0), b - way * 3.0])))
        if block.heads == 2:
            items.append(arrow_head(a, -way, "mark", 4.0))
    return tuple(items)


def block_box(block: Block, middle: Floats, angle: float, margin: float = 0.0) -> Floats:
    """Return the corners (4, 2) [mm] of `block` with `margin` [mm] added all round."""
    radians = np.radians(angle)
    along, up = np.array([np.cos(radians), np.sin(radians)]), np.array([-np.sin(radians), np.cos(radians)])
    half = along * (block.width / 2.0 + margin), up * (block.height / 2.0 + margin)
    corners = [middle - half[0] - half[1], middle + half[0] - half[1], middle + half[0] + half[1]]
    return frozen_array([*corners, middle - half[0] + half[1]])


__all__ = ["Block", "Label", "Row", "Shaft", "block_box", "blocks", "closest_packed", "draw_block", "lower"]
