"""The loop alone, sewn from its flat panels and inflated between hull edge and joint line, both held where they belong.

It shows what the patterns do: how far the cloth stands off the surface it was cut for. The joint line is held; on a
skirt it hangs on the segments.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.contact import no_contact
from skirtloft.inflate.plain import strains
from skirtloft.inflate.relax import Inflated
from skirtloft.inflate.sew import sew
from skirtloft.inflate.supports import supports
from skirtloft.inflate.types import Cloth, EdgeOf, FlatMesh, Ints, Loads, Problem, frozen_indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.patch import SectionAt
from skirtloft.shape.flatten.row import FlatRow
from skirtloft.shape.loft import arc_points
from skirtloft.shape.rulings import surface_distance

FINE = 256  # steps along an edge to find places by its length


@dataclass(frozen=True, eq=False)
class Standing:
    """How an inflated loop stands.

    Parameters
    ----------
    away : (n,) [m]
        Distance of every node from the wanted surface.
    largest, mean : float [m]
        Of that, the most and the root mean square over the area.
    panel : (p,) [m]
        The most on every panel.
    thread_most, thread_p95 : float
        Stretch along warp or weft: the most, and what 95 % of the area stay below.
    shear_most : float [rad]
    """

    away: Floats
    largest: float
    mean: float
    panel: Floats
    thread_most: float
    thread_p95: float
    shear_most: float


def held_loop(flat_row: FlatRow, section_at: SectionAt, cloth: Cloth, pressure: float) -> Problem:
    """Return the panels of a row sewn together, hull edge and joint line pinned, `pressure` [Pa] inside, no weight.

    Parameters
    ----------
    flat_row : FlatRow
        Of a panel across a centre line the half on the row's side is sewn in.
    section_at : callable
        The surface it was flattened from.
    cloth : Cloth
    pressure : float [Pa]

    Notes
    -----
    Edge nodes are pinned where the flat edge brings them: at the same share of the length of the curve. The two ends
    of the row stay in the planes of their sections, as if the loop went on there as its mirror image.
    """
    pieces = [_piece(flat_row, panel) for panel in range(len(flat_row.flat))]
    places = [_places(flat_row, panel, section_at) for panel in range(len(flat_row.flat))]
    seams = [(EdgeOf(i, "end"), EdgeOf(i + 1, "start")) for i in range(len(pieces) - 1)]
    mesh = sew(pieces, seams, places)
    pinned = [nodes[piece.edges[edge]] for nodes, piece in zip(mesh.nodes, pieces, strict=True) for edge in _HELD]
    outward = section_at(_kept_ends(flat_row)[[0, -1], [0, 1]]).outward
    normals = np.column_stack([-outward[:, 1], outward[:, 0], np.zeros(2)])
    planes = [
        (mesh.nodes[0][pieces[0].edges["start"]], normals[0]),
        (mesh.nodes[-1][pieces[-1].edges["end"]], normals[1]),
    ]
    count = len(mesh.triangles)
    loads = Loads(frozen_array(np.full(count, pressure)), frozen_array(np.zeros(count)))
    return Problem(mesh, cloth, supports(np.concatenate(pinned), planes), no_contact(), loads)


_HELD = ("hull", "joint")


def standing(flat_row: FlatRow, section_at: SectionAt, problem: Problem, shape: Inflated) -> Standing:
    """Return how the loop of `held_loop` stands in the shape found."""
    mesh, row = problem.mesh, flat_row.row
    around, reach = np.empty(len(mesh.points)), float(np.diff(row.places).max())
    for nodes, columns in zip(mesh.nodes, _columns(flat_row), strict=True):
        around[nodes] = columns
    away = surface_distance(shape.points, section_at, around, reach / 2.0)
    area = np.bincount(mesh.triangles.ravel(), np.repeat(mesh.area, 3), len(away)) / 3.0
    warp, weft, slide = strains(mesh, shape.points)
    stretch = np.sqrt(1.0 + 2.0 * np.maximum(warp, weft)) - 1.0
    order = np.argsort(stretch)
    share = np.cumsum(mesh.area[order]) / mesh.area.sum()
    shear = np.arcsin(np.clip(slide / np.sqrt((1.0 + 2.0 * warp) * (1.0 + 2.0 * weft)), -1.0, 1.0))
    return Standing(
        away=frozen_array(away),
        largest=float(away.max()),
        mean=float(np.sqrt(np.average(away**2, weights=area))),
        panel=frozen_array([away[nodes].max() for nodes in mesh.nodes]),
        thread_most=float(stretch.max()),
        thread_p95=float(stretch[order][np.searchsorted(share, 0.95)]),
        shear_most=float(np.abs(shear).max()),
    )


def _piece(flat_row: FlatRow, panel: int) -> FlatMesh:
    """Return a panel with the outside of the cloth up: on a port piece x to the bow points left."""
    mesh, weave = flat_row.patches.mesh, flat_row.by.weave
    warp = 0.0 if weave.way == "along" else np.pi / 2.0
    if weave.line == "middle":
        middle = mesh.columns // 2
        up = flat_row.flat[panel, mesh.hull[middle]] - flat_row.flat[panel, mesh.joint[middle]]
        warp = float(np.arctan2(up[1], -up[0])) - (0.0 if weave.way == "around" else np.pi / 2.0)
    grid = _kept_nodes(flat_row, panel)
    number = np.full(mesh.nodes, -1)
    number[grid.ravel()] = np.arange(grid.size)
    triangles = number[mesh.triangles]
    edges = {"hull": grid[0], "joint": grid[-1], "start": grid[:, 0], "end": grid[:, -1]}
    return FlatMesh(
        name=f"panel {panel + 1}",
        flat=frozen_array(flat_row.flat[panel, grid.ravel()] * np.array([-1.0, 1.0])),
        triangles=frozen_indices(triangles[(triangles >= 0).all(axis=1)][:, ::-1]),
        edges={name: frozen_indices(number[nodes]) for name, nodes in edges.items()},
        warp=warp,
    )


def _kept_nodes(flat_row: FlatRow, panel: int) -> Ints:
    """Return the nodes of a panel that are sewn in, (rows + 1, columns + 1): half of one across a centre line."""
    mesh, (at_start, at_end) = flat_row.patches.mesh, flat_row.row.across
    grid: Ints = np.arange(mesh.nodes).reshape(mesh.rows + 1, mesh.columns + 1)
    if at_start and panel == 0:
        return grid[:, mesh.columns // 2 :]
    if at_end and panel == len(flat_row.flat) - 1:
        return grid[:, : mesh.columns // 2 + 1]
    return grid


def _kept_ends(flat_row: FlatRow) -> Floats:
    """Return start and end of what is sewn in of every panel, (p, 2) [m]: a centre line is an end."""
    at = flat_row.row.places
    return np.column_stack([at[:-1], at[1:]])


def _places(flat_row: FlatRow, panel: int, section_at: SectionAt) -> Floats:
    """Return where the kept nodes of a panel start, (k, 3): on the surface, edge nodes by their share of the edge."""
    grid = _kept_nodes(flat_row, panel)
    places: Floats = flat_row.patches.points[panel].copy()
    start, end = _kept_ends(flat_row)[panel]
    fine = np.linspace(start, end, FINE + 1)
    for nodes, at_hull in ((grid[0], True), (grid[-1], False)):
        share = _shares(flat_row.flat[panel, nodes])
        at = np.interp(share, _shares(_edge(section_at, fine, at_hull)), fine)
        places[nodes] = _edge(section_at, at, at_hull)
    return places[grid.ravel()]


def _edge(section_at: SectionAt, at: Floats, at_hull: bool) -> Floats:
    """Return points of the hull edge or the joint line at places along the joint line, (k, 3)."""
    arcs = section_at(at)
    points: Floats = arc_points(arcs, (arcs.start_angle if at_hull else arcs.end_angle)[:, None])[:, 0]
    return points


def _shares(line: Floats) -> Floats:
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    shares: Floats = along / along[-1]
    return shares


def _columns(flat_row: FlatRow) -> list[Floats]:
    """Return the place along the joint line of the column each kept node of each panel stands in."""
    mesh = flat_row.patches.mesh
    kept = [_kept_nodes(flat_row, panel).ravel() % (mesh.columns + 1) for panel in range(len(flat_row.flat))]
    ends = zip(kept, flat_row.row.ends, strict=True)
    return [np.asarray(start + (end - start) * column / mesh.columns) for column, (start, end) in ends]
