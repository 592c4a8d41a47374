"""What a section carries: forces to scale, the force line between its fixings, and where the loop goes straight."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.design.model import Show
from skirtloft.design.units import (
    LINE_LOAD,
    format_length,
    format_line_load,
    format_line_moment,
    format_pressure,
)
from skirtloft.drawing.chart import round_step
from skirtloft.drawing.chart_labels import Wanted, placed_labels
from skirtloft.drawing.dimension import arrow
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.section_view import (
    STUB,
    View,
    cross,
    fitted_view,
    ghost_lines,
    key_points,
    legend,
    loop_line,
    named_points,
    outline,
    section_legend,
    station_words,
    taut_ghost,
)
from skirtloft.drawing.sheet import Item, Layer, Line, Sheet, Text
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt

TABLE_WIDTH = 80.0  # mm, right of the drawing
LONGEST = 38.0  # mm of the longest arrow
PAD = 8.0  # mm kept free round the drawing
LEGEND: tuple[tuple[Layer, str], ...] = (
    ("mark", "forces, from where they act"),
    ("fold", "line of the air's force"),
    ("ghost", "taut limit, tip down"),
    ("finished", "crown of the face"),
)
FOOT = 13.0  # mm kept free below it for the scale bar


def forces_sheet(skirt: Skirt, i: int, stamp: Stamp, number: str) -> Sheet:
    """Return forces, force line and taut limit of the section at station index `i` on a landscape page."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    points, forces = key_points(skirt, i), _forces(skirt, i)
    step, ghost = _newtons_per_mm(skirt, forces), taut_ghost(skirt, i)
    drawing, view = forces_place(skirt, i)
    items = [*outline(skirt, i, view), *cross(view.at(points["C"]))]
    if np.isfinite(ghost).all():
        items += ghost_lines(ghost, view)
    items += _force_line(skirt, i, view)
    wanted: list[Wanted] = []
    for words, start, force, layer in forces:
        at = view.at(start)
        end = at + force / step
        items += arrow(at, end, layer, 3.0)
        wanted.append(Wanted(words, frozen_array(np.linspace(end, at, 5)[:3][::-1]), 0.0))
    items += named_points(skirt, i, view, "EJGIC", items, drawing)
    items += placed_labels(wanted, items, drawing)
    items += _scale_bar(skirt, step, room)
    items += [*_table(skirt, i, room), *legend(force_lines(skirt, i), room.left, room.bottom - 6.0)]
    return page(
        f"section-{skirt.plan.stations.ids[i]}-forces",
        f"Section {station_words(skirt, i)}: forces and taut limit, design case",
        items,
        stamp,
        paper=paper,
        landscape=True,
        scale=f"1 : {view.scale:g}",
        number=number,
    )


def force_lines(skirt: Skirt, i: int) -> tuple[tuple[Layer, str], ...]:
    """Return what the lines of `forces_sheet` mean."""
    return section_legend(skirt, i, LEGEND)


def forces_place(skirt: Skirt, i: int) -> tuple[Room, View]:
    """Return the part of the page that is drawing, and how metres of the section at station `i` lie on it."""
    room = page_room(skirt.design.making.paper, landscape=True)
    drawing = Room(room.left, room.bottom + FOOT, room.right - TABLE_WIDTH - 2.0, room.top)
    inside = Room(drawing.left + PAD, drawing.bottom + PAD, drawing.right - 2.0 * PAD, drawing.top - PAD)
    points, forces = key_points(skirt, i), _forces(skirt, i)
    step, ghost = _newtons_per_mm(skirt, forces), taut_ghost(skirt, i)
    starts = np.array([start for _, start, _, _ in forces])
    reach = np.array([force / step for _, _, force, _ in forces])
    still = np.vstack([loop_line(skirt, i), *(points[n] for n in "EJGI"), points["I"] - np.array([STUB, 0.0]), ghost])
    return drawing, fitted_view(np.vstack([still, starts]), inside, np.vstack([np.zeros_like(still), reach]))


def _outboard(skirt: Skirt, i: int) -> Floats:
    """Return what takes a point from the joint's axes to the hull edge's [m]."""
    return np.array([float(skirt.sections.offset[i]), 0.0])


def _forces(skirt: Skirt, i: int) -> list[tuple[str, Floats, Floats, Layer]]:
    """Return words, start [m], force [N/m] and layer of every arrow."""
    show, points, acting = skirt.design.project.show, key_points(skirt, i), skirt.behaviour.reactions
    foot = skirt.behaviour.force_line.foot[i] + _outboard(skirt, i)
    along = {name: points[name] - points["I"] for name in "JG"}
    upper, lower = float(acting.upper_edge[0, i]), float(acting.lower_edge[0, i])

    def said(force: Floats | float) -> str:
        amount = force if isinstance(force, float) else float(np.linalg.norm(force))
        return format_line_load(amount, "imperial" if show == "imperial" else "metric")

    def edge(name: str, pull: float) -> Floats:
        return np.asarray(along[name] / np.linalg.norm(along[name]) * pull)

    hull, joint = np.asarray(acting.hull_edge[0, i]), np.asarray(acting.joint[0, i])
    inner, face = np.asarray(acting.inner[0, i]), np.asarray(acting.face_pressure[0, i])
    held = np.asarray(acting.diaphragm[0, i])
    diaphragm: list[tuple[str, Floats, Floats, Layer]] = []
    if held.any():
        diaphragm.append((f"diaphragm {said(held)}", points["J"], held, "mark"))
    return [
        *diaphragm,
        (f"at E {said(hull)}", points["E"], hull, "mark"),
        (f"at J {said(joint)}", points["J"], joint, "mark"),
        (f"at I {said(inner)}", points["I"], inner, "mark"),
        (f"air {said(face)}", foot, face, "mark"),
        (f"upper edge {said(upper)}", points["I"], edge("J", upper), "mark"),
        (f"lower edge {said(lower)}", points["I"], edge("G", lower), "mark"),
    ]


def _newtons_per_mm(skirt: Skirt, forces: list[tuple[str, Floats, Floats, Layer]]) -> float:
    """Return a round scale [N/m per mm] (pounds per foot on imperial sheets) with the longest arrow near LONGEST."""
    most = max(float(np.linalg.norm(force)) for _, _, force, _ in forces)
    unit = LINE_LOAD if skirt.design.project.show == "imperial" else 1.0
    return round_step(10.0 * most / unit / LONGEST) * unit / 10.0


def _force_line(skirt: Skirt, i: int, view: View) -> list[Item]:
    """The line of the air's resultant on the face, from the face in past the level of the inner fixing."""
    line, out = skirt.behaviour.force_line, _outboard(skirt, i)
    foot, crossing = line.foot[i] + out, line.crossing[i] + out
    beyond = crossing + 0.12 * (crossing - foot)
    return [Line("fold", view.at(np.stack([foot, beyond])))]


def _scale_bar(skirt: Skirt, step: float, room: Room) -> list[Item]:
    """A bar of 40 mm in four parts with the force that each mark stands for."""
    x, y, size = room.left + 4.0, room.bottom + 4.0, 2.3
    imperial = skirt.design.project.show == "imperial"
    unit, name = (LINE_LOAD, "lbf/ft") if imperial else (1.0, "N/m")
    items: list[Item] = [Line("mark", frozen_array([[x, y], [x + 40.0, y]]))]
    for k in range(5):
        at = x + 10.0 * k
        items.append(Line("mark", frozen_array([[at, y], [at, y + 1.6]])))
        items.append(Text("text", at, y + 2.6, f"{10.0 * k * step / unit:.3g}", size, 0.0, "middle"))
    items.append(Text("text", x + 44.0, y - 0.6, f"{name}: at E and I on the hull, at J on the segment", size))
    return items


def _table(skirt: Skirt, i: int, room: Room) -> list[Item]:
    column = Column(room.right - TABLE_WIDTH, room.top, TABLE_WIDTH, room.bottom)
    _put_forces(skirt, i, column)
    _put_behaviour(skirt, i, column)
    return column.items


def _row(column: Column, show: Show, label: str, value: str) -> None:
    if show == "both" and "(" in value:
        column.row((label,), (0.0,), 2.4)
        column.row(("", value), (0.0, 12.0), 2.4)
    else:
        column.row((label, value), (0.0, 45.0), 2.4)


def _put_forces(skirt: Skirt, i: int, column: Column) -> None:
    show, acting, behaviour = skirt.design.project.show, skirt.behaviour.reactions, skirt.behaviour
    column.heading("What it carries", 3.6)
    _row(column, show, "Cushion pressure", format_pressure(skirt.sections.pressure, show))
    _row(column, show, "Pull in the loop", format_line_load(float(skirt.sections.tension[i]), show))
    for label, force in (("Loop on hull at E", acting.hull_edge), ("Segment on hull at I", acting.inner)):
        out, up = (float(part) for part in force[0, i])
        way = f"{abs(math.degrees(math.atan2(up, out))):.0f}° {'up' if up >= 0.0 else 'down'}"
        _row(column, show, label, f"{format_line_load(math.hypot(out, up), show)}, {way}")
    held = float(np.linalg.norm(acting.diaphragm[0, i]))
    if held > 0.0:
        _row(column, show, "Diaphragm on segment at J", format_line_load(held, show))
    _row(column, show, "Upper edge of the web", format_line_load(float(acting.upper_edge[0, i]), show))
    _row(column, show, "Lower edge of the web", format_line_load(float(acting.lower_edge[0, i]), show))
    push = float(behaviour.face_push[i])
    words = "pulls, does not pucker" if push == 0.0 else f"puckers, push {format_line_load(push, show)}"
    _row(column, show, "Face at the tip", words)


def _put_behaviour(skirt: Skirt, i: int, column: Column) -> None:
    show, behaviour = skirt.design.project.show, skirt.behaviour
    line, taut = behaviour.force_line, behaviour.taut
    column.heading("Margins: 10 to 15 % is usual", 3.6)
    least = float(line.least_inboard_bulged[i])
    _row(column, show, "I inboard of J, at least", format_length(least, show))
    _row(column, show, "  margin, real face", f"{100.0 * float(line.margin_bulged[i]):.0f} %")
    _row(column, show, "  margin, flat web", f"{100.0 * float(line.margin[i]):.0f} %")
    _row(column, show, "C to G, beyond C to J by", f"{100.0 * float(line.slack_margin[i]):.0f} %")
    column.heading("When it is turned", 3.6)
    stiffness = math.radians(1.0) * float(skirt.sections.stiffness[i])
    _row(column, show, "Stiffness, per degree", format_line_moment(stiffness, show))
    turn = float(taut.turn[i, 0])
    if math.isnan(turn):
        column.paragraph("The loop is too long ever to go straight.", 2.4)
        return
    _row(column, show, "Loop straight at", f"{abs(math.degrees(turn)):.1f}° turned under")
    fall = float(skirt.statics.shape.joint[i, 1] - behaviour.taut_joint[i, 0, 1])
    _row(column, show, "  joint down by", format_length(fall, show))
    held = f"At {100.0 * taut.share:.0f} % of that"
    _row(column, show, held, format_line_moment(float(taut.held_moment[i, 0]), show))
    _row(column, show, "  pull at the tips held", format_line_load(float(behaviour.drag_at_taut[i]), show))
