"""Flattening by least strain: one panel of 2,048 triangles stage by stage, and all panels of a skirt."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from skirtloft.shape.flatten.cloth_fit import Lengths, Weave, fit_cloth
from skirtloft.shape.flatten.first_flat import lay_by_angles, lay_rigidly
from skirtloft.shape.flatten.patch import Patches, lay_patches, panel_mesh
from skirtloft.shape.flatten.refine import refine_row
from skirtloft.shape.flatten.row import flatten_row, panel_row
from skirtloft.shape.flatten.strain import report_strain
from tests.corner_cases import corner_places, corner_surface


def one_panel() -> tuple[Patches, np.ndarray]:
    patches = lay_patches(corner_surface("S"), corner_places()[None, 3:5], panel_mesh(32, 32))
    return patches, lay_by_angles(patches.mesh, patches.triangles, patches.seams[:, 0].sum(axis=1))


def test_one_panel_by_angles(benchmark: Any) -> None:
    patches, _ = one_panel()
    flat = benchmark(lay_by_angles, patches.mesh, patches.triangles, patches.seams[:, 0].sum(axis=1))
    assert flat.shape == (1, 33 * 33, 2)


def test_one_panel_rigid(benchmark: Any) -> None:
    """Two hundred rounds at most, as the library's below."""
    patches, flat = one_panel()
    rigid = benchmark(lay_rigidly, patches.mesh, patches.triangles, flat, rounds=200, tolerance=1e-8)
    assert np.isfinite(rigid).all()


def test_one_panel_rigid_by_libigl(benchmark: Any) -> None:
    """The same with a general-purpose library, to set our time beside."""
    igl = pytest.importorskip("igl")
    patches, flat = one_panel()
    points = np.ascontiguousarray(patches.points[0])
    corners = patches.mesh.triangles.astype(np.int64)

    def solve() -> np.ndarray:
        data = igl.ARAPData()
        data.max_iter = 200
        igl.arap_precomputation(points, corners, 2, np.array([0], dtype=np.int32), data)
        return igl.arap_solve(np.ascontiguousarray(flat[0, :1]), data, flat[0].copy())

    assert np.isfinite(benchmark(solve)).all()


def test_one_panel_as_cloth(benchmark: Any) -> None:
    """Free, then with its own seams and true edges: both solves of every panel."""
    patches, flat = one_panel()
    mesh, start = patches.mesh, lay_rigidly(patches.mesh, patches.triangles, flat, rounds=4)

    def solve() -> np.ndarray:
        free, _ = fit_cloth(mesh, patches.triangles, start, Weave())
        seams = np.linalg.norm(np.diff(free[:, mesh.seams], axis=2), axis=-1)
        return fit_cloth(mesh, patches.triangles, free, Weave(), Lengths(seams, patches.hull, patches.joint))[0]

    assert np.isfinite(benchmark(solve)).all()


def test_all_panels_of_a_skirt(benchmark: Any) -> None:
    """Aim 1.5 s: two corners of nine panels, none alike; the time itself is recorded, not asserted."""

    def solve() -> list:
        rows = [flatten_row(corner_surface(case), panel_row(corner_places(10))) for case in "SV"]
        return [report for row in rows for report in report_strain(row)]

    assert len(benchmark(solve)) == 18


def test_stations_by_rule(benchmark: Any) -> None:
    refined = benchmark(refine_row, corner_surface("S"), panel_row(corner_places(4)))
    assert refined.over_limit == ()
