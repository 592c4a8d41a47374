"""Pictures of how it sits: restoring curves in roll and pitch, the gap round the plan for each load, the rules."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from skirtloft.answers.attitude_words import hold_caution
from skirtloft.checks.finding import as_sentence
from skirtloft.design.model import Show
from skirtloft.design.quantity import INCH
from skirtloft.design.units import format_mass
from skirtloft.drawing.chart import Axis, Curve, Mark, Plot, axis_to, chart_items, room_for_axes
from skirtloft.drawing.gap_map import gap_map
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.rules_page import rules_items
from skirtloft.drawing.sheet import Item, Layer, Sheet
from skirtloft.maths.frozen import Floats
from skirtloft.physics.attitude.bounds import BOUNDS, TYPICAL, Bound
from skirtloft.physics.attitude.restoring import RestoringCurve
from skirtloft.pipeline import Skirt
from skirtloft.sits.sits import LoadSits, Sits
from skirtloft.sits.sits_rules import sits_findings

NOTES = 24.0  # mm kept for words under a chart
BOUND_LAYERS: dict[Bound, Layer] = {"soft": "finished", "likely": "hull", "firm": "sew"}  # dots, thick, dashes
LIMITS = {"hull touches": "hull touches", "loop straight": "loop straight"}
TO_DEGREES = 180.0 / math.pi


def sits_sheets(skirt: Skirt, sits: Sits, stamp: Stamp, *, rules: bool = True) -> list[Sheet]:
    """Return the pages on landscape paper: curves of the first load, a gap map for each load, the rules.

    Parameters
    ----------
    sits : Sits
        From `sits_of` for the same skirt.
    rules : bool
        With the pages of rules.
    """
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    first = sits.loads[0]
    drawn: list[tuple[str, str, list[Item]]] = [
        ("sits-curves", f"What holds it: roll and pitch, {first.name}", _curve_items(skirt, first, room))
    ]
    for entry in sits.loads:
        drawn.append((f"sits-gap-{entry.index + 1}", f"Gap round the plan: {entry.name}", gap_map(skirt, entry, room)))
    if rules:
        caution = as_sentence(hold_caution(first.line))
        written = rules_items(sits_findings(skirt, sits), room, caution, skirt.design.project.show)
        drawn += [("sits-rules", "How it sits: rules", items) for items in written]
    return [
        page(name, title, items, stamp, paper=paper, landscape=True, scale="-", number=f"{k} of {len(drawn)}")
        for k, (name, title, items) in enumerate(drawn, start=1)
    ]


def length_unit(show: Show) -> tuple[float, str]:
    """Return the factor from metres and the unit of small lengths on a chart."""
    return (1.0 / INCH, "in") if show == "imperial" else (1000.0, "mm")


def _curve_items(skirt: Skirt, entry: LoadSits, room: Room) -> list[Item]:
    foot, middle = room.bottom + NOTES, (room.left + room.right) / 2.0
    left, right = Room(room.left, foot, middle - 3.0, room.top), Room(middle + 3.0, foot, room.right, room.top)
    show = skirt.design.project.show
    items = [
        *_roll(entry.curves["starboard"], entry.slack, left, show),
        *_pitch(entry.curves["bow"], entry.curves["stern"], right, show),
    ]
    column = Column(room.left, room.bottom + NOTES - 1.0, room.width, room.bottom)
    slack = " Thin, dots and dashes: likely with the diaphragm slack." if entry.slack else ""
    column.paragraph(
        f"{entry.name}, {format_mass(entry.mass, show)}: how far off the middle the centre of gravity is balanced at"
        " each lean, its height counted in. Below zero it leans on by itself. Dots: soft; thick: likely; dashes: firm."
        f"{slack} {TYPICAL}.",
        2.5,
    )
    column.paragraph(as_sentence(hold_caution(entry.line)), 2.5)
    return [*items, *column.items]


def _roll(
    curves: Mapping[Bound, RestoringCurve], slack: Mapping[Bound, RestoringCurve], room: Room, show: Show
) -> list[Item]:
    """Heel; with a taut diaphragm also what is likely with it slack."""
    ends = max(_end(curve) for curve in curves.values())
    x = axis_to(ends * TO_DEGREES, "heel, degrees", ticks=6)
    y = _offset_axis([_till(curve) for curve in curves.values()], "centre of gravity to the low side", show)
    plot = Plot(room_for_axes(room, False, bool(y.second_name)), x, y)
    unit, _ = length_unit(show)
    drawn = [_drawn(curve, 1.0, unit, bound) for bound, curve in curves.items()]
    if slack:
        drawn.append(replace(_drawn(slack["likely"], 1.0, unit, "slack"), layer="fold"))
    marks = [mark for curve in curves.values() for mark in _marks(curve, 1.0, unit)]
    return chart_items(plot, [*drawn, _zero(x)], _within(marks, plot))


def _pitch(
    bow: Mapping[Bound, RestoringCurve], stern: Mapping[Bound, RestoringCurve], room: Room, show: Show
) -> list[Item]:
    """Bow down to the right, stern down to the left."""
    both = [*bow.values(), *stern.values()]
    ends = max(_end(curve) for curve in both) * TO_DEGREES
    x = axis_to(ends, "stern down, degrees, bow down", low=-ends, ticks=8)
    values = [_till(curve) for curve in bow.values()] + [-_till(curve) for curve in stern.values()]
    y = _offset_axis(values, "centre of gravity forward", show)
    plot = Plot(room_for_axes(room, False, bool(y.second_name)), x, y)
    unit, _ = length_unit(show)
    drawn = [_drawn(bow[bound], 1.0, unit, bound) for bound in BOUNDS]
    drawn += [_drawn(stern[bound], -1.0, unit, "") for bound in BOUNDS]
    marks = _marks(bow["likely"], 1.0, unit) + _marks(stern["likely"], -1.0, unit)
    return chart_items(plot, [*drawn, _zero(x)], _within(marks, plot))


def _end(curve: RestoringCurve) -> float:
    return min(curve.limit_angle, float(curve.angle[-1]))


def _till(curve: RestoringCurve) -> Floats:
    """Return the offsets held up to the limit."""
    return np.asarray(curve.held[curve.angle <= curve.limit_angle + 1e-9])


def _offset_axis(values: list[Floats], name: str, show: Show) -> Axis:
    unit, word = length_unit(show)
    low, high = min(float(np.nanmin(v)) for v in values), max(float(np.nanmax(v)) for v in values)
    far, second = (0.001 / INCH, "in") if show == "both" else (1.0, "")
    return axis_to(1.05 * high * unit, f"{name}, {word}", low=1.05 * min(low, 0.0) * unit, factor=far, second=second)


def _drawn(curve: RestoringCurve, sign: float, unit: float, name: str) -> Curve:
    angle = np.linspace(0.0, _end(curve), 160)
    held = np.interp(angle, curve.angle, curve.held)
    return Curve(sign * TO_DEGREES * angle, sign * unit * held, name, BOUND_LAYERS[curve.bound])


def _marks(curve: RestoringCurve, sign: float, unit: float) -> list[Mark]:
    if curve.limit not in LIMITS:
        return []
    held = float(np.interp(curve.limit_angle, curve.angle, curve.held))
    return [Mark(sign * TO_DEGREES * curve.limit_angle, sign * unit * held, LIMITS[curve.limit])]


def _within(marks: list[Mark], plot: Plot) -> list[Mark]:
    return [mark for mark in marks if plot.x.low <= mark.x <= plot.x.high and plot.y.low <= mark.y <= plot.y.high]


def _zero(x: Axis) -> Curve:
    return Curve(np.array([x.low, x.high]), np.zeros(2), "", "axis")
