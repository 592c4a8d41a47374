"""Forces on a sewn corner with a long run, and a short run inflated to rest: plain and, where installed, compiled.

Times are recorded; asserted is only that compiled forces are the faster ones.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np
import pytest

from skirtloft.inflate.fast import is_available
from skirtloft.inflate.forces import Forces
from skirtloft.inflate.relax import Inflated, inflate
from skirtloft.inflate.skirt.model import Making, sew_skirt
from tests.sewn_cases import BULGE_RUN, COARSE, Skirt, even, lay_run, sewn_skirt
from tests.sewn_designs import CORNER, cut_of

needs_numba = pytest.mark.skipif(not is_available(), reason="numba is not installed")
KINDS = [False, pytest.param(True, marks=needs_numba)]


def long_run(segments: int) -> Skirt:
    columns = segments * COARSE.across
    return sewn_skirt(lay_run("T", (segments, 0, 0), even(BULGE_RUN), COARSE), [(0, columns)])


@pytest.mark.parametrize("compiled", KINDS, ids=["plain", "compiled"])
def test_forces(benchmark: Any, compiled: bool) -> None:
    """16,800 triangles, 30 segments."""
    problem = long_run(30).problem
    forces, out = Forces(problem, compiled), np.empty_like(problem.mesh.points)
    benchmark(forces, problem.mesh.points, problem.cloth, out)
    assert np.isfinite(out).all()


@pytest.mark.parametrize("compiled", KINDS, ids=["plain", "compiled"])
def test_short_run_to_rest(benchmark: Any, compiled: bool) -> None:
    """560 triangles, one segment between planes of symmetry."""
    problem = long_run(1).problem
    found: Inflated = benchmark.pedantic(inflate, (problem,), {"fast": compiled}, rounds=1, warmup_rounds=0)
    assert found.is_settled


@needs_numba
def test_compiled_is_faster() -> None:
    problem = long_run(30).problem
    out, points = np.empty_like(problem.mesh.points), np.array(problem.mesh.points)
    times = []
    for compiled in (True, False):
        forces = Forces(problem, compiled)
        forces(points, problem.cloth, out)
        started = time.process_time()
        for _ in range(20):
            forces(points, problem.cloth, out)
        times.append(time.process_time() - started)
    assert times[0] < times[1]


@pytest.mark.parametrize("compiled", KINDS, ids=["plain", "compiled"])
def test_corner_of_the_four_seat_to_rest(benchmark: Any, compiled: bool) -> None:
    """3,920 triangles from cut pieces; the whole half craft has 26,320 (7 s compiled, 22 s plain, on one core)."""
    problem = sew_skirt(cut_of("four-seat"), Making(only=CORNER)).problem
    found: Inflated = benchmark.pedantic(inflate, (problem,), {"fast": compiled}, rounds=1, warmup_rounds=0)
    assert found.is_settled


@needs_numba
def test_ratio_of_plain_to_compiled_to_rest(record_property: Any) -> None:
    """The same corner both ways in one run: the ratio is recorded and printed; compiled is to be the faster by half."""
    problem = sew_skirt(cut_of("four-seat"), Making(only=CORNER)).problem
    inflate(sew_skirt(cut_of("four-seat"), Making(only=(CORNER[0], CORNER[0]))).problem, fast=True)  # compiles
    times = []
    for compiled in (True, False):
        started = time.process_time()
        assert inflate(problem, fast=compiled).is_settled
        times.append(time.process_time() - started)
    ratio = times[1] / times[0]
    record_property("plain_over_compiled", ratio)
    print(f"plain : compiled {ratio:.2f} ({times[1]:.1f} s : {times[0]:.1f} s)")
    assert ratio > 1.5
