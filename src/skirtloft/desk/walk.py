"""What stands beside the section drawing at the desk: a sentence, its numbers, and the dimensions to drag."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from skirtloft.design.units import format_length, format_line_load, format_pressure
from skirtloft.drawing.page import page_room
from skirtloft.drawing.section_forces import TABLE_WIDTH, forces_place
from skirtloft.drawing.section_sheet import section_place
from skirtloft.drawing.section_view import hover_gap
from skirtloft.drawing.sheet import Line, Sheet
from skirtloft.pipeline import Shaped, Skirt


def section_frame(skirt: Shaped, i: int) -> tuple[float, float, float]:
    """Return scale and origin of the section drawing at station `i`; see `drawings.Drawn.frame`."""
    _, view = section_place(skirt, i)
    return view.scale, view.x0, view.y0


def forces_frame(skirt: Skirt, i: int) -> tuple[float, float, float]:
    """Return scale and origin of the drawing of forces at station `i`; see `drawings.Drawn.frame`."""
    _, view = forces_place(skirt, i)
    return view.scale, view.x0, view.y0


def section_crop(skirt: Shaped, i: int) -> tuple[float, float, float, float]:
    """Return the part of the section's page that is drawing: its table stands beside it as text; see `Drawn`."""
    drawing, _ = section_place(skirt, i)
    return (drawing.left, drawing.bottom, drawing.right, drawing.top)


def section_summary(skirt: Shaped, i: int) -> str:
    """Return one sentence on the section at station `i`."""
    stations, sections, show = skirt.plan.stations, skirt.sections, skirt.design.project.show
    side = "outboard" if sections.offset[i] >= 0 else "inboard"
    return (
        f"Section {stations.ids[i]} in the {stations.runs[i].replace('_', ' ')}: joint"
        f" {format_length(abs(float(sections.offset[i])), show)} {side} of the hull edge, loop"
        f" {format_length(float(sections.length[i]), show)} long at a radius of"
        f" {format_length(float(sections.radius[i]), show)}."
    )


def section_table(skirt: Shaped, i: int) -> tuple[tuple[str, str], ...]:
    """Return the numbers of the section at station `i` as (name, words)."""
    sections, show = skirt.sections, skirt.design.project.show
    stations = skirt.plan.stations
    return (
        ("Run", stations.runs[i].replace("_", " ")),
        ("From bow centre", format_length(float(stations.at[i]), show)),
        ("Gap wanted under the tip", format_length(hover_gap(skirt, i), show)),
        ("Hull edge above ground", format_length(float(stations.hull_z[i]), show)),
        ("Joint outboard of hull edge", format_length(float(sections.offset[i]), show)),
        ("Loop length", format_length(float(sections.length[i]), show)),
        ("Loop radius", format_length(float(sections.radius[i]), show)),
        ("Centre above ground", format_length(float(sections.centre_z[i]), show)),
        ("Pull in the loop", f"{float(sections.tension[i]):.0f} N/m"),
        ("Stiffness against turning", f"{float(sections.stiffness[i]):.1f} N m/rad/m"),
        ("Cushion pressure", format_pressure(float(np.max(sections.pressure)), show)),
    )


def section_handles(skirt: Shaped, i: int) -> tuple[dict[str, Any], ...]:
    """Return the dimensions of the section drawing that can be dragged.

    Each says its key, its value [m], the point it sits at [m, section axes from the hull edge and the ground], the
    direction in which the value grows, and how many metres of value one metre of drag is.
    """
    design, sections = skirt.design, skirt.sections
    depth, offset = float(sections.depth[i]), float(sections.offset[i])
    run = skirt.plan.stations.runs[i]
    inner = offset - float(sections.inboard[i])
    own = getattr(getattr(design.skirt, run, None), "depth", None) is not None
    deep = f"skirt.{run}.depth" if own else "skirt.depth"
    handles: list[dict[str, Any]] = [
        {"key": deep, "value": depth, "at": [offset, depth], "along": [0.0, 1.0], "gain": 1.0},
        {
            "key": "hull.clearance", "value": design.hull.clearance, "at": [inner - 0.04, design.hull.clearance],
            "along": [0.0, 1.0], "gain": 1.0,
        },
    ]  # fmt: skip
    inset = getattr(design.skirt, run, None)
    if inset is not None and getattr(inset, "tip_inside", None) is not None:
        handles.append(
            {
                "key": f"skirt.{run}.tip_inside", "value": inset.tip_inside, "at": [-float(inset.tip_inside), 0.0],
                "along": [-1.0, 0.0], "gain": 1.0,
            }
        )  # fmt: skip
    elif inset is not None and getattr(inset, "joint_inside", None) is not None:
        handles.append(
            {
                "key": f"skirt.{run}.joint_inside", "value": inset.joint_inside,
                "at": [offset, depth * 0.8], "along": [-1.0, 0.0], "gain": 1.0,
            }
        )  # fmt: skip
    held = getattr(design.skirt.diaphragm, run, None)
    if held is not None and held.height is not None and held.inboard is not None:
        where = f"skirt.diaphragm.{run}"
        handles.append(
            {
                "key": f"{where}.inboard", "value": held.inboard, "along": [-1.0, 0.0], "gain": 1.0,
                "at": [-float(held.inboard), design.hull.clearance + float(held.height)],
                "also": {"key": f"{where}.height", "value": held.height, "along": [0.0, 1.0], "gain": 1.0},
                "group": "diaphragm", "entry": run,
            }
        )  # fmt: skip
    return tuple(handles)


def forces_crop(skirt: Skirt, sheet: Sheet) -> tuple[float, float, float, float]:
    """Return the part of a page of forces that is drawing and its scale, with a margin; see `Drawn`."""
    room = page_room(skirt.design.making.paper, landscape=True)
    right = room.right - TABLE_WIDTH
    lines = [item.points for item in sheet.items if isinstance(item, Line)]
    inside = [part for part in lines if part[:, 0].max() < right and part[:, 1].min() > room.bottom]
    points = np.vstack([part for part in inside if part[:, 1].max() < room.top])
    low, high = points.min(axis=0), points.max(axis=0)
    return (float(low[0]) - 24.0, float(low[1]) - 5.0, min(float(high[0]) + 26.0, right), float(high[1]) + 6.0)


def forces_summary(skirt: Skirt, i: int) -> str:
    """Return one sentence on the margins of the force line at station `i`, and one on the taut limit."""
    stations, behaviour = skirt.plan.stations, skirt.behaviour
    line, turn = behaviour.force_line, float(behaviour.taut.turn[i, 0])
    taut = (
        "the loop is too long ever to go straight"
        if math.isnan(turn)
        else f"the loop goes straight when the segment is turned under by {abs(math.degrees(turn)):.1f}° (broken lines)"
    )
    return (
        f"Section {stations.ids[i]}: the line of the air's force on the face passes the inner fixing with a margin of"
        f" {100.0 * float(line.margin_bulged[i]):.0f} % (real face; flat web"
        f" {100.0 * float(line.margin[i]):.0f} %; 10 to 15 % is usual); {taut}."
    )


def forces_table(skirt: Skirt, i: int) -> tuple[tuple[str, str], ...]:
    """Return forces and margins at station `i` as (name, words)."""
    show, behaviour = skirt.design.project.show, skirt.behaviour
    acting, line, turn = behaviour.reactions, behaviour.force_line, float(behaviour.taut.turn[i, 0])
    norm = {
        name: float(np.linalg.norm(force[0, i]))
        for name, force in (
            ("Loop on hull at E", acting.hull_edge),
            ("Loop on segment at J", acting.joint),
            ("Segment on hull at I", acting.inner),
            ("Air on the face", acting.face_pressure),
        )
    }
    rows = [(name, format_line_load(force, show)) for name, force in norm.items()]
    rows += [
        ("Upper edge of the web", format_line_load(float(acting.upper_edge[0, i]), show)),
        ("Lower edge of the web", format_line_load(float(acting.lower_edge[0, i]), show)),
        ("Inner fixing inboard, at least", format_length(float(line.least_inboard_bulged[i]), show)),
        ("Force-line margin, real face", f"{100.0 * float(line.margin_bulged[i]):.0f} %"),
        ("Force-line margin, flat web", f"{100.0 * float(line.margin[i]):.0f} %"),
        ("Centre to crown, beyond centre to joint by", f"{100.0 * float(line.slack_margin[i]):.0f} %"),
        ("Loop straight", "never" if math.isnan(turn) else f"{abs(math.degrees(turn)):.1f}° turned under"),
    ]
    return tuple(rows)
