"""Forces on sewn cloth: minus the gradient of the energy, alike however they are worked out, blind to rigid motion."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from skirtloft.inflate.contact import ground, together, wedge
from skirtloft.inflate.fast import FastForces, is_available
from skirtloft.inflate.flat_mesh import four_sided
from skirtloft.inflate.forces import Forces, node_masses, potential
from skirtloft.inflate.plain import PlainForces
from skirtloft.inflate.sew import sew
from skirtloft.inflate.supports import supports
from skirtloft.inflate.tension import tensions
from skirtloft.inflate.types import Cloth, EdgeOf, Problem
from skirtloft.maths.frozen import Floats, frozen_array
from tests.inflate_cases import problem as make
from tests.inflate_cases import rectangle_edges

CLOTHS = [Cloth(5e4), Cloth(5e4, law="net")]
COMPILED = pytest.param(True, marks=pytest.mark.skipif(not is_available(), reason="numba is not installed"))


def crumpled(seed: int, cloth: Cloth, pressure: float = 500.0) -> tuple[Problem, Floats]:
    """A closed bag of two sheets, crumpled: some triangles stretched, some shortened both ways, some one way."""
    sheet = four_sided("sheet", *rectangle_edges(0.3, 0.2, 4, 3), warp=0.4)
    back = four_sided("back", *rectangle_edges(0.3, 0.2, 4, 3), warp=-0.2)
    seams = [
        (EdgeOf(0, one), EdgeOf(1, other, backwards))
        for one, other, backwards in (
            ("top", "top", True),
            ("bottom", "bottom", True),
            ("left", "right", False),
            ("right", "left", False),
        )
    ]
    flat = np.column_stack([sheet.flat, np.full(len(sheet.flat), 0.03)])
    mesh = sew([sheet, back], seams, [flat, flat * [-1.0, 1.0, -1.0] + [0.3, 0.0, 0.0]])
    random = np.random.default_rng(seed)
    points = mesh.points * random.uniform(0.85, 1.1, 3) + random.normal(0.0, 0.01, mesh.points.shape)
    return make(mesh, supports([]), pressure, cloth, areal_mass=0.3), points


def force_on(problem: Problem, points: Floats, fast: bool = False) -> Floats:
    out = np.empty_like(points)
    Forces(problem, fast)(points, problem.cloth, out)
    return out


@pytest.mark.parametrize("cloth", CLOTHS, ids=["field", "net"])
@pytest.mark.parametrize("seed", [1, 2])
def test_forces_are_minus_the_gradient_of_the_energy(cloth: Cloth, seed: int) -> None:
    """Central differences of 1e-7 m along whole random moves: cloth, pressure in a closed bag, weight and contact."""
    problem, points = crumpled(seed, cloth)
    nodes = np.arange(len(points))
    touching = together(
        ground(nodes, 0.02, 2e3), wedge(nodes, [[0.05, 0, 0], [0.2, 0, 0]], [[1, 0, 0], [0.8, 0.6, 0]], 1e3)
    )
    problem = replace(problem, contact=touching)
    force = force_on(problem, points)
    random = np.random.default_rng(seed + 10)
    for _ in range(5):
        way = random.normal(size=points.shape)
        step = 1e-7
        slope = (potential(problem, points + step * way) - potential(problem, points - step * way)) / (2 * step)
        assert slope == pytest.approx(-float((force * way).sum()), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("cloth", CLOTHS, ids=["field", "net"])
@pytest.mark.parametrize("compiled", [False, COMPILED])
def test_triangle_by_triangle_gives_the_same(cloth: Cloth, compiled: bool) -> None:
    """The lines that numba compiles, as they are and compiled, against numpy: 1e-9 of the largest force."""
    problem, points = crumpled(3, cloth)
    one, other = np.empty_like(points), np.empty_like(points)
    PlainForces(problem.mesh, problem.loads.pressure)(points, cloth, one)
    FastForces(problem.mesh, problem.loads.pressure, compiled)(points, cloth, other)
    assert np.max(np.abs(one - other)) < 1e-9 * np.max(np.abs(one))
    assert np.max(np.abs(one)) > 1.0


@pytest.mark.parametrize("cloth", CLOTHS, ids=["field", "net"])
def test_unstretched_cloth_pulls_nowhere(cloth: Cloth) -> None:
    """Both strains zero is the corner of the law: no force, and no number that is none."""
    sheet = four_sided("sheet", *rectangle_edges(0.3, 0.2, 4, 4))
    turned = np.column_stack([sheet.flat, np.zeros(25)]) @ Rotation.from_rotvec([0.3, 0.5, 0.1]).as_matrix()
    mesh = sew([sheet], [], [turned])
    for fast in (False, True):
        out = np.empty_like(turned)
        forces = FastForces(mesh, np.zeros(32), compiled=False) if fast else PlainForces(mesh, np.zeros(32))
        forces(turned, cloth, out)
        assert np.max(np.abs(out)) < 1e-9 * cloth.stiffness


@given(seed=st.integers(0, 10_000), turn=st.tuples(*[st.floats(-3.0, 3.0)] * 3), law=st.sampled_from(["field", "net"]))
@settings(max_examples=25, deadline=None)
def test_rigid_motion_turns_the_forces_along(seed: int, turn: tuple[float, float, float], law: str) -> None:
    """Turned and moved by metres; weight left out, which knows up from down."""
    problem, points = crumpled(seed, Cloth(5e4, law=law))  # type: ignore[arg-type]
    problem = replace(problem, loads=replace(problem.loads, areal_mass=np.zeros(len(problem.mesh.triangles))))
    matrix = Rotation.from_rotvec(turn).as_matrix()
    before = force_on(problem, points)
    after = force_on(problem, points @ matrix.T + [3.0, -2.0, 5.0])
    assert np.max(np.abs(after - before @ matrix.T)) < 1e-9 * np.max(np.abs(before))


@given(seed=st.integers(0, 10_000), pressure=st.floats(-2e3, 2e3))
@settings(max_examples=25, deadline=None)
def test_a_closed_bag_neither_pulls_nor_turns_itself(seed: int, pressure: float) -> None:
    problem, points = crumpled(seed, CLOTHS[0], pressure)
    weight = 9.80665 * node_masses(problem)
    force = force_on(problem, points) + weight[:, None] * [0.0, 0.0, 1.0]
    size = np.sum(np.abs(force))
    assert np.max(np.abs(force.sum(axis=0))) < 1e-12 * size
    assert np.max(np.abs(np.cross(points, force).sum(axis=0))) < 1e-12 * size


@given(seed=st.integers(0, 10_000), scale=st.floats(0.1, 10.0))
@settings(max_examples=25, deadline=None)
def test_twice_the_size_at_the_same_tension_needs_half_the_pressure(seed: int, scale: float) -> None:
    """Lengths times s, pressure over s: tensions stay, forces grow by s. [dimensions]"""
    problem, points = crumpled(seed, CLOTHS[0])
    problem = replace(problem, loads=replace(problem.loads, areal_mass=np.zeros(len(problem.mesh.triangles))))
    mesh = problem.mesh
    larger = replace(
        problem,
        mesh=replace(mesh, inverse=frozen_array(mesh.inverse / scale), area=frozen_array(mesh.area * scale**2)),
        loads=replace(problem.loads, pressure=frozen_array(problem.loads.pressure / scale)),
    )
    one, other = force_on(problem, points), force_on(larger, scale * points)
    assert np.max(np.abs(scale * one - other)) < 1e-9 * np.max(np.abs(other))
    small, large = (tensions(p.mesh, p.cloth, x)[0] for p, x in ((problem, points), (larger, scale * points)))
    assert np.max(np.abs(small - large)) < 1e-9 * np.max(np.abs(small))


def test_weight_is_that_of_the_flat_cloth() -> None:
    problem, _ = crumpled(5, CLOTHS[0])
    assert node_masses(problem).sum() == pytest.approx(2 * 0.3 * 0.2 * 0.3, rel=1e-12)  # two sheets of 300 g/m2
