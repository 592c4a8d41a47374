"""The roll as it is to be cut: to scale on office pages with a table for marking out by hand, and at true size.

Distances are those that a tape reads: along the roll from its squared end, across it from the selvedge nearest to you,
the outside of the cloth up. A piece is set out by two opposite corners, A the one nearer to the end of the roll.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_length
from skirtloft.drawing.card_measures import side_words
from skirtloft.drawing.dimension import arrow
from skirtloft.drawing.lettering import text_width, wrap
from skirtloft.drawing.page import Column, Room, Stamp, drawn_length, page, page_room
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.layout.blanks import lies_at
from skirtloft.layout.types import Layout, Lie
from skirtloft.layout.verify import RollUse, in_order, roll_uses
from skirtloft.maths.frozen import Floats, frozen_array

ToSheet = Callable[[Floats], Floats]
LONGEST = 5000.0  # [mm] of a true-size page: a PDF page may be 5080 (see export.pdf)
SCALES = (5.0, 10.0, 12.5, 15.0, 20.0, 25.0)
TABLE, HEAD = 2.6, 2.4  # letter heights [mm]
EDGE = 30.0  # [mm] round a true-size page
RINGS = {"A": 0.9, "B": 0.5}  # radius of the ring at a corner [mm]
SLIVER = 1e-8  # [m2]
END_WORDS = "end of the roll, squared"


@dataclass(frozen=True, eq=False)
class Numbered:
    """A piece on a roll: its number along the roll, its place, its outline there (n, 2) [m], corners A and B [m]."""

    number: int
    lie: Lie
    code: str
    outline: Floats
    corners: Floats


def numbered(layout: Layout, roll: int) -> tuple[Numbered, ...]:
    """Return the pieces on one roll, numbered from 1 in the order in which they come along it."""
    found: list[Numbered] = []
    for lie in (lie for lie in in_order(layout).lies if lie.roll == roll):
        blank = layout.problem.blanks[lie.blank]
        outline = lies_at(blank, lie)
        ends = outline[list(blank.corners)]
        corners = ends[np.lexsort((ends[:, 1], np.round(ends[:, 0], 4)))]
        found.append(Numbered(len(found) + 1, lie, blank.code, outline, frozen_array(corners)))
    return tuple(found)


def roll_sheets(layouts: Sequence[Layout], stamp: Stamp, paper: str = "A4") -> list[Sheet]:
    """Return the pages for marking out every roll: drawings to scale, each followed by its table of corners.

    Parameters
    ----------
    layouts : sequence of Layout
        One for each cloth.
    stamp : Stamp
    paper : "A4" or "Letter"
    """
    room = page_room(paper, landscape=True)
    drawn: list[tuple[str, float | None, list[Item]]] = []
    for layout in layouts:
        for use in roll_uses(layout):
            drawn += _roll_pages(layout, use, room, stamp.project.show)
    return [
        page(
            f"roll-{number + 1}",
            title,
            items,
            stamp,
            paper=paper,
            landscape=True,
            scale="table" if scale is None else f"1 : {scale:g}",
            number=f"{number + 1} of {len(drawn)}",
        )
        for number, (title, scale, items) in enumerate(drawn)
    ]


def _roll_pages(layout: Layout, use: RollUse, room: Room, show: Show) -> list[tuple[str, float | None, list[Item]]]:
    pieces = numbered(layout, use.number)
    below = 26.0
    height = room.height - below
    scale = next((s for s in SCALES if 1000.0 * use.roll.width / s <= height - 8.0), SCALES[-1])
    per_page = (room.width - 16.0) * scale / 1000.0
    count = max(1, int(np.ceil(use.length / per_page - 1e-9)))
    each = use.length / count
    pages: list[tuple[str, float | None, list[Item]]] = []
    name = f"{layout.problem.cloth.capitalize()} cloth, {use.roll.name}"
    for number in range(count):
        span = number * each, (number + 1) * each
        items = _drawing(pieces, use, span, scale, room, below, show)
        items += _notes(layout, use, room, show) if number == 0 else _notes_again(room)
        where = f"{drawn_length(span[0], show)} to {drawn_length(span[1], show)} of {drawn_length(use.length, show)}"
        pages.append((f"{name}: {where}", scale, items))
    unit = " in millimetres" if show == "metric" else ""
    return [*pages, *((f"{name}: corners{unit}", None, items) for items in _tables(pieces, room, show))]


def _drawing(
    pieces: Sequence[Numbered],
    use: RollUse,
    span: tuple[float, float],
    scale: float,
    room: Room,
    below: float,
    show: Show,
) -> list[Item]:
    """One stretch of a roll: selvedges, a tape along the lower one, and every piece that lies in it."""
    unit = 1000.0 / scale
    corner = np.array([room.left + 10.0, room.bottom + below])
    width, length = use.roll.width * unit, (span[1] - span[0]) * unit

    def at(points: Floats) -> Floats:
        return frozen_array((np.asarray(points) - np.array([span[0], 0.0])) * unit + corner)

    ends = np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]) + corner
    items: list[Item] = [Line("hull", frozen_array(ends[[0, 1]])), Line("hull", frozen_array(ends[[2, 3]]))]
    items += [
        Line("hull" if span[0] == 0.0 else "ghost", frozen_array(ends[[0, 3]])),
        Line("hull" if abs(span[1] - use.length) < 1e-9 else "ghost", frozen_array(ends[[1, 2]])),
    ]
    if span[0] == 0.0:
        items.append(Text("text", corner[0] - 2.0, corner[1] + width / 2.0, END_WORDS, 2.5, 90.0, "middle"))
    items += _tape(span, unit, corner, show)
    box = shapely.box(span[0], 0.0, span[1], use.roll.width)
    for piece in pieces:
        parts = _parts(shapely.intersection(shapely.Polygon(piece.outline), box))
        if parts:
            items += _piece(piece, parts, at, unit, span)
    return items


def _parts(shown: Any) -> list[Any]:
    """Return the polygons of a geometry that are more than a sliver."""
    return [p for p in getattr(shown, "geoms", [shown]) if p.geom_type == "Polygon" and p.area > SLIVER]


def _tape(span: tuple[float, float], unit: float, corner: Floats, show: Show) -> list[Item]:
    items: list[Item] = []
    step = 0.3048 if show == "imperial" else 0.5
    for tick in np.arange(np.ceil(span[0] / step - 1e-9), np.floor(span[1] / step + 1e-9) + 1.0):
        x = float((tick * step - span[0]) * unit + corner[0])
        items.append(Line("dimension", frozen_array([[x, corner[1]], [x, corner[1] - 2.5]])))
        words = f"{abs(tick):.0f} ft" if show == "imperial" else f"{abs(tick * step):.1f} m"
        items.append(Text("text", x, corner[1] - 5.5, words, 2.2, 0.0, "middle"))
    return items


def _piece(piece: Numbered, parts: Sequence[Any], at: ToSheet, unit: float, span: tuple[float, float]) -> list[Item]:
    """Outline, number and code of a piece, an arrow for its top side, and its corners A and B where they show."""
    items: list[Item] = []
    for part in parts:
        items.append(Line("segment", at(np.asarray(part.exterior.coords)[:-1]), True))
    largest = max(parts, key=lambda part: part.area)
    words = f"{piece.number}  {piece.code}"
    dots = [(at(corner[None, :])[0], RINGS[letter]) for letter, corner in zip("AB", piece.corners, strict=True)]
    rings = shapely.union_all([shapely.Point(dot).buffer(radius) for dot, radius in dots])
    whole = shapely.Polygon(at(np.asarray(largest.exterior.coords)))
    clear = _parts(whole.difference(rings)) or [whole]  # of a sliver at the end of a page the ring may leave nothing
    (x, y), size, upright = _label(max(clear, key=lambda part: float(part.area)), words)
    shift = np.array([size / 2.0, 0.0]) if upright else np.array([0.0, -size / 2.0])
    items.append(Text("text", x + float(shift[0]), y + float(shift[1]), words, size, 90.0 * upright, "middle"))
    for corner, (dot, radius) in zip(piece.corners, dots, strict=True):
        if span[0] - 1e-9 <= corner[0] <= span[1] + 1e-9:
            items.append(Circle("mark", float(dot[0]), float(dot[1]), radius))
    return items


def _label(outline: shapely.Polygon, words: str) -> tuple[tuple[float, float], float, bool]:
    """Return middle, height [mm] and whether upright of the largest lettering that stays inside an outline [mm].

    Tried in the middle of the largest circle inside, which on a long strip may lie at either end, and in the centroid.
    Where none fits, the smallest: a piece cut by the end of a page is whole on a neighbouring one.
    """
    left, low, right, high = outline.bounds
    upright = (high - low) > (right - left)
    circle = shapely.maximum_inscribed_circle(outline, 0.1)
    middles = [tuple(float(value) for value in point) for point in (circle.coords[0], outline.centroid.coords[0])]
    for size in np.arange(22, 10, -1) / 10.0:
        half = 0.5 * text_width(words, float(size)), 0.5 * float(size)
        for way in (upright, not upright):
            wide, tall = half[::-1] if way else half
            for x, y in middles:
                if outline.contains(shapely.box(x - wide, y - tall, x + wide, y + tall)):
                    return (x, y), float(size), way
    return (middles[0][0], middles[0][1]), 1.1, upright


def _notes(layout: Layout, use: RollUse, room: Room, show: Show) -> list[Item]:
    problem = layout.problem
    y = room.bottom + 4.0
    items: list[Item] = list(arrow([room.left + 10.0, y + 9.0], [room.left + 40.0, y + 9.0]))
    items.append(Text("text", room.left + 43.0, y + 7.8, "warp. Outside of the cloth up.", 3.0, 0.0, "start", True))
    told = (
        f"{use.pieces} pieces on {format_length(use.length, show)} of cloth {format_length(use.roll.width, show)} wide:"
        f" {format_area(use.area, show)} in the pieces, {100.0 * use.use:.1f} % of it used; at least"
        f" {format_length(problem.gap, show)} between pieces, {format_length(problem.margin, show)} from the edges."
    )
    for k, line in enumerate([*wrap(told, 2.6, room.width - 12.0), *wrap(_key(), 2.6, room.width - 12.0)]):
        items.append(Text("text", room.left + 10.0, y + 3.0 - 4.2 * k, line, 2.6))
    return items


def _key() -> str:
    return (
        "Large ring: corner A; small ring: corner B; they lie furthest apart. Square the end of the roll first; hook"
        " the tape there and leave it."
    )


def _notes_again(room: Room) -> list[Item]:
    return [Text("text", room.left + 10.0, room.bottom + 4.0, _key(), 2.6)]


def _tables(pieces: Sequence[Numbered], room: Room, show: Show) -> list[list[Item]]:
    """Tables of corners in columns, as many pages as it takes."""
    count = 2 if show == "metric" else 1
    gutter = 10.0
    width = (room.width - gutter * (count - 1)) / count
    at = [0.0, 9.0, 27.0, 44.0, 61.0, 78.0, 95.0] if count == 2 else [0.0, 10.0, 32.0, 80.0, 128.0, 176.0, 222.0]
    head = ("no.", "piece", "A along", "A across", "B along", "B across", "lies")
    pages: list[list[Item]] = []
    left = list(pieces)
    while left:
        items: list[Item] = []
        for number in range(count):
            column = Column(room.left + number * (width + gutter), room.top, width, room.bottom)
            column.row(head, at, HEAD, True)
            while left and column.top - 1.75 * TABLE >= column.bottom:
                piece = left.pop(0)
                corners = [_distance(float(value), show) for value in piece.corners.ravel()]
                column.row((f"{piece.number}", piece.code, *corners, _lies(piece.lie)), at, TABLE)
            items += column.items
            if not left:
                break
        pages.append(items)
    return pages


def _distance(value: float, show: Show) -> str:
    return (
        side_words(1000.0 * value, show).removesuffix(" mm") if show == "metric" else side_words(1000.0 * value, show)
    )


def _lies(lie: Lie) -> str:
    words = [word for word, is_so in (("half a turn", lie.turned), ("flipped", lie.flipped)) if is_so]
    return ", ".join(words) or "as drawn"


# ------------------------------------------------------------------------------------------------------- true size


def true_size_sheets(layout: Layout, longest: float = LONGEST) -> list[Sheet]:
    """Return every roll at true size, cut into pages no longer than a PDF page may be.

    Parameters
    ----------
    layout : Layout
    longest : float [mm]
        Of a page, borders in.

    Notes
    -----
    Pages end where the fewest pieces are cut in two; those are drawn on both pages, and both carry the same line to
    join them by.
    """
    sheets = []
    for use in roll_uses(layout):
        pieces = numbered(layout, use.number)
        ends = page_ends(pieces, use.length, (longest - 2.0 * EDGE) / 1000.0)
        for number, span in enumerate(zip([0.0, *ends[:-1]], ends, strict=True)):
            sheets.append(_true_sheet(layout, use, pieces, span, f"{number + 1} of {len(ends)}"))
    return sheets


def page_ends(pieces: Sequence[Numbered], length: float, longest: float) -> list[float]:
    """Return where pages of a roll end [m], each at most `longest` [m] after the one before, the last at its length."""
    reach = np.array([[p.outline[:, 0].min(), p.outline[:, 0].max()] for p in pieces])
    ends: list[float] = []
    start = 0.0
    while length - start > longest + 1e-9:
        places = np.linspace(start + 0.7 * longest, start + longest, 61)
        crossed = ((reach[:, 0] < places[:, None]) & (reach[:, 1] > places[:, None])).sum(axis=1)
        best = np.flatnonzero(crossed == crossed.min())[-1]
        start = float(places[best])
        ends.append(start)
    return [*ends, length]


def _true_sheet(
    layout: Layout, use: RollUse, pieces: Sequence[Numbered], span: tuple[float, float], number: str
) -> Sheet:
    width, length = 1000.0 * use.roll.width, 1000.0 * (span[1] - span[0])
    corner = np.array([EDGE, EDGE])

    def at(points: Floats) -> Floats:
        return frozen_array((np.asarray(points) - np.array([span[0], 0.0])) * 1000.0 + corner)

    ends = np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]) + corner
    items: list[Item] = [Line("register", frozen_array(ends), True)]
    box = shapely.box(span[0], 0.0, span[1], use.roll.width)
    for piece in pieces:
        for part in _parts(shapely.intersection(shapely.Polygon(piece.outline), box)):
            items.append(Line("cut", at(np.asarray(part.exterior.coords)[:-1]), True))
            middle = at(np.asarray(part.representative_point().coords))[0]
            words = f"{piece.number}  {piece.code}"
            items.append(Text("text", float(middle[0]), float(middle[1]), words, 10.0, 0.0, "middle"))
    name = f"{layout.problem.cloth} cloth, {use.roll.name}, {number}"
    told = f"{name}: {span[0]:.3f} m to {span[1]:.3f} m along the roll; warp along the page; outside of the cloth up"
    items.append(Text("text", EDGE, EDGE / 3.0, told, 6.0))
    return Sheet(
        f"roll-{layout.problem.cloth}-{use.number + 1}-{number.split()[0]}", name, length + 2 * EDGE, width + 2 * EDGE,
        tuple(items), "template",
    )  # fmt: skip
