"""Finds a free place for every label of a piece, inside its outline and clear of everything drawn.

The piece is laid out on a board of small cells; a cell is taken where anything is drawn in it or it lies outside. With
the running sum of taken cells over the board, every place of a level or upright block is tested at once; blocks along
an edge or at another angle are tested by their own cells. Derived; no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.drawing.dimension import direction, readable_angle
from skirtloft.drawing.label import (
    COST_OF_TURNING,
    LEAST_HEIGHT,
    Block,
    Label,
    block_box,
    blocks,
    closest_packed,
    draw_block,
    lower,
)
from skirtloft.drawing.lettering import text_box
from skirtloft.drawing.sheet import Area, Circle, Item, Line
from skirtloft.errors import ExportError
from skirtloft.maths.frozen import Floats

CLEARANCE = 1.5  # between a letter and anything drawn [mm]; requirement
EASE = 1.5  # more than the clearance, where there is room for it [mm]; for looks
BETWEEN = 0.7  # more than that between two labels [mm]; for looks
ROUND_HEIGHTS = (99.0, 99.0, 7.0, 5.0, 5.0, 4.2, LEAST_HEIGHT, LEAST_HEIGHT, LEAST_HEIGHT)  # tallest letters [mm]
CLOSE_ROUNDS = 12  # more orders tried with everything at its shortest
WINDOWS = (40.0, 160.0, np.inf)  # how far round the wanted place to look, in turn [mm]
Taken = npt.NDArray[np.bool_]
Totals = npt.NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Board:
    """Cells over a piece: lower left corner (2,) [mm], cell size (2,) [mm], taken (rows, columns)."""

    corner: Floats
    cell: Floats
    taken: Taken


@dataclass(frozen=True, eq=False)
class Spot:
    """A place found: block, middle (2,) [mm], angle [deg]."""

    block: Block
    middle: Floats
    angle: float


def place_labels(outline: Floats, drawn: Sequence[Item], labels: Sequence[Label], piece: str) -> tuple[Item, ...]:
    """Return the items of `labels`, each in a free place inside `outline` (n, 2) [mm], clear of everything `drawn`.

    Labels are placed in the order given. One that finds no room is tried in its shorter forms, smaller down to 3.5 mm,
    anywhere on the piece, then split up; then the whole is started again with it first. At last everything is packed
    as close as it goes, and then without the spare labels.

    Raises
    ------
    ExportError
        A required label has no room at 3.5 mm; names `piece` and the label.
    """
    bare = _board(outline, drawn)
    order = list(labels)
    for tallest in ROUND_HEIGHTS:
        items, missed = _one_round(bare, [lower(label, tallest) for label in order])
        if missed is None:
            return items
        order = _with_first(order, missed)
    packed = _closest_packed(order, outline)
    for order in (packed, [label for label in packed if not label.spare]):
        for _ in range(CLOSE_ROUNDS):
            items, missed = _one_round(bare, order)
            if missed is None:
                return items
            order = _with_first(order, missed)
    raise ExportError(
        f"Piece {piece}: no room inside the piece for {missed} in letters of {LEAST_HEIGHT} mm. "
        "Make the piece larger: a longer pitch, fewer stations, or wider allowances."
    )


def _with_first(order: Sequence[Label], name: str) -> list[Label]:
    """Return the labels with the one called `name` in front; a label it is a part of is split up there."""
    where = next(i for i, label in enumerate(order) if name in {label.name, *(part.name for part in label.otherwise)})
    label = order[where]
    parts = [label] if label.name == name else sorted(label.otherwise, key=lambda part: part.name != name)
    return [*parts, *order[:where], *order[where + 1 :]]


def _closest_packed(labels: Sequence[Label], outline: Floats) -> list[Label]:
    """Return what must be said, at its shortest and smallest, each as far to one end as it goes.

    What follows an edge comes first, then the largest.
    """
    parts = [part for label in labels for part in (label.otherwise or (label,)) if part.required]
    low, high = outline.min(axis=0), outline.max(axis=0)
    end = low * [1.0, 0.5] + high * [0.0, 0.5]
    packed = [closest_packed(part, end) for part in parts]
    return sorted(packed, key=lambda label: (label.edge is None, -min(b.width * b.height for b in blocks(label))))


def _one_round(bare: Board, order: Sequence[Label]) -> tuple[tuple[Item, ...], str | None]:
    """Return the items placed in this order, and the name of the first required label that found no room."""
    board = Board(bare.corner, bare.cell, bare.taken.copy())
    items: list[Item] = []
    waiting = list(order)
    while waiting:
        label = waiting.pop(0)
        spot = find_spot(board, label)
        if spot is not None:
            items += draw_block(spot.block, spot.middle, spot.angle)
            _take_area(board, block_box(spot.block, spot.middle, spot.angle, BETWEEN))
        elif label.otherwise:
            waiting = [*label.otherwise, *waiting]
        elif label.required:
            return tuple(items), label.name
    return tuple(items), None


def find_spot(board: Board, label: Label) -> Spot | None:
    """Return the cheapest free place of `label` on `board`: along its edge first, then anywhere within reach."""
    ways = blocks(label)
    if label.edge is not None:
        spot = _along_edge(board, label, ways)
        if spot is not None:
            return spot
    total = np.zeros((board.taken.shape[0] + 1, board.taken.shape[1] + 1), np.int32)
    total[1:, 1:] = board.taken.cumsum(axis=0, dtype=np.int32).cumsum(axis=1)
    for clearance in (CLEARANCE + EASE, CLEARANCE):
        spot = _anywhere(board, total, label, ways, clearance)
        if spot is not None:
            return spot
    return None


def _anywhere(board: Board, total: Totals, label: Label, ways: Sequence[Block], clearance: float) -> Spot | None:
    """Return the cheapest free place of `label` within its reach, what is given up counted as distance."""
    best: Spot | None = None
    least = np.inf
    for block in ways:
        for turn, angle in enumerate(label.angles):
            base = block.cost + COST_OF_TURNING * turn
            reach = min(least - base, label.reach)
            if reach <= 0.0:
                continue
            if abs(angle) % 90.0 < 1e-6:
                found = _level(board, total, block, angle, label.at, clearance, reach)
            else:
                found = _tilted(board, block, angle, label.at, clearance, reach)
            if found is not None and base + found[0] < least:
                least, best = base + found[0], Spot(block, found[1], angle)
    return best


def _level(
    board: Board, total: Totals, block: Block, angle: float, at: Floats, clearance: float, reach: float
) -> tuple[float, Floats] | None:
    """Return distance and middle of the free place nearest to `at`, for a level or an upright block.

    Looked for near `at` first: what is found nearer than the window is wide cannot be bettered outside it.
    """
    size = np.array([block.width, block.height]) + 2 * clearance
    cells = np.ceil((size[::-1] if abs(angle) > 1e-6 else size) / board.cell - 1e-9).astype(int)
    for window in WINDOWS:
        found = _in_window(board, total, cells, at, min(window, reach))
        if found is not None and found[0] <= min(window, reach):
            return found
        if window >= reach:
            break
    return None


def _in_window(
    board: Board, total: Totals, cells: npt.NDArray[np.int_], at: Floats, window: float
) -> tuple[float, Floats] | None:
    """Return distance and middle of the nearest free block of so many cells (x, y), about `window` [mm] round `at`."""
    rows, columns = board.taken.shape
    low, high = np.zeros(2, dtype=int), np.array([columns, rows]) - cells
    if np.isfinite(window):
        first = (at - window - board.corner) / board.cell - cells / 2.0
        low = np.maximum(low, np.floor(first).astype(int))
        high = np.minimum(high, np.ceil(first + 2 * window / board.cell).astype(int))
    if np.any(low > high):
        return None
    step = np.maximum(1, np.round(np.array([2.0, 1.0]) / board.cell)).astype(int)

    def corner(dx: int, dy: int) -> Totals:
        return total[low[1] + dy : high[1] + dy + 1 : step[1], low[0] + dx : high[0] + dx + 1 : step[0]]

    nx, ny = (int(count) for count in cells)
    j, i = np.nonzero(corner(nx, ny) - corner(0, ny) - corner(nx, 0) + corner(0, 0) == 0)
    if len(i) == 0:
        return None
    corners = low + np.column_stack([i, j]) * step
    middles = board.corner + (corners + cells / 2.0) * board.cell
    distances = np.hypot(*(middles - at).T)
    k = int(distances.argmin())
    return float(distances[k]), middles[k]


def _tilted(
    board: Board, block: Block, angle: float, at: Floats, clearance: float, reach: float
) -> tuple[float, Floats] | None:
    """Return distance and middle of the free place nearest to `at`, for a block at any angle."""
    rows, columns = board.taken.shape
    step = np.maximum(1, np.round(5.0 / board.cell)).astype(int)
    x = board.corner[0] + (np.arange(0, columns, step[0]) + 0.5) * board.cell[0]
    y = board.corner[1] + (np.arange(0, rows, step[1]) + 0.5) * board.cell[1]
    middles = np.column_stack([axis.ravel() for axis in np.meshgrid(x, y)])
    middles = middles[~board.taken[:: step[1], :: step[0]].ravel()]
    distances = np.hypot(*(middles - at).T)
    order = np.argsort(distances)
    order = order[distances[order] <= reach]
    for first in range(0, len(order), 64):
        some = order[first : first + 64]
        free = _are_free(board, block, middles[some], np.full(len(some), angle), clearance)
        if free.any():
            k = some[int(free.argmax())]
            return float(distances[k]), middles[k]
    return None


def _along_edge(board: Board, label: Label, ways: Sequence[Block]) -> Spot | None:
    """Return the cheapest free place along the label's edge, its block turned to the chord of the edge beside it."""
    edge = np.asarray(label.edge)
    steps = np.hypot(*np.diff(edge, axis=0).T)
    at = np.concatenate([[0.0], steps.cumsum()])
    length = float(at[-1])
    for block in ways:
        if block.width > length:
            continue
        room = (length - block.width) / 2.0
        shifts = np.linspace(-room, room, 2 * max(2, int(room / 4.0)) + 1)
        middle_at = length / 2.0 + shifts
        a, b = (_on_edge(edge, at, middle_at + sign * block.width / 2.0) for sign in (-1.0, 1.0))
        chord = (b - a) / np.hypot(*(b - a).T)[:, None]
        left = np.column_stack([-chord[:, 1], chord[:, 0]])
        bulge = _bulge(edge, at, middle_at, block.width, a, left)
        middles, costs = [], []
        for number, band in enumerate(label.bands):
            beyond = np.where(band >= 0, bulge.max(0, initial=0.0), bulge.min(0, initial=0.0))
            middles.append((a + b) / 2.0 + left * (beyond + band + np.sign(band) * block.height / 2.0)[:, None])
            costs.append(0.25 * np.abs(shifts) + 10.0 * number)
        angles = np.tile(np.degrees(np.arctan2(chord[:, 1], chord[:, 0])), len(label.bands))
        spot = _first_free(board, block, np.concatenate(middles), angles, np.concatenate(costs))
        if spot is not None:
            return spot
    return None


def _first_free(board: Board, block: Block, middles: Floats, angles: Floats, costs: Floats) -> Spot | None:
    """Return the free place of least cost among those given."""
    order = np.argsort(costs, kind="stable")
    for first in range(0, len(order), 32):
        some = order[first : first + 32]
        free = _are_free(board, block, middles[some], angles[some], CLEARANCE)
        if free.any():
            k = some[int(free.argmax())]
            return Spot(block, middles[k], readable_angle(float(angles[k])))
    return None


def _on_edge(edge: Floats, at: Floats, where: Floats) -> Floats:
    """Return the points (n, 2) at lengths `where` (n,) along `edge`."""
    return np.column_stack([np.interp(where, at, edge[:, 0]), np.interp(where, at, edge[:, 1])])


def _bulge(edge: Floats, at: Floats, middle_at: Floats, width: float, a: Floats, left: Floats) -> Floats:
    """Return how far (9, n) the edge beside each block stands to the left of the block's chord."""
    parts = np.linspace(-0.5, 0.5, 9)
    heights = [((_on_edge(edge, at, middle_at + part * width) - a) * left).sum(1) for part in parts]
    return np.array(heights)


def _are_free(board: Board, block: Block, middles: Floats, angles: Floats, clearance: float) -> Taken:
    """Return which of the blocks at `middles` (n, 2), `angles` (n,) [deg] lie on free cells, clearance included."""
    half = np.array([block.width, block.height]) / 2.0 + clearance
    along = np.array([direction(float(angle)) for angle in angles])
    up = np.column_stack([-along[:, 1], along[:, 0]])
    cells_per_mm = [float(np.abs(way / board.cell).max()) for way in (along, up)]
    free = np.ones(len(middles), dtype=bool)
    for coarse in (6.0, 1.0):  # most that are taken show it at a glance
        u, v = (
            np.linspace(-h, h, int(np.ceil(2 * h * per_mm / coarse)) + 1)
            for h, per_mm in zip(half, cells_per_mm, strict=True)
        )
        left = np.flatnonzero(free)
        points = (
            middles[left, None, None, :]
            + along[left, None, None, :] * u[None, :, None, None]
            + up[left, None, None, :] * v[None, None, :, None]
        )
        free[left] = ~_taken_at(board, points).any(axis=(1, 2))
    return free


def _taken_at(board: Board, points: Floats) -> Taken:
    """Return which points (..., 2) lie on taken cells or off the board."""
    cells = np.floor((points - board.corner) / board.cell).astype(np.int64)
    rows, columns = board.taken.shape
    x, y = cells[..., 0], cells[..., 1]
    inside = (x >= 0) & (x < columns) & (y >= 0) & (y < rows)
    return np.asarray(board.taken[np.where(inside, y, 0), np.where(inside, x, 0)] | ~inside)


def _board(outline: Floats, drawn: Sequence[Item]) -> Board:
    """Return the board of a piece with its outside and everything drawn on it taken."""
    low, high = outline.min(0), outline.max(0)
    cell = np.clip((high - low) / np.array([360.0, 300.0]), 0.5, 4.0)
    columns, rows = np.ceil((high - low) / cell).astype(int)
    board = Board(low, cell, _outside(outline, low, cell, int(rows), int(columns)))
    _take_line(board, np.vstack([outline, outline[:1]]))
    for item in drawn:
        if isinstance(item, Line):
            _take_line(board, np.vstack([item.points, item.points[:1]]) if item.closed else item.points)
        elif isinstance(item, Circle):
            turn = np.linspace(0.0, 2.0 * np.pi, 33)
            ring = np.column_stack([item.x + item.radius * np.cos(turn), item.y + item.radius * np.sin(turn)])
            _take_line(board, ring)
            _take_line(board, np.array([[item.x, item.y], [item.x, item.y]]))
        elif isinstance(item, Area):
            _take_line(board, np.vstack([item.points, item.points[:1]]))
        else:
            _take_area(board, np.asarray(text_box(item)))
    return board


def _outside(outline: Floats, corner: Floats, cell: Floats, rows: int, columns: int) -> Taken:
    """Return the cells whose middles lie outside the closed `outline`, by counting crossings along each row."""
    a, b = outline, np.roll(outline, -1, axis=0)
    y = corner[1] + (np.arange(rows) + 0.5) * cell[1]
    crosses = (a[:, 1] <= y[:, None]) != (b[:, 1] <= y[:, None])
    row, edge = np.nonzero(crosses)
    part = (y[row] - a[edge, 1]) / (b[edge, 1] - a[edge, 1])
    x = a[edge, 0] + part * (b[edge, 0] - a[edge, 0])
    column = np.ceil((x - corner[0]) / cell[0] - 0.5).astype(int).clip(0, columns)
    count = np.zeros((rows, columns + 1), np.int32)
    np.add.at(count, (row, column), 1)
    return np.asarray(count.cumsum(1)[:, :-1] % 2 == 0)


def _take_line(board: Board, points: Floats) -> None:
    """Take every cell that the polyline passes through."""
    a, b = points[:-1], points[1:]
    counts = np.ceil(np.abs((b - a) / board.cell).max(1) * 2.0).astype(int) + 1
    which = np.repeat(np.arange(len(a)), counts)
    number = np.arange(len(which)) - np.repeat(counts.cumsum() - counts, counts)
    part = number / np.maximum(counts - 1, 1)[which]
    _take(board, a[which] + (b - a)[which] * part[:, None])


def _take_area(board: Board, corners: Floats) -> None:
    """Take every cell under a rectangle given by its corners (4, 2) in order round it."""
    sides = corners[1] - corners[0], corners[3] - corners[0]
    u, v = (np.linspace(0.0, 1.0, int(np.ceil(np.abs(side / board.cell).max())) + 1) for side in sides)
    grid = corners[0] + u[:, None, None] * sides[0] + v[None, :, None] * sides[1]
    _take(board, grid.reshape(-1, 2))


def _take(board: Board, points: Floats) -> None:
    rows, columns = board.taken.shape
    cells = np.floor((points - board.corner) / board.cell).astype(int)
    edge = (cells[:, 0] == columns) | (cells[:, 1] == rows)
    cells = np.where(edge[:, None], np.minimum(cells, [columns - 1, rows - 1]), cells)
    inside = (cells >= 0).all(1) & (cells[:, 0] < columns) & (cells[:, 1] < rows)
    board.taken[cells[inside, 1], cells[inside, 0]] = True
