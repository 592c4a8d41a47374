"""Sewing flat pieces into one mesh: nodes on the two sides of a seam become one."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from skirtloft.errors import ShapeError
from skirtloft.inflate.types import EdgeOf, FlatMesh, Ints, SewnMesh, frozen_indices
from skirtloft.maths.frozen import Floats, frozen_array


def sew(pieces: Sequence[FlatMesh], seams: Sequence[tuple[EdgeOf, EdgeOf]], places: Sequence[Floats]) -> SewnMesh:
    """Return the pieces sewn together.

    Parameters
    ----------
    pieces : sequence of FlatMesh
    seams : sequence of two EdgeOf
        Nodes of both edges, in order, are joined one to one. The edges need not be equally long: the longer is
        gathered.
    places : sequence of (n, 3) [m]
        Where the nodes of each piece start; joined nodes start at their mean.

    Raises
    ------
    ShapeError
        The two edges of a seam have different numbers of nodes, or a triangle is turned over or has no area.

    Examples
    --------
    >>> from skirtloft.inflate.flat_mesh import four_sided
    >>> square = four_sided("a", [[0, 1], [1, 1]], [[0, 0], [1, 0]], [[0, 1], [0, 0]], [[1, 1], [1, 0]])
    >>> lift = np.column_stack([square.flat, np.zeros(4)])
    >>> mesh = sew([square, square], [(EdgeOf(0, "right"), EdgeOf(1, "left"))], [lift, lift + [1.0, 0, 0]])
    >>> len(mesh.points), len(mesh.triangles)
    (6, 4)
    """
    first = np.concatenate([[0], np.cumsum([len(piece.flat) for piece in pieces])])
    one, two = [], []
    for a, b in seams:
        left, right = (_edge(pieces, edge) + first[edge.piece] for edge in (a, b))
        if len(left) != len(right):
            raise ShapeError(
                f"seam between {pieces[a.piece].name} {a.edge} and {pieces[b.piece].name} {b.edge}",
                f"one side has {len(left)} nodes, the other {len(right)}.",
                "Divide both edges into the same number of steps.",
            )
        one.append(left)
        two.append(right)
    number = _joined(int(first[-1]), one, two)
    nodes = tuple(frozen_indices(number[first[i] : first[i + 1]]) for i in range(len(pieces)))
    rest = [_rest(piece) for piece in pieces]
    return SewnMesh(
        points=frozen_array(_mean_places(number, np.concatenate(list(places)))),
        triangles=frozen_indices(np.concatenate([n[p.triangles] for n, p in zip(nodes, pieces, strict=True)])),
        inverse=frozen_array(np.concatenate([inverse for inverse, _ in rest])),
        area=frozen_array(np.concatenate([area for _, area in rest])),
        piece=frozen_indices(np.repeat(np.arange(len(pieces)), [len(piece.triangles) for piece in pieces])),
        nodes=nodes,
    )


def _edge(pieces: Sequence[FlatMesh], edge: EdgeOf) -> Ints:
    nodes = pieces[edge.piece].edges[edge.edge]
    nodes = nodes[edge.first : len(nodes) if edge.last is None else edge.last + 1]
    return nodes[::-1] if edge.backwards else nodes


def _joined(count: int, one: list[Ints], two: list[Ints]) -> Ints:
    """Return for each node of each piece its number in the sewn mesh, in order of first appearance."""
    pairs = (np.concatenate(one), np.concatenate(two)) if one else (np.empty(0, np.intp), np.empty(0, np.intp))
    links = coo_array((np.ones(len(pairs[0])), pairs), shape=(count, count))
    _, label = connected_components(links, directed=False)
    _, first, again = np.unique(label, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.intp)
    rank[np.argsort(first, kind="stable")] = np.arange(len(first))
    return rank[again]


def _mean_places(number: Ints, places: Floats) -> Floats:
    shared = np.bincount(number).astype(np.float64)
    return np.column_stack([np.bincount(number, places[:, axis]) / shared for axis in range(3)])


def _rest(piece: FlatMesh) -> tuple[Floats, Floats]:
    """Return the inverse flat edges in warp and weft components (m, 2, 2) and the areas (m,) of a piece."""
    one, two, three = (piece.flat[piece.triangles[:, i]] for i in range(3))
    edges: Floats = np.stack([two - one, three - one], axis=2)
    twice = np.linalg.det(edges)
    if not np.all(twice > 0.0):
        at = one[int(np.argmin(twice))]
        raise ShapeError(
            f"mesh of {piece.name}",
            f"a triangle near x {at[0]:.3f} m, y {at[1]:.3f} m is turned over or has no area.",
            "Divide the edges more evenly.",
        )
    cosine, sine = np.cos(piece.warp), np.sin(piece.warp)
    to_warp = np.array([[cosine, sine], [-sine, cosine]])
    return frozen_array(np.linalg.inv(to_warp @ edges)), frozen_array(twice / 2.0)
