"""Coming to rest: progress, stopping early, running away, and both kinds of forces to the same end."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.errors import SolveError
from skirtloft.inflate import fast
from skirtloft.inflate.forces import Forces
from skirtloft.inflate.relax import Progress, Settings, inflate
from skirtloft.inflate.types import Cloth
from tests.inflate_cases import straight_loop


def test_progress_tells_stage_steps_and_force_left_over() -> None:
    seen: list[Progress] = []
    found = inflate(straight_loop(500.0, Cloth(), rows=16), progress=seen.append, fast=False)
    assert found.is_settled
    assert {p.stage for p in seen} == {0, 1}
    assert all(p.stages == 2 and p.steps % 20 == 0 for p in seen)
    assert [p.steps for p in seen] == sorted(p.steps for p in seen)
    assert seen[-1].residual == found.residual <= seen[-1].wanted == pytest.approx(0.02)  # 4e-5 m2 at 500 Pa
    assert seen[0].residual > 100 * found.residual


def test_stopped_early_gives_the_best_so_far() -> None:
    seen: list[Progress] = []
    problem = straight_loop(500.0, Cloth(), rows=16)
    found = inflate(problem, progress=seen.append, stop=lambda: len(seen) >= 8, fast=False)
    assert not found.is_settled
    assert len(seen) == 8
    assert found.residual == min(p.residual for p in seen if p.stage == seen[-1].stage)
    out = np.empty_like(found.points)
    stage_cloth = replace(problem.cloth, stiffness=problem.cloth.stiffness * (0.2, 1.0)[seen[-1].stage])
    Forces(problem, fast=False)(found.points, stage_cloth, out)
    assert np.linalg.norm(out) == pytest.approx(found.residual, rel=1e-9)


def test_out_of_steps_is_not_settled() -> None:
    found = inflate(straight_loop(500.0, Cloth(), rows=16), Settings(most_steps=50), fast=False)
    assert not found.is_settled
    assert found.steps == 50


def test_the_tolerance_goes_with_the_pressure() -> None:
    low = inflate(straight_loop(50.0, Cloth(), rows=8), fast=False)
    assert low.wanted == pytest.approx(0.002)
    hung = inflate(straight_loop(0.0, Cloth(), rows=8, areal_mass=0.3), Settings(most_steps=20), fast=False)
    assert hung.wanted == pytest.approx(4e-5 * 9.80665 * 0.3)  # weight alone


def test_running_away_is_said() -> None:
    problem = straight_loop(500.0, Cloth(), rows=8)
    wild = np.array(problem.mesh.points)
    wild[5] = np.inf
    with pytest.raises(SolveError, match="ran away"), np.errstate(invalid="ignore"):
        inflate(replace(problem, mesh=replace(problem.mesh, points=wild)), fast=False)


def test_without_numba_the_plain_forces_are_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("skirtloft.inflate.forces.is_available", lambda: False)
    assert inflate(straight_loop(500.0, Cloth(), rows=8)).is_compiled is False


@pytest.mark.skipif(not fast.is_available(), reason="numba is not installed")
def test_compiled_and_plain_come_to_the_same_rest() -> None:
    """0.1 mm: each stops somewhere within the tolerance."""
    problem = straight_loop(500.0, Cloth(), rows=16)
    one, other = (inflate(problem, Settings(tolerance=4e-7), fast=compiled) for compiled in (False, True))
    assert (one.is_compiled, other.is_compiled) == (False, True)
    assert np.max(np.abs(one.points - other.points)) < 1e-4
