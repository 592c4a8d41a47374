"""The section drawing: one station in its plane, dimensioned so that it can be set out with ruler and compass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.units import format_length, format_pressure
from skirtloft.drawing.dimension import angle_dimension, linear_dimension, radius_dimension
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.face import face_half_width
from skirtloft.pipeline import Skirt

SCALES = (1.0, 2.0, 2.5, 5.0, 10.0, 20.0)
TABLE_WIDTH = 72.0  # mm, right of the drawing
PAD = (26.0, 24.0, 6.0, 8.0)  # mm kept free for dimensions: left, below, right, above
STUB = 0.06  # m of flat bottom and of ground drawn beyond the inner fixing


@dataclass(frozen=True, eq=False)
class View:
    """From metres in the section to millimetres on the sheet."""

    scale: float
    x0: float
    y0: float

    def at(self, points: Sequence[float] | Floats | list[list[float]]) -> Floats:
        """Map (…, 2) [m] to sheet mm."""
        return frozen_array(np.asarray(points) * (1000.0 / self.scale) + np.array([self.x0, self.y0]))


def section_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return one page for the bow, each corner's middle, the side and the stern."""
    chosen = chosen_stations(skirt)
    return [section_sheet(skirt, i, stamp, f"{number} of {len(chosen)}") for number, i in enumerate(chosen, start=1)]


def chosen_stations(skirt: Skirt) -> list[int]:
    """Return the stations that get a drawing: for each run in turn the one nearest its middle."""
    stations = skirt.plan.stations
    order = dict.fromkeys(stations.runs)
    chosen = []
    for run in order:
        mine = [i for i, name in enumerate(stations.runs) if name == run]
        middle = (stations.at[mine[0]] + stations.at[mine[-1]]) / 2.0
        if run == "bow":
            middle = stations.at[mine[0]]
        if run == "stern":
            middle = stations.at[mine[-1]]
        chosen.append(min(mine, key=lambda i: abs(float(stations.at[i]) - middle)))
    return chosen


def section_sheet(skirt: Skirt, i: int, stamp: Stamp, number: str) -> Sheet:
    """Return the section at station index `i` on a landscape page."""
    stations = skirt.plan.stations
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    view = _fit(skirt, i, room)
    items = [
        *_outline(skirt, i, view),
        *_heights(skirt, i, view),
        *_widths(skirt, i, view),
        *_loop_setting_out(skirt, i, view),
        *_table(skirt, i, room),
    ]
    run = stations.runs[i].replace("_", " ")
    title = f"Section {stations.ids[i]}, {run}"
    scale = f"1 : {view.scale:g}"
    return page(
        f"section-{stations.ids[i]}", title, items, stamp, paper=paper, landscape=True, scale=scale, number=number
    )


def section_view(skirt: Skirt, i: int) -> View:
    """Return how metres of the section at station `i` lie on its sheet."""
    return _fit(skirt, i, page_room(skirt.design.making.paper, landscape=True))


def _key_points(skirt: Skirt, i: int) -> dict[str, Floats]:
    """E, J, G, I, C in section coordinates [m], x outboard from E."""
    sections = skirt.sections
    depth, offset = float(sections.depth[i]), float(sections.offset[i])
    return {
        "E": np.array([0.0, depth + float(sections.rise[i])]),
        "J": np.array([offset, depth]),
        "G": np.array([offset - float(sections.tip_inboard[i]), 0.0]),
        "I": np.array([offset - float(sections.inboard[i]), depth - float(sections.drop[i])]),
        "C": np.array([offset - float(sections.centre_inset[i]), float(sections.centre_z[i])]),
    }


def _loop(skirt: Skirt, i: int) -> Floats:
    sections = skirt.sections
    angle = np.linspace(float(sections.start_angle[i]), float(sections.end_angle[i]), 121)
    centre, radius = _key_points(skirt, i)["C"], float(sections.radius[i])
    return np.asarray(centre + radius * np.column_stack([np.cos(angle), np.sin(angle)]))


def _fit(skirt: Skirt, i: int, room: Room) -> View:
    """Choose the largest standard scale at which section and dimensions fit, and centre it."""
    key = _key_points(skirt, i)
    points = np.vstack([_loop(skirt, i), *key.values(), key["I"] - np.array([STUB, 0.0])])
    low, high = np.minimum(points.min(axis=0), 0.0), points.max(axis=0)
    left, below, right, above = PAD
    width, height = room.width - TABLE_WIDTH - left - right, room.height - below - above
    need = 1000.0 * (high - points.min(axis=0) * np.array([1.0, 0.0]))
    scale = next((s for s in SCALES if need[0] / s <= width and need[1] / s <= height), SCALES[-1])
    x0 = room.left + left - 1000.0 * float(points[:, 0].min()) / scale + (width - need[0] / scale) / 2.0
    return View(scale, x0, room.bottom + below + (height - need[1] / scale) / 2.0 - 1000.0 * float(low[1]) / scale)


def _outline(skirt: Skirt, i: int, view: View) -> list[Item]:
    points = _key_points(skirt, i)
    clearance = skirt.design.hull.clearance
    e, j, g, inner = (view.at(points[name]) for name in "EJGI")
    bottom = view.at([points["I"][0] - STUB, clearance])
    chine = view.at([points["I"][0] - STUB / 3.0, clearance])
    ground = view.at([[points["I"][0] - STUB, 0.0], [max(points["J"][0], 0.0) + STUB, 0.0]])
    items: list[Item] = [
        Line("hull", frozen_array([bottom, chine, inner, e])),
        Line("loop", frozen_array(view.at(_loop(skirt, i)))),
        Line("segment", frozen_array([j, g, inner]), False),
        Line("segment", frozen_array([inner, j]), False),
        Line("ground", frozen_array(ground)),
    ]
    items += _face_bulge(skirt, i, view)
    for name, (dx, dy) in {"E": (-5.0, 2.0), "J": (2.5, -3.5), "G": (-7.0, 1.5), "I": (-5.5, -1.0)}.items():
        x, y = view.at(points[name])
        items += [Circle("mark", x, y, 0.8), Text("text", x + dx, y + dy, name, 3.5, 0.0, "start", True)]
    x, y = view.at(points["C"])
    items += [
        Line("axis", frozen_array([[x - 4, y], [x + 4, y]])),
        Line("axis", frozen_array([[x, y - 4], [x, y + 4]])),
        Text("text", x + 1.2, y - 5.0, "C", 3.5, 0.0, "start", True),
    ]
    return items


def _face_bulge(skirt: Skirt, i: int, view: View) -> list[Item]:
    """Crown of the face at mid pitch: from flat at the joint to half round at the tip, cut level."""
    pitch, face = float(skirt.sections.pitch[i]), float(skirt.sections.face_angle[i])
    points = _key_points(skirt, i)
    share = np.linspace(0.0, 1.0, 61)
    half = face_half_width(share, pitch, pitch, math.pi / 4.0 * pitch)
    turn = half_angle_of(pitch / (2.0 * half))
    bulge = half * (1.0 - np.cos(turn)) / np.maximum(turn, 1e-9)
    normal = np.array([math.sin(face), -math.cos(face)])
    line = points["J"] + share[:, None] * (points["G"] - points["J"]) + bulge[:, None] * normal
    return [Line("ghost", frozen_array(view.at(line[line[:, 1] >= -1e-9])))]


def _heights(skirt: Skirt, i: int, view: View) -> list[Item]:
    """Heights above the ground in steps to the left: clearance, inner fixing if below the joint, depth, hull edge."""
    show = skirt.design.project.show
    points = _key_points(skirt, i)
    left = float(view.at([points["I"][0] - STUB, 0.0])[0])
    ground = [left, float(view.at([0.0, 0.0])[1])]
    items: list[Item] = []
    heights = [skirt.design.hull.clearance, float(points["J"][1]), float(points["E"][1])]
    if float(skirt.sections.drop[i]) > 1e-4:
        heights.append(float(points["I"][1]))
    for step, height in enumerate(sorted(heights)):
        top = [left, float(view.at([0.0, height])[1])]
        line = linear_dimension(ground, top, 5.0 + 7.5 * step, drawn_length(height, show), along="y")
        items += line.items
    e = view.at(points["E"])
    items.append(Line("dimension", frozen_array([[left, e[1]], [e[0] - 2.0, e[1]]])))
    return items


def _widths(skirt: Skirt, i: int, view: View) -> list[Item]:
    """Widths in steps below the ground: inner fixing to tip to joint; joint to hull edge; tip to hull edge."""
    show, sections = skirt.design.project.show, skirt.sections
    points = _key_points(skirt, i)
    to_tip = float(sections.tip_inboard[i])
    base = float(view.at([0.0, 0.0])[1]) - 4.0

    def below(name: str) -> list[float]:
        return [float(view.at(points[name])[0]), base]

    items: list[Item] = []
    for a, b, offset, length in (
        ("I", "G", -5.0, float(sections.inboard[i]) - to_tip),
        ("G", "J", -5.0, to_tip),
        ("E", "J", -12.5, abs(float(points["J"][0]))),
    ):
        if length < 1e-4:
            continue
        first, last = sorted((below(a), below(b)))
        items += linear_dimension(first, last, offset, drawn_length(length, show), along="x").items
    e, j = view.at(points["E"]), view.at(points["J"])
    for x, top in ((e[0], e[1]), (j[0], j[1])):
        items.append(Line("dimension", frozen_array([[x, top - 2.0], [x, base]])))
    return items


def _loop_setting_out(skirt: Skirt, i: int, view: View) -> list[Item]:
    """Radius and centre of the loop, face angle."""
    show, sections = skirt.design.project.show, skirt.sections
    points = _key_points(skirt, i)
    centre, radius = view.at(points["C"]), float(sections.radius[i]) * 1000.0 / view.scale
    middle = math.degrees(float(sections.start_angle[i] + sections.end_angle[i]) / 2.0)
    words = f"R {drawn_length(float(sections.radius[i]), show)}"
    items = [*radius_dimension(centre, radius, middle, words, height=2.5).items]
    face = math.degrees(float(sections.face_angle[i]))
    items += angle_dimension(view.at(points["G"]), 16.0, 0.0, face, f"{round(face, 1):g}°").items
    return items


def _table(skirt: Skirt, i: int, room: Room) -> list[Item]:
    sections, show = skirt.sections, skirt.design.project.show
    points = _key_points(skirt, i)
    column = Column(room.right - TABLE_WIDTH, room.top, TABLE_WIDTH, room.bottom)

    def put(rows: list[tuple[str, str]]) -> None:
        for label, value in rows:
            if show == "both" and "(" in value:
                column.row((label,), (0.0,), 2.6)
                label = ""
            column.row((label, value), (0.0, 12.0 if label == "" else 44.0), 2.6)

    column.heading("To set it out", 3.8)
    put(
        [
            ("Loop length E to J, to cut", format_length(sections.length[i], show)),
            ("  by the quarter rule", format_length(sections.quarter_rule_length[i], show)),
            ("Radius of the loop", format_length(sections.radius[i], show)),
            ("Angle it subtends", f"{math.degrees(float(sections.angle[i])):.1f}°"),
            ("Chord E to J", format_length(float(np.linalg.norm(points["E"] - points["J"])), show)),
            ("Centre C inboard of J", format_length(sections.centre_inset[i], show)),
            ("Centre C above ground", format_length(sections.centre_z[i], show)),
            (
                "Joint J outboard of E" if sections.offset[i] >= 0 else "Joint J inboard of E",
                format_length(abs(float(sections.offset[i])), show),
            ),
        ]
    )
    column.heading("Forces, design case", 3.8)
    put(
        [
            ("Cushion pressure", format_pressure(sections.pressure, show)),
            ("Pull in the loop", f"{float(sections.tension[i]):.0f} N/m"),
            ("Stiffness against turning", f"{float(sections.stiffness[i]):.1f} N m/rad/m"),
        ]
    )
    column.heading("Read it so", 3.8)
    column.paragraph(
        "E hull edge, J joint, G tip at the web, I inner fixing, C centre of the loop. Heavy line: hull, drawn "
        "straight from E to I (your planing surface must pass through I). Grey dashes: crown of the face at mid pitch.",
        2.5,
    )
    column.paragraph(
        "The loop is cut for the bulge of the faces and the weight of the cloth; the quarter rule knows neither. "
        "Cut to the first figure.",
        2.5,
    )
    return column.items
