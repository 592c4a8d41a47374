"""Where each watt goes: one bar for each line, in the order of the way from the engine to the gap."""

from __future__ import annotations

import math

from skirtloft.design.units import format_length, format_power, format_rotation
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Column, Room
from skirtloft.drawing.sheet import Area, Item, Line, Text
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.watts import Watts
from skirtloft.pipeline import Skirt

GREYS = {"drive": 0.15, "fan": 0.30, "thrust": 0.45, "loss": 0.60, "leak": 0.78, "gap": 0.90}
KINDS = {
    "drive": "belt or gearbox",
    "fan": "in the fan",
    "thrust": "to thrust",
    "loss": "lost on the way",
    "leak": "leaks",
    "gap": "under the tips",
}
LETTERS = 2.6
TALLEST = 7.0  # mm, a bar with its space
CAUTION = (
    "Nothing here was measured. Fans kill: guards on, nobody in the fan plane, kill switch on a lanyard; first hover"
    " tethered, empty, raised in steps."
)


def watt_items(skirt: Skirt, room: Room) -> list[Item]:
    """Return the bars of the first load: of the engine at the set speed, else of the fan's air at the wanted gap."""
    lift, show, name = skirt.air, skirt.design.project.show, skirt.design.craft.load[0].name
    match = lift.match
    if match is not None and math.isfinite(float(match.watts.power[:, 0].sum())):
        watts, what = match.watts, f"into belt or gearbox at {format_rotation(match.speed)}, computed"
        head = f"{name}: a gap of {format_length(float(match.at_speed.gap[0]), show)}"
    else:
        watts, what = (
            lift.need_watts,
            "of air at the fan; fan and drive are not in it, the engine needs several times this",
        )
        head = f"{name}: a gap of {format_length(lift.gap, show)}"
    whole = float(watts.power[:, 0].sum())
    column = Column(room.left, room.top, room.width, room.bottom)
    column.heading(f"{head}, {format_power(whole, show)} {what}", 3.2)
    items = [*column.items, *_bars(skirt, watts, whole, Room(room.left, room.bottom + 24.0, room.right, column.top))]
    foot = Column(room.left, room.bottom + 16.0, room.width, room.bottom)
    foot.paragraph("Shares are of the whole. On calm, smooth ground; no reserve in it.", 2.5)
    foot.paragraph(CAUTION, 2.5)
    return [*items, *_key(watts, room.left, room.bottom + 18.5), *foot.items]


def _bars(skirt: Skirt, watts: Watts, whole: float, room: Room) -> list[Item]:
    show, power = skirt.design.project.show, [float(value) for value in watts.power[:, 0]]
    names = [name.replace("_", " ") for name in watts.names]
    values = [f"{format_power(value, show)}, {value / whole:.1%}" for value in power]
    start = room.left + max(text_width(name, LETTERS) for name in names) + 3.0
    room_for_bars = room.right - start - max(text_width(value, LETTERS) for value in values) - 4.0
    pitch = min(TALLEST, room.height / len(names))
    longest = max(power)
    items: list[Item] = []
    for k, (name, value, kind, words) in enumerate(zip(names, power, watts.kinds, values, strict=True)):
        top, bottom = room.top - k * pitch - 0.12 * pitch, room.top - (k + 1) * pitch + 0.12 * pitch
        end = start + max(0.2, room_for_bars * value / longest)
        corners = frozen_array([[start, bottom], [end, bottom], [end, top], [start, top]])
        base = (top + bottom) / 2.0 - LETTERS / 2.0
        items += [
            Text("text", start - 2.0, base, name, LETTERS, 0.0, "end"),
            Area("segment", corners, GREYS[kind]),
            Line("register", corners, True),
            Text("text", end + 2.0, base, words, LETTERS),
        ]
    items.append(Line("dimension", frozen_array([[start, room.top], [start, room.top - pitch * len(names)]])))
    return items


def _key(watts: Watts, left: float, base: float) -> list[Item]:
    """Return the greys and what they mean, with each kind's part of the whole."""
    items: list[Item] = []
    whole = float(watts.power[:, 0].sum())
    for kind in dict.fromkeys(watts.kinds):
        share = sum(float(p) for k, p in zip(watts.kinds, watts.power[:, 0], strict=True) if k == kind) / whole
        words = f"{KINDS[kind]} {share:.0%}"
        corners = frozen_array([[left, base], [left + 5.0, base], [left + 5.0, base + 3.0], [left, base + 3.0]])
        items += [Area("segment", corners, GREYS[kind]), Line("register", corners, True)]
        items.append(Text("text", left + 7.0, base + 0.3, words, LETTERS))
        left += 13.0 + text_width(words, LETTERS)
    return items
