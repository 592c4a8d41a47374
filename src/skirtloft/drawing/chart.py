"""A small chart: axes with ticks in round numbers, curves told apart by dash and width, labels that keep clear.

Values are plain numbers in the units of the axes; a second scale (imperial beside metric) stands on the far side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.drawing.lettering import ascender, descender, text_width
from skirtloft.drawing.page import Room
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Text
from skirtloft.maths.frozen import Floats, frozen_array

TICK = 1.6  # mm
LETTERS = 2.5  # mm, numbers and labels
SAMPLES = 160  # points of a drawn curve
CURVES: tuple[Layer, ...] = ("segment", "sew", "fold", "finished", "ghost")  # for further curves, in turn


@dataclass(frozen=True)
class Axis:
    """One axis: range, tick step and name, and a second scale: value times `factor` in other units."""

    low: float
    high: float
    step: float
    name: str
    factor: float = 1.0
    second_name: str = ""


@dataclass(frozen=True, eq=False)
class Curve:
    """A curve to draw; `x`, `y` (n,) in units of the axes, nan where there is none. Without a name no label."""

    x: Floats
    y: Floats
    name: str
    layer: Layer


@dataclass(frozen=True)
class Mark:
    """A point to mark with a circle."""

    x: float
    y: float
    name: str


@dataclass(frozen=True)
class Plot:
    """Where the axes lie on the sheet [mm], and what they measure."""

    box: Room
    x: Axis
    y: Axis

    def at(self, x: Floats, y: Floats) -> Floats:
        """Map values to sheet mm, (n, 2)."""
        u = self.box.left + (x - self.x.low) / (self.x.high - self.x.low) * self.box.width
        v = self.box.bottom + (y - self.y.low) / (self.y.high - self.y.low) * self.box.height
        return np.column_stack([u, v])


def axis_to(most: float, name: str, *, low: float = 0.0, ticks: int = 8, factor: float = 1.0, second: str = "") -> Axis:
    """Return an axis from `low` to a round number not below `most`."""
    step = round_step((most - low) / ticks)
    start = math.floor(low / step + 1e-9) * step
    high = start + step * max(1, math.ceil((most - start) / step - 1e-9))
    return Axis(start, high, step, name, factor, second)


def round_step(least: float) -> float:
    """Return the least of 1, 2 and 5 times a power of ten that is not below `least` (above zero)."""
    if not least > 0.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * k for k in (1.0, 2.0, 5.0, 10.0) if power * k >= least * (1.0 - 1e-9))


def axes_items(plot: Plot) -> list[Item]:
    """Return frame, ticks, numbers and names of both axes."""
    box = plot.box
    corners = [[box.left, box.bottom], [box.right, box.bottom], [box.right, box.top], [box.left, box.top]]
    items: list[Item] = [Line("register", frozen_array(corners), True)]
    items += _ticks(plot, plot.x, along_x=True, far=False)
    items += _ticks(plot, plot.y, along_x=False, far=False)
    if plot.x.second_name:
        items += _ticks(plot, _second(plot.x), along_x=True, far=True)
    if plot.y.second_name:
        items += _ticks(plot, _second(plot.y), along_x=False, far=True)
    return items


def _second(axis: Axis) -> Axis:
    """Return the same stretch in the second unit, with its own round step."""
    low, high = axis.low * axis.factor, axis.high * axis.factor
    return Axis(low, high, round_step((high - low) / 7.0), axis.second_name)


def _ticks(plot: Plot, axis: Axis, *, along_x: bool, far: bool) -> list[Item]:
    box, items = plot.box, list[Item]()
    first = math.ceil(axis.low / axis.step - 1e-9)
    last = math.floor(axis.high / axis.step + 1e-9)
    widest = 0.0
    for k in range(first, last + 1):
        share = (k * axis.step - axis.low) / (axis.high - axis.low)
        number = number_text(k * axis.step, axis.step)
        widest = max(widest, text_width(number, LETTERS))
        if along_x:
            u, v, way = box.left + share * box.width, box.top if far else box.bottom, 1.0 if far else -1.0
            items.append(Line("dimension", frozen_array([[u, v], [u, v - way * TICK]])))
            foot = v + 2.8 if far else v - 2.8 - ascender(number, LETTERS)
            items.append(Text("text", u, foot, number, LETTERS, 0.0, "middle"))
        else:
            u, v = box.right if far else box.left, box.bottom + share * box.height
            way = -1.0 if far else 1.0
            items.append(Line("dimension", frozen_array([[u, v], [u + way * TICK, v]])))
            items.append(
                Text("text", u - way * 1.6, v - LETTERS / 2.0, number, LETTERS, 0.0, "start" if far else "end")
            )
    items.append(_axis_name(box, axis, widest, along_x=along_x, far=far))
    return items


def _axis_name(box: Room, axis: Axis, widest: float, *, along_x: bool, far: bool) -> Text:
    middle = (box.left + box.right) / 2.0, (box.bottom + box.top) / 2.0
    if along_x:
        v = box.top + 7.6 if far else box.bottom - 11.6
        return Text("text", middle[0], v, axis.name, LETTERS + 0.3, 0.0, "middle")
    u = box.right + widest + 7.0 if far else box.left - widest - 4.2
    return Text("text", u, middle[1], axis.name, LETTERS + 0.3, 90.0, "middle")


def number_text(value: float, step: float) -> str:
    """Return a tick's number with as many decimals as its step has."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def curve_lines(plot: Plot, curve: Curve) -> list[Line]:
    """Return the parts of a curve inside the axes."""
    inside = np.isfinite(curve.x) & np.isfinite(curve.y)
    inside &= (curve.y >= plot.y.low - 1e-9) & (curve.y <= plot.y.high + 1e-9)
    inside &= (curve.x >= plot.x.low - 1e-9) & (curve.x <= plot.x.high + 1e-9)
    lines = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]]).astype(int)))
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        if end - start > 1:
            lines.append(Line(curve.layer, frozen_array(plot.at(curve.x[start:end], curve.y[start:end]))))
    return lines


def chart_items(
    plot: Plot, curves: Sequence[Curve], marks: Sequence[Mark] = (), more: Sequence[Item] = ()
) -> list[Item]:
    """Return axes, `more`, curves and marks, with a label beside each curve and mark."""
    from skirtloft.drawing.chart_labels import Wanted, placed_labels

    items: list[Item] = [*axes_items(plot), *more]
    wanted: list[Wanted] = []
    for mark in marks:
        ((u, v),) = plot.at(np.array([mark.x]), np.array([mark.y]))
        items.append(Circle("segment", float(u), float(v), 1.3))
        wanted.append(Wanted(mark.name, frozen_array([[u, v]]), 1.3))
    for curve in curves:
        lines = curve_lines(plot, curve)
        items += lines
        if curve.name and lines:
            wanted.append(Wanted(curve.name, max((line.points for line in lines), key=len), 0.0))
    return [*items, *placed_labels(wanted, items, plot.box)]


def room_for_axes(room: Room, second_x: bool, second_y: bool) -> Room:
    """Return the box of the axes inside a room: what numbers and names take is kept free."""
    below, above = 12.7 + descender("y", LETTERS), 12.0 if second_x else 2.0
    beside = 19.0 if second_y else 4.0
    return Room(room.left + 17.0, room.bottom + below, room.right - beside, room.top - above)
