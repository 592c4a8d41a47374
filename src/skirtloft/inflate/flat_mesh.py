"""Flat pieces cut into triangles between given boundary points.

Only the boundary is given: it is what was cut and sewn. The nodes within are spread evenly between the edges, so that
a seam's two sides, divided alike, meet node on node.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ShapeError
from skirtloft.inflate.types import FlatMesh, Ints, frozen_indices
from skirtloft.maths.frozen import Floats, frozen_array

CLOSED = 1e-9  # m: corners given twice agree to this


def four_sided(
    name: str,
    top: npt.ArrayLike,
    bottom: npt.ArrayLike,
    left: npt.ArrayLike,
    right: npt.ArrayLike,
    warp: float = 0.0,
) -> FlatMesh:
    """Return a piece with four edges in triangles, by transfinite interpolation of the edges.

    Parameters
    ----------
    name : str
    top, bottom : (nu + 1, 2) [m]
        From left to right.
    left, right : (nv + 1, 2) [m]
        From top to bottom.
    warp : float [rad]

    Returns
    -------
    FlatMesh
        Node of row j, column i is j (nu + 1) + i, rows from the top. Edges "top", "bottom", "left", "right".
        Diagonals alternate, so with even numbers of steps the mesh is its own mirror image. Steps need not be equal:
        nodes within follow the mean of the two edges they lie between.

    Raises
    ------
    ShapeError
        The edges do not meet at a corner, opposite ones differ in number, or the piece is given mirrored or folds.

    References
    ----------
    Gordon & Hall (1973), Int. J. Numer. Meth. Engng 7:461-477 (from memory).

    Examples
    --------
    >>> piece = four_sided("p", [[0, 2], [1, 2]], [[0, 0], [1, 0]], [[0, 2], [0, 1], [0, 0]], [[1, 2], [1, 1], [1, 0]])
    >>> len(piece.flat), len(piece.triangles)
    (6, 4)
    """
    t, b, l, r = (np.asarray(edge, dtype=np.float64) for edge in (top, bottom, left, right))  # noqa: E741
    _must_match(name, "top and bottom", len(t), len(b))
    _must_match(name, "left and right", len(l), len(r))
    _must_meet(name, [(t[0], l[0]), (t[-1], r[0]), (b[0], l[-1]), (b[-1], r[-1])])
    u, v = (_shares(t) + _shares(b)) / 2.0, (_shares(l) + _shares(r)) / 2.0
    flat = transfinite(t, b, l, r, u, v).reshape(-1, 2)
    columns, rows = len(t), len(l)
    grid = np.arange(rows * columns).reshape(rows, columns)
    return _checked(
        FlatMesh(
            name=name,
            flat=frozen_array(flat),
            triangles=frozen_indices(grid_triangles(grid)),
            edges={
                "top": frozen_indices(grid[0]),
                "bottom": frozen_indices(grid[-1]),
                "left": frozen_indices(grid[:, 0]),
                "right": frozen_indices(grid[:, -1]),
            },
            warp=warp,
        )
    )


def transfinite(top: Floats, bottom: Floats, left: Floats, right: Floats, u: Floats, v: Floats) -> Floats:
    """Return points between four edges, (rows, columns, k) [m]; `u` across and `v` down, 0 to 1.

    Edges (columns, k) and (rows, k), of any dimension k: also for start positions in space.
    """
    u, v = u[None, :, None], v[:, None, None]
    between = (1.0 - v) * top[None] + v * bottom[None] + (1.0 - u) * left[:, None] + u * right[:, None]
    corners = (1.0 - v) * ((1.0 - u) * top[0] + u * top[-1]) + v * ((1.0 - u) * bottom[0] + u * bottom[-1])
    points: Floats = between - corners
    return points


def grid_triangles(grid: Ints) -> Ints:
    """Return the triangles of a grid of nodes (rows, columns), rows downwards, counterclockwise seen with row 0 up.

    Parameters
    ----------
    grid : (rows, columns)
        Numbers of the nodes. Diagonals alternate like the squares of a chessboard; the first runs down to the left.
    """
    a, b, c, d = grid[:-1, :-1], grid[:-1, 1:], grid[1:, :-1], grid[1:, 1:]
    even = (np.add.outer(np.arange(a.shape[0]), np.arange(a.shape[1])) % 2 == 0).ravel()
    a, b, c, d = (corner.ravel() for corner in (a, b, c, d))
    first = np.where(even[:, None], np.column_stack([a, c, b]), np.column_stack([a, c, d]))
    second = np.where(even[:, None], np.column_stack([b, c, d]), np.column_stack([a, d, b]))
    return np.stack([first, second], axis=1).reshape(-1, 3)


def three_sided(
    name: str, first: npt.ArrayLike, second: npt.ArrayLike, third: npt.ArrayLike, warp: float = 0.0
) -> FlatMesh:
    """Return a piece with three edges in triangles, n^2 of them for n steps on every edge.

    Parameters
    ----------
    name : str
    first, second, third : (n + 1, 2) [m]
        Counterclockwise round the piece: each starts at the corner where the one before ends. A web from outside:
        J to I, I to G, G to J or the reverse for its mirror image.
    warp : float [rad]

    Returns
    -------
    FlatMesh
        Edges "first", "second", "third", in the order given.

    Raises
    ------
    ShapeError
        As `four_sided`.

    Notes
    -----
    With shares (a, b, c) of the three corners, a point is the sum over the edges of the straight triangle's point and
    (1 - c) times how far the edge against corner c bows out of its chord at b/(a + b).

    References
    ----------
    Derived; side-vertex blending as Barnhill, Birkhoff & Gordon (1973), J. Approx. Theory 8:114-128 (from memory).

    Examples
    --------
    >>> web = three_sided("web", [[0, 0], [1, 0], [2, 0]], [[2, 0], [1, 1], [0, 2]], [[0, 2], [0, 1], [0, 0]])
    >>> web.flat.tolist()
    [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [2.0, 0.0], [1.0, 1.0], [0.0, 2.0]]
    """
    edges = [np.asarray(edge, dtype=np.float64) for edge in (first, second, third)]
    for i, word in ((1, "first and second"), (2, "first and third")):
        _must_match(name, word, len(edges[0]), len(edges[i]))
    _must_meet(name, [(edges[i][-1], edges[(i + 1) % 3][0]) for i in range(3)])
    n = len(edges[0]) - 1
    # Line k of the mesh runs from `first` to `third`, k steps from their common corner.
    row = np.repeat(np.arange(n + 1), np.arange(1, n + 2))
    along = np.concatenate([np.arange(k + 1) for k in range(n + 1)])
    shares = np.column_stack([n - row, row - along, along]) / n
    flat = shares @ np.array([edge[0] for edge in edges])
    for i, edge in enumerate(edges):
        flat += _bow(edge, shares[:, i], shares[:, (i + 1) % 3])
    start = np.arange(n + 1) * np.arange(1, n + 2) // 2
    last = start + np.arange(n + 1)
    named = {
        "first": frozen_indices(start),
        "second": frozen_indices(np.arange(start[n], last[n] + 1)),
        "third": frozen_indices(last[::-1]),
    }
    for name_of, edge in zip(named, edges, strict=True):
        flat[named[name_of]] = edge
    return _checked(FlatMesh(name, frozen_array(flat), frozen_indices(_triangle_rows(start)), named, warp))


def _bow(edge: Floats, a: Floats, b: Floats) -> Floats:
    """Return how far points with shares a, b of the ends of `edge` follow it out of its chord."""
    whole = a + b
    at = np.divide(b, whole, out=np.zeros_like(b), where=whole > 0.0)
    even = np.linspace(0.0, 1.0, len(edge))
    out = edge - (edge[0] + even[:, None] * (edge[-1] - edge[0]))
    bowed: Floats = whole[:, None] * np.column_stack([np.interp(at, even, out[:, axis]) for axis in range(2)])
    return bowed


def _triangle_rows(start: Ints) -> Ints:
    """Return the triangles between lines k and k + 1 that start at `start`, counterclockwise."""
    rows = []
    for k in range(len(start) - 1):
        upper, lower = start[k] + np.arange(k + 1), start[k + 1] + np.arange(k + 2)
        rows.append(np.column_stack([upper, lower[:-1], lower[1:]]))
        rows.append(np.column_stack([upper[:-1], lower[1:-1], upper[1:]]))
    return np.concatenate(rows)


def divide(line: npt.ArrayLike, steps: int | npt.ArrayLike) -> Floats:
    """Return points along a line (k, 2) or (k, 3) [m]: in so many equal steps, or at given shares of its length.

    Parameters
    ----------
    line : (k, 2 or 3) [m]
    steps : int or (n,)
        Shares from 0 to 1: the same for both sides of a seam, whatever their own points.

    Examples
    --------
    >>> divide([[0.0, 0.0], [1.0, 0.0], [1.0, 3.0]], [0.0, 0.5, 1.0]).tolist()
    [[0.0, 0.0], [1.0, 1.0], [1.0, 3.0]]
    """
    points = np.asarray(line, dtype=np.float64)
    wanted = np.linspace(0.0, 1.0, steps + 1) if isinstance(steps, int) else np.asarray(steps, dtype=np.float64)
    at = _shares(points)
    return np.column_stack([np.interp(wanted, at, points[:, axis]) for axis in range(points.shape[1])])


def _shares(line: Floats) -> Floats:
    """Return how far along itself each point of a line lies, from 0 to 1."""
    at = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    shares: Floats = at / at[-1] if at[-1] > 0.0 else np.linspace(0.0, 1.0, len(at))
    return shares


def _must_match(name: str, which: str, one: int, other: int) -> None:
    if one != other or one < 2:
        raise ShapeError(
            f"mesh of {name}", f"{which} have {one} and {other} points.", "Divide them into the same number of steps."
        )


def _must_meet(name: str, corners: list[tuple[Floats, Floats]]) -> None:
    for one, other in corners:
        if np.max(np.abs(one - other)) > CLOSED:
            raise ShapeError(
                f"mesh of {name}",
                f"two edges end {np.hypot(*(one - other)) * 1e3:.3g} mm apart near x {one[0]:.3f} m, y {one[1]:.3f} m.",
                "Give each corner to both of its edges.",
            )


def _checked(mesh: FlatMesh) -> FlatMesh:
    """Return the mesh, or refuse one with triangles turned over."""
    one, two, three = (mesh.flat[mesh.triangles[:, i]] for i in range(3))
    u, v = two - one, three - one
    twice = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    if not np.all(twice > 0.0):
        at = one[int(np.argmin(twice))]
        raise ShapeError(
            f"mesh of {mesh.name}",
            f"a triangle near x {at[0]:.3f} m, y {at[1]:.3f} m is turned over or has no area.",
            "Give the edges with the outside of the cloth up, or divide them more evenly.",
        )
    return mesh
