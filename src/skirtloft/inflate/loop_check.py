"""The loop panels of a whole craft inflated with hull edge and joint line held: how true the patterns come out."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.inflate.flat_mesh import transfinite
from skirtloft.inflate.held_loop import held_loop, standing
from skirtloft.inflate.relax import Progress, Settings, inflate
from skirtloft.inflate.types import Cloth
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.develop import Development
from skirtloft.shape.exact_panels import rows_of_panels
from skirtloft.shape.flatten.cloth_fit import Lengths
from skirtloft.shape.flatten.patch import SectionAt, lay_patches, panel_mesh
from skirtloft.shape.flatten.row import FlatRow, Flattening
from skirtloft.shape.types import FlatPanel, Plan

STIFFNESS = 200e3  # N/m along the warp: assumed, as in the study
COMPRESSION = 2e3  # N/m: threads push almost nothing
SETTLED = Settings(tolerance=2e-6)
ROUNDED = 1e7  # per metre: a tenth of a micrometre

Watch = Callable[[str, Progress], None]


@dataclass(frozen=True, eq=False)
class LoopCheck:
    """How the loop panels stand, sewn together and inflated between hull edge and joint line, both held.

    Parameters
    ----------
    panels : tuple of str
        Ids, from the bow.
    away : (panels,) [m]
        How far each stands off the drawn shape at most; 0 for rectangles that were left out.
    mean : float [m]
        Root mean square over the area of all panels that were inflated.
    thread_most, thread_p95 : float
        Stretch along warp or weft: the most, and what 95 % of the area of every row of panels stay below.
    shear_most : float [rad]
    pressure : float [Pa]
    columns, rows : int
        Cells of every panel's mesh.
    pattern : str
        "exact" or "quick".
    is_settled : bool
        False: stopped, or out of steps; the figures are the best so far.
    """

    panels: tuple[str, ...]
    away: Floats
    mean: float
    thread_most: float
    thread_p95: float
    shear_most: float
    pressure: float
    columns: int
    rows: int
    pattern: str
    is_settled: bool


def check_loop(
    plan: Plan,
    made: Development,
    section_at: SectionAt,
    by: Flattening,
    pressure: float,
    *,
    settings: Settings = SETTLED,
    watch: Watch | None = None,
    stop: Callable[[], bool] | None = None,
) -> LoopCheck:
    """Return how the panels of `made` stand when inflated.

    Parameters
    ----------
    plan : Plan
    made : Development
        As cut: of exact panels the flat meshes they were cut from, of quick ones the outlines between their seams.
    section_at : callable
        The drawn shape.
    by : Flattening
        Its mesh and weave.
    pressure : float [Pa]
    settings : Settings
        When to stop.
    watch, stop : callable, optional
        As in `inflate`, with what is being inflated in words.

    Notes
    -----
    Panels between rectangles are one row each; its two ends stay in the planes of their sections, and so do the halves
    of a panel that goes on across the centre line. Rectangles stand on the drawn cylinder as they are. The cloth is
    200 kN/m along the warp, otherwise as `by.weave` has it: assumed. No weight.
    """
    cloth = Cloth(stiffness=STIFFNESS, law="net", compression=COMPRESSION, weft=by.weave.weft, shear=by.weave.shear)
    away, settled = np.zeros(len(made.panels)), True
    squares, areas, threads = [0.0], [0.0], [(0.0, 0.0, 0.0)]
    for first, flat_row in _flat_rows(plan, made, section_at, by):
        count = len(flat_row.flat)
        words = f"{made.panels[first].id} to {made.panels[first + count - 1].id}"
        problem = held_loop(flat_row, section_at, cloth, pressure)
        shape = inflate(problem, settings, progress=None if watch is None else _telling(watch, words), stop=stop)
        found = standing(flat_row, section_at, problem, shape)
        away[first : first + count] = found.panel
        area = float(problem.mesh.area.sum())
        squares.append(found.mean**2 * area)
        areas.append(area)
        threads.append((found.thread_most, found.thread_p95, found.shear_most))
        settled &= shape.is_settled
    most, p95, shear = np.max(threads, axis=0)
    return LoopCheck(
        panels=tuple(panel.id for panel in made.panels),
        away=frozen_array(away),
        mean=float(np.sqrt(sum(squares) / max(sum(areas), 1e-12))),
        thread_most=float(most),
        thread_p95=float(p95),
        shear_most=float(shear),
        pressure=pressure,
        columns=by.columns,
        rows=by.rows,
        pattern=made.pattern,
        is_settled=settled,
    )


def panels_fingerprint(made: Development, pressure: float) -> str:
    """Return a digest of the loop panels, the drawn sections and the pressure: what a check belongs to."""
    arcs, digest = made.surface.arcs, hashlib.sha256(f"{made.pattern} {pressure:.3f}".encode())
    lines = [line for panel in made.panels for line in (panel.seam_start, panel.seam_end, panel.hull_line)]
    lines += [panel.joint_line for panel in made.panels]
    for values in (*lines, made.surface.hull, arcs.joint, arcs.centre_outboard, arcs.radius):
        digest.update((np.round(values * ROUNDED) + 0.0).astype("<i8").tobytes())
    return digest.hexdigest()


def _telling(watch: Watch, words: str) -> Callable[[Progress], None]:
    return lambda at: watch(words, at)


def _flat_rows(plan: Plan, made: Development, section_at: SectionAt, by: Flattening) -> list[tuple[int, FlatRow]]:
    """Return every row of panels to inflate with the number of its first panel."""
    if made.flat_rows:
        parts = rows_of_panels(plan, made, made.flat_rows[0].by)
        return [(part.first, row) for part, row in zip(parts, made.flat_rows, strict=True)]
    rows = []
    for part in rows_of_panels(plan, made, replace(by, corner_end="arc")):
        mesh = panel_mesh(by.columns, by.rows)
        patches = lay_patches(section_at, part.row.ends, mesh)
        flat = frozen_array([_spread(panel, by) for panel in made.panels[part.first : part.last]])
        lengths = Lengths(patches.seams, patches.hull, patches.joint)
        rows.append((part.first, FlatRow(part.row, by, patches, flat, flat, lengths)))
    return rows


def _spread(panel: FlatPanel, by: Flattening) -> Floats:
    """Return nodes of a quick panel, (nodes, 2) [m], evenly between its seams and straight edges."""
    across, down = np.linspace(0.0, 1.0, by.columns + 1), np.linspace(0.0, 1.0, by.rows + 1)
    start, end = (_evenly(seam, down) for seam in (panel.seam_start, panel.seam_end))
    hull, joint = (start[k] + across[:, None] * (end[k] - start[k]) for k in (0, -1))
    grid: Floats = transfinite(hull, joint, start, end, across, down).reshape(-1, 2)
    return grid


def _evenly(line: Floats, shares: Floats) -> Floats:
    """Return points of a line (n, 2) at shares of its length."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    return np.column_stack([np.interp(shares, along / along[-1], line[:, axis]) for axis in range(2)])
