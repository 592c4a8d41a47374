"""How a template is cut into pages of office paper: which orientation, which tiles, how many pages; nothing is drawn.

All lengths are millimetres **on the printed paper**. A printer that draws everything `printer_x` times too long across
the short side of the paper is told to draw 1/printer_x; the page then holds ``printer_x`` times its nominal width in
such millimetres. Tiles are laid so that each one's left and lower edge, trimmed, lies on its neighbours; derived, no
source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from skirtloft.drawing import page
from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.sheet import Area, Circle, Item, Line, Sheet
from skirtloft.errors import ExportError
from skirtloft.export.svg import check_sheet
from skirtloft.maths.frozen import Floats, frozen_array

# width, height [mm] upright. ISO 216 and ANSI Y14.1 (11 x 17 in is size B).
PAPERS = {"A4": page.PAPERS["A4"], "A3": (297.0, 420.0), "Letter": page.PAPERS["Letter"], "Tabloid": (279.4, 431.8)}
PRINTER_MARGIN = {"A4": 10.0, "A3": 10.0, "Letter": 10.16, "Tabloid": 10.16}  # 10 mm or 0.4 in; nothing is drawn in it
OVERLAP = 10.0  # shared by neighbouring tiles; common practice, no source
LEFT_BAND, BOTTOM_BAND = 9.5, 24.0  # room for the rules, the neighbours' codes and the footer
RIGHT_BAND, TOP_BAND = 5.0, 5.0  # room for the neighbours' codes
CLEAR = 3.0  # between the outermost line and the frame, so that nobody cuts along the wrong one [mm]
PAPER_ONLY = ("frame", "register")  # layers that belong to the sheet, not to the piece
KEY_CELL = (5.2, 2.6)  # one tile in the small key
KEY_ROOM = (0.45, 13.0)  # share of the window's width, and height, that the key may take in the footer
SHIFTS = 3  # places tried for the grid, along and across
PRINTER_RANGE = (0.9, 1.1)


@dataclass(frozen=True)
class Tile:
    """One page: its row (0 on top) and column, its code, and the lower left corner of its window on the sheet [mm]."""

    row: int
    column: int
    code: str
    x: float
    y: float


@dataclass(frozen=True)
class TilePlan:
    """A template cut into pages.

    Parameters
    ----------
    paper : str
    landscape : bool
    page : (width, height) [mm on the printed paper]
    scale : (across, up)
        Factor from printed millimetres to millimetres of the file, on the page as it lies: 1/printer.
    margin : (sides, top and bottom) [mm]
    window : (left, bottom, width, height) [mm]
        Where the template shows on each page.
    rows, columns : int
    tiles : tuple of Tile
        Those that are printed, row by row from the top; a blank one only where it is needed to tape others together.
    key : "footer", "page" or ""
        Where the key to the tiles is: small in every footer, on a page of its own, or, for a single page and for a
        row or column too long for the footer, nowhere.
    """

    paper: str
    landscape: bool
    page: tuple[float, float]
    scale: tuple[float, float]
    margin: tuple[float, float]
    window: tuple[float, float, float, float]
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    key: Literal["footer", "page", ""]

    @property
    def page_count(self) -> int:
        """Pages to print."""
        return len(self.tiles) + (self.key == "page")

    @property
    def step(self) -> tuple[float, float]:
        """From one tile to the next, across and up [mm]."""
        return self.window[2] - OVERLAP, self.window[3] - OVERLAP


def tile_plan(sheet: Sheet, paper: str, printer_x: float = 1.0, printer_y: float = 1.0) -> TilePlan:
    """Return the tiles of `sheet` on `paper`, upright or on its side, whichever takes fewer pages.

    Parameters
    ----------
    sheet : Sheet
        A template. What lies on the layers frame and register is the sheet's own and is not tiled.
    paper : "A4", "A3", "Letter" or "Tabloid"
    printer_x, printer_y : float
        Measured length of a printed rule over its nominal length, across the short side and along the long side of
        the paper.

    Raises
    ------
    ExportError
        Unknown paper, printer correction out of range, or nothing to print.
    """
    paper_size(paper)
    for name, value in (("printer_x", printer_x), ("printer_y", printer_y)):
        if not PRINTER_RANGE[0] <= value <= PRINTER_RANGE[1]:
            raise ExportError(
                f"{name} = {value:g} is not between {PRINTER_RANGE[0]} and {PRINTER_RANGE[1]}. A printer that far off "
                "is set to fit the page: switch that off and print at 100 %."
            )
    check_sheet(sheet)
    drawn = _drawn(sheet)
    plans = [_lay(drawn, paper, landscape, printer_x, printer_y) for landscape in (False, True)]
    return min(plans, key=lambda plan: plan.page_count)


def paper_size(paper: str) -> tuple[float, float]:
    """Return width and height of `paper` [mm], upright.

    Raises
    ------
    ExportError
        The paper is not known.
    """
    if paper not in PAPERS:
        raise ExportError(f"Paper {paper!r} is not known; one of {', '.join(PAPERS)} would do.")
    return PAPERS[paper]


def tile_code(row: int, column: int) -> str:
    """Return the code of a tile: rows A, B ... Z, AA from the top, columns 1, 2 ... from the left."""
    letters, left = "", row + 1
    while left > 0:
        left, digit = divmod(left - 1, 26)
        letters = chr(65 + digit) + letters
    return f"{letters}{column + 1}"


def neighbour(plan: TilePlan, tile: Tile, down: int, right: int) -> str:
    """Return the code of the tile so many places down and to the right, or "" where none is printed."""
    code = tile_code(tile.row + down, tile.column + right) if tile.row + down >= 0 and tile.column + right >= 0 else ""
    return code if any(other.code == code for other in plan.tiles) else ""


@dataclass(frozen=True, eq=False)
class _Drawn:
    """Everything drawn of a piece: index of its shapely shapes, and left, bottom, right, top [mm]."""

    tree: Any
    bounds: Floats


def _drawn(sheet: Sheet) -> _Drawn:
    import shapely

    shapes = [shape for item in sheet.items if item.layer not in PAPER_ONLY for shape in _shape(item)]
    if not shapes:
        raise ExportError(f"Sheet {sheet.name}: nothing is drawn on it, so there is nothing to tile.")
    return _Drawn(shapely.STRtree(shapes), frozen_array(shapely.total_bounds(shapes)))


def _touched(drawn: _Drawn, boxes: Floats) -> list[int]:
    """Return which of `boxes` (n, 4) [mm: left, bottom, right, top] meet anything drawn."""
    import shapely

    return sorted(set(drawn.tree.query(shapely.box(*boxes.T), predicate="intersects")[0].tolist()))


def _shape(item: Item) -> Iterator[Any]:
    """Yield the shapely geometry of an item; words count with the box they fill."""
    import shapely

    if isinstance(item, Line):
        points = np.vstack([item.points, item.points[:1]]) if item.closed else np.asarray(item.points)
        yield shapely.linestrings(points) if len(points) > 1 else shapely.points(points[0])
    elif isinstance(item, Circle):
        yield shapely.buffer(shapely.points(item.x, item.y), item.radius)
    elif isinstance(item, Area):
        yield shapely.polygons(item.points)
    elif item.text.strip():
        yield shapely.polygons(text_box(item))


def _lay(drawn: _Drawn, paper: str, landscape: bool, printer_x: float, printer_y: float) -> TilePlan:
    """Return the best plan for one way of holding the paper: the grid is shifted within its slack, fewest tiles win."""
    turned = -1 if landscape else 1
    size, stretch = PAPERS[paper][::turned], (printer_x, printer_y)[::turned]
    page = (size[0] * stretch[0], size[1] * stretch[1])
    margin = (PRINTER_MARGIN[paper] * stretch[0], PRINTER_MARGIN[paper] * stretch[1])
    left, bottom = margin[0] + LEFT_BAND, margin[1] + BOTTOM_BAND
    window = (left, bottom, page[0] - margin[0] - RIGHT_BAND - left, page[1] - margin[1] - TOP_BAND - bottom)
    low, high = np.array(drawn.bounds[:2]) - CLEAR, np.array(drawn.bounds[2:]) + CLEAR
    view = np.array(window[2:])
    counts = np.maximum(1, np.ceil((high - low - OVERLAP) / (view - OVERLAP) - 1e-9)).astype(int)
    columns, rows = int(counts[0]), int(counts[1])
    slack = counts * (view - OVERLAP) + OVERLAP - (high - low)
    shares = np.linspace(0.0, 1.0, SHIFTS)[[1, 0, 2]]  # in the middle if that is as good as any
    choices = [_kept(drawn, low - slack * (across, up), view, rows, columns) for across in shares for up in shares]
    tiles = min(choices, key=len)
    fits = columns * KEY_CELL[0] <= KEY_ROOM[0] * window[2] and rows * KEY_CELL[1] <= KEY_ROOM[1]
    key: Literal["footer", "page", ""] = (
        "" if len(tiles) == 1 else "footer" if fits else "page" if min(rows, columns) > 1 else ""
    )
    scale = (1 / stretch[0], 1 / stretch[1])
    return TilePlan(paper, landscape, page, scale, margin, window, rows, columns, tiles, key)


def _kept(drawn: _Drawn, corner: Floats, view: Floats, rows: int, columns: int) -> tuple[Tile, ...]:
    """Return the tiles that show something the tiles laid over them do not, and blank ones where others need them.

    A tile is covered at its right by the overlap of the next one and at its top by that of the one above; so its own
    share runs from its lower left corner one step to the right and up, at the last column and the top row to the end.
    """
    step = view - OVERLAP
    row, column = np.divmod(np.arange(rows * columns), columns)
    x, y = corner[0] + column * step[0], corner[1] + (rows - 1 - row) * step[1]
    right = np.where(column == columns - 1, x + view[0], x + step[0])
    top = np.where(row == 0, y + view[1], y + step[1])
    touched = _touched(drawn, np.column_stack([x, y, right, top]))
    places = sorted(_connected({divmod(i, columns) for i in touched}))
    return tuple(
        Tile(row, column, tile_code(row, column), float(corner[0] + column * step[0]), float(y[row * columns]))
        for row, column in places
    )


def _connected(places: set[tuple[int, int]]) -> set[tuple[int, int]]:
    """Return `places` (row, column) with the fewest blank ones that let each be taped, edge to edge, to the rest."""
    done = _reached(places, min(places))
    while done != places:
        near, far = min(
            ((a, b) for a in done for b in places - done),
            key=lambda pair: (abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1]), pair),
        )
        rows, columns = range(*sorted((near[0], far[0]))), range(*sorted((near[1], far[1])))
        places = (
            places | {(row, near[1]) for row in rows} | {(far[0], column) for column in columns} | {(far[0], near[1])}
        )
        done = _reached(places, min(places))
    return places


def _reached(places: set[tuple[int, int]], start: tuple[int, int]) -> set[tuple[int, int]]:
    """Return the places that can be reached from `start` through shared edges."""
    reached, waiting = {start}, [start]
    while waiting:
        row, column = waiting.pop()
        around = {(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)} & places - reached
        reached |= around
        waiting += around
    return reached
