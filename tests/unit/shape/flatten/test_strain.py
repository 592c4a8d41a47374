"""The strain report: figures, places, seams, the picture's values."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.shape.flatten.cloth_fit import Weave
from skirtloft.shape.flatten.edges import flat_edges, smooth_length, smooth_line
from skirtloft.shape.flatten.row import FlatRow, Flattening, flatten_row, panel_row
from skirtloft.shape.flatten.strain import report_strain, strain_pictures
from tests.corner_cases import corner_places, corner_surface


def stretched(flat: FlatRow, matrix: np.ndarray) -> FlatRow:
    """The free panels changed by a matrix, to know the strain that must come out."""
    return FlatRow(flat.row, flat.by, flat.patches, flat.free, flat.free @ matrix.T, flat.lengths)


@pytest.fixture(scope="module")
def narrow() -> FlatRow:
    # 3 deg wide: free strain below 1e-3.
    places = corner_places(31)[:3]
    return flatten_row(corner_surface("T"), panel_row(places), Flattening(6, 24))


def test_signs_and_threads(narrow: FlatRow) -> None:
    # The flat 2 % too long in x: the cloth must shrink along x by 2 % to lie on the surface.
    picture = strain_pictures(stretched(narrow, np.diag([1.02, 1.0])))[0]
    assert np.abs(picture.warp - (1 / 1.02 - 1)).max() < 1.5e-3
    assert np.abs(picture.weft).max() < 1.5e-3
    assert np.abs(picture.shear).max() < 3e-3
    assert np.abs(picture.principal - picture.warp).max() < 1.5e-3
    around = FlatRow(
        narrow.row, Flattening(6, 24, Weave(way="around")), narrow.patches, narrow.free, narrow.free, narrow.lengths
    )
    picture = strain_pictures(stretched(around, np.diag([1.02, 1.0])))[0]
    assert np.abs(picture.weft - (1 / 1.02 - 1)).max() < 1.5e-3


def test_shear_is_the_change_of_the_right_angle(narrow: FlatRow) -> None:
    lean = 0.03
    picture = strain_pictures(stretched(narrow, np.array([[1.0, lean], [0.0, 1.0]])))[0]
    assert np.abs(picture.shear + np.arctan(lean)).max() < 3e-3
    assert np.abs(picture.warp).max() < 1.5e-3


def test_report_figures() -> None:
    flat = flatten_row(corner_surface("S"), panel_row(corner_places()), Flattening(6, 12))
    for i, (report, picture) in enumerate(zip(report_strain(flat), strain_pictures(flat), strict=True)):
        thread = np.maximum(np.abs(picture.warp), np.abs(picture.weft))
        area = flat.patches.triangles.area[i]
        assert report.thread.largest == thread.max()
        below = area[thread <= report.thread.p95].sum() / area.sum()
        assert 0.95 <= below < 0.95 + 1.5 * area.max() / area.sum()
        assert report.thread.p95 < report.thread.largest <= report.principal.largest
        # the place it names is the triangle with the largest value
        k = int(np.argmax(thread))
        centre = flat.patches.points[i, picture.triangles[k]].mean(axis=0)
        assert report.thread.point == pytest.approx(centre, abs=1e-12)
        assert np.all((report.thread.at >= 0.0) & (report.thread.at <= 1.0))
        assert report.deviation == pytest.approx(0.13 * report.estimate)
        assert report.seam == pytest.approx(flat.lengths.seams[i].sum(axis=1), abs=1e-12)
        assert report.seam - flat.patches.seams[i].sum(axis=1) == pytest.approx(report.seam_excess, abs=1e-12)
        assert report.edge == pytest.approx([flat.patches.hull[i], flat.patches.joint[i]], abs=1e-5)


@pytest.mark.parametrize(
    "weave, expected",
    [(Weave(), (1.0, 0.0)), (Weave(way="around"), (0.0, 1.0))],
)
def test_warp_is_laid_by_the_joint_edge(weave: Weave, expected: tuple) -> None:
    flat = flatten_row(
        corner_surface("S"), panel_row(corner_places(), to_straight=(True, True)), Flattening(6, 12, weave)
    )
    for report in report_strain(flat):
        assert report.warp == pytest.approx(expected, abs=1e-15)


def test_warp_laid_by_the_middle_column() -> None:
    around, along = (
        flatten_row(corner_surface("S"), panel_row(corner_places()), Flattening(6, 12, Weave(way=way, line="middle")))
        for way in ("around", "along")
    )
    mesh = around.patches.mesh
    for i, report in enumerate(report_strain(around)):
        up = around.flat[i, mesh.hull[3]] - around.flat[i, mesh.joint[3]]
        assert report.warp == pytest.approx(up / np.hypot(*up), abs=1e-12)
    for report in report_strain(along):
        assert report.warp[0] > 0.8  # towards the start


def test_smooth_lines() -> None:
    angle = np.linspace(0.0, 0.6, 13)
    nodes = 0.5 * np.column_stack([np.cos(angle), np.sin(angle)])
    line = smooth_line(nodes, 4)
    assert len(line) == 49
    assert np.array_equal(line[::4], nodes)
    assert np.abs(np.hypot(*line.T) - 0.5).max() < 1e-6
    assert smooth_length(nodes) == pytest.approx(0.3, abs=1e-7)
    assert np.hypot(*np.diff(nodes, axis=0).T).sum() == pytest.approx(0.3 - 3.1e-5, abs=1e-6)


def test_edges_meet_at_the_corners() -> None:
    flat = flatten_row(corner_surface("S"), panel_row(corner_places(3)[:2]), Flattening(6, 12))
    edges = flat_edges(flat.patches.mesh, flat.flat[0])
    assert edges.seam_start.shape == edges.seam_end.shape == (49, 2)
    assert edges.hull.shape == edges.joint.shape == (25, 2)
    for one, other in (
        (edges.seam_start[0], edges.hull[0]),
        (edges.seam_start[-1], edges.joint[0]),
        (edges.seam_end[0], edges.hull[-1]),
        (edges.seam_end[-1], edges.joint[-1]),
    ):
        assert np.array_equal(one, other)
