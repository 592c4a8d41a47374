"""Small membranes with known answers: a loop between straight edges, a loop between rings, a balloon of two discs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skirtloft.inflate.contact import no_contact
from skirtloft.inflate.flat_mesh import four_sided
from skirtloft.inflate.sew import sew
from skirtloft.inflate.supports import supports
from skirtloft.inflate.types import Cloth, Loads, Problem, SewnMesh, Supports
from skirtloft.maths.frozen import Floats, frozen_array

CLOTH = Cloth()


def problem(mesh: SewnMesh, held: Supports, pressure: float, cloth: Cloth = CLOTH, areal_mass: float = 0.0) -> Problem:
    count = len(mesh.triangles)
    loads = Loads(frozen_array(np.full(count, pressure)), frozen_array(np.full(count, areal_mass)))
    return Problem(mesh, cloth, held, no_contact(), loads)


def rectangle_edges(width: float, height: float, columns: int, rows: int) -> tuple[Floats, Floats, Floats, Floats]:
    x, y = np.linspace(0.0, width, columns + 1), np.linspace(height, 0.0, rows + 1)
    return (
        np.column_stack([x, np.full_like(x, height)]),
        np.column_stack([x, np.zeros_like(x)]),
        np.column_stack([np.zeros_like(y), y]),
        np.column_stack([np.full_like(y, width), y]),
    )


def arc_between(start: Floats, end: Floats, bulge: float, count: int) -> Floats:
    """Points of a parabola from start to end, each (2,), bowed to the left by `bulge` [m]: a start, not an answer."""
    t = np.linspace(0.0, 1.0, count)[:, None]
    along = end - start
    left = np.array([-along[1], along[0]]) / np.hypot(*along)
    points: Floats = start + t * along + 4.0 * bulge * t * (1.0 - t) * left
    return points


def straight_loop(pressure: float, cloth: Cloth, rows: int = 32, areal_mass: float = 0.0) -> Problem:
    """A strip of loop cloth 0.06 m wide and .43976 m long, E at (-.23, .50) and J at (0, .28), both edges pinned."""
    width, columns = 0.06, 4
    piece = four_sided("loop", *rectangle_edges(width, 0.43976, columns, rows))
    section = arc_between(np.array([-0.23, 0.50]), np.array([0.0, 0.28]), 0.13, rows + 1)
    along = np.linspace(0.0, width, columns + 1)
    start = np.array([[[x, y, z] for y in along] for x, z in section]).reshape(-1, 3)
    mesh = sew([piece], [], [start])
    ends = np.concatenate([mesh.nodes[0][piece.edges["left"]], mesh.nodes[0][piece.edges["right"]]])
    pinned = np.concatenate([mesh.nodes[0][piece.edges["top"]], mesh.nodes[0][piece.edges["bottom"]]])
    return problem(mesh, supports(pinned, [(ends, [0.0, 1.0, 0.0])]), pressure, cloth, areal_mass)


def ring_loop(pressure: float, cloth: Cloth, rows: int = 48, fullness: float = 0.01) -> Problem:
    """A sector of 5 degrees of an axisymmetric loop, ring rho .52 z .50 to ring rho .75 z .28, .44752 m long.

    Every row is cut wider than the circle it comes to lie on, by `fullness`, so that it carries nothing round the ring.
    """
    columns, sector, length = 4, np.radians(5.0), 0.44752
    section = arc_between(np.array([0.52, 0.50]), np.array([0.75, 0.28]), 0.13, rows + 1)
    widest = 0.80 * sector * (1.0 + fullness)
    piece = four_sided("ring", *rectangle_edges(widest, length, columns, rows))
    angle = np.linspace(0.0, sector, columns + 1)
    start = np.array([[[r * np.cos(t), r * np.sin(t), z] for t in angle] for r, z in section]).reshape(-1, 3)
    mesh = sew([piece], [], [start])
    node = mesh.nodes[0]
    planes = [
        (node[piece.edges["left"]], [0.0, 1.0, 0.0]),
        (node[piece.edges["right"]], [-np.sin(sector), np.cos(sector), 0.0]),
    ]
    pinned = np.concatenate([node[piece.edges["top"]], node[piece.edges["bottom"]]])
    return problem(mesh, supports(pinned, planes), pressure, cloth)


def disc_balloon(pressure: float, cloth: Cloth, rows: int = 40) -> Problem:
    """A gore of 6 degrees of a balloon of two flat discs of radius 1 m sewn at the rim: half of it, the rim at z = 0.

    The middle, to a radius of 20 mm, is left out; the edge of the hole keeps its radius, as unstretched cloth does.
    """
    columns, sector, hole = 2, np.radians(6.0), 0.02
    angle, radius = np.linspace(0.0, sector, columns + 1), np.linspace(hole, 1.0, rows + 1)
    ray = np.column_stack([np.cos(angle), np.sin(angle)])
    piece = four_sided("gore", hole * ray, ray, radius[:, None] * ray[0], radius[:, None] * ray[-1])
    rise = 0.5 * (1.0 - (piece.flat**2).sum(axis=1))
    mesh = sew([piece], [], [np.column_stack([0.8 * piece.flat, rise])])
    node = mesh.nodes[0]
    start = mesh.points.copy()
    start[node[piece.edges["top"]], :2] = hole * ray
    planes = [
        (node[piece.edges["left"]], [0.0, 1.0, 0.0]),
        (node[piece.edges["right"]], [-np.sin(sector), np.cos(sector), 0.0]),
        (node[piece.edges["bottom"]], [0.0, 0.0, 1.0]),
        (node[piece.edges["top"]], [1.0, 0.0, 0.0]),
        (node[piece.edges["top"]], [0.0, 1.0, 0.0]),
    ]
    return problem(replace(mesh, points=frozen_array(start)), supports([], planes), pressure, cloth)
