"""The drawings a page may ask for, by name: each a Sheet of the paper and what a page needs beside it.

A new view starts here: add a `Drawing` to `DRAWINGS`, and a component to the list in ``desk-page/src/views.ts``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from skirtloft.desk.answer import Sketched, Solved
from skirtloft.desk.plan_handles import joint_places, plan_crop, plan_handles
from skirtloft.desk.tables import air_rows, air_summary, hull_rows
from skirtloft.desk.walk import (
    forces_crop,
    forces_frame,
    forces_summary,
    forces_table,
    section_crop,
    section_frame,
    section_handles,
    section_summary,
    section_table,
)
from skirtloft.drawing.air_sheets import air_sheets
from skirtloft.drawing.hull_sheet import hull_sheets
from skirtloft.drawing.page import page_room
from skirtloft.drawing.picture import picture_sheet
from skirtloft.drawing.plan_sheet import PLAN_LEGEND, plan_frame, plan_sheet
from skirtloft.drawing.section_forces import force_lines, forces_sheet
from skirtloft.drawing.section_sheet import section_lines, section_sheet
from skirtloft.drawing.sheet import STYLES, Layer, Sheet
from skirtloft.drawing.solid import seam_parts, skirt_parts
from skirtloft.drawing.template import distinct, quantity_words, template_sheet
from skirtloft.errors import ExportError
from skirtloft.export import svg

Json = dict[str, Any]


@dataclass(frozen=True, eq=False)
class Drawn:
    """A Sheet, and beside it: a sentence that says what it shows, its numbers as a table, where metres lie on it.

    `crop` is what of it to show first (left, bottom, right, top) [mm, y up]; None: all above the title block.
    `frame` is (scale, x0, y0): millimetres on the sheet are ``1000 / scale * metres + (x0, y0)``, y up; None where
    the sheet is no map. `handles` are the dimensions that can be dragged.
    """

    sheet: Sheet
    summary: str
    table: tuple[tuple[str, str], ...] = ()
    frame: tuple[float, float, float] | None = None
    handles: tuple[Json, ...] = ()
    crop: tuple[float, float, float, float] | None = None
    extra: Json = field(default_factory=dict)


Draw = Callable[[Solved, str], Drawn]
_SECTION = re.compile(r"section-([A-Z]\d{2,3}(?:-taut)?)")


def draw(solved: Solved, name: str) -> Drawn:
    """Return the drawing of that name.

    Raises
    ------
    KeyError
        There is none of that name in this design.
    ExportError
        A template cannot be drawn.
    """
    for pattern, make in DRAWINGS:
        match = pattern.fullmatch(name)
        if match is not None:
            return make(solved, match[1] if pattern.groups else "")
    raise KeyError(name)


def needs_pieces(name: str) -> bool:
    """Tell whether a drawing shows pieces, and so must wait for them."""
    return name.startswith(("piece-", "plan"))


def is_name(name: str) -> bool:
    """Tell whether a name can be that of a drawing."""
    return any(pattern.fullmatch(name) for pattern, _ in DRAWINGS)


def can_be_sketched(name: str) -> bool:
    """Tell whether a drawing needs no more than the shape."""
    return _SECTION.fullmatch(name) is not None


def sketch_data(sketched: Sketched, name: str) -> Json:
    """Return a drawing that can be sketched, as `drawing_data` does."""
    match = _SECTION.fullmatch(name)
    assert match is not None
    return sheet_data(sketched, name, _section(sketched, match[1]))


def drawing_data(solved: Solved, name: str) -> Json:
    """Return a drawing as a page takes it: its SVG cropped to what lies above the title block."""
    return sheet_data(solved, name, draw(solved, name))


def sheet_data(solved: Solved | Sketched, name: str, drawn: Drawn) -> Json:
    """Return what was drawn as a page takes it, under a name."""
    return {
        "type": "drawing",
        "name": name,
        "revision": solved.revision,
        "svg": page_svg(drawn.sheet),
        "box": _box(solved, drawn),
        "kind": drawn.sheet.kind,
        "height": drawn.sheet.height,
        "title": drawn.sheet.title,
        "summary": drawn.summary,
        "table": drawn.table,
        "frame": drawn.frame,
        "handles": drawn.handles,
        **drawn.extra,
    }


def page_svg(sheet: Sheet) -> str:
    """Return the paper's SVG with layers as data, so that several can stand on one page."""
    text = svg.render(sheet)
    text = re.sub(r'^<svg [^>]*viewBox="[^"]*"[^>]*>\s*<title>[^<]*</title>', "<g>", text, count=1)
    text = text.replace('<g id="', '<g data-layer="').rstrip().removesuffix("</svg>")
    return text + "</g>"


def _box(solved: Solved | Sketched, drawn: Drawn) -> list[float]:
    """Return left, top, width and height to show [mm], y down: drawings without their title block."""
    sheet = drawn.sheet
    if drawn.crop is not None:
        left, bottom, right, top = drawn.crop
        return [left, sheet.height - top, right - left, top - bottom]
    if sheet.kind == "template" or sheet.name == "overview":
        return [0.0, 0.0, sheet.width, sheet.height]
    room = page_room(solved.skirt.design.making.paper, landscape=sheet.width > sheet.height)
    return [room.left - 4.0, sheet.height - room.top - 4.0, room.width + 8.0, room.height + 8.0]


# ------------------------------------------------------------------------------------------------------- drawings


def legend_rows(rows: Iterable[tuple[Layer, str]]) -> list[list[Any]]:
    """Return lines and their words as a page draws them: width [mm], dashes [mm], grey 0 black .. 1 white, words."""
    return [[STYLES[layer].width, STYLES[layer].dash, STYLES[layer].grey, words] for layer, words in rows]


def _section(solved: Solved | Sketched, name: str) -> Drawn:
    """The section to set out; with "-taut" after the station also its ghost at the taut limit."""
    skirt = solved.skirt
    station, _, taut = name.partition("-")
    ids = skirt.plan.stations.ids
    if station not in ids:
        raise KeyError(station)
    i = ids.index(station)
    sheet = section_sheet(skirt, i, solved.stamp, f"{i + 1} of {len(ids)}", taut=bool(taut))
    return Drawn(
        sheet,
        section_summary(skirt, i),
        section_table(skirt, i),
        section_frame(skirt, i),
        section_handles(skirt, i),
        section_crop(skirt, i),
        {"station": station, "legend": legend_rows(section_lines(skirt, i, taut=bool(taut)))},
    )


def _forces(solved: Solved, station: str) -> Drawn:
    """The same section with forces to scale, the force line between its fixings and the loop at its taut limit."""
    skirt = solved.skirt
    ids = skirt.plan.stations.ids
    if station not in ids:
        raise KeyError(station)
    i = ids.index(station)
    sheet = forces_sheet(skirt, i, solved.stamp, f"{i + 1} of {len(ids)}")
    return Drawn(
        sheet,
        forces_summary(skirt, i),
        forces_table(skirt, i),
        forces_frame(skirt, i),
        crop=forces_crop(skirt, sheet),
        extra={"station": station, "legend": legend_rows(force_lines(skirt, i))},
    )


def _plan(solved: Solved, _: str) -> Drawn:
    plan = solved.skirt.plan
    summary = (
        f"Plan of the whole craft, bow to the right: hull edge, joint line, ground line and {len(plan.stations.ids)}"
        f" stations a side; {plan.tip_area:.2f} m² of cushion inside {plan.tip_perimeter:.2f} m of ground line."
    )
    table = tuple(
        (f"{run.name.replace('_', ' ')}", f"{run.segments} segments at {1000 * run.fitted_pitch:.1f} mm")
        for run in plan.runs
    )
    sheet = plan_sheet(solved.skirt, solved.stamp)
    extra: Json = {"line": joint_places(solved.skirt), "legend": legend_rows(PLAN_LEGEND)}
    handles = plan_handles(solved.skirt)
    return Drawn(sheet, summary, table, plan_frame(solved.skirt), handles, plan_crop(solved, sheet), extra)


_AIR_WORDS = {
    "air-fan": "Fan curve and what the craft asks for; circles are where they meet.",
    "air-power": "Lift power against gap for each load, and against mass for three gaps.",
    "air-watts": "Where each watt of the lift engine goes.",
}


def _air(solved: Solved, name: str) -> Drawn:
    for sheet in air_sheets(solved.skirt, solved.stamp):
        if sheet.name == name:
            words = air_summary(solved.skirt, _AIR_WORDS.get(name, f"{sheet.title}."))
            return Drawn(sheet, words, air_rows(solved.skirt))
    raise KeyError(name)


_HULL_WORDS = {
    "hull-lines": "What the hull must be under the skirt: profile above, half-breadth plan below, bow to the right.",
    "hull-body-plan": "Body plan: the hull under the skirt, cut at the stations and seen from ahead and astern.",
}


def _hull(solved: Solved, name: str) -> Drawn:
    for sheet in hull_sheets(solved.skirt, solved.stamp):
        if sheet.name == name:
            return Drawn(sheet, _HULL_WORDS.get(name, sheet.title), hull_rows(solved.skirt))
    raise KeyError(name)


def _piece(solved: Solved, code: str) -> Drawn:
    for piece, quantities in distinct(solved.skirt.pieces):
        if piece.base == code:
            size = 1000.0 * (piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0))
            summary = (
                f"Template {code}, {piece.name}: {quantity_words(quantities)}, {piece.cloth} cloth,"
                f" {size[0]:.0f} by {size[1]:.0f} mm cut, {1000 * piece.mass:.0f} g each."
            )
            table = tuple(
                (f"{edge.name} {edge.letter}".strip(), f"{1000 * edge.length:.1f} mm") for edge in piece.edges
            )
            return Drawn(template_sheet(piece, quantities, solved.stamp), summary, table)
    raise KeyError(code)


def _overview(solved: Solved, _: str) -> Drawn:
    project = solved.skirt.design.project
    parts = (*skirt_parts(solved.skirt), *seam_parts(solved.skirt))
    caption = f"{project.name}, revision {project.revision}: the skirt as drawn, not a picture of a built one"
    return Drawn(picture_sheet("overview", project.name, parts, caption), caption)


DRAWINGS: tuple[tuple[re.Pattern[str], Draw], ...] = (
    (_SECTION, _section),
    (re.compile(r"section-([A-Z]\d{2,3})-forces"), _forces),
    (re.compile(r"plan"), _plan),
    (re.compile(r"(air-[a-z]+)"), _air),
    (re.compile(r"(hull-[a-z-]+)"), _hull),
    (re.compile(r"piece-([A-Z0-9][A-Za-z0-9.-]{0,30})"), _piece),
    (re.compile(r"overview"), _overview),
)

__all__ = ["DRAWINGS", "Drawn", "ExportError", "draw", "drawing_data", "is_name", "page_svg"]
