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
from tests.sewn_cases import BULGE_RUN, COARSE, Skirt, even, lay_run, sewn_skirt

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
