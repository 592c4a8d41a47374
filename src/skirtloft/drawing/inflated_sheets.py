"""Pages on an inflated skirt: joint and tips along the skirt, and the shape from above."""

from __future__ import annotations

import numpy as np

from skirtloft.answers.inflated_plain import CLAIM, outermost
from skirtloft.drawing.chart import Axis, Curve, Plot, chart_items, room_for_axes, round_step
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.curves import path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array

NOTES = 26.0  # mm kept for words under a drawing
OPEN = 0.005  # m: wider openings between tips are marked
SCALES = (2.5, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0)
INCH = 25.4


def inflated_sheets(trial: Trial) -> list[Sheet]:
    """Return two landscape pages: heights along the joint line, and the port half from above."""
    design = trial.skirt.cut.design
    stamp, paper = Stamp(design.project), design.making.paper
    room = page_room(paper, landscape=True)
    plan, scale = _plan_items(trial, room)
    pages = [
        ("inflated-heights", "Inflated as sewn: joint and tips along the skirt", _height_items(trial, room), "-"),
        ("inflated-plan", "Inflated as sewn: port half from above", plan, f"1 : {scale:g}"),
    ]
    return [
        page(name, title, items, stamp, paper=paper, landscape=True, scale=scale_text, number=f"{k} of {len(pages)}")
        for k, (name, title, items, scale_text) in enumerate(pages, start=1)
    ]


def _notes(room: Room, words: str) -> list[Item]:
    column = Column(room.left, room.bottom + NOTES, room.width, room.bottom)
    for paragraph in (words, CLAIM):
        column.paragraph(paragraph, 2.5)
    return column.items


def _height_items(trial: Trial, room: Room) -> list[Item]:
    """Rise of the joint at the webs and in the mean, of the tips, and what is level enough, over the joint line."""
    segments, lines = trial.measures.segments, trial.measures.lines
    imperial = trial.skirt.cut.design.project.show == "imperial"
    per, name = (1e3 / INCH, "in") if imperial else (1e3, "mm")
    along, far = (1.0 / 0.3048, "ft") if imperial else (1.0, "m")
    joint_shift, tip_shift = trial.mesh.along(segments.at)
    line_shift = trial.mesh.along(lines.at)[0]
    joint, tips = (segments.joint + joint_shift) * per, (segments.tip + tip_shift) * per
    webs, limit = (lines.joint + line_shift) * per, trial.asked.tolerance * per
    first = trial.first.segments
    before = (first.joint + trial.mesh.along(first.at)[0]) * per
    everything = np.concatenate([joint, tips, webs, before, [-1.3 * limit, 1.3 * limit]])
    step = round_step(float(np.ptp(everything)) / 8.0)
    low = np.floor(everything.min() / step) * step
    high = np.ceil(everything.max() / step) * step
    end = float(trial.skirt.cut.plan.joint_line.breaks[-1]) * along
    width = round_step(end / 10.0)
    x = Axis(0.0, float(np.ceil(end / width) * width), width, f"along the joint line from the bow centre, {far}")
    y = Axis(float(low), float(high), step, f"rise over the drawn height, {name}")
    plot = Plot(room_for_axes(Room(room.left, room.bottom + NOTES, room.right, room.top), False, False), x, y)
    ends = np.array([0.0, end])
    curves = [
        Curve(segments.at * along, joint, "joint, mean over a pitch", "hull"),
        Curve(lines.at * along, webs, "joint at the webs", "finished"),
        Curve(segments.at * along, tips, "tips, mean", "segment"),
        Curve(ends, np.full(2, limit), f"level within {limit:.3g} {name}", "ghost"),
        Curve(ends, np.full(2, -limit), "", "ghost"),
        Curve(ends, np.zeros(2), "", "axis"),
    ]
    if len(trial.rounds) > 1:
        curves.append(Curve(first.at * along, before, "joint as designed", "sew"))
    stations = trial.skirt.cut.plan.stations
    ticks = _station_ticks(plot, stations.ids, stations.at * along)
    mesh = "The finer mesh's shift is counted in. " if trial.mesh.applied else ""
    words = (
        f"{mesh}Stations stand along the foot. {'' if trial.shape.is_settled else 'STOPPED before it was at rest. '}"
    )
    return [*chart_items(plot, curves, (), ticks), *_notes(room, words)]


def _station_ticks(plot: Plot, ids: tuple[str, ...], at: Floats) -> list[Item]:
    items: list[Item] = []
    before = -1e9
    for name, place in zip(ids, at, strict=True):
        ((u, _),) = plot.at(np.array([place]), np.array([plot.y.low]))
        items.append(Line("dimension", frozen_array([[u, plot.box.bottom], [u, plot.box.bottom + 2.5]])))
        if u - before > 3.4:
            foot = float(u) - 0.8 if u - plot.box.left > 3.5 else float(u) + 2.8  # beside its tick, inside the frame
            items.append(Text("text", foot, plot.box.bottom + 3.2, name, 2.0, 90.0))
            before = u
    return items


def _plan_items(trial: Trial, room: Room) -> tuple[list[Item], float]:
    """Hull edge, drawn and inflated joint, loop from above, tip edges, and a ring where neighbours stand apart."""
    skirt, points = trial.skirt, trial.shape.points
    plan = skirt.cut.plan
    hull = path_points(plan.hull_edge, 1e-3)
    loop = outermost(trial)
    places = np.vstack([hull, loop])
    low, high = places.min(axis=0), places.max(axis=0)
    width, height = room.width - 10.0, room.height - NOTES - 18.0
    scale = next((s for s in SCALES if 1e3 * (high[0] - low[0]) / s <= width and 1e3 * high[1] / s <= height), 100.0)
    x0 = room.left + (room.width - 1e3 * (high[0] - low[0]) / scale) / 2.0 - 1e3 * low[0] / scale
    y0 = room.bottom + NOTES + 6.0

    def at(line: Floats) -> Floats:
        return frozen_array(np.asarray(line)[:, :2] * (1e3 / scale) + np.array([x0, y0]))

    drawn = points_at(plan.joint_line, np.linspace(0.0, float(plan.joint_line.breaks[-1]), 400))
    items: list[Item] = [
        Line("hull", at(hull)),
        Line("ghost", at(drawn)),
        Line("loop", at(loop)),
        Line("sew", at(points[skirt.marks.joint])),
        Line("axis", frozen_array([[room.left, y0], [room.right, y0]])),
        *(Line("segment", at(points[tip])) for tip in skirt.marks.tips),
    ]
    lines = trial.measures.lines
    for node, opening in zip(lines.node, lines.opening, strict=True):
        if opening > OPEN:
            (place,) = at(_web_corner(trial, int(node))[None])
            items.append(Circle("mark", float(place[0]), float(place[1]), 2.0))
    legend = "Thick: hull edge. Dashes: inflated joint, pale the drawn one. Outside: the loop. Inside: the tip edges."
    widest = float(np.nanmax(lines.opening))
    legend += f" Rings: tips more than {OPEN * 1e3:.0f} mm apart at their nearest (widest {widest * 1e3:.0f} mm)."
    return [*items, *_notes(room, legend)], scale


def _web_corner(trial: Trial, node: int) -> Floats:
    """Return where a web line meets the tips, in space."""
    for span, tip in zip(trial.skirt.chain.segments, trial.skirt.marks.tips, strict=True):
        if node in (span.first, span.last):
            return np.asarray(trial.shape.points[tip[0] if node == span.first else tip[-1]])
    return np.full(3, np.nan)
