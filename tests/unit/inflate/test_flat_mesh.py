"""Flat pieces in triangles."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.errors import ShapeError
from skirtloft.inflate.flat_mesh import divide, four_sided, grid_triangles, three_sided
from skirtloft.inflate.types import FlatMesh
from skirtloft.maths.frozen import Floats
from tests.inflate_cases import rectangle_edges


def area(mesh: FlatMesh) -> float:
    one, two, three = (mesh.flat[mesh.triangles[:, i]] for i in range(3))
    u, v = two - one, three - one
    return float(np.sum(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2.0)


def polygon_area(points: Floats) -> float:
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) / 2.0)


def bent_panel(columns: int, rows: int, bow: float) -> tuple[Floats, Floats, Floats, Floats]:
    """Edges of a panel wider below, all four bowed by `bow`."""
    u, v = np.linspace(0.0, 1.0, columns + 1), np.linspace(0.0, 1.0, rows + 1)
    top = np.column_stack([0.14 * u, 0.44 + bow * np.sin(np.pi * u)])
    bottom = np.column_stack([-0.03 + 0.2 * u, bow * np.sin(np.pi * u)])
    left = np.column_stack([-0.03 * v - bow * np.sin(np.pi * v), 0.44 * (1.0 - v)])
    right = np.column_stack([0.14 + 0.03 * v + bow * np.sin(np.pi * v), 0.44 * (1.0 - v)])
    return top, bottom, left, right


@given(columns=st.integers(1, 9), rows=st.integers(1, 9), bow=st.floats(0.0, 0.03))
@settings(max_examples=40, deadline=None)
def test_four_sided_fills_its_outline_and_keeps_its_boundary(columns: int, rows: int, bow: float) -> None:
    top, bottom, left, right = bent_panel(columns, rows, bow)
    mesh = four_sided("panel", top, bottom, left, right)
    assert len(mesh.triangles) == 2 * columns * rows
    for name, edge in (("top", top), ("bottom", bottom), ("left", left), ("right", right)):
        assert mesh.flat[mesh.edges[name]] == pytest.approx(edge, abs=1e-12)
    outline = np.concatenate([left[:-1], bottom[:-1], right[::-1][:-1], top[::-1][:-1]])
    assert area(mesh) == pytest.approx(polygon_area(outline), rel=1e-12)


def test_nodes_of_a_rectangle_are_a_grid() -> None:
    mesh = four_sided("r", *rectangle_edges(0.3, 0.2, 3, 2))
    assert mesh.flat.reshape(3, 4, 2)[1] == pytest.approx(np.array([[0, 0.1], [0.1, 0.1], [0.2, 0.1], [0.3, 0.1]]))


def test_uneven_steps_go_through_the_piece() -> None:
    """A node put in at a third, where another piece's seam ends: its column stays at a third all the way down."""
    shares = np.array([0.0, 0.25, 1 / 3, 0.5, 0.75, 1.0])
    top, bottom, left, right = rectangle_edges(0.3, 0.2, 1, 1)
    down = np.array([0.0, 0.1, 1.0])
    mesh = four_sided("r", divide(top, shares), divide(bottom, shares), divide(left, down), divide(right, down))
    grid = mesh.flat.reshape(3, 6, 2)
    assert grid[..., 0] == pytest.approx(np.tile(0.3 * shares, (3, 1)), abs=1e-15)
    assert grid[1, :, 1] == pytest.approx(np.full(6, 0.18), abs=1e-15)


def test_even_meshes_are_their_own_mirror_image() -> None:
    """A mesh that leans to one side would make a symmetric skirt lean."""
    triangles = grid_triangles(np.arange(35).reshape(5, 7))
    mirrored = np.arange(35).reshape(5, 7)[:, ::-1].ravel()[triangles]
    assert {frozenset(t) for t in triangles.tolist()} == {frozenset(t) for t in mirrored.tolist()}


def arc(start: Floats, end: Floats, bow: float, steps: int) -> Floats:
    t = np.linspace(0.0, 1.0, steps + 1)[:, None]
    along = end - start
    return start + t * along + 4.0 * bow * t * (1.0 - t) * np.array([along[1], -along[0]])


@given(steps=st.integers(1, 10), bow=st.floats(-0.1, 0.2))
@settings(max_examples=40, deadline=None)
def test_three_sided_fills_its_outline_and_keeps_its_boundary(steps: int, bow: float) -> None:
    corners = np.array([[0.0, 0.0], [-0.56, 0.0], [-0.28, -0.28]])
    edges = [arc(corners[i], corners[(i + 1) % 3], bow * (i == 2), steps) for i in range(3)]
    mesh = three_sided("web", *edges)
    assert len(mesh.triangles) == steps**2
    assert len(mesh.flat) == (steps + 1) * (steps + 2) // 2
    for name, edge in zip(("first", "second", "third"), edges, strict=True):
        assert mesh.flat[mesh.edges[name]] == pytest.approx(edge, abs=1e-12)
    assert area(mesh) == pytest.approx(polygon_area(np.concatenate([edge[:-1] for edge in edges])), rel=1e-12)


def test_a_straight_web_is_divided_evenly() -> None:
    """45/90 web of depth .28: every triangle a hundredth of d^2."""
    corners = 0.28 * np.array([[0.0, 0.0], [-2.0, 0.0], [-1.0, -1.0]])
    mesh = three_sided("web", *(arc(corners[i], corners[(i + 1) % 3], 0.0, 10) for i in range(3)))
    one, two, three = (mesh.flat[mesh.triangles[:, i]] for i in range(3))
    u, v = two - one, three - one
    assert (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2.0 == pytest.approx(np.full(100, 0.28**2 / 100), rel=1e-9)


def test_divide_makes_equal_steps_along_the_line() -> None:
    line = divide([[0.0, 0.0], [3.0, 0.0], [3.0, 1.0]], 4)
    assert line.tolist() == [[0, 0], [1, 0], [2, 0], [3, 0], [3, 1]]


def test_wrong_edges_are_refused() -> None:
    top, bottom, left, right = rectangle_edges(0.3, 0.2, 3, 2)
    with pytest.raises(ShapeError, match="top and bottom have 4 and 3 points"):
        four_sided("p", top, bottom[:3], left, right)
    with pytest.raises(ShapeError, match="10 mm apart near x 0.000 m"):
        four_sided("p", top, bottom, left + [0.01, 0.0], right)
    with pytest.raises(ShapeError, match=r"turned over.*outside of the cloth up"):
        four_sided("p", top[::-1], bottom[::-1], right, left)
    with pytest.raises(ShapeError, match="first and third have 3 and 2 points"):
        three_sided("w", [[0, 0], [1, 0], [2, 0]], [[2, 0], [1, 1], [0, 2]], [[0, 2], [0, 0]])
    with pytest.raises(ShapeError, match="turned over"):
        three_sided("w", [[0, 0], [0, 1]], [[0, 1], [1, 0]], [[1, 0], [0, 0]])
