"""The hull: body plan, profile and half-breadth plan of the lines that carry the skirt, and the table of offsets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.drawing.dimension import linear_dimension
from skirtloft.drawing.hull_view import HullView, hull_view, ordinates, transverse_section
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.plan_sheet import SCALES
from skirtloft.drawing.sheet import Item, Layer, Line, Sheet, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt
from skirtloft.shape.hull_offsets import hull_offsets

WIDE_TABLE = 76.0  # mm, right of the body plan
LEGEND: tuple[tuple[Layer, str], ...] = (
    ("hull", "hull edge"),
    ("segment", "inner-fixing line"),
    ("fold", "edge of the flat bottom"),
    ("ground", "ground"),
)
OFFSETS = (
    ("station", "station", 0.0),
    ("run", "run", 14.0),
    ("hull_edge_x_mm", "x", 40.0),
    ("hull_edge_y_mm", "y", 55.0),
    ("hull_edge_above_bottom_mm", "up", 70.0),
    ("along_hull_edge_mm", "along", 85.0),
    ("inner_fixing_x_mm", "x", 104.0),
    ("inner_fixing_y_mm", "y", 119.0),
    ("inner_fixing_above_bottom_mm", "up", 134.0),
    ("along_inner_fixing_mm", "along", 149.0),
    ("bottom_edge_x_mm", "x", 168.0),
    ("bottom_edge_y_mm", "y", 183.0),
    ("planing_width_mm", "width", 202.0),
    ("planing_slope_deg", "slope", 217.0),
    ("side_slope_deg", "side", 232.0),
)


@dataclass(frozen=True)
class _Place:
    """From metres (two coordinates) to millimetres on the sheet."""

    scale: float
    x0: float
    y0: float

    def at(self, points: Sequence[float] | Floats | list[list[float]]) -> Floats:
        return frozen_array(np.asarray(points) * (1000.0 / self.scale) + np.array([self.x0, self.y0]))


def hull_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return the lines, the body plan and the table of offsets, each on landscape pages."""
    view = hull_view(skirt.design, skirt.plan, skirt.sections)
    tables = _offset_tables(skirt)
    count = 2 + len(tables)
    return [
        _lines_sheet(skirt, view, stamp, count),
        _body_sheet(skirt, view, stamp, count),
        *(_table_sheet(skirt, items, stamp, 3 + k, count) for k, items in enumerate(tables)),
    ]


def _lines_sheet(skirt: Skirt, view: HullView, stamp: Stamp, count: int) -> Sheet:
    """Profile above, half-breadth plan below, bow to the right, on one scale."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    length, high = float(view.hull_edge[:, 0].max()), float(view.hull_edge[:, 2].max())
    wide = float(view.hull_edge[:, 1].max())
    scale = next(
        (
            s
            for s in SCALES
            if 1000 * length / s <= room.width - 40.0 and 1000 * (high + wide) / s <= room.height - 56.0
        ),
        SCALES[-1],
    )
    x0 = room.left + (room.width - 1000.0 * length / scale) / 2.0
    low = _Place(scale, x0, room.bottom + 22.0)
    top = _Place(scale, x0, room.bottom + 22.0 + 1000.0 * wide / scale + 22.0)
    items = [*_profile(skirt, view, top), *_half_breadth(skirt, view, low), *_legend(room)]
    return page(
        "hull-lines",
        "Hull under the skirt: profile and half-breadth plan",
        items,
        stamp,
        paper=paper,
        landscape=True,
        scale=f"1 : {scale:g}",
        number=f"1 of {count}",
    )


def _drawn_lines(view: HullView) -> list[tuple[Layer, Floats]]:
    return [("hull", view.hull_edge), ("segment", view.inner), ("fold", view.bottom)]


def _profile(skirt: Skirt, view: HullView, place: _Place) -> list[Item]:
    show, clearance = skirt.design.project.show, skirt.hull.clearance
    length = float(view.hull_edge[:, 0].max())
    items: list[Item] = [Line(layer, place.at(points[:, [0, 2]])) for layer, points in _drawn_lines(view)]
    items.append(Line("ground", place.at([[-0.1, 0.0], [length + 0.1, 0.0]])))
    heights = (clearance, float(view.inner[-1, 2]), float(view.hull_edge[-1, 2]))
    for step, height in enumerate(heights):
        words, top = drawn_length(height, show), place.at([0.0, height])
        items += linear_dimension(
            place.at([0.0, 0.0]), top, 7.0 + 7.0 * step, words, along="y", height=2.5, beyond="start"
        ).items
    front = float(view.hull_edge[0, 2])
    items += linear_dimension(
        place.at([length, 0.0]), place.at([length, front]), -8.0, drawn_length(front, show), along="y", height=2.5
    ).items
    x, y = place.at([0.0, max(view.hull_edge[:, 2])])
    items.append(Text("text", float(x), float(y) + 4.0, "Profile; heights above the ground at zero gap", 2.5))
    return items


def _half_breadth(skirt: Skirt, view: HullView, place: _Place) -> list[Item]:
    show, stations = skirt.design.project.show, skirt.plan.stations
    length = float(view.hull_edge[:, 0].max())
    items: list[Item] = [Line(layer, place.at(points[:, :2])) for layer, points in _drawn_lines(view)]
    items.append(Line("axis", place.at([[-0.1, 0.0], [length + 0.1, 0.0]])))
    last = np.array([-1e9, -1e9])
    for i, name in enumerate(stations.ids):
        ends = np.vstack([skirt.hull.hull_edge[i, :2], skirt.hull.bottom_edge[i, :2]])
        items.append(Line("dimension", place.at(ends)))
        spot = place.at(ends[0]) + np.array([5.0, 3.0]) * stations.outward[i] + np.array([0.0, -1.0])
        if i in (0, len(stations.ids) - 1):
            spot = spot + np.array([0.0, 2.6])
        if np.hypot(*(spot - last)) > 8.0:
            items.append(Text("text", float(spot[0]), float(spot[1]), name, 2.2, 0.0, "middle"))
            last = spot
    a, b = place.at([0.0, 0.0]), place.at([length, 0.0])
    items += linear_dimension(a, b, -8.0, drawn_length(length, show), height=2.5).items
    return items


def _legend(room: Room) -> list[Item]:
    items: list[Item] = []
    x, y = room.left, room.bottom + 3.0
    for layer, words in LEGEND:
        items.append(Line(layer, frozen_array([[x, y + 1.0], [x + 18.0, y + 1.0]])))
        items.append(Text("text", x + 20.0, y, words, 2.2))
        x += 24.0 + 1.5 * len(words) + 6.0
    return items


def _body_sheet(skirt: Skirt, view: HullView, stamp: Stamp, count: int) -> Sheet:
    """Transverse sections: those of the fore half on the right of the centre line, of the aft half on the left."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    wide, high = float(view.hull_edge[:, 1].max()), float(view.hull_edge[:, 2].max())
    width = room.width - WIDE_TABLE - 30.0
    scale = next(
        (s for s in SCALES if 2000.0 * wide / s <= width and 1000.0 * high / s <= room.height - 46.0), SCALES[-1]
    )
    place = _Place(scale, room.left + 12.0 + width / 2.0, room.bottom + (room.height - 1000.0 * high / scale) / 2.0)
    half = float(view.hull_edge[:, 0].max()) / 2.0
    items: list[Item] = [
        Line("axis", place.at([[0.0, -0.06], [0.0, high + 0.08]])),
        Line("ground", place.at([[-wide - 0.08, 0.0], [wide + 0.08, 0.0]])),
    ]
    last = {1.0: np.array([-1e9, 0.0]), -1.0: np.array([-1e9, 0.0])}
    for number, x in sorted(enumerate(ordinates(view), start=1), key=lambda pair: abs(pair[1] - half)):
        side = 1.0 if x >= half else -1.0
        points = place.at(transverse_section(view, x, skirt.hull.clearance) * np.array([side, 1.0]))
        items.append(Line("segment", points))
        end = np.array([points[-1, 0], place.at([0.0, high])[1] + 2.0])
        if abs(end[0] - last[side][0]) > 4.0:
            items.append(Text("text", float(end[0]), float(end[1]), f"{number}", 2.2, 0.0, "middle"))
            last[side] = end
    for points in (view.hull_edge, view.inner):
        for side, mine in ((1.0, points[:, 0] >= half), (-1.0, points[:, 0] < half)):
            line = points[mine][:, 1:] * np.array([side, 1.0])
            items.append(Line("hull" if points is view.hull_edge else "fold", place.at(line)))
    items += _body_words(skirt, view, place, half)
    items += _run_table(skirt, room)
    return page(
        "hull-body-plan",
        "Hull under the skirt: body plan",
        items,
        stamp,
        paper=paper,
        landscape=True,
        scale=f"1 : {scale:g}",
        number=f"2 of {count}",
    )


def _body_words(skirt: Skirt, view: HullView, place: _Place, half: float) -> list[Item]:
    show = skirt.design.project.show
    wide, high = float(view.hull_edge[:, 1].max()), float(view.hull_edge[:, 2].max())
    top = float(place.at([0.0, high])[1]) + 8.0
    items: list[Item] = [
        Text("text", float(place.at([wide / 2.0, 0.0])[0]), top, "fore half", 3.5, 0.0, "middle", True),
        Text("text", float(place.at([-wide / 2.0, 0.0])[0]), top, "aft half", 3.5, 0.0, "middle", True),
    ]
    for side, name in ((1.0, "fore"), (-1.0, "aft")):
        numbered = [(k, x) for k, x in enumerate(ordinates(view), start=1) if (x >= half) == (name == "fore")]
        words = ", ".join(f"{k}: {drawn_length(x, show)}" for k, x in numbered)
        base = float(place.at([0.0, 0.0])[1]) - 22.0
        lines = [f"Sections from the stern, {name} half:", *_wrapped(words, 1000.0 * wide / place.scale - 6.0)]
        x0 = float(place.at([wide / 2.0 if side > 0 else -wide / 2.0, 0.0])[0])
        items += [Text("text", x0, base - 4.2 * k, line, 2.3, 0.0, "middle") for k, line in enumerate(lines)]
    left, right = place.at([-wide, 0.0]), place.at([wide, 0.0])
    items += linear_dimension(left, right, -10.0, drawn_length(2.0 * wide, show), height=2.5).items
    clearance = skirt.hull.clearance
    foot, bottom = place.at([-wide, 0.0]), place.at([-wide, clearance])
    items += linear_dimension(foot, bottom, 6.0, drawn_length(clearance, show), along="y", height=2.5).items
    return items


def _wrapped(words: str, longest: float) -> list[str]:
    lines = [""]
    for word in words.split(", "):
        if lines[-1] and text_width(f"{lines[-1]}, {word}", 2.3) > longest:
            lines.append("")
        lines[-1] += f", {word}" if lines[-1] else word
    return lines


def _run_table(skirt: Skirt, room: Room) -> list[Item]:
    """Heights, width and slope of the planing surface at bow, side and stern."""
    hull, show = skirt.hull, skirt.design.project.show
    column = Column(room.right - WIDE_TABLE, room.top, WIDE_TABLE, room.bottom)
    column.heading("The hull at each run", 3.8)
    for run in ("bow", "side", "stern"):
        mine = [i for i, name in enumerate(hull.runs) if name == run]
        if not mine:
            continue
        i = mine[0] if run == "bow" else mine[-1] if run == "stern" else mine[len(mine) // 2]
        column.row((f"{run}, at {hull.ids[i]}",), (0.0,), 2.8, bold=True)
        inside = float(np.linalg.norm(hull.hull_edge[i, :2] - hull.inner[i, :2]))
        for label, value in (
            ("Hull edge above bottom", format_length(float(hull.hull_edge[i, 2]) - hull.clearance, show)),
            ("Inner fixing above bottom", format_length(float(hull.inner[i, 2]) - hull.clearance, show)),
            ("Inner fixing inside edge", format_length(inside, show)),
            ("Planing surface, width", format_length(float(hull.width[i]), show)),
            ("Planing surface, slope", f"{np.degrees(hull.slope[i]):.1f}°"),
            ("From there to the edge", f"{np.degrees(hull.side_slope[i]):.1f}°"),
        ):
            column.row((label, value), (0.0, 43.0), 2.3)
        column.top -= 2.0
    given = skirt.design.hull.bottom is not None
    column.paragraph(
        "The planing surface runs from the edge of the flat bottom up through the inner fixings. "
        + (
            "Its lower edge is as the design gives it."
            if given
            else "The design does not say where the flat ends: it is drawn straight from the hull edge through the "
            "inner fixing."
        ),
        2.3,
    )
    column.paragraph("Dashed: inner-fixing line. Heavy: hull edge. Numbers by station: hull-offsets.csv.", 2.3)
    return column.items


def _offset_tables(skirt: Skirt) -> list[list[Item]]:
    """The table of offsets, broken into pages."""
    room, show = page_room(skirt.design.making.paper, landscape=True), skirt.design.project.show
    words, unit, digits = ("inches", 25.4, 2) if show == "imperial" else ("millimetres", 1.0, 1)
    left = hull_offsets(skirt.hull)
    pages: list[list[Item]] = []
    while left:
        column = Column(room.left, room.top, room.width, room.bottom)
        column.heading(f"Offsets by station, {words} and degrees, port side", 4.0)
        groups = (("hull edge", 40.0), ("inner fixing", 104.0), ("edge of the flat", 168.0), ("planing surface", 202.0))
        column.row([words for words, _ in groups], [at for _, at in groups], 2.4, bold=True)
        column.row([head for _, head, _ in OFFSETS], [at for _, _, at in OFFSETS], 2.4, bold=True)
        column.top -= 1.0
        while left and column.top - 5.0 > column.bottom + 18.0:
            row = left.pop(0)
            cells = [
                cell
                if isinstance(cell := row[key], str)
                else f"{cell / unit:.{digits}f}"
                if key.endswith("_mm")
                else f"{cell:.1f}"
                for key, _, _ in OFFSETS
            ]
            column.row(cells, [at for _, _, at in OFFSETS], 2.4)
        column.top -= 1.5
        column.paragraph(
            "x forward from the stern, y to port (starboard mirrored), up: above the flat of the bottom, which lies "
            f"{format_length(skirt.hull.clearance, show)} above the ground at zero gap. Along: with a tape along the"
            " line itself, from the bow centre. Width and slope: from the edge of the flat to the inner fixing, in the "
            "section; side: slope on from there to the hull edge.",
            2.4,
        )
        pages.append(column.items)
    return pages


def _table_sheet(skirt: Skirt, items: list[Item], stamp: Stamp, number: int, count: int) -> Sheet:
    return page(
        f"hull-offsets-{number - 2}",
        "Hull under the skirt: offsets",
        items,
        stamp,
        paper=skirt.design.making.paper,
        landscape=True,
        scale="-",
        number=f"{number} of {count}",
    )
