"""Closed forms of a section against printed numbers.

"Prototype, 2026": computed once by an independent numpy prototype that checked its closed forms by finite differences
and by maximal enclosed area; derived, no published source. No weight; flat face (a = d/2) unless said.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.arc import chord_rates, half_angle_of
from skirtloft.physics.balance import shape_stiffness
from skirtloft.physics.section import loop_arc
from tests.section_cases import Case, potential

HALF_DIGIT = 0.51  # of the last printed digit


def area_rate(depth: float, offset: float, rise: float, turn: float) -> float:
    """A'(phi) = (1/2) J'x(E-I) + s c' + d^2 at the length that balances at no turn; I at the origin."""
    length = loop_arc(offset, rise, depth / 2.0).length
    joint = 2.0 * depth * np.array([math.cos(turn), math.sin(turn)])
    moved = 2.0 * depth * np.array([-math.sin(turn), math.cos(turn)])
    edge = np.array([2.0 * depth - offset, rise])
    chord = float(np.hypot(*(joint - edge)))
    half = float(half_angle_of(chord / length))
    beyond = -float(length) / (2.0 * half) * math.cos(half)
    lifted = 0.5 * (moved[0] * edge[1] - moved[1] * edge[0])
    return float(lifted + beyond * (joint - edge) @ moved / chord + depth**2)


@pytest.mark.parametrize("turn, printed", [(0.1, -0.008477), (-0.1, 0.010037)])
def test_moment_of_a_turned_section(turn: float, printed: float) -> None:
    """d .18, X .18, Z .20 (prototype, 2026); the energy the optimiser's tests use has the same slope."""
    assert area_rate(0.18, 0.18, 0.20, turn) == pytest.approx(printed, abs=HALF_DIGIT * 1e-6)
    case, length = Case(0.18, 0.0, 0.18, 0.20, 1.0), float(loop_arc(0.18, 0.20, 0.09).length)
    step = 1e-4
    slope = (potential(case, length, turn + step) - potential(case, length, turn - step)) / (2.0 * step)
    assert -slope == pytest.approx(printed, abs=2.0 * HALF_DIGIT * 1e-6)


@pytest.mark.parametrize("depth, offset, rise", [(0.18, 0.18, 0.20), (0.20, -0.05, 0.30), (0.15, 0.20, 0.20)])
def test_moment_vanishes_at_rest_and_falls_with_the_stiffness(depth: float, offset: float, rise: float) -> None:
    """A'(0) = 0 and A''(0) = -K/p (closed forms), by differences over three angles."""
    assert area_rate(depth, offset, rise, 0.0) == pytest.approx(0.0, abs=1e-15)
    step = 1e-4
    slope = (area_rate(depth, offset, rise, step) - area_rate(depth, offset, rise, -step)) / (2.0 * step)
    arc = loop_arc(offset, rise, depth / 2.0)
    assert -slope == pytest.approx(float(shape_stiffness(arc, np.array(offset), np.array(rise), depth)), rel=1e-5)


@pytest.mark.parametrize(
    "offset, rise, printed",
    [(1.0, 1.0, 2.57), (0.5, 1.0, 6.71), (1.5, 1.0, 1.53), (1.0, 2.0, 4.51), (1.0, 0.5, 1.13), (1.5, 0.5, 0.28)],
)
@pytest.mark.parametrize("depth", [1.0, 0.3])
def test_stiffness_by_shape(offset: float, rise: float, printed: float, depth: float) -> None:
    """k = K/(p d^2) for X/d, Z/d (prototype, 2026)."""
    x, z = offset * depth, rise * depth
    arc = loop_arc(x, z, depth / 2.0)
    k = float(shape_stiffness(arc, np.array(x), np.array(z), depth)) / depth**2
    assert k == pytest.approx(printed, abs=HALF_DIGIT * 0.01)


@pytest.mark.parametrize(
    "margin, radius, length",
    [
        (0.05, 0.134672, 0.41097),
        (0.10, 0.135080, 0.40012),
        (0.15, 0.135757, 0.39006),
        (0.25, 0.137900, 0.37219),
        (0.50, 0.147531, 0.33871),
    ],
)
def test_loops_whose_centre_lies_further_inboard(margin: float, radius: float, length: float) -> None:
    """d .18, X .18, Z .20, a = d/2 (1 + margin) (prototype, 2026): radius hardly moves, length does."""
    arc = loop_arc(0.18, 0.20, 0.09 * (1.0 + margin))
    assert float(arc.radius) == pytest.approx(radius, abs=HALF_DIGIT * 1e-6)
    assert float(arc.length) == pytest.approx(length, abs=HALF_DIGIT * 1e-5)


@pytest.mark.parametrize(
    "inset, length",
    [(0.14, 0.4398), (0.1005, 0.5463), (0.108, 0.5212), (0.0955, 0.5645), (0.1055, 0.5293)],
)
def test_lengths_of_a_ballooning_side(inset: float, length: float) -> None:
    """d .28, X .23, Z .22: loop lengths cut for a membrane model (prototype, 2026)."""
    assert float(loop_arc(0.23, 0.22, inset).length) == pytest.approx(length, abs=HALF_DIGIT * 1e-4)


def test_radius_of_a_ballooning_side() -> None:
    """R .1632 at a = d/2 .14 (prototype, 2026), and the closed form R = (c/2) sqrt(1 + ((2a - X)/Z)^2)."""
    arc = loop_arc(0.23, 0.22, 0.14)
    assert float(arc.radius) == pytest.approx(0.1632, abs=HALF_DIGIT * 1e-4)
    assert float(arc.radius) == pytest.approx(math.hypot(0.23, 0.22) / 2.0 * math.hypot(1.0, 0.05 / 0.22), rel=1e-15)


def kappa(angle: float) -> float:
    return float(chord_rates(np.array(angle), np.ones(())).centre)


def test_kappa_as_printed_and_its_limits() -> None:
    """kappa = [cos(b/2)/b + sin(b/2)/2]/[cos(b/2) - (2/b) sin(b/2)]; -12/b^3 as b -> 0; 0 at 5.59677 rad (derived)."""
    for angle in (0.5, 1.752116, math.pi, 3.63155, 5.0, 6.0):
        half = angle / 2.0
        above = math.cos(half) / angle + math.sin(half) / 2.0
        assert kappa(angle) == pytest.approx(above / (math.cos(half) - math.sin(half) / half), rel=1e-12)
    for angle in (1e-3, 1e-2, 1e-1):
        assert kappa(angle) == pytest.approx(-12.0 / angle**3, rel=angle**2)
    assert kappa(5.596765) < 0.0 < kappa(5.596775)
    assert math.degrees(5.59677) == pytest.approx(320.67, abs=0.005)
    inside = np.linspace(0.01, 5.5967, 500)
    assert (chord_rates(inside, np.ones(500)).centre < 0.0).all()


@pytest.mark.parametrize(
    "offset, rise, inset",
    [
        (0.23, 0.22, 0.09),
        (-0.075, 0.22, 0.09),
        (0.23, 0.002, 0.41),  # nearly straight and level: the end direction is just short of straight up
        (-0.05, 0.05, -0.1),  # centre outboard of and below the joint: the end direction counts on past straight left
        (0.35, 0.05, -0.05),  # more than three quarters of a circle
    ],
)
def test_directions_lead_to_hull_edge_and_joint(offset: float, rise: float, inset: float) -> None:
    """C + R (cos, sin) of start and end are E = (0, Z) and J = (X, 0), and start - end = b (closed form)."""
    arc = loop_arc(offset, rise, inset)
    centre, radius = np.array([offset - inset, float(arc.centre_z)]), float(arc.radius)
    for angle, place in ((float(arc.start_angle), (0.0, rise)), (float(arc.end_angle), (offset, 0.0))):
        assert centre + radius * np.array([math.cos(angle), math.sin(angle)]) == pytest.approx(place, abs=1e-13)
    assert float(arc.start_angle - arc.end_angle) == pytest.approx(float(arc.angle), abs=1e-14)
    assert -1.5 * math.pi < float(arc.end_angle) < math.pi / 2.0
    assert 0.0 < float(arc.angle) < 2.0 * math.pi
