"""The first flat shape of a panel: true in its angles, then as rigid as it can be."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.block_rows import assemble, assemble_vectors, factor, hold, solve
from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten.patch import Mesh
from skirtloft.shape.flatten.triangles import Triangles


def lay_by_angles(mesh: Mesh, triangles: Triangles, start_length: Floats) -> Floats:
    """Return the flat panels that keep angles as well as they can, (p, nodes, 2) [m].

    Parameters
    ----------
    mesh : Mesh
    triangles : Triangles
    start_length : (p,) [m]
        Distance of the two ends of the start seam: its joint end at the origin, its hull end above it.

    Notes
    -----
    Least squares of ``x_,1 - y_,2`` and ``x_,2 + y_,1`` over the area (least-squares conformal map).

    References
    ----------
    Levy, Petitjean, Ray, Maillot (2002), Least squares conformal maps, ACM Transactions on Graphics 21(3). From memory.
    """
    slopes, count = triangles.slopes, len(start_length)
    rates = np.zeros((*slopes.shape[:2], 2, 6))
    rates[:, :, 0, 0::2], rates[:, :, 0, 1::2] = slopes[:, :, 0], -slopes[:, :, 1]
    rates[:, :, 1, 0::2], rates[:, :, 1, 1::2] = slopes[:, :, 1], slopes[:, :, 0]
    elements = triangles.area[..., None, None] * (rates.swapaxes(-1, -2) @ rates)
    hull, joint = mesh.seams[0, 0], mesh.seams[0, -1]
    held = np.array([2 * hull, 2 * hull + 1, 2 * joint, 2 * joint + 1])
    given = np.zeros((count, 2 * mesh.nodes))
    given[:, 2 * hull + 1] = start_length
    right = -assemble_vectors(mesh.layout, np.einsum("ptij,ptj->pti", elements, given[:, mesh.layout.unknowns]))
    right[:, held] = given[:, held]
    blocks = assemble(mesh.layout, elements)
    hold(blocks, held)
    return solve(factor(blocks), right).reshape(count, mesh.nodes, 2)


def lay_rigidly(mesh: Mesh, triangles: Triangles, flat: Floats, *, rounds: int, tolerance: float = 0.0) -> Floats:
    """Return flat panels whose triangles are as nearly as can be turned, not stretched, (p, nodes, 2) [m].

    Parameters
    ----------
    flat : (p, nodes, 2) [m]
        Where to begin.
    rounds : int
        At most so many rounds.
    tolerance : float [m]
        Stop when no node moves by more in a round.

    Notes
    -----
    Each round finds the turn of every triangle, then the nodes whose slopes come nearest to the turns, by area
    (as-rigid-as-possible, local and global step by turns).

    References
    ----------
    Liu, Zhang, Xu, Gotsman, Gortler (2008), A local/global approach to mesh parameterization, SGP.
    """
    slopes, area = triangles.slopes, triangles.area[..., None, None]
    blocks = assemble(mesh.node_layout, area * (slopes.swapaxes(-1, -2) @ slopes))
    hold(blocks, np.array([0]))
    factors = factor(blocks)
    for _ in range(rounds):
        stretch = slopes @ flat[:, mesh.triangles]  # [direction, coordinate]
        turn = np.arctan2(stretch[..., 0, 1] - stretch[..., 1, 0], stretch[..., 0, 0] + stretch[..., 1, 1])
        cosine, sine = np.cos(turn), np.sin(turn)
        wanted = np.stack([np.stack([cosine, sine], axis=-1), np.stack([-sine, cosine], axis=-1)], axis=-2)
        pull = area * (slopes.swapaxes(-1, -2) @ wanted)
        right = np.stack([assemble_vectors(mesh.node_layout, pull[..., k]) for k in (0, 1)], axis=-1)
        right[:, 0] = 0.0
        moved = solve(factors, right) + flat[:, :1]
        change, flat = float(np.abs(moved - flat).max()), moved
        if change < tolerance:
            break
    return flat
