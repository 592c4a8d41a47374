"""Panels of the loop as triangle meshes on the wanted surface: nodes, edge lengths, Gauss curvature.

A panel is a four-sided patch. Columns run round the section from the hull edge (row 0) to the joint (last row), column
0 stands at the panel's start and the last at its end; every column is a section of the surface, none is interpolated.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from skirtloft.maths.block_rows import Indices, RowLayout, row_layout
from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten.triangles import Triangles, lay_triangles
from skirtloft.shape.loft import SectionArcs, arc_angles, arc_points

SectionAt = Callable[[Floats], SectionArcs]
"""Places along the joint line (k,) [m] -> the sections standing there."""

CORNERS = np.array([(0, 1), (0, 2), (1, 2)])  # of the edges of a triangle, in the order they are kept


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles of a panel, the same for all panels; node ``row * (columns + 1) + column``.

    Parameters
    ----------
    columns, rows : int
        Steps from start to end (even: the mesh is its own mirror image) and from the hull edge to the joint.
    triangles : (t, 3)
        Counter-clockwise on the flat panel, x to the start and y to the hull edge.
    edges : (e, 2)
        Nodes at the ends of every edge.
    edge_middles : (e,)
        Nodes of the mesh with twice the steps that lie at the middles of the edges.
    triangle_edges : (t, 3)
        Edges 01, 02 and 12 of every triangle.
    seams : (2, rows + 1)
        Nodes of the start and of the end seam, from the hull edge.
    seam_edges : (2, rows)
    hull, joint : (columns + 1,)
        Nodes of the two other edges, from the start.
    mirror_nodes, mirror_edges : (nodes,), (e,)
        Where each goes when start and end are exchanged.
    layout, node_layout : RowLayout
        Of the equations with two unknowns, x and y, per node, and with one.
    """

    columns: int
    rows: int
    triangles: Indices
    edges: Indices
    edge_middles: Indices
    triangle_edges: Indices
    seams: Indices
    seam_edges: Indices
    hull: Indices
    joint: Indices
    mirror_nodes: Indices
    mirror_edges: Indices
    layout: RowLayout
    node_layout: RowLayout

    @property
    def nodes(self) -> int:
        """Number of nodes."""
        return (self.columns + 1) * (self.rows + 1)


@dataclass(frozen=True, eq=False)
class Patches:
    """Panels meshed on the wanted surface; p panels, t triangles.

    Parameters
    ----------
    mesh : Mesh
    points : (p, nodes, 3) [m]
    lengths : (p, e) [m]
        Of the edges: straight, or along the surface.
    triangles : Triangles
        With edges of these lengths.
    hull, joint : (p,) [m]
        True lengths of the two edges.
    curvature : (p, rows - 1) [1/m2]
        Largest Gauss curvature on every inner row, by its size.
    width : (p, rows - 1) [m]
        Length of every inner row.
    """

    mesh: Mesh
    points: Floats
    lengths: Floats
    triangles: Triangles
    hull: Floats
    joint: Floats
    curvature: Floats
    width: Floats

    @property
    def seams(self) -> Floats:
        """Lengths of the steps along the sections at both ends, from the hull edge, (p, 2, rows) [m]."""
        steps: Floats = self.lengths[:, self.mesh.seam_edges]
        return steps


@lru_cache(maxsize=8)
def panel_mesh(columns: int, rows: int) -> Mesh:
    """Return the mesh of ``columns`` (even) by ``rows`` cells, diagonals alternating."""
    if columns % 2 or columns < 2 or rows < 2:
        raise ValueError("a panel's mesh needs an even number of columns and two rows or more")
    wide = columns + 1
    row, column = (grid.ravel() for grid in np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij"))
    one = row * wide + column
    two, three, four = one + 1, one + wide, one + wide + 1  # two lies to the end, three to the joint
    falling = ((row + column) % 2 == 1)[:, None]
    first = np.where(falling, np.stack([one, two, four], axis=1), np.stack([one, two, three], axis=1))
    second = np.where(falling, np.stack([one, four, three], axis=1), np.stack([two, four, three], axis=1))
    triangles = np.stack([first, second], axis=1).reshape(-1, 3)
    edges, number = np.unique(np.sort(triangles[:, CORNERS], axis=2).reshape(-1, 2), axis=0, return_inverse=True)
    middles = (edges // wide).sum(axis=1) * (2 * columns + 1) + (edges % wide).sum(axis=1)
    nodes = np.arange(wide * (rows + 1))
    mirror = nodes // wide * wide + columns - nodes % wide
    unknowns = (2 * triangles[:, :, None] + np.arange(2)).reshape(-1, 6)
    across, down = np.arange(wide), np.arange(rows + 1) * wide
    return Mesh(
        columns=columns,
        rows=rows,
        triangles=triangles,
        edges=edges,
        edge_middles=middles,
        triangle_edges=number.reshape(-1, 3),
        seams=np.stack([down, down + columns]),
        seam_edges=np.stack([_edge_numbers(edges, np.stack([down[:-1], down[1:]], 1) + k) for k in (0, columns)]),
        hull=across,
        joint=across + rows * wide,
        mirror_nodes=mirror,
        mirror_edges=_edge_numbers(edges, np.sort(mirror[edges], axis=1)),
        layout=row_layout(unknowns, rows + 1, 2 * wide),
        node_layout=row_layout(triangles, rows + 1, wide),
    )


def _edge_numbers(edges: Indices, wanted: Indices) -> Indices:
    """Return the places of `wanted` (k, 2) among `edges` (e, 2), both sorted within a row, `edges` by rows."""
    span = int(edges.max()) + 1
    return np.searchsorted(edges[:, 0] * span + edges[:, 1], wanted[:, 0] * span + wanted[:, 1])


def lay_patches(section_at: SectionAt, ends: Floats, mesh: Mesh, *, along_surface: bool = True) -> Patches:
    """Return the panels between the places `ends` (p, 2) [m] as meshes.

    Parameters
    ----------
    section_at : callable
        The wanted surface. Where it has a crease, a panel has to end.
    ends : (p, 2) [m]
        Start and end of every panel along the joint line.
    mesh : Mesh
    along_surface : bool
        Measure edges along the surface; False: straight through the air, as a mesh of flat triangles has them.

    Notes
    -----
    Between two points a straight distance h apart, whose middle on the surface stands s off the chord along the
    surface's normal, the shortest way along the surface is ``h + (8/3) s^2/h``, good to the fourth order of h. The
    curves of the mesh bend within the surface too; that bend the flat panel shows as well, so it takes no part.
    [derived]
    """
    fine = _grid(section_at, ends, 2 * mesh.columns, 2 * mesh.rows)
    return patches_on_grid(fine, mesh, edge_totals(section_at, ends), along_surface=along_surface)


def patches_on_grid(fine: Floats, mesh: Mesh, totals: tuple[Floats, Floats], *, along_surface: bool = True) -> Patches:
    """Return the panels through points of a surface; see `lay_patches`.

    Parameters
    ----------
    fine : (p, 2 rows + 1, 2 columns + 1, 3) [m]
        The nodes of the mesh, and the points of the surface half-way between them.
    totals : (p,), (p,) [m]
        True lengths of the hull and of the joint edge.
    """
    normal, curvature = _normals_and_curvature(fine)
    points = fine[:, ::2, ::2].reshape(len(fine), -1, 3)
    lengths = _edge_lengths(points, fine, normal, mesh, along_surface)
    rows = np.linalg.norm(np.diff(fine[:, 2:-2:2], axis=2), axis=-1).sum(axis=2)
    inner = curvature[:, 2:-2:2, 1:-1]
    largest = np.take_along_axis(inner, np.argmax(np.abs(inner), axis=2)[..., None], axis=2)[..., 0]
    triangles = lay_triangles(lengths[:, mesh.triangle_edges])
    return Patches(mesh, points, lengths, triangles, *totals, largest, rows)


def flattening_estimate(patches: Patches) -> Floats:
    """Return the strain that flattening a narrow panel costs, K w^2/12 at its worst row, (p,).

    Notes
    -----
    On a narrow strip of width w cut from a surface of Gauss curvature K the lengths across it are kept and the strain
    along it is K (y^2 - w^2/12)/2, w^2/12 the mean of y^2: at the edges K w^2/12. [derived]
    """
    estimate: Floats = np.max(np.abs(patches.curvature) * patches.width**2, axis=1) / 12.0
    return estimate


def edge_totals(section_at: SectionAt, ends: Floats, steps: int = 128) -> tuple[Floats, Floats]:
    """Return the true lengths of the hull and of the joint edge of every panel, each (p,) [m], good to 1e-9."""
    edges = _grid(section_at, ends, steps, 1)
    once = np.linalg.norm(np.diff(edges, axis=2), axis=-1).sum(axis=2)
    twice = np.linalg.norm(np.diff(edges[:, :, ::2], axis=2), axis=-1).sum(axis=2)
    hull, joint = ((4.0 * once - twice) / 3.0).T
    return hull, joint


def _grid(section_at: SectionAt, ends: Floats, columns: int, rows: int) -> Floats:
    """Return points of the surface, (p, rows + 1, columns + 1, 3)."""
    share = np.linspace(0.0, 1.0, columns + 1)
    places = ends[:, :1] * (1.0 - share) + ends[:, 1:] * share
    arcs = section_at(places.ravel())
    points = arc_points(arcs, arc_angles(arcs, rows)).reshape(len(ends), columns + 1, rows + 1, 3)
    grid: Floats = points.swapaxes(1, 2)
    return grid


def _normals_and_curvature(fine: Floats) -> tuple[Floats, Floats]:
    """Return unit normals (p, m, n, 3) and Gauss curvature (p, m, n) at the points (p, m, n, 3) of a grid."""
    down, across = np.gradient(fine, axis=1, edge_order=2), np.gradient(fine, axis=2, edge_order=2)
    normal = np.cross(across, down)
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    second_down, second_across = np.zeros_like(fine), np.zeros_like(fine)
    second_down[:, 1:-1] = fine[:, 2:] - 2.0 * fine[:, 1:-1] + fine[:, :-2]
    second_across[:, :, 1:-1] = fine[:, :, 2:] - 2.0 * fine[:, :, 1:-1] + fine[:, :, :-2]
    twist = np.gradient(across, axis=1, edge_order=2)
    second, third, mixed = (np.sum(part * normal, axis=-1) for part in (second_down, second_across, twist))
    e, g, f = np.sum(down**2, axis=-1), np.sum(across**2, axis=-1), np.sum(down * across, axis=-1)
    curvature: Floats = (second * third - mixed**2) / (e * g - f**2)
    return normal, curvature


def _edge_lengths(points: Floats, fine: Floats, normal: Floats, mesh: Mesh, along_surface: bool) -> Floats:
    ends = points[:, mesh.edges]
    chord: Floats = np.linalg.norm(ends[:, :, 0] - ends[:, :, 1], axis=-1)
    if not along_surface:
        return chord
    middle = fine.reshape(len(fine), -1, 3)[:, mesh.edge_middles]
    up = normal.reshape(len(fine), -1, 3)[:, mesh.edge_middles]
    off = np.sum((middle - ends.mean(axis=2)) * up, axis=-1)
    lengths: Floats = chord + 8.0 / 3.0 * off**2 / chord
    return lengths
