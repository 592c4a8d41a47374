"""Regions of a grid told apart by hatch alone, so that they read in grey, on a copy and on a faint printer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.drawing.chart import LETTERS, Plot
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.sheet import Circle, Item, Line, Text
from skirtloft.maths.frozen import frozen_array

Hatch = Literal["none", "rising", "crossed", "level"]
Words = npt.NDArray[np.str_]

EVERY = 2  # cells from one hatch line to the next
SWATCH = 6.0, 3.2  # mm


def region_items(plot: Plot, verdict: Words, hatches: Mapping[str, Hatch]) -> list[Item]:
    """Return hatch and outlines of the regions of a grid that fills the plot, rows upward, one cell for each place."""
    rows, columns = verdict.shape
    u = np.linspace(plot.box.left, plot.box.right, columns + 1)
    v = np.linspace(plot.box.bottom, plot.box.top, rows + 1)
    items: list[Item] = []
    for word, hatch in hatches.items():
        mine = verdict == word
        if hatch in ("rising", "crossed"):
            items += _diagonals(mine, u, v)
        if hatch == "crossed":
            items += _diagonals(mine[:, ::-1], u[::-1], v)
        if hatch == "level":
            items += _levels(mine, u, v)
    return [*items, *_borders(verdict, u, v)]


def _stretches(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    return [(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def _diagonals(mine: npt.NDArray[np.bool_], u: npt.NDArray[np.float64], v: npt.NDArray[np.float64]) -> list[Line]:
    """Return lines corner to corner through cells, from the lower end of `u`."""
    rows, columns = mine.shape
    lines = []
    for shift in range(-(rows - 1), columns, EVERY):
        first = max(0, -shift)
        for start, end in _stretches(np.diagonal(mine, shift)):
            i, j = first + start, first + start + shift
            far = end - start
            lines.append(Line("dimension", frozen_array([[u[j], v[i]], [u[j + far], v[i + far]]])))
    return lines


def _levels(mine: npt.NDArray[np.bool_], u: npt.NDArray[np.float64], v: npt.NDArray[np.float64]) -> list[Line]:
    """Return level lines through the middle of every second row."""
    lines = []
    for i in range(0, mine.shape[0], EVERY):
        middle = (v[i] + v[i + 1]) / 2.0
        for start, end in _stretches(mine[i]):
            lines.append(Line("dimension", frozen_array([[u[start], middle], [u[end], middle]])))
    return lines


def _borders(verdict: Words, u: npt.NDArray[np.float64], v: npt.NDArray[np.float64]) -> list[Line]:
    """Return the lines between unlike neighbours."""
    lines = []
    for i in range(1, verdict.shape[0]):
        for start, end in _stretches(verdict[i] != verdict[i - 1]):
            lines.append(Line("segment", frozen_array([[u[start], v[i]], [u[end], v[i]]])))
    for j in range(1, verdict.shape[1]):
        for start, end in _stretches(verdict[:, j] != verdict[:, j - 1]):
            lines.append(Line("segment", frozen_array([[u[j], v[start]], [u[j], v[end]]])))
    return lines


def key_items(entries: Sequence[tuple[Hatch | Literal["circle"], str]], left: float, base: float) -> list[Item]:
    """Return a row of swatches with their words; "circle" is a mark."""
    items: list[Item] = []
    wide, high = SWATCH
    for hatch, words in entries:
        if hatch == "circle":
            items.append(Circle("hull", left + wide / 2.0, base + high / 2.0, 1.3))
        else:
            corners = [[left, base], [left + wide, base], [left + wide, base + high], [left, base + high]]
            items.append(Line("segment", frozen_array(corners), True))
            u, v = np.linspace(left, left + wide, 5), np.linspace(base, base + high, 3)
            whole = np.ones((2, 4), dtype=np.bool_)
            if hatch in ("rising", "crossed"):
                items += _diagonals(whole, u, v)
            if hatch == "crossed":
                items += _diagonals(whole, u[::-1], v)
            if hatch == "level":
                items += _levels(whole, u, v)
        items.append(Text("text", left + wide + 2.0, base + 0.5, words, LETTERS))
        left += wide + 7.0 + text_width(words, LETTERS)
    return items
