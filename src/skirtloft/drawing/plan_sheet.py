"""The plan: hull edge, joint line, tip lines and stations seen from above, with the lengths a builder checks first."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from skirtloft.drawing.dimension import arrow, linear_dimension
from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.overlap import item_shape
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.sheet import Circle, Item, Layer, Line, Sheet, Text
from skirtloft.maths.curves import outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.section_room import loop_outermost_point
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pipeline import Skirt
from skirtloft.shape.segment_field import inboard_at, line_points, tip_insets

ToSheet = Callable[[Floats], Floats]
SCALES = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0, 100.0)
PAD = (32.0, 60.0, 18.0, 9.0)  # mm kept free: left, below, right, above
SIZE = 2.8  # mm, letters of the dimensions
TICK = 0.4  # mm of a station's tick beyond the inflated loop
ROWS, ROW = 9, 3.6  # rows for the numbers of the stations, and mm between them
STATIONS = ("no.", "run", "along joint", "joint x", "y", "height", "hull edge x", "y", "height", "tip x", "y")
COLUMNS = (0.0, 10.0, 29.0, 54.0, 81.0, 107.0, 129.0, 156.0, 182.0, 204.0, 231.0)
TABLE_ROWS = 34
PLAN_LEGEND: tuple[tuple[Layer, str], ...] = (
    ("hull", "hull edge"),
    ("segment", "joint line"),
    ("sew", "mean tip line (cushion area is inside it)"),
    ("dimension", "inflated"),
    ("finished", "inner fixings"),
)


def plan_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return the plan and the table of its stations."""
    tables = _station_tables(skirt)
    number = f"of {1 + len(tables)}"
    return [
        plan_sheet(skirt, stamp, f"1 {number}"),
        *(_table_page(skirt, items, stamp, f"{2 + k} {number}", k) for k, items in enumerate(tables)),
    ]


def plan_sheet(skirt: Skirt, stamp: Stamp, number: str = "1 of 1") -> Sheet:
    """Return the plan of the whole craft on a landscape page, bow to the right, port up."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    scale, x0, y0 = _fit(skirt, room)

    def at(points: Floats) -> Floats:
        return frozen_array(np.asarray(points) * (1000.0 / scale) + np.array([x0, y0]))

    items = [*_lines(skirt, at), *_centres(skirt, at), *_overall(skirt, at)]
    items += [*_legend(room), *_tables(skirt, room)]
    items += _stations(skirt, at, items)
    return page("plan", "Plan", items, stamp, paper=paper, landscape=True, scale=f"1 : {scale:g}", number=number)


def plan_frame(skirt: Skirt) -> tuple[float, float, float]:
    """Return (scale, x0, y0): millimetres on the sheet are ``1000 / scale * metres + (x0, y0)``."""
    return _fit(skirt, page_room(skirt.design.making.paper, landscape=True))


def plan_outline(skirt: Skirt) -> list[Item]:
    """Return hull edge, joint, tip and inner-fixing lines, the inflated loop and the stations, where the plan has them.

    `plan_frame` says where that is.
    """
    scale, x0, y0 = plan_frame(skirt)

    def at(points: Floats) -> Floats:
        return frozen_array(np.asarray(points) * (1000.0 / scale) + np.array([x0, y0]))

    items = _lines(skirt, at)
    return [*items, *_stations(skirt, at, items)]


def strip_beside_joint(skirt: Skirt, i: int) -> Floats:
    """Return the loop between station `i` and the next as seen from above, hull edge to its widest, (k, 2) [m]."""
    stations, places = skirt.plan.stations, _places(skirt)
    low, high = float(stations.at[i]), float(stations.at[i + 1])
    at = np.concatenate([[low], places[(places > low) & (places < high)], [high]])
    joint, out = points_at(skirt.plan.joint_line, at), outward_at(skirt.plan.joint_line, at)
    outer = np.interp(at, stations.at, np.maximum(_reach(skirt), -stations.offset))
    inner = np.interp(at, stations.at, np.minimum(-stations.offset, 0.0))
    return frozen_array(np.vstack([joint + outer[:, None] * out, (joint + inner[:, None] * out)[::-1]]))


def _places(skirt: Skirt) -> Floats:
    line = skirt.plan.joint_line
    at = np.linspace(0.0, float(line.breaks[-1]), 600)
    return np.unique(np.concatenate([at, line.breaks]))


def _beside_joint(skirt: Skirt, outboard: Floats | float) -> Floats:
    """Return the line `outboard` [m] of the joint line, port half; a number, or one for every station."""
    line, at = skirt.plan.joint_line, _places(skirt)
    reach = np.interp(at, skirt.plan.stations.at, np.broadcast_to(outboard, len(skirt.plan.stations.ids)))
    return np.asarray(points_at(line, at) + reach[:, None] * outward_at(line, at))


def _joint_points(skirt: Skirt) -> Floats:
    return _beside_joint(skirt, 0.0)


def _reach(skirt: Skirt) -> Floats:
    """Return how far outboard of the joint the inflated loop reaches at every station, (n,) [m]."""
    reach: Floats = loop_outermost_point(skirt.sections) - skirt.sections.offset
    return reach


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
    return _beside_joint(skirt, _reach(skirt))


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
    ends = _inflated(skirt)[[0, -1], 0]
    items.append(Line("axis", frozen_array(at(np.array([[ends[1] - 0.1, 0.0], [ends[0], 0.0]])))))
    return items


def _stations(skirt: Skirt, at: ToSheet, drawn: list[Item]) -> list[Item]:
    """A tick from the inner fixing out past hull edge and inflated loop at every station, numbered beyond its end.

    A number that would meet another or a line stands in one of the rows further out, at the end of a longer tick.
    """
    import shapely

    stations = skirt.plan.stations
    beyond = np.maximum(0.0, np.maximum(_reach(skirt), -stations.offset))
    edges = at(stations.joint + beyond[:, None] * stations.outward)
    inner = at(stations.joint - stations.inboard[:, None] * stations.outward)
    taken = [item_shape(item) for item in drawn]
    axis = float(at(np.zeros(2))[1])
    items: list[Item] = []
    for i, name in enumerate(stations.ids):
        outward = stations.outward[i]
        aside = np.array([0.0, -3.2]) if i in (0, len(stations.ids) - 1) else np.zeros(2)  # off the centre line
        for row in range(ROWS):
            spot = edges[i] + (np.array([5.2, 3.4]) + ROW * row) * outward + aside
            words = Text("text", float(spot[0]), float(spot[1] - 1.1), name, 2.2, 0.0, "middle")
            box = shapely.Polygon(text_box(words)).buffer(0.3)
            if not any(box.intersects(shape) for shape in taken):
                break
        tick = np.vstack([edges[i] + (TICK + ROW * row) * outward, inner[i]])
        other = np.vstack([edges[i] + TICK * outward, inner[i]]) * np.array([1.0, -1.0]) + np.array([0.0, 2.0 * axis])
        taken += [box, shapely.LineString(np.vstack([tick[0], edges[i]]))]
        items += [Line("dimension", frozen_array(tick)), Line("dimension", frozen_array(other)), words]
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
    runs = Column(room.left, top, 0.6 * room.width, room.bottom)
    offsets = (0.0, 21.0, 42.0, 60.0, 84.0, 106.0, 116.0, 125.0)
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
    loads = Column(room.left + 0.6 * room.width, top, 0.4 * room.width, room.bottom)
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
        items += linear_dimension(a, b, -(9.0 + 6.0 * step), drawn_length(high - low, show), height=SIZE).items
        c, d = at(np.array([left, -width])), at(np.array([left, width]))
        items += linear_dimension(c, d, 14.0 + 7.0 * step, drawn_length(2 * width, show), height=SIZE).items
    nose = at(np.array([max(float(hull[0, 0]), float(_inflated(skirt)[0, 0])), 0.0])) + np.array([2.0, 0.0])
    items += arrow(nose, nose + np.array([8.0, 0.0]), "mark")
    items.append(Text("text", float(nose[0] + 9.0), float(nose[1] - 1.2), "bow", 2.5))
    return items


def _legend(room: Room) -> list[Item]:
    items: list[Item] = []
    x, y = room.left, room.bottom + 40.0
    for layer, words in PLAN_LEGEND:
        items.append(Line(layer, frozen_array([[x, y + 1.0], [x + 12.0, y + 1.0]])))
        items.append(Text("text", x + 14.0, y, words, 2.2))
        x += 18.0 + 1.45 * len(words) + 4.0
    return items


def _station_tables(skirt: Skirt) -> list[list[Item]]:
    """The places of the stations, port half, as many to a page as fit."""
    show, stations, hull = skirt.design.project.show, skirt.plan.stations, skirt.hull
    room, tip = page_room(skirt.design.making.paper, landscape=True), hull.tip
    size = 1.9 if show == "imperial" else 2.2
    rows = []
    for i, name in enumerate(stations.ids):
        lengths = (stations.at[i], *stations.joint[i], stations.depth[i], *stations.hull[i], stations.hull_z[i])
        shown = [drawn_length(float(value), show) for value in (*lengths, tip[i, 0], tip[i, 1])]
        rows.append((name, stations.runs[i].replace("_", " "), *shown))
    pages = []
    for start in range(0, len(rows), TABLE_ROWS):
        column = Column(room.left, room.top, room.width, room.bottom)
        scale = min(1.0, room.width / 258.0)
        places = tuple(scale * place for place in COLUMNS)
        column.row(STATIONS, places, size, bold=True)
        for row in rows[start : start + TABLE_ROWS]:
            column.row(row, places, size)
        column.top -= 2.0
        column.paragraph(
            "Port half; starboard is its mirror image. x forward from the stern end of the hull edge, y from the centre"
            " line, heights above the ground at zero gap. Along the joint from the bow centre. The tip is the lower"
            " corner of a web.",
            2.3,
        )
        pages.append(column.items)
    return pages


def _table_page(skirt: Skirt, items: list[Item], stamp: Stamp, number: str, k: int) -> Sheet:
    paper = skirt.design.making.paper
    name = "plan-stations" if k == 0 else f"plan-stations-{k + 1}"
    return page(name, "Stations", items, stamp, paper=paper, landscape=True, scale="none", number=number)
