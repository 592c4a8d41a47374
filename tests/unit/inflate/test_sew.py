"""Sewing pieces: which nodes become one."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.errors import ShapeError
from skirtloft.inflate.flat_mesh import four_sided
from skirtloft.inflate.sew import sew
from skirtloft.inflate.types import EdgeOf, FlatMesh
from skirtloft.maths.frozen import Floats
from tests.inflate_cases import rectangle_edges


def sheet(columns: int = 2, rows: int = 2, width: float = 0.2) -> FlatMesh:
    return four_sided("sheet", *rectangle_edges(width, 0.2, columns, rows))


def lifted(mesh: FlatMesh, x: float) -> Floats:
    return np.column_stack([mesh.flat + [x, 0.0], np.zeros(len(mesh.flat))])


def test_a_tube_closes_on_itself() -> None:
    mesh = sew([sheet()], [(EdgeOf(0, "left"), EdgeOf(0, "right"))], [lifted(sheet(), 0.0)])
    assert len(mesh.points) == 6
    grid = mesh.nodes[0].reshape(3, 3)
    assert grid[:, 0].tolist() == grid[:, 2].tolist()
    assert mesh.points[grid[:, 0], 0] == pytest.approx([0.1, 0.1, 0.1])  # started at the mean of both sides


def test_four_pieces_share_the_node_where_they_meet() -> None:
    pieces = [sheet()] * 4
    seams = [
        (EdgeOf(0, "right"), EdgeOf(1, "left")),
        (EdgeOf(2, "right"), EdgeOf(3, "left")),
        (EdgeOf(0, "bottom"), EdgeOf(2, "top")),
        (EdgeOf(1, "bottom"), EdgeOf(3, "top")),
    ]
    mesh = sew(pieces, seams, [lifted(piece, 0.0) for piece in pieces])
    assert len(mesh.points) == 25
    assert len({int(mesh.nodes[0][8]), int(mesh.nodes[1][6]), int(mesh.nodes[2][2]), int(mesh.nodes[3][0])}) == 1
    assert np.bincount(mesh.piece).tolist() == [8, 8, 8, 8]


def test_a_part_of_an_edge_and_a_backward_one() -> None:
    """A narrow piece on the middle of a wide one, turned round."""
    wide, narrow = sheet(columns=4, width=0.4), sheet(columns=2)
    mesh = sew(
        [wide, narrow],
        [(EdgeOf(0, "bottom", first=1, last=3), EdgeOf(1, "bottom", backwards=True))],
        [lifted(wide, 0.0), lifted(narrow, 0.0)],
    )
    assert len(mesh.points) == 15 + 9 - 3
    assert mesh.nodes[0][wide.edges["bottom"]][1:4].tolist() == mesh.nodes[1][narrow.edges["bottom"]][::-1].tolist()


def test_rest_shape_does_not_care_where_a_piece_starts() -> None:
    """A gathered seam: each side keeps its own flat length, the nodes are shared."""
    one, two = sheet(width=0.2), sheet(width=0.3)
    mesh = sew([one, two], [(EdgeOf(0, "bottom"), EdgeOf(1, "top"))], [lifted(one, 0.0), lifted(two, 5.0)])
    assert mesh.area[mesh.piece == 0].sum() == pytest.approx(0.2 * 0.2)
    assert mesh.area[mesh.piece == 1].sum() == pytest.approx(0.3 * 0.2)
    edges = np.linalg.inv(mesh.inverse)
    assert np.linalg.det(edges) / 2.0 == pytest.approx(mesh.area)


def test_warp_turns_the_rest_frame() -> None:
    """Warp along y: a triangle's first component is its y."""
    upright = four_sided("s", *rectangle_edges(0.2, 0.2, 2, 2), warp=np.pi / 2)
    mesh = sew([upright], [], [lifted(upright, 0.0)])
    one, two, _ = (upright.flat[upright.triangles[:, i]] for i in range(3))
    edges = np.linalg.inv(mesh.inverse)
    assert edges[:, 0, 0] == pytest.approx((two - one)[:, 1], abs=1e-15)


def test_sides_that_do_not_match_are_refused() -> None:
    with pytest.raises(ShapeError, match="one side has 3 nodes, the other 4"):
        sew(
            [sheet(), sheet(rows=3)],
            [(EdgeOf(0, "right"), EdgeOf(1, "left"))],
            [lifted(sheet(), 0.0), lifted(sheet(rows=3), 0.0)],
        )
