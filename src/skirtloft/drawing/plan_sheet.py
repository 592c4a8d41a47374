"""The plan: hull edge, joint line, tip lines and stations seen from above, with the lengths a builder checks first."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.drawing.dimension import arrow, linear_dimension
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Sheet, Text
from skirtloft.maths.curves import outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.section_room import loop_outermost_point
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pipeline import Skirt
from skirtloft.shape.segment_field import inboard_at, line_points, tip_insets

ToSheet = Callable[[Floats], Floats]
SCALES = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0)
PAD = (30.0, 62.0, 14.0, 6.0)  # mm kept free: left, below, right, above


def plan_sheet(skirt: Skirt, stamp: Stamp) -> Sheet:
    """Return the plan of the whole craft on a landscape page, bow to the right, port up."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    scale, x0, y0 = _fit(skirt, room)

    def at(points: Floats) -> Floats:
        return frozen_array(np.asarray(points) * (1000.0 / scale) + np.array([x0, y0]))

    items = [*_lines(skirt, at), *_stations(skirt, at), *_centres(skirt, at), *_overall(skirt, at)]
    items += [*_legend(room), *_tables(skirt, room)]
    return page("plan", "Plan", items, stamp, paper=paper, landscape=True, scale=f"1 : {scale:g}", number="1 of 1")


def plan_frame(skirt: Skirt) -> tuple[float, float, float]:
    """Return (scale, x0, y0): millimetres on the sheet are ``1000 / scale * metres + (x0, y0)``."""
    return _fit(skirt, page_room(skirt.design.making.paper, landscape=True))


def _places(skirt: Skirt) -> Floats:
    line = skirt.plan.joint_line
    at = np.linspace(0.0, float(line.breaks[-1]), 600)
    return np.unique(np.concatenate([at, line.breaks]))


def _joint_points(skirt: Skirt) -> Floats:
    return points_at(skirt.plan.joint_line, _places(skirt))


def _fit(skirt: Skirt, room: Room) -> tuple[float, float, float]:
    joint, hull = _joint_points(skirt), path_points(skirt.plan.hull_edge, 1e-3)
    points = np.vstack([joint, hull])
    low, high = points.min(axis=0), points.max(axis=0)
    left, below, right, above = PAD
    width, height = room.width - left - right, room.height - below - above
    need = 1000.0 * np.array([high[0] - low[0], 2.0 * high[1]])
    scale = next((s for s in SCALES if need[0] / s <= width and need[1] / s <= height), SCALES[-1])
    x0 = room.left + left + (width - need[0] / scale) / 2.0 - 1000.0 * float(low[0]) / scale
    return scale, x0, room.bottom + below + height / 2.0


def _inflated(skirt: Skirt) -> Floats:
    """Outline of the inflated loop, port half."""
    reach = np.interp(
        np.linspace(0.0, float(skirt.plan.joint_line.breaks[-1]), 600),
        skirt.plan.stations.at,
        loop_outermost_point(skirt.sections) - skirt.sections.offset,
    )
    at = np.linspace(0.0, float(skirt.plan.joint_line.breaks[-1]), 600)
    line = skirt.plan.joint_line
    return np.asarray(points_at(line, at) + reach[:, None] * outward_at(line, at))


def _mirrored(points: Floats) -> Floats:
    """Close a port half with its mirror image."""
    return np.vstack([points, (points * np.array([1.0, -1.0]))[::-1]])


def _lines(skirt: Skirt, at: ToSheet) -> list[Item]:
    plan = skirt.plan
    at_line, field = _places(skirt), plan.segments
    drawn: list[tuple[Layer, Floats]] = [
        ("hull", path_points(plan.hull_edge, 1e-4)),
        ("segment", _joint_points(skirt)),
        ("cut", line_points(plan, tip_insets(field, plan.pitch, at_line), at_line)),
        ("dimension", _inflated(skirt)),
        ("finished", line_points(plan, inboard_at(field, at_line), at_line)),
    ]
    styles: dict[Layer, Layer] = {"cut": "sew"}
    items: list[Item] = [
        Line(styles.get(layer, layer), frozen_array(at(_mirrored(points))), True) for layer, points in drawn
    ]
    ends = np.vstack([_joint_points(skirt)[[0, -1]]])
    items.append(Line("axis", frozen_array(at(np.array([[ends[1, 0] - 0.1, 0.0], [ends[0, 0] + 0.1, 0.0]])))))
    return items


def _stations(skirt: Skirt, at: ToSheet) -> list[Item]:
    """A tick from outside hull edge and joint to the inner fixing at every station, numbered where there is room."""
    stations = skirt.plan.stations
    items: list[Item] = []
    placed: list[Floats] = []
    axis = float(at(np.zeros(2))[1])
    for i, name in enumerate(stations.ids):
        beyond = 0.03 + max(0.0, -float(stations.offset[i]))
        outer = at(stations.joint[i] + beyond * stations.outward[i])
        inner = at(stations.joint[i] - stations.inboard[i] * stations.outward[i])
        for flip in (1.0, -1.0):
            pair = np.vstack([outer, inner])
            pair = np.column_stack([pair[:, 0], axis + flip * (pair[:, 1] - axis)])
            items.append(Line("dimension", frozen_array(pair)))
        if i in (0, len(stations.ids) - 1):  # beside the centre line, not on it
            outer = outer + np.array([0.0, -3.4])
        for row in range(2):
            spot = outer + (np.array([4.6, 2.6]) + 4.0 * row) * stations.outward[i]
            if all(np.hypot(*(spot - other)) > 6.2 for other in placed[-4:]):
                items.append(Text("text", float(spot[0]), float(spot[1] - 1.0), name, 2.2, 0.0, "middle"))
                placed.append(spot)
                break
    return items


def _centres(skirt: Skirt, at: ToSheet) -> list[Item]:
    """A cross at the centre of gravity of each load; the words are in the table."""
    items: list[Item] = []
    for load in skirt.design.craft.load:
        x, y = at(np.array([load.x, load.y]))
        items.append(Circle("mark", float(x), float(y), 1.5))
        items.append(Line("mark", frozen_array([[x - 2.5, y], [x + 2.5, y]])))
        items.append(Line("mark", frozen_array([[x, y - 2.5], [x, y + 2.5]])))
    return items


def _tables(skirt: Skirt, room: Room) -> list[Item]:
    """Runs with their segments, fitted pitch and pieces; centres of gravity."""
    show, clearance = skirt.design.project.show, skirt.design.hull.clearance
    size, top = 2.2, room.bottom + 38.0
    runs = Column(room.left, top, 0.66 * room.width, room.bottom)
    offsets = (0.0, 24.0, 50.0, 70.0, 88.0, 112.0, 122.0, 136.0)
    heads = ("run", "segments", "pitch", "radius", "loop panels", "face", "strip", "numbered")
    runs.row(heads, offsets, size, bold=True)
    strips = [piece for piece in skirt.pieces if piece.kind == "joint_strip"]
    sewn = sewn_runs(skirt.plan, skirt.development.panels, skirt.design.making.hole_pitch)
    for run, strip in zip(sewn, strips, strict=True):
        radius = drawn_length(run.radius, show) if math.isfinite(run.radius) else "straight"
        last = run.first_segment + ((run.segments + 1) // 2 if run.crosses else run.segments) - 1
        cells = (
            run.name.replace("_", " "),
            f"{run.segments} across" if run.crosses else f"{run.segments} a side",
            drawn_length(run.pitch, show),
            radius,
            run.panels[0] if len(run.panels) == 1 else f"{run.panels[0]} to {run.panels[-1]}",
            strip.edges[0].joins,
            strip.base,
            f"{run.first_segment} to {last}" if last > run.first_segment else f"{last}",
        )
        runs.row(cells, offsets, size)
    loads = Column(room.left + 0.66 * room.width, top, 0.34 * room.width, room.bottom)
    loads.row(("Centres of gravity (crosses)",), (0.0,), size, bold=True)
    for load in skirt.design.craft.load:
        place = f"x {drawn_length(load.x, show)}, {drawn_length(load.z + clearance, show)} above ground"
        loads.row((f"{load.name}: {place}",), (0.0,), size)
    loads.paragraph("Starboard stations are S00, S01 ..., opposite P00, P01 ...", size)
    return [*runs.items, *loads.items]


def _overall(skirt: Skirt, at: ToSheet) -> list[Item]:
    """Hull and joint length below, hull and joint width at the left."""
    show = skirt.design.project.show
    hull, joint = path_points(skirt.plan.hull_edge, 1e-4), _joint_points(skirt)
    items: list[Item] = []
    bottom = -float(max(hull[:, 1].max(), joint[:, 1].max()))
    left = float(min(hull[:, 0].min(), joint[:, 0].min()))
    for step, points in enumerate((hull, joint)):
        low, high = float(points[:, 0].min()), float(points[:, 0].max())
        width = float(points[:, 1].max())
        a, b = at(np.array([low, bottom])), at(np.array([high, bottom]))
        items += linear_dimension(a, b, -(10.0 + 7.0 * step), drawn_length(high - low, show)).items
        c, d = at(np.array([left, -width])), at(np.array([left, width]))
        items += linear_dimension(c, d, 14.0 + 7.0 * step, drawn_length(2 * width, show)).items
    nose = at(np.array([float(joint[0, 0]), 0.0])) + np.array([3.0, 0.0])
    items += arrow(nose, nose + np.array([8.0, 0.0]), "mark")
    items.append(Text("text", float(nose[0] + 1.0), float(nose[1] + 2.0), "bow", 2.5))
    return items


def _legend(room: Room) -> list[Item]:
    rows: list[tuple[Layer, str]] = [
        ("hull", "hull edge"),
        ("segment", "joint line"),
        ("sew", "mean tip line (cushion area is inside it)"),
        ("dimension", "inflated"),
        ("finished", "inner fixings"),
    ]
    items: list[Item] = []
    x, y = room.left, room.bottom + 40.0
    for layer, words in rows:
        items.append(Line(layer, frozen_array([[x, y + 1.0], [x + 12.0, y + 1.0]])))
        items.append(Text("text", x + 14.0, y, words, 2.2))
        x += 18.0 + 1.45 * len(words) + 4.0
    return items
