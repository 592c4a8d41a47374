"""Strain of the exact loop panels: every panel flat, in greys that tell the stretch of its threads, and a table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.units import format_length
from skirtloft.drawing.page import Column, Room, Stamp, page, page_room
from skirtloft.drawing.sheet import Area, Circle, Item, Line, Sheet, Text
from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt
from skirtloft.shape.develop import Development
from skirtloft.shape.exact_panels import rows_of_panels
from skirtloft.shape.flatten.strain import StrainPicture, StrainReport, strain_pictures
from skirtloft.shape.types import FlatPanel

LETTERS = 2.5  # mm
BANDS = (0.0, 0.0025, 0.005, 0.01, 0.015, 0.02)  # lower ends
GREYS = (0.96, 0.84, 0.70, 0.55, 0.38, 0.18)
SCALES = (5.0, 8.0, 10.0, 15.0, 20.0, 25.0, 40.0, 50.0, 75.0, 100.0)
NARROWEST, GAP = 33.0, 4.0  # mm: a cell holds its words
UNDER = 11.0  # mm: words below a panel
FOOT = 26.0  # mm: legend and notes
ROW = 1.8 * LETTERS
LEGEND = (
    "Darker: warp or weft, the worse of the two, has to stretch or give more to lie on the drawn shape. Circle: most."
    " Hull edge up, bow to the left, port side; starboard is the mirror image; rectangles are left out. Computed, not"
    " measured: how stiff the cloth is in shear is assumed (making.loop)."
)
NOTES = (
    "p95: not exceeded on 95 % of the panel; the largest sits at a corner and grows with a finer mesh. Principal: in"
    " the direction where stretch is most. Shear: change of the right angle between the threads. Off by: how far the"
    " inflated panel {off}. Seams from the bow; a seam may be longer than its section: both panels have the same."
)
OFF = {
    "rule": "may stand off the drawn shape, by a rule of thumb (`inflate --held` computes it)",
    "inflated": "stands off the drawn shape when the loop is sewn and inflated by computation, joint line held",
}


@dataclass(frozen=True, eq=False)
class _Cell:
    """A panel to draw: outline, and polygons (k, 2) with their greys, all [m], lower left corner at the origin."""

    panel: FlatPanel
    report: StrainReport
    size: Floats
    outline: Floats
    areas: tuple[tuple[Floats, float], ...]
    worst: Floats
    deviation: float


def strain_sheets(skirt: Skirt, stamp: Stamp) -> list[Sheet]:
    """Return the pages on strain, landscape; none where no panel was flattened by strain."""
    cells = _cells(skirt)
    if not cells:
        return []
    paper = skirt.design.making.paper
    room = page_room(paper, landscape=True)
    scale = _scale(cells, room)
    pages = [("pictures", items) for items in _pictures(cells, scale, room)]
    pages += [("table", items) for items in _table(skirt, cells, room)]
    return [
        page(
            f"strain-{number}",
            "Loop panels: stretch of the threads" if kind == "pictures" else "Loop panels: strain and lengths",
            items,
            stamp,
            paper=paper,
            landscape=True,
            scale=f"1:{scale:g}" if kind == "pictures" else "-",
            number=f"{number} of {len(pages)}",
        )
        for number, (kind, items) in enumerate(pages, start=1)
    ]


def _cells(skirt: Skirt) -> list[_Cell]:
    made = skirt.development
    cells = []
    by = made.flat_rows[0].by if made.flat_rows else None
    parts = rows_of_panels(skirt.plan, made, by) if by else ()
    for part, flat_row in zip(parts, made.flat_rows, strict=True):
        for k, picture in enumerate(strain_pictures(flat_row)):
            report = made.strain[part.first + k]
            if report is not None:
                cells.append(_cell(made, part.first + k, report, picture, flat_row.patches.mesh.columns))
    return cells


def _cell(made: Development, number: int, report: StrainReport, picture: StrainPicture, columns: int) -> _Cell:
    """Port side: x, to the bow, is drawn to the left."""
    panel = made.panels[number]
    flip = np.array([-1.0, 1.0])
    outline = np.concatenate(
        [panel.seam_start[:-1], panel.joint_line[:-1], panel.seam_end[:0:-1], panel.hull_line[:0:-1]]
    )
    low = (outline * flip).min(axis=0)
    points = picture.points * flip - low
    thread = np.maximum(np.abs(picture.warp), np.abs(picture.weft))
    worst = points[picture.triangles[int(np.argmax(thread))]].mean(axis=0)
    return _Cell(
        panel=panel,
        report=report,
        size=frozen_array(np.ptp(outline, axis=0)),
        outline=frozen_array(outline * flip - low),
        areas=_areas(points, picture.triangles, thread.reshape(-1, 2).max(axis=1), columns),
        worst=frozen_array(worst),
        deviation=report.deviation if made.deviation is None else float(made.deviation[number]),
    )


def _areas(points: Floats, triangles: Indices, values: Floats, columns: int) -> tuple[tuple[Floats, float], ...]:
    """Return the parts of a panel by band, the larger first, so that what lies inside another is drawn on it."""
    import shapely

    wide = columns + 1
    one = triangles.reshape(-1, 6).min(axis=1)  # two triangles to a cell
    rings = points[np.stack([one, one + 1, one + wide + 1, one + wide], axis=1)]
    quads = shapely.polygons(rings)
    band = np.searchsorted(BANDS, values, side="right") - 1
    parts = []
    for k, grey in enumerate(GREYS):
        if (band == k).any():
            whole = shapely.coverage_union_all(quads[band == k])
            parts += [(part, grey) for part in shapely.get_parts(whole)]
    parts.sort(key=lambda part: -shapely.Polygon(part[0].exterior).area)
    return tuple((frozen_array(np.asarray(part.exterior.coords)[:-1]), grey) for part, grey in parts)


def _scale(cells: Sequence[_Cell], room: Room) -> float:
    """Return the largest usual scale with room for two rows of panels, or a little less where all fit on a page."""
    wide, high = np.max([cell.size for cell in cells], axis=0) * 1000.0
    tall = (room.height - FOOT) / 2.0 - UNDER - GAP
    fitting = [scale for scale in SCALES if wide / scale <= room.width and high / scale <= tall]
    if not fitting:
        return SCALES[-1]
    return next((scale for scale in fitting[:2] if len(_pictures(cells, scale, room)) == 1), fitting[0])


def _pictures(cells: Sequence[_Cell], scale: float, room: Room) -> list[list[Item]]:
    """Return the items of every page of pictures."""
    pages: list[list[Item]] = [[]]
    left, top = room.left, room.top
    high = max(float(cell.size[1]) for cell in cells) * 1000.0 / scale + UNDER + GAP
    for cell in cells:
        wide = max(NARROWEST, float(cell.size[0]) * 1000.0 / scale) + GAP
        if left + wide - GAP > room.right + 1e-6:
            left, top = room.left, top - high
        if top - high < room.bottom + FOOT - GAP:
            pages.append([])
            left, top = room.left, room.top
        pages[-1] += _drawn(cell, scale, left, top - high + UNDER + GAP)
        left += wide
    return [[*items, *_legend(room)] for items in pages]


def _drawn(cell: _Cell, scale: float, left: float, base: float) -> list[Item]:
    def laid(points: Floats) -> Floats:
        return frozen_array(points * (1000.0 / scale) + np.array([left, base]))

    items: list[Item] = [Area("segment", laid(points), grey) for points, grey in cell.areas]
    items.append(Line("segment", laid(cell.outline), True))
    x, y = laid(cell.worst[None])[0]
    thread = cell.report.thread
    items += [
        Circle("register", float(x), float(y), 1.2),
        Text("text", left, base - 4.0, f"{cell.panel.id}: {thread.largest:.1%}", LETTERS, 0.0, "start", True),
        Text("text", left, base - 8.0, f"95 % of it below {thread.p95:.1%}", LETTERS - 0.3),
    ]
    return items


def _legend(room: Room) -> list[Item]:
    items: list[Item] = []
    left, base = room.left, room.bottom + FOOT - 6.0
    for k, (low, grey) in enumerate(zip(BANDS, GREYS, strict=True)):
        corners = frozen_array([[left, base], [left + 8.0, base], [left + 8.0, base + 4.0], [left, base + 4.0]])
        words = f"{low:.2%} to {BANDS[k + 1]:.2%}" if k + 1 < len(BANDS) else f"{low:.2%} and more"
        items += [Area("segment", corners, grey), Line("register", corners, True)]
        items.append(Text("text", left + 10.0, base + 0.8, words, LETTERS))
        left += room.width / len(BANDS)
    column = Column(room.left, base - 1.0, room.width, room.bottom)
    column.paragraph(LEGEND, LETTERS)
    return [*items, *column.items]


HEADS = (
    "panel", "stations", "thread p95", "max", "principal p95", "max", "shear p95", "max", "off by", "seam - section",
    "hull edge", "joint", "seams",
)  # fmt: skip
OFFSETS = (0.0, 10.0, 25.0, 46.0, 57.0, 82.0, 93.0, 111.0, 124.0, 138.0, 166.0, 185.0, 204.0)


def _table(skirt: Skirt, cells: Sequence[_Cell], room: Room) -> list[list[Item]]:
    fits = max(1, math.floor((room.height - 24.0) / ROW) - 2)
    return [_table_page(skirt, cells[k : k + fits], room) for k in range(0, len(cells), fits)]


def _table_page(skirt: Skirt, cells: Sequence[_Cell], room: Room) -> list[Item]:
    show = skirt.design.project.show
    width = room.width / 246.0
    offsets = [offset * width for offset in OFFSETS]
    column = Column(room.left, room.top, room.width, room.bottom)
    column.row(HEADS, offsets, LETTERS - 0.2, bold=True)
    for cell in cells:
        report = cell.report
        edges, seams = (
            [format_length(float(value), "imperial" if show == "imperial" else "metric") for value in lengths]
            for lengths in (report.edge, report.seam)
        )
        column.row(
            (
                cell.panel.id,
                f"{cell.panel.start}-{cell.panel.end}",
                f"{report.thread.p95:.2%}",
                f"{report.thread.largest:.2%}",
                f"{report.principal.p95:.2%}",
                f"{report.principal.largest:.2%}",
                f"{math.degrees(report.shear.p95):.1f} deg",
                f"{math.degrees(report.shear.largest):.1f} deg",
                f"{1000.0 * cell.deviation:.1f} mm",
                " / ".join(f"{1000.0 * value:+.1f}" for value in report.seam_excess) + " mm",
                *edges,
                ", ".join(seams),
            ),
            offsets,
            LETTERS - 0.2,
        )
    column.paragraph(NOTES.format(off=OFF[skirt.development.deviation_by]), LETTERS)
    return column.items
