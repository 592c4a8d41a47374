"""The section drawing: one station in its plane, dimensioned so that it can be set out with ruler and compass."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.drawing.chart_labels import Wanted, placed_labels
from skirtloft.drawing.dimension import angle_dimension, arrow_head, direction, linear_dimension
from skirtloft.drawing.moment_sheet import moment_sheet
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.section_forces import forces_sheet
from skirtloft.drawing.section_view import (
    STUB,
    View,
    chosen_stations,
    clearest,
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
from skirtloft.pipeline import Shaped, Skirt

TABLE_WIDTH = 72.0  # mm, right of the drawing
PAD = (30.0, 29.0, 18.0, 7.0)  # mm kept free for dimensions: left, below, right, above
SEAM_DIFFERS = 0.05e-3  # m: from here on the template's seam is worth a row of its own
LEGEND: tuple[tuple[Layer, str], ...] = (
    ("finished", "crown of the face at mid pitch"),
    ("axis", "radii and chord of the loop"),
)
SIZE = 2.8  # mm, letters of the dimensions


def section_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return for the bow, each corner's middle, the side and the stern how to set it out and what it carries, and
    the chart of their restoring moments."""
    chosen = chosen_stations(skirt)
    count = 2 * len(chosen) + 1
    sheets: list[Sheet] = []
    for k, i in enumerate(chosen):
        sheets.append(section_sheet(skirt, i, stamp, f"{2 * k + 1} of {count}"))
        sheets.append(forces_sheet(skirt, i, stamp, f"{2 * k + 2} of {count}"))
    return [*sheets, moment_sheet(skirt, stamp, f"{count} of {count}")]


def section_sheet(skirt: Shaped, i: int, stamp: Stamp, number: str, taut: bool = False) -> Sheet:
    """Return the section at station index `i` on a landscape page; `taut`: with its ghost at the taut limit."""
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    points = key_points(skirt, i)
    drawing, view = section_place(skirt, i)
    items = [*outline(skirt, i, view), *cross(view.at(points["C"]))]
    items += [*_heights(skirt, i, view), *_widths(skirt, i, view)]
    lines, wanted = _setting_out(skirt, i, view)
    items += lines
    items += named_points(skirt, i, view, "EJGIC", items, drawing)
    items += placed_labels(wanted, items, drawing)
    if taut:
        items += ghost_lines(taut_ghost(skirt, i), view)
    items += [*_table(skirt, i, room), *legend(section_lines(skirt, i, taut), room.left, room.bottom - 6.0)]
    return page(
        f"section-{skirt.plan.stations.ids[i]}{'-taut' if taut else ''}",
        f"Section {station_words(skirt, i)}: to set out",
        items,
        stamp,
        paper=paper,
        landscape=True,
        scale=f"1 : {view.scale:g}",
        number=number,
    )


def section_lines(skirt: Shaped, i: int, taut: bool = False) -> tuple[tuple[Layer, str], ...]:
    """Return what the lines of `section_sheet` mean."""
    rows = section_legend(skirt, i, LEGEND)
    return (*rows, ("ghost", "taut limit, tip down")) if taut else rows


def section_place(skirt: Shaped, i: int) -> tuple[Room, View]:
    """Return the part of the page that is drawing, and how metres of the section at station `i` lie on it."""
    room, points = page_room(skirt.design.making.paper, landscape=True), key_points(skirt, i)
    left, below, right, above = PAD
    drawing = Room(room.left, room.bottom, room.right - TABLE_WIDTH - 2.0, room.top)
    shapes = np.vstack([loop_line(skirt, i), *points.values(), points["I"] - np.array([STUB, 0.0])])
    free = Room(drawing.left + left, drawing.bottom + below, drawing.right - right, drawing.top - above)
    return drawing, fitted_view(shapes, free)


def _heights(skirt: Shaped, i: int, view: View) -> list[Item]:
    """Heights above the ground, at the left: clearance, inner fixing if below the joint, depth, hull edge; right: C."""
    show, points = skirt.design.project.show, key_points(skirt, i)
    left = float(view.at([points["I"][0] - STUB, 0.0])[0])
    ground = [left, float(view.at([0.0, 0.0])[1])]
    items: list[Item] = []
    heights = [skirt.design.hull.clearance, float(points["J"][1]), float(points["E"][1])]
    if float(skirt.sections.drop[i]) > 1e-4:
        heights.append(float(points["I"][1]))
    for step, height in enumerate(sorted(heights)):
        top = [left, float(view.at([0.0, height])[1])]
        words = drawn_length(height, show)
        items += linear_dimension(ground, top, 5.0 + 7.5 * step, words, along="y", height=SIZE).items
    e, c = view.at(points["E"]), view.at(points["C"])
    items.append(Line("dimension", frozen_array([[left, e[1]], [e[0] - 2.0, e[1]]])))
    right = float(view.at(loop_line(skirt, i))[:, 0].max())
    right = max(right, float(view.at([max(points["J"][0], 0.0) + STUB, 0.0])[0]))
    words = drawn_length(float(points["C"][1]), show)
    items += linear_dimension([right, ground[1]], [right, c[1]], -6.0, words, along="y", height=SIZE).items
    items.append(Line("dimension", frozen_array([[c[0] + 5.0, c[1]], [right, c[1]]])))
    return items


def _widths(skirt: Shaped, i: int, view: View) -> list[Item]:
    """Widths in steps below the ground: hull edge and loop's centre to joint, the nearer first; fixing, tip, joint."""
    show, sections, points = skirt.design.project.show, skirt.sections, key_points(skirt, i)
    to_tip = float(sections.tip_inboard[i])
    base = float(view.at([0.0, 0.0])[1]) - 4.0
    near, far = sorted((abs(float((points[name] - points["J"])[0])), name) for name in "EC")
    rows = (
        (near[1], "J", 5.0, near[0]),
        (far[1], "J", 12.5, far[0]),
        ("I", "G", 20.0, float(sections.inboard[i]) - to_tip),
        ("G", "J", 20.0, to_tip),
    )
    items: list[Item] = []
    for name, away in ((near[1], 5.0), (far[1], 12.5), ("J", 20.0)):
        x, top = view.at(points[name])
        items.append(Line("dimension", frozen_array([[x, top - (5.0 if name == "C" else 2.0)], [x, base - away]])))
    for a, b, below, length in rows:
        if length < 1e-4:
            continue
        first, last = sorted([float(view.at(points[name])[0]), base] for name in (a, b))
        words = drawn_length(length, show)
        either = [
            linear_dimension(first, last, -below, words, along="x", height=SIZE, beyond=beyond)
            for beyond in (("start", "end") if a == "C" else ("end", "start"))
        ]
        items += clearest(either, items)
    return items


def _setting_out(skirt: Shaped, i: int, view: View) -> tuple[list[Item], list[Wanted]]:
    """Chord, radius and angle of the loop and the angles at the tip; their words are still to be placed."""
    show, sections, points = skirt.design.project.show, skirt.sections, key_points(skirt, i)
    e, j, g, c = (view.at(points[name]) for name in "EJGC")
    start, end = math.degrees(float(sections.start_angle[i])), math.degrees(float(sections.end_angle[i]))
    radius = float(sections.radius[i]) * 1000.0 / view.scale
    face = math.degrees(float(sections.face_angle[i]))
    tip = math.degrees(float(skirt.statics.shape.tip_angle[i]))
    chord = drawn_length(float(np.linalg.norm(points["E"] - points["J"])), show)
    on_arc = c + radius * direction((start + end) / 2.0)
    items: list[Item] = [Line("axis", frozen_array([a, b])) for a, b in ((c, e), (c, j), (e, j))]
    items += [Line("dimension", frozen_array([c, on_arc])), arrow_head(on_arc, on_arc - c)]
    wanted = [
        Wanted(f"R {drawn_length(float(sections.radius[i]), show)}", _along(c, on_arc), 0.0),
        Wanted(f"chord {chord}", _along(e, j), 0.0),
    ]
    for corner, reach, low, high, words in (
        (c, 9.0, end, start, f"{start - end:.1f}°"),
        (g, 15.0, 0.0, face, f"{round(face, 1):g}°"),
        (g, 12.0, face, face + tip, f"{round(tip, 1):g}°"),
    ):
        measured = angle_dimension(corner, reach, low, high, "", height=SIZE)
        items += [item for item in measured.items if not isinstance(item, Text)]
        at = [corner + reach * direction(low + share * (high - low)) for share in (0.3, 0.7, 0.5)]
        wanted.append(Wanted(words, frozen_array(at), 0.0))
    return items, wanted


def _along(start: Floats, end: Floats) -> Floats:
    """Return places between two points, the likeliest for words last."""
    shares = np.array([0.15, 0.85, 0.25, 0.75, 0.35, 0.65, 0.5])
    return frozen_array(start + shares[:, None] * (end - start))


def template_seam(skirt: Shaped, i: int) -> float | None:
    """Return the length [m] of the loop's seam at a station as its templates have it; None where no seam is."""
    name = skirt.plan.stations.ids[i]
    for panel in skirt.development.panels:
        for station, seam in ((panel.start, panel.seam_start), (panel.end, panel.seam_end)):
            if station == name:
                return _length(seam)
    return None


def _length(points: Floats) -> float:
    steps = np.diff(points, axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def _table(skirt: Shaped, i: int, room: Room) -> list[Item]:
    sections, show = skirt.sections, skirt.design.project.show
    points = key_points(skirt, i)
    column = Column(room.right - TABLE_WIDTH, room.top, TABLE_WIDTH, room.bottom)

    def put(label: str, value: str) -> None:
        if show == "both" and "(" in value:
            column.row((label,), (0.0,), 2.5)
            label = ""
        column.row((label, value), (0.0, 12.0 if label == "" else 44.0), 2.5)

    length, seam = float(sections.length[i]), template_seam(skirt, i)
    rule = skirt.behaviour.quarter_rule
    column.heading("To set it out", 3.8)
    put("Loop, E to J", format_length(length, show))
    differs = seam is not None and abs(seam - length) > SEAM_DIFFERS
    if seam is not None and differs:
        put("  on the template, set out", format_length(seam, show))
    quarter = float(rule.length[i])
    put("  by the quarter rule", format_length(quarter, show) if math.isfinite(quarter) else "none")
    rise = float(rule.joint_rise[i])
    words = format_length(abs(rise), show) if math.isfinite(rise) else "no rest"
    put(f"  J then {'lower' if rise < 0.0 else 'higher'} by", words)
    put("Radius of the loop", format_length(float(sections.radius[i]), show))
    put("Angle it subtends", f"{math.degrees(float(sections.angle[i])):.1f}°")
    put("Chord E to J", format_length(float(np.linalg.norm(points["E"] - points["J"])), show))
    inset, offset = float(sections.centre_inset[i]), float(sections.offset[i])
    put(f"C {'inboard' if inset >= 0 else 'outboard'} of J", format_length(abs(inset), show))
    put("C above ground", format_length(float(sections.centre_z[i]), show))
    put(f"J {'outboard' if offset >= 0 else 'inboard'} of E", format_length(abs(offset), show))
    column.heading("With ruler and compass", 3.8)
    column.paragraph(
        "E hull edge, J joint, G tip at the web, I inner fixing, C centre of the loop. From the ground line set off E,"
        " J, G and I. Strike the radius from E and from J: the arcs cross at C"
        f"{' (two crossings: C is the one given)' if show != 'both' else ''}. From C draw the loop outboard from E"
        " round to J. Your planing surface must pass through I.",
        2.4,
    )
    column.paragraph(
        "The loop's length knows the bulge of the faces and the weight of the cloth; the quarter rule knows neither."
        + (
            " In a corner the section is set out a little so that straight edges of the templates come out true: cut by"
            " the template."
            if differs
            else " Cut to the first figure."
        ),
        2.4,
    )
    return column.items
