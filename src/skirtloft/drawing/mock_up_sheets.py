"""The mock-up on paper: plan board, formers, loop panels and a few segments, each with its scale, to cut from card."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.design.quantity import INCH
from skirtloft.drawing.dimension import length_text, readable_angle
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.mock_up import MockFormer, MockUp
from skirtloft.drawing.page import Stamp, drawn_length, page_size
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.drawing.template import distinct, lay_on_sheet
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import CutPiece
from skirtloft.pipeline import Skirt

MARGIN = 4.0  # mm of paper round everything
ROLL = (900.0, math.inf)  # mm for parts on a sheet for a plotter or a machine
PAGE_MARGIN = 11.0  # mm that printers leave white
SLOT_ROOM = 3.0  # mm
TURNED = 188.0  # mm: wider pieces are turned where that makes them fit across a page
ALIKE = 0.02  # mm between the outlines of formers that are cut alike
TITLES = {"formers": "Formers", "panels": "Loop panels, port and centre", "segments": "Segments to try"}
HEAD = 17.0  # mm kept below for scale bar and words
SPACE = 4.0  # mm between two parts
BAR = 100.0  # mm of paper; 4 in where inches are shown
FACES = 4  # kinds of segments shown: enough to try, not a set
SMALL, LETTERS = 2.2, 3.0  # mm

Place = Callable[[Floats], Floats]


@dataclass(frozen=True, eq=False)
class _Part:
    """A part to cut: size [mm], and what draws it where its lower left corner is put."""

    width: float
    height: float
    draw: Callable[[float, float], list[Item]]


@dataclass(frozen=True, eq=False)
class MockUpSheets:
    """Everything to cut, as templates at the scale of the mock-up.

    Parameters
    ----------
    board : Sheet
    pages : by kind ("formers", "panels", "segments"), pages of office paper with what fits on one
    large : by kind, one sheet with what does not; missing where everything fits
    whole : by kind, one sheet with all of it, for a machine
    """

    board: Sheet
    pages: dict[str, list[Sheet]]
    large: dict[str, Sheet]
    whole: dict[str, Sheet]


def mock_up_sheets(skirt: Skirt, made: MockUp, stamp: Stamp, paper: str) -> MockUpSheets:
    """Return board, formers, loop panels and segments; `paper` is "A4" or "Letter"."""
    alike = cut_alike(made.formers)
    kinds = {
        "formers": [_former_part(group, made, stamp) for group in alike],
        "panels": [_piece_part(piece, made) for piece, _ in distinct(skirt.pieces) if piece.kind == "loop_panel"],
        "segments": [_piece_part(piece, made) for piece in _tried(skirt)],
    }
    pages, large, whole = {}, {}, {}
    size = page_size(paper, False)
    room = (size[0] - 2 * PAGE_MARGIN, size[1] - 2 * PAGE_MARGIN - HEAD)
    for kind, parts in kinds.items():
        title = TITLES[kind]
        small = [part for part in parts if _fits(part, room)]
        rows = _packed(small, room)
        pages[kind] = [
            _sheet(f"{kind}-{k}", f"{title}, {k} of {len(rows)}", laid, made, stamp, size)
            for k, laid in enumerate(rows, start=1)
        ]
        if big := [part for part in parts if not _fits(part, room)]:
            large[kind] = _sheet(f"{kind}-large", f"{title}, large", _packed(big, ROLL)[0], made, stamp)
        whole[kind] = _sheet(kind, title, _packed(parts, ROLL)[0], made, stamp)
    return MockUpSheets(_board_sheet(made, stamp), pages, large, whole)


def cut_alike(formers: Sequence[MockFormer]) -> list[list[MockFormer]]:
    """Return the formers in groups that are cut alike."""
    groups: list[list[MockFormer]] = []
    for former in formers:
        for group in groups:
            other = group[0]
            same = former.run == other.run and former.outline.shape == other.outline.shape
            if same and np.abs(former.outline - former.edge - other.outline + other.edge).max() < ALIKE:
                group.append(former)
                break
        else:
            groups.append([former])
    return groups


def _fits(part: _Part, room: tuple[float, float]) -> bool:
    return part.width <= room[0] and part.height <= room[1]


def _tried(skirt: Skirt) -> list[CutPiece]:
    """Return some of the faces, and the webs that go with them."""
    faces = [piece for piece, _ in distinct(skirt.pieces) if piece.kind == "face"][:FACES]
    joined = {edge.joins.split("-")[0] for face in faces for edge in face.edges if edge.kind == "seam"}
    return [*faces, *(piece for piece, _ in distinct(skirt.pieces) if piece.kind == "web" and piece.base in joined)]


def _packed(parts: Sequence[_Part], room: tuple[float, float]) -> list[list[tuple[_Part, float, float]]]:
    """Return parts with their places from the upper left, page by page: in rows, the highest first."""
    wide, high = room
    pages: list[list[tuple[_Part, float, float]]] = []
    left = sorted(parts, key=lambda part: (-part.height, -part.width))
    while left:
        laid: list[tuple[_Part, float, float]] = []
        x = top = row = 0.0
        for part in list(left):
            if x > 0.0 and x + part.width > wide:
                x, top, row = 0.0, top + row + SPACE, 0.0
            if laid and top + part.height > high:
                continue
            laid.append((part, x, top))
            left.remove(part)
            x, row = x + part.width + SPACE, max(row, part.height)
        pages.append(laid)
    return pages


def _sheet(
    name: str,
    title: str,
    laid: Sequence[tuple[_Part, float, float]],
    made: MockUp,
    stamp: Stamp,
    size: tuple[float, float] | None = None,
) -> Sheet:
    """Return a sheet of parts; of the size [mm] of a page, or as large as it must be."""
    width = max(BAR + 40.0, max(x + part.width for part, x, _ in laid)) + 2 * MARGIN
    height = max(top + part.height for part, _, top in laid) + 2 * MARGIN + HEAD
    left, low = MARGIN, MARGIN
    if size is not None:
        (width, height), left, low = size, PAGE_MARGIN, PAGE_MARGIN
    items = _foot(title, made, stamp, (left, low, width - 2 * left))
    for part, x, top in laid:
        items += part.draw(left + x, height - low - top - part.height)
    return Sheet(name, f"Mock-up {scale_words(made)}: {title}", width, height, tuple(items), "template")


def scale_words(made: MockUp) -> str:
    """Return "1 : 5"."""
    return f"1 : {made.size.one_to:g}"


def _foot(title: str, made: MockUp, stamp: Stamp, place: tuple[float, float, float]) -> list[Item]:
    """The scale bar with its words; `place` is left, bottom and width [mm]."""
    left, low, width = place
    show = stamp.project.show
    parts, step = (4, 1000.0 * INCH) if show == "imperial" else (10, BAR / 10.0)
    long = parts * step
    real, paper = long * made.size.one_to / 1000.0, long / 1000.0
    items: list[Item] = [Line("mark", frozen_array([[left, low], [left + long, low]]))]
    for k in range(parts + 1):
        x, tall = left + step * k, 3.0 if k % (parts // 2) == 0 else 1.8
        items.append(Line("mark", frozen_array([[x, low], [x, low + tall]])))
    bar = f"{drawn_length(real, show)} of the craft, {drawn_length(paper, show)} of paper"
    warn = [line for line in (stamp.banner, stamp.record) if line]
    words = [
        f"{stamp.project.name}, revision {stamp.revision}: mock-up {scale_words(made)}, card"
        f" {length_text(made.size.card, show)}",
        f"{title}; {bar}",
        *warn[:1],
    ]
    for k, line in enumerate(words):
        size = SMALL if k else LETTERS
        while text_width(line, size, k == 0) > width and size > 1.2:
            size -= 0.1
        items.append(Text("text", left, low + 13.0 - 4.0 * k, line, size, 0.0, "start", k == 0))
    return items


def _former_part(alike: Sequence[MockFormer], made: MockUp, stamp: Stamp) -> _Part:
    former = alike[0]
    names = listed_stations([one.id for one in alike])
    low, high = former.outline.min(axis=0), former.outline.max(axis=0)
    width, height = (float(side) for side in high - low)

    def draw(x: float, y: float) -> list[Item]:
        shift = np.array([x, y]) - low

        def at(points: Floats) -> Floats:
            return frozen_array(points + shift)

        j, g, inner, e = (at(point) for point in (former.joint, former.tip, former.inner, former.edge))
        items: list[Item] = [
            Line("cut", at(former.outline), True),
            Line("sew", frozen_array([j, inner, g] if former.inner[0] >= former.inner_end - 1e-6 else [g, j])),
        ]
        for name, point, aside, up in (("E", e, 0.0, -6.0), ("J", j, -6.0, 1.5), ("G", g, 0.0, 6.0)):
            items.append(Circle("mark", float(point[0]), float(point[1]), 0.5))
            a, b = float(point[0]) + aside, float(point[1]) + up
            items.append(Text("text", a, b, name, LETTERS, 0.0, "middle", True))
        left, right = x, float(j[0])
        base = y + former.slot[1] + former.slot[3] / 2.0 + 3.0
        lines = (
            names,
            f"cut {len(alike)}" + (", one for each" if len(alike) > 1 else ""),
            former.run.replace("_", " "),
            f"edge {drawn_length(former.edge[1] * made.size.one_to / 1000.0, stamp.project.show)} up",
        )
        for k, line in enumerate(lines):
            size = 4.0 if k == 0 else SMALL
            while text_width(line, size, k == 0) > right - left - 8.0 and size > 1.2:
                size -= 0.1
            up = base + 1.7 * SMALL * (len(lines) - 1 - k)
            items.append(Text("text", (left + right) / 2.0, up, line, size, 0.0, "middle", k == 0))
        return items

    return _Part(width, height, draw)


def listed_stations(names: Sequence[str]) -> str:
    """Return "P10 to P13" for names that follow each other, else all of them."""
    numbers = [int(name[1:]) for name in names]
    if len(names) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{names[0]} to {names[-1]}"
    return ", ".join(names)


def _piece_part(piece: CutPiece, made: MockUp) -> _Part:
    """A sewn piece at the mock-up's scale, cut on its sewing lines, turned to lie low on the page."""
    laid = lay_on_sheet(piece)
    edges = [edge / made.size.one_to for edge in laid.edges]
    ring = np.vstack([edge[:-1] for edge in (edges if piece.drawn_x_left is False else edges[::-1])])
    size_of = np.ptp(ring, axis=0)
    if is_turned := bool(size_of[0] > TURNED >= size_of[1]):
        turn = np.array([[0.0, -1.0], [1.0, 0.0]])
        edges, ring = [edge @ turn.T for edge in edges], ring @ turn.T
    low = ring.min(axis=0)
    width, height = (float(side) for side in np.ptp(ring, axis=0))

    def draw(x: float, y: float) -> list[Item]:
        shift = np.array([x, y]) - low
        centre = (ring.min(axis=0) + ring.max(axis=0)) / 2.0 + shift
        items: list[Item] = [Line("cut", frozen_array(ring + shift), True)]
        for edge, points in zip(piece.edges, edges, strict=True):
            items += _edge_words(edge.letter or edge.name.removeprefix("seam "), points + shift, edge.kind == "seam")
        name = f"{piece.base}" + (f"  {piece.stations}" if piece.stations else "")
        words = min(4.0, 0.12 * max(width, height))
        lying = width >= 0.8 * text_width(name, words, True) + 8.0
        while text_width(name, words, True) > (width - 18.0 if lying else height - 24.0) and words > 1.6:
            words -= 0.1
        items.append(
            Text("text", float(centre[0]), float(centre[1]), name, words, 0.0 if lying else 90.0, "middle", True)
        )
        note = {"web": "two: P and S", "face": "as many as you like"}.get(piece.kind, "")
        if note:
            aside = 5.0 if piece.kind == "web" else -4.0  # a web is wide above
            size = min(SMALL, width / 30.0)
            items.append(Text("text", float(centre[0]), float(centre[1]) + aside, note, size, 0.0, "middle"))
        if piece.kind == "loop_panel" and not piece.hand:
            across = np.array([1.0, 0.0]) if is_turned else np.array([0.0, 1.0])
            half = (width if is_turned else height) / 2.0
            start = max(0.4, (text_width(name, words, True) / 2.0 + 1.5) / half if lying == is_turned else 0.0)
            for way in (across, -across) if start < 0.7 else ():  # between the edge's words and the piece's
                ends = [centre + way * share * half for share in (start, 0.8)]
                items.append(Line("fold", frozen_array(ends)))
        return items

    return _Part(width, height, draw)


def _edge_words(name: str, points: Floats, seam: bool) -> list[Item]:
    """The name of an edge inside its middle, and on a seam a tick there: like meets like."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(steps)])
    k = int(np.clip(np.searchsorted(at, at[-1] / 2.0), 1, len(points) - 1))
    along = (points[k] - points[k - 1]) / max(float(steps[k - 1]), 1e-9)
    middle = points[k - 1] + along * (at[-1] / 2.0 - at[k - 1])
    inside = np.array([-along[1], along[0]])
    angle = readable_angle(math.degrees(math.atan2(along[1], along[0])))
    up = np.array([-math.sin(math.radians(angle)), math.cos(math.radians(angle))])
    base = middle + inside * 3.6 - up * SMALL / 2.0
    items: list[Item] = []
    if seam:
        items.append(Line("mark", frozen_array([middle, middle + 2.0 * inside])))
    if text_width(name, SMALL) < at[-1] - 4.0:
        items.append(Text("text", float(base[0]), float(base[1]), name, SMALL, angle, "middle"))
    return items


def _board_sheet(made: MockUp, stamp: Stamp) -> Sheet:
    """The plan board, bow to the right, with hull edge, stations and slots."""
    every = np.vstack([made.board, made.hull])
    low, high = every.min(axis=0), every.max(axis=0)
    shift = np.array([MARGIN, MARGIN + HEAD]) - low
    width, height = (float(side) for side in high + shift + MARGIN)

    def at(points: Floats) -> Floats:
        return frozen_array(points + shift)

    items: list[Item] = [Line("cut", at(made.board), True), Line("sew", at(made.hull))]
    items.append(Line("axis", at(np.array([[low[0], 0.0], [high[0], 0.0]]))))
    for slot in made.slots:
        place = at(slot.closed - 5.0 * slot.outward)
        angle = readable_angle(math.degrees(math.atan2(slot.outward[1], slot.outward[0])))
        ends = "end" if math.cos(math.radians(angle)) * slot.outward[0] + math.sin(
            math.radians(angle)
        ) * slot.outward[1] > 0.0 else "start"  # fmt: skip
        up = 2.0 if abs(slot.closed[1]) < SLOT_ROOM else -1.0  # clear of the centre line
        items.append(Text("text", float(place[0]), float(place[1]) + up, slot.id, SMALL, angle, ends))  # type: ignore[arg-type]
    centre = at(np.array([float(low[0] + high[0]) / 2.0, 0.0]))
    words = (
        f"Plan board, port half; bow to the right, middle of the card {made.level:.1f} mm above the table",
        "rim: joint line; long dashes: hull edge above or outside it; dash and dot: centre line",
    )
    for k, line in enumerate(words):
        items.append(Text("text", float(centre[0]), float(centre[1]) + 14.0 - 5.0 * k, line, LETTERS, 0.0, "middle"))
    items += _foot("Plan board", made, stamp, (MARGIN, MARGIN, width - 2 * MARGIN))
    return Sheet("board", f"Mock-up {scale_words(made)}: plan board", width, height, tuple(items), "template")
