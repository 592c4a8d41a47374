"""Exact loop patterns of whole crafts, in the same run as libigl's time for one panel of 2,048 triangles."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from skirtloft.design.read import load_design
from skirtloft.pipeline import build, flat_panels, flattening_of, surface_of
from skirtloft.shape.develop import develop
from skirtloft.shape.flatten.first_flat import lay_by_angles, lay_rigidly
from skirtloft.shape.flatten.patch import lay_patches, panel_mesh
from skirtloft.shape.flatten.row import Flattening, flatten_row, panel_row
from tests.corner_cases import corner_places, corner_surface

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = ("one-seat", "four-seat", "ten-seat")


def best(job: Callable[[], object], rounds: int = 3) -> float:
    """Return the shortest of a few times [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        job()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.mark.parametrize("name", NAMES)
def test_exact_set(benchmark: Any, name: str) -> None:
    """Aim 1.5 s for four-seat: all its curved panels from plan and sections; the time is recorded, not asserted."""
    design = load_design(EXAMPLES / f"{name}.toml")
    skirt = build(design, cut=False)
    made = benchmark(flat_panels, design, skirt.plan, skirt.sections, False)
    assert made.pattern == "exact"
    assert np.abs(made.joint_edge_error).max() < 0.05e-3


@pytest.mark.parametrize("name", NAMES)
def test_quick_set(benchmark: Any, name: str) -> None:
    design = load_design(EXAMPLES / f"{name}.toml")
    skirt = build(design, cut=False)
    assert benchmark(develop, skirt.plan, skirt.sections).pattern == "quick"


def test_a_panel_beside_libigl(benchmark: Any) -> None:
    """One panel of 32 by 32 cells, free and together, over libigl's rigid flattening of the same mesh in 200 rounds.

    The ratio is recorded. It is asserted only to be below 10: ours solves twice more, as cloth and with lengths kept.
    """
    igl = pytest.importorskip("igl")
    section_at, ends = corner_surface("S"), corner_places()[3:5]
    patches = lay_patches(section_at, ends[None], panel_mesh(32, 32))
    flat = lay_by_angles(patches.mesh, patches.triangles, patches.seams[:, 0].sum(axis=1))
    points, corners = np.ascontiguousarray(patches.points[0]), patches.mesh.triangles.astype(np.int64)

    def theirs() -> object:
        data = igl.ARAPData()
        data.max_iter = 200
        igl.arap_precomputation(points, corners, 2, np.array([0], dtype=np.int32), data)
        return igl.arap_solve(np.ascontiguousarray(flat[0, :1]), data, flat[0].copy())

    def ours() -> object:
        return flatten_row(section_at, panel_row(ends), Flattening(32, 32))

    def rigid() -> object:
        return lay_rigidly(patches.mesh, patches.triangles, flat, rounds=200, tolerance=1e-8)

    times = {"libigl": best(theirs), "whole": best(ours), "rigid": best(rigid)}
    benchmark.extra_info.update(times, whole_over_libigl=times["whole"] / times["libigl"])
    benchmark.extra_info["rigid_over_libigl"] = times["rigid"] / times["libigl"]
    benchmark.pedantic(ours, rounds=1)
    assert times["whole"] < 10.0 * times["libigl"]


def test_surface_of_a_craft(benchmark: Any) -> None:
    """Two thousand sections in equilibrium between the stations: what a corner's meshes ask for."""
    design = load_design(EXAMPLES / "four-seat.toml")
    skirt = build(design, cut=False)
    section_at = surface_of(design, skirt.plan, skirt.sections.pressure)
    at = np.linspace(0.0, float(skirt.plan.stations.at[-1]), 2000)
    assert np.isfinite(benchmark(section_at, at).length).all()
    assert flattening_of(design).rows == 32
