"""Two figures of a saved inflation: joint and tips along the skirt, and the port half from above."""

from __future__ import annotations

import numpy as np

from skirtloft.design.model import Show
from skirtloft.drawing.chart import Axis, Curve, Plot, chart_items, room_for_axes, round_step
from skirtloft.drawing.page import Room
from skirtloft.drawing.sheet import Item, Layer, Line, Sheet, Text
from skirtloft.inflate.saved import SavedInflation
from skirtloft.maths.frozen import Floats, frozen_array

WIDTH, HEIGHTS, PLAN = 168.0, 84.0, 80.0  # [mm]
EDGE = 3.0
STYLES: tuple[tuple[str, Layer], ...] = (
    ("hull", "hull"),
    ("drawn_joint", "ghost"),
    ("loop", "loop"),
    ("joint", "sew"),
    ("tips", "segment"),
)
FROM_ABOVE = (
    "Port half from above, bow to the right. Thick: hull edge. Outside it the loop. Dashes: joint as inflated, pale as"
    " drawn. Inside: the tips."
)


def heights_figure(saved: SavedInflation, show: Show) -> Sheet:
    """Return rise of joint and tips over the joint line from the bow centre, with the band that counts as level."""
    per, name = (1.0 / 0.0254, "in") if show == "imperial" else (1e3, "mm")
    along, far = (1.0 / 0.3048, "ft") if show == "imperial" else (1.0, "m")
    segments, limit = saved.segments, saved.tolerance * per
    joint, tips, at = segments.joint * per, segments.tip * per, segments.at * along
    everything = np.concatenate([joint, tips, [-1.3 * limit, 1.3 * limit]])
    step = round_step(float(np.ptp(everything)) / 6.0)
    low, high = (float(end * step) for end in (np.floor(everything.min() / step), np.ceil(everything.max() / step)))
    width = round_step(max(float(at.max()), 0.1) / 10.0)
    end = float(np.ceil(at.max() / width) * width)
    plot = Plot(
        room_for_axes(Room(EDGE, EDGE, WIDTH - EDGE, HEIGHTS - EDGE), False, False),
        Axis(0.0, end, width, f"along the joint line from the bow centre, {far}"),
        Axis(low, high, step, f"rise over the drawn height, {name}"),
    )
    ends = np.array([0.0, end])
    curves = [
        Curve(at, joint, "joint", "hull"),
        Curve(at, tips, "tips", "segment"),
        Curve(ends, np.full(2, limit), f"level within {limit:.3g} {name}", "ghost"),
        Curve(ends, np.full(2, -limit), "", "ghost"),
        Curve(ends, np.zeros(2), "", "axis"),
    ]
    return Sheet("inflated-heights", "Inflated: joint and tips", WIDTH, HEIGHTS, tuple(chart_items(plot, curves)))


def shape_figure(saved: SavedInflation) -> Sheet:
    """Return the port half from above as inflated, bow to the right."""
    everything = np.vstack([line for found in saved.lines.values() for line in found])
    low, high = everything.min(axis=0), everything.max(axis=0)
    scale = min((WIDTH - 2.0 * EDGE) / float(np.ptp(everything[:, 0])), (PLAN - 2.0 * EDGE - 4.0) / float(high[1]))
    height = scale * float(high[1]) + 2.0 * EDGE + 4.0
    start = np.array([(WIDTH - scale * float(low[0] + high[0])) / 2.0, EDGE + 4.0])

    def at(line: Floats) -> Floats:
        return frozen_array(line * scale + start)

    items: list[Item] = [Line("axis", frozen_array([[EDGE, start[1]], [WIDTH - EDGE, start[1]]]))]
    items += [Line(style, at(line)) for name, style in STYLES for line in saved.lines[name]]
    items.append(Text("text", EDGE, start[1] - 3.4, "centre line", 2.2))
    return Sheet("inflated-shape", "Inflated: port half from above", WIDTH, height, tuple(items))
