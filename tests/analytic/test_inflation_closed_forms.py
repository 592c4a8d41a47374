"""Inflated membranes against closed forms and an independent integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import least_squares

from skirtloft.inflate.forces import potential, reactions
from skirtloft.inflate.relax import Inflated, Settings, inflate
from skirtloft.inflate.types import Cloth, Problem
from skirtloft.maths.frozen import Floats
from skirtloft.physics.section import loop_arc
from tests.inflate_cases import disc_balloon, ring_loop, straight_loop

PRESSURE = 500.0
FINE = Settings(tolerance=4e-7)


def settled(problem: Problem, settings: Settings = FINE) -> Inflated:
    """Inflate; every case must come to rest, lower than it started."""
    found = inflate(problem, settings)
    assert found.is_settled
    assert found.residual <= found.wanted == pytest.approx(settings.tolerance * PRESSURE)
    assert potential(problem, found.points) < potential(problem, problem.mesh.points)
    return found


def circle_through(points: Floats) -> tuple[Floats, float]:
    """Best circle through points (n, 2): centre x, z and radius, and the largest distance from it."""
    fit = least_squares(lambda c: np.hypot(*(points - c[:2]).T) - c[2], [-0.1, 0.4, 0.16])
    return fit.x, float(np.max(np.abs(fit.fun)))


@pytest.mark.parametrize("cloth", [Cloth(50e3), Cloth(200e3), Cloth(200e3, law="net")], ids=["50", "200", "net"])
def test_a_straight_loop_is_a_circle_with_tension_p_r(cloth: Cloth) -> None:
    """E (-.23, .50), J (0, .28), length .43976: R .16320, N = p R = 81.60 N/m. [closed form: `loop_arc`]

    0.2 %: a polyline of 32 steps and a stretch of 0.16 % at the softer cloth.
    """
    problem = straight_loop(PRESSURE, cloth)
    found = settled(problem)
    arc = loop_arc(0.23, 0.22, 0.14)
    (_, _, radius), away = circle_through(found.points[:, [0, 2]])
    assert radius == pytest.approx(float(arc.radius), rel=2e-3)
    assert away < 1e-4
    pull = reactions(problem, found.points)
    joint = np.abs(found.points[:, 2] - 0.28) < 1e-12
    tension = np.linalg.norm(pull[joint & (found.points[:, 0] == 0.0)].sum(axis=0)) / 0.06
    assert tension == pytest.approx(PRESSURE * float(arc.radius), rel=5e-3)


def test_reactions_carry_pressure_and_weight() -> None:
    """Horizontally p times the height between the edges, upright the weight and p times the offset. [statics]"""
    problem = straight_loop(PRESSURE, Cloth(), areal_mass=0.3)
    found = settled(problem)
    total = reactions(problem, found.points).sum(axis=0)
    assert total[0] == pytest.approx(PRESSURE * 0.22 * 0.06, rel=5e-4)
    # seen from inside, the chord faces up and outboard: pressure lifts on the offset of 0.23 m
    assert total[2] == pytest.approx(PRESSURE * 0.23 * 0.06 - 9.80665 * 0.3 * 0.43976 * 0.06, rel=5e-4)


def test_weight_lowers_the_loop() -> None:
    """The area's centre sinks; without pressure weight alone decides. 300 g/m2 on a loop at 500 Pa: millimetres."""
    light, heavy = (
        settled(straight_loop(PRESSURE, Cloth(), areal_mass=mass), Settings(tolerance=4e-6)).points
        for mass in (0.0, 3.0)
    )
    sunk = float(np.mean(light[:, 2] - heavy[:, 2]))
    assert 1e-3 < sunk < 3e-2


def meridian(length: float) -> Floats:
    """Points (rho, z) of a loop that carries tension along the section only, r .75, d .28, rho_E .52, z_E .50.

    psi' = -p rho/H with N rho = H, from psi_E 28.029 degrees and H .115161 p. [integrated here; start values derived
    from equilibrium of loop and 45-degree segment at that corner]
    """
    way = solve_ivp(
        lambda _, y: [np.cos(y[2]), np.sin(y[2]), -y[0] / 0.115161],
        (0.0, length),
        [0.52, 0.50, np.radians(28.029)],
        rtol=1e-10,
        atol=1e-12,
        t_eval=np.linspace(0.0, length, 400),
    )
    points: Floats = way.y[:2].T
    return points


def test_a_loop_between_rings_follows_the_meridional_equation() -> None:
    """0.7 mm, where its neighbour in straight cloth (a circle through E and J as long) would be 5 mm off."""
    exact = meridian(0.44752)
    assert exact[-1] == pytest.approx([0.75, 0.28], abs=2e-5)
    problem = ring_loop(PRESSURE, Cloth(200e3))
    found = settled(problem)
    seen = np.column_stack([np.hypot(found.points[:, 0], found.points[:, 1]), found.points[:, 2]])
    away = np.min(np.linalg.norm(seen[:, None] - exact[None], axis=2), axis=1)
    assert np.max(away) < 7e-4
    assert np.max(seen[:, 0]) == pytest.approx(0.78036, abs=5e-4)  # [derived: H sin psi + p rho^2/2 constant]
    pull = reactions(problem, found.points)
    joint = np.linalg.norm(pull[np.abs(seen[:, 1] - 0.28) < 1e-9].sum(axis=0))
    assert joint / (0.75 * np.radians(5.0)) == pytest.approx(0.15355 * PRESSURE, rel=0.01)  # N_J = H/r


def test_two_flat_discs_make_the_balloon_that_is_known() -> None:
    """Radius 1/int (1 - x^4)^-1/2 of the flat one, .76276, thickness over diameter int x^2 (1 - x^4)^-1/2, .59907.

    Paulsen (1994), What is the shape of a Mylar balloon?, Amer. Math. Monthly 101:953-958 (from memory); integrals
    evaluated here. 0.6 %: 40 steps, a stretch of 0.1 % and what the cloth resists while it wrinkles.
    """
    problem = disc_balloon(PRESSURE, Cloth(200e3))
    found = settled(problem, Settings())
    whole = quad(lambda t: 1.0 / np.sqrt(1.0 + np.sin(t) ** 2), 0.0, np.pi / 2)[0]  # x = sin t
    height = quad(lambda t: np.sin(t) ** 2 / np.sqrt(1.0 + np.sin(t) ** 2), 0.0, np.pi / 2)[0]
    assert (1.0 / whole, height) == pytest.approx((0.76276, 0.59907), abs=1e-5)
    rim = float(np.max(np.hypot(found.points[:, 0], found.points[:, 1])))
    assert rim == pytest.approx(1.0 / whole, rel=6e-3)
    assert float(np.max(found.points[:, 2])) / rim == pytest.approx(height, rel=6e-3)


def test_wrinkled_cloth_must_give_way() -> None:
    """Compressive stiffness as a share of E instead of an absolute one holds the balloon's folds up: seen at once."""
    stiff = settled(disc_balloon(PRESSURE, Cloth(200e3, compression=2e3)), Settings())
    rim = float(np.max(np.hypot(stiff.points[:, 0], stiff.points[:, 1])))
    assert rim > 1.02 * 0.76276
