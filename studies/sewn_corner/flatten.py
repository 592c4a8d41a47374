"""Loop panels of a curved surface laid flat with the least strain, both sides of every seam equally long.

Each panel is flattened freely (orthotropic cloth, Gauss-Newton), every step of a seam is then given the mean of its
two neighbours' lengths and the hull and joint edges their true lengths, and the panels are flattened again under
these conditions. This is the panel the study sews; the program cuts developable strips.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from scipy.sparse import block_array, csr_array
from scipy.sparse.linalg import spsolve

from skirtloft.inflate.flat_mesh import grid_triangles
from skirtloft.inflate.types import FlatMesh
from skirtloft.maths.frozen import Floats
from tests.sewn_cases import CORNER_SEGMENTS, Run, grid_piece

WARP, WEFT, POISSON, SHEAR = 1.0, 0.8, 0.2, 0.05  # of the warp's stiffness; the warp lies along the middle column


def flatten(run: Run, spans: Sequence[tuple[int, int]]) -> list[FlatMesh]:
    """Return the panels between the column `spans`, in a chain sewn end to end."""
    grids = [run.loop[:, a : b + 1] for a, b in spans]
    free = [_Panel(grid).solve(None) for grid in grids]
    left = [_steps(flat[:, 0]) for flat in free]
    right = [_steps(flat[:, -1]) for flat in free]
    seams = [(right[i] + left[i + 1]) / 2.0 for i in range(len(free) - 1)]
    flats = []
    for i, grid in enumerate(grids):
        ends = (seams[i - 1] if i > 0 else left[i], seams[i] if i < len(seams) else right[i])  # ends: mirror planes
        flats.append(_Panel(grid, free[i]).solve(ends))
    return [grid_piece(f"loop {a}", flat) for (a, _), flat in zip(spans, flats, strict=True)]


def _steps(line: Floats) -> Floats:
    return np.linalg.norm(np.diff(line, axis=0), axis=1)


class _Panel:
    """One panel of a grid of points in space (rows, columns, 3), and its flat (rows, columns, 2)."""

    def __init__(self, grid: Floats, flat: Floats | None = None) -> None:
        self._grid = grid
        rows, columns = grid.shape[:2]
        self._number = np.arange(rows * columns).reshape(rows, columns)
        self._triangles = grid_triangles(self._number)
        self._flat = (_first_guess(grid) if flat is None else flat).reshape(-1, 2)
        one, two, three = (grid.reshape(-1, 3)[self._triangles[:, i]] for i in range(3))
        u, v = two - one, three - one
        self._metric = np.stack([[(u * u).sum(1), (u * v).sum(1)], [(u * v).sum(1), (v * v).sum(1)]]).transpose(2, 0, 1)
        self._area = np.linalg.norm(np.cross(u, v), axis=1) / 2.0
        turned = WEFT / WARP * POISSON
        stiff = np.array([[WARP, POISSON * WEFT, 0], [POISSON * WEFT, WEFT, 0], [0, 0, SHEAR * (1 - POISSON * turned)]])
        self._weigh = np.linalg.cholesky(stiff / (1.0 - POISSON * turned)).T
        middle = columns // 2
        held = [2 * self._number[0, middle], 2 * self._number[0, middle] + 1, 2 * self._number[-1, middle]]
        self._free = np.setdiff1d(np.arange(2 * rows * columns), held)

    def solve(self, ends: tuple[Floats, Floats] | None) -> Floats:
        """Return the flat grid; free without `ends`, else with these seam steps and true hull and joint edges."""
        flat = self._flat.copy()
        for _ in range(60):
            residual, slope = self._strain(flat)
            hessian, gradient = (slope.T @ slope).tocsr(), slope.T @ residual
            if ends is None:
                step = spsolve(hessian.tocsc(), -gradient)
            else:
                error, rows = self._conditions(flat, ends)
                whole = block_array([[hessian, rows.T], [rows, None]]).tocsc()
                step = spsolve(whole, -np.concatenate([gradient, error]))[: len(self._free)]
            size = 1.0
            while np.any(self._twice(self._moved(flat, size * step)) <= 0.0):
                size /= 2.0
            flat = self._moved(flat, size * step)
            if np.max(np.abs(step)) < 1e-11:
                break
        else:
            raise RuntimeError("a panel does not lie flat")
        return flat.reshape(*self._number.shape, 2)

    def _moved(self, flat: Floats, step: Floats) -> Floats:
        moved = flat.ravel().copy()
        moved[self._free] += step
        return moved.reshape(-1, 2)

    def _edges(self, flat: Floats) -> Floats:
        one, two, three = (flat[self._triangles[:, i]] for i in range(3))
        return np.stack([two - one, three - one], axis=2)

    def _twice(self, flat: Floats) -> Floats:
        return np.linalg.det(self._edges(flat))

    def _strain(self, flat: Floats) -> tuple[Floats, csr_array]:
        """Return weighted strains from flat to space, (3 m,), and their derivatives by the free coordinates."""
        a = np.linalg.inv(self._edges(flat))
        c = a.transpose(0, 2, 1) @ self._metric @ a
        root = np.sqrt(self._area)[:, None]
        # warp along y: (E_yy, E_xx, 2 E_xy)
        voigt = np.stack([(c[:, 1, 1] - 1) / 2, (c[:, 0, 0] - 1) / 2, c[:, 0, 1]], axis=1)
        residual = root * (voigt @ self._weigh.T)
        count = len(a)
        derivative = np.zeros((count, 3, 3, 2))  # strain, corner, coordinate
        for k in range(2):  # edge
            for x in range(2):  # coordinate of its vector
                d = -(c[:, :, x, None] * a[:, None, k, :] + c[:, None, x, :] * a[:, k, :, None]) / 2.0
                by = np.stack([d[:, 1, 1], d[:, 0, 0], d[:, 0, 1] + d[:, 1, 0]], axis=1)
                derivative[:, :, k + 1, x] += by
                derivative[:, :, 0, x] -= by
        weighted = root[:, :, None] * np.einsum("ij,tjk->tik", self._weigh, derivative.reshape(count, 3, 6))
        columns = (2 * self._triangles[:, :, None] + np.arange(2)).reshape(count, 1, 6)
        rows = np.arange(3 * count).reshape(count, 3, 1)
        where = np.broadcast_arrays(rows, columns)
        slope = csr_array((weighted.ravel(), (where[0].ravel(), where[1].ravel())), shape=(3 * count, flat.size))
        return residual.ravel(), slope[:, self._free]

    def _conditions(self, flat: Floats, ends: tuple[Floats, Floats]) -> tuple[Floats, csr_array]:
        """Return by how much seams and edges are wrong, and the derivatives."""
        error, pairs = [], []
        for column, wanted in ((0, ends[0]), (-1, ends[1])):
            line = self._number[:, column]
            for one, two, length in zip(line[:-1], line[1:], wanted, strict=True):
                pairs.append([(one, two)])
                error.append(np.hypot(*(flat[two] - flat[one])) - length)
        for row in (0, -1):
            line = self._number[row]
            pairs.append(list(pairwise(line)))
            error.append(_steps(flat[line]).sum() - _steps(self._grid[row]).sum())
        return np.array(error), self._length_slopes(flat, pairs)

    def _length_slopes(self, flat: Floats, pairs: list[list[tuple[int, int]]]) -> csr_array:
        rows: list[int] = []
        columns: list[int] = []
        values: list[float] = []
        for row, steps in enumerate(pairs):
            for one, two in steps:
                way = flat[two] - flat[one]
                way = way / np.hypot(*way)
                for x in range(2):
                    rows += [row, row]
                    columns += [2 * one + x, 2 * two + x]
                    values += [-way[x], way[x]]
        return csr_array((values, (rows, columns)), shape=(len(pairs), flat.size))[:, self._free]


def _first_guess(grid: Floats) -> Floats:
    """Lay every row level, at its length, and every column at its own, from the hull edge down."""
    rows, columns = grid.shape[:2]
    across = np.concatenate([np.zeros((rows, 1)), np.cumsum(np.linalg.norm(np.diff(grid, axis=1), axis=2), 1)], axis=1)
    down = np.concatenate([np.zeros((1, columns)), np.cumsum(np.linalg.norm(np.diff(grid, axis=0), axis=2), 0)])
    return np.stack([across - across[:, columns // 2, None], down[0] - down], axis=-1)


def corner_spans(segments: tuple[int, int, int], across: int) -> list[tuple[int, int]]:
    """Return the columns between which the loop panels lie: a run, panels of 15 degrees in the corner, a run."""
    before, corner, after = (count * across for count in segments)
    marks = before + np.arange(0, corner + 1, CORNER_SEGMENTS * across // 6)
    inner = list(zip(marks[:-1].tolist(), marks[1:].tolist(), strict=True))
    runs = [(0, before)] if before else [], [(before + corner, before + corner + after)] if after else []
    return [*runs[0], *inner, *runs[1]]
