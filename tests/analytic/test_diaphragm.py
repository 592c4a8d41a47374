"""Diaphragm: numbers of an independent prototype, closed forms, and finite differences of the enclosed area."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.diaphragm import DIAPHRAGM_DEFAULTS, required_margin, size_diaphragm
from skirtloft.physics.loop_margin import (
    CutLoop,
    LoopBalance,
    loop_balance,
    loop_of_length,
    loop_of_margin,
    margin_of,
    weightless_margin,
)

DEPTH, OFFSET, RISE, PRESSURE = 0.18, 0.18, 0.20, 464.054


def level(depth: float, offset: float, rise: float, pressure: float, **weight: float) -> LoopBalance:
    """45 deg face, right angle at the tip, level I at the origin, flat face."""
    square = weight.pop("tip_mean_square", 2.0 * depth**2)
    return loop_balance(
        [2 * depth - offset, rise], [2 * depth, 0], [0, 0], tip_mean_square=square, pressure=pressure, **weight
    )


# Computed once by an independent prototype: margin, R [m], L [m], T_d [N/m]; D = J + (-.20, -.10), no weight.
ROWS = [
    (0.05, 0.134672, 0.41097, 4.6695),
    (0.10, 0.135080, 0.40012, 9.3389),
    (0.15, 0.135757, 0.39006, 14.0084),
    (0.25, 0.137900, 0.37219, 23.3473),
    (0.50, 0.147531, 0.33871, 46.6945),
]


@pytest.mark.parametrize(("margin", "radius", "length", "tension"), ROWS)
def test_radius_length_and_tension_of_the_prototype(
    margin: float, radius: float, length: float, tension: float
) -> None:
    case = level(DEPTH, OFFSET, RISE, PRESSURE)
    result = size_diaphragm(case, loop_of_margin(case, margin), [2 * DEPTH - 0.20, -0.10])
    assert float(result.loop.radius) == pytest.approx(radius, abs=5.1e-7)
    assert float(result.loop.length) == pytest.approx(length, abs=5.1e-6)
    assert float(result.tension) == pytest.approx(tension, abs=5.1e-5)
    # T_d = p d Tm/(2 |u_z|), derived for the level case.
    assert float(result.tension) == pytest.approx(
        PRESSURE * DEPTH * margin / (2 * 0.10 / math.hypot(0.20, 0.10)), rel=1e-12
    )
    assert bool(result.is_taut)


def test_margin_of_the_level_case_is_that_of_the_centre() -> None:
    """Tm = 2a/d - 1; with bulge a/a_balance - 1 (a_balance .0917 for d .28, w .15: derived)."""
    flat = loop_of_margin(level(DEPTH, OFFSET, RISE, PRESSURE), 0.15)
    assert 2 * (2 * DEPTH - flat.centre[0]) / DEPTH - 1 == pytest.approx(0.15, abs=1e-12)
    depth, pitch = 0.28, 0.15
    square = 2 * depth**2 + 2 * depth * (math.pi * math.sqrt(2) / 8) * pitch + pitch**2 / 3
    case = level(depth, 0.23, 0.22, 500.0, tip_mean_square=square)
    assert 2 * depth - loop_of_margin(case, 0.0).centre[0] == pytest.approx(0.0917, abs=5e-5)
    assert 2 * depth - loop_of_margin(case, 0.2).centre[0] == pytest.approx(
        1.2 * (depth - square / (4 * depth)), rel=1e-12
    )


def test_a_margin_costs_length_and_hardly_radius() -> None:
    """Independent prototype: L -7.7 % (X = d = .18, Z .20, margin .15), -12.5 % (.40, .42, .25); R x 1.009, 1.028."""
    for depth, rise, margin, shorter, wider in [(0.18, 0.20, 0.15, -0.077, 1.009), (0.40, 0.42, 0.25, -0.125, 1.028)]:
        case = level(depth, depth, rise, 500.0)
        balanced, cut = loop_of_margin(case, 0.0), loop_of_margin(case, margin)
        assert cut.length / balanced.length - 1 == pytest.approx(shorter, abs=7e-4)
        assert cut.radius / balanced.radius == pytest.approx(wider, abs=7e-4)


def test_stiffness_of_the_section_rises_with_margin() -> None:
    """Independent prototype: K/(p d^2) 2.847, 3.251 (margin .15), 3.586 (.25)."""
    case = level(DEPTH, OFFSET, RISE, PRESSURE)
    result = size_diaphragm(case, loop_of_margin(case, np.array([0.0, 0.15, 0.25])), [0.16, -0.10])
    np.testing.assert_allclose(result.section_stiffness / (PRESSURE * DEPTH**2), [2.84680, 3.251, 3.586], atol=5.1e-4)


# d [m], cloth weight m_x g/(p d^2), least weightless margin: independent prototype, three invented craft.
REQUIRED = [(0.18, 0.02257, 0.084), (0.26, 0.02484, 0.086), (0.40, 0.03336, 0.108)]


@pytest.mark.parametrize(("depth", "weight", "least"), REQUIRED)
def test_required_margin_of_the_prototype(depth: float, weight: float, least: float) -> None:
    case = level(depth, depth, 1.05 * depth, 500.0, weight_moment=weight * 500.0 * depth**2 / 9.80665)
    required = required_margin(case, depth)
    assert float(weightless_margin(case, required)) == pytest.approx(least, abs=5.1e-4)
    assert float(required) == pytest.approx((1 + 3 * weight + 0.003 / depth) / (1 + weight) - 1, rel=1e-12)


def test_required_margin_is_where_tension_ends_in_the_worst_moment() -> None:
    case = general(weight_moment=0.06)
    required = required_margin(case, 0.2, heave=5.0, pressure_share=0.4, lip_suction=0.0)
    # Weight (g + 5) at 0.4 p: the same cloth as one (g + 5)/g as heavy.
    heavy = (9.80665 + 5.0) / 9.80665
    worst = loop_balance(
        case.edge,
        case.joint,
        case.inner,
        tip_mean_square=case.tip_mean_square,
        pressure=0.4 * case.pressure,
        weight_moment=heavy * case.weight_moment,
    )
    loop = loop_of_margin(case, required)
    assert float(size_diaphragm(worst, loop, D).excess_moment) == pytest.approx(0.0, abs=1e-9)
    longer = loop_of_margin(case, required - 1e-3)
    assert not size_diaphragm(worst, longer, D).is_taut
    assert size_diaphragm(case, longer, D).is_taut


# A section with I below J and inboard of it, no special angle; D below I-J.
D = np.array([-0.05, -0.12])


def general(**weight: float) -> LoopBalance:
    return loop_balance([0.30, 0.25], [0.47, 0.06], [0.0, 0.0], tip_mean_square=0.11, pressure=500.0, **weight)


def turned(case: LoopBalance, angle: float) -> np.ndarray:
    c, s = math.cos(angle), math.sin(angle)
    return case.inner + np.array([[c, -s], [s, c]]) @ (case.joint - case.inner)


def enclosed_area(case: LoopBalance, length: float, angle: float) -> float:
    """(J-I)x(E-I)/2 + loop beyond the chord + what the lower edge sweeps; the arc by a scalar solver."""
    from scipy.optimize import brentq

    joint = turned(case, angle)
    chord = float(np.hypot(*(joint - case.edge)))
    half = brentq(lambda h: math.sin(h) / h - chord / length, 1e-6, math.pi - 1e-9, xtol=1e-15, rtol=1e-15)
    radius = length / (2 * half)
    arm, hull = joint - case.inner, case.edge - case.inner
    triangle = 0.5 * (arm[0] * hull[1] - arm[1] * hull[0])
    return float(triangle + 0.5 * radius**2 * (2 * half - math.sin(2 * half)) + 0.5 * angle * case.tip_mean_square)


@pytest.mark.parametrize("margin", [-0.1, 0.0, 0.2, 0.6])
def test_excess_and_stiffness_are_derivatives_of_the_enclosed_area(margin: float) -> None:
    case = general(weight_moment=0.05)
    result = size_diaphragm(case, loop_of_margin(case, margin), D)
    length, step = float(result.loop.length), 1e-3
    lower, middle, upper = (enclosed_area(case, length, angle) for angle in (-step, 0.0, step))
    far_lower, far_upper = (enclosed_area(case, length, angle) for angle in (-2 * step, 2 * step))
    slope = (8 * (upper - lower) - (far_upper - far_lower)) / (12 * step)
    bend = (16 * (upper + lower) - (far_upper + far_lower) - 30 * middle) / (12 * step**2)
    assert float(result.excess_moment) == pytest.approx(500.0 * slope - 9.80665 * 0.05, abs=1e-6)
    assert float(result.section_stiffness) == pytest.approx(-500.0 * bend, rel=1e-6)


def test_the_diaphragm_adds_the_second_derivative_of_its_energy() -> None:
    """Energy of a taut cloth: T (l - l0) + k (l - l0)^2/2, turned about I by finite differences."""
    case = general()
    result = size_diaphragm(case, loop_of_margin(case, 0.3), D, cloth_stiffness=2000.0)
    tension, span, step = float(result.tension), float(result.span), 1e-4

    def energy(angle: float) -> float:
        stretch = float(np.hypot(*(D - turned(case, angle)))) - span
        return tension * stretch + 0.5 * 2000.0 / span * stretch**2

    slope = (energy(step) - energy(-step)) / (2 * step)
    bend = (energy(step) - 2 * energy(0.0) + energy(-step)) / step**2
    assert slope == pytest.approx(float(result.excess_moment), rel=1e-6)
    assert float(result.stretch_stiffness + result.turn_stiffness) == pytest.approx(bend, rel=1e-5)


def test_moving_origin_and_units_changes_nothing() -> None:
    case = general(weight_moment=0.05)
    shift = np.array([3.0, -1.0])
    moved = loop_balance(
        case.edge + shift,
        case.joint + shift,
        case.inner + shift,
        tip_mean_square=case.tip_mean_square,
        pressure=case.pressure,
        weight_moment=case.weight_moment,
    )
    first = size_diaphragm(case, loop_of_margin(case, 0.2), D)
    second = size_diaphragm(moved, loop_of_margin(moved, 0.2), D + shift)
    assert float(first.tension) == pytest.approx(float(second.tension), rel=1e-10)
    assert float(first.loop.length) == pytest.approx(float(second.loop.length), rel=1e-12)


def test_length_gives_back_the_margin_on_both_branches() -> None:
    """From a loop of more than half a circle (margin 0, X > d) to a nearly straight one."""
    case = level(0.15, 0.2, 0.2, 500.0)
    margin = np.array([-0.2, 0.0, 0.1, 0.3, 0.8])
    loop = loop_of_margin(case, margin)
    assert loop.angle[0] > math.pi > loop.angle[-1]
    np.testing.assert_allclose(margin_of(case, loop_of_length(case, loop.length)), margin, atol=1e-9)


def test_change_of_margin_with_length() -> None:
    case = general(weight_moment=0.05)
    result = size_diaphragm(case, loop_of_margin(case, 0.2), D)
    step = 1e-5
    margins = margin_of(case, loop_of_length(case, result.loop.length + np.array([-step, step])))
    assert float(result.margin_per_length) == pytest.approx((margins[1] - margins[0]) / (2 * step), rel=1e-6)
    assert result.margin_per_length < 0.0


def test_slack_pressure_is_where_the_tension_ends() -> None:
    """Level case: slack share = weight share/weightless margin, derived; .02257/.15 for the small craft."""
    weight = 0.02257
    case = level(DEPTH, OFFSET, RISE, PRESSURE, weight_moment=weight * PRESSURE * DEPTH**2 / 9.80665)
    margin = 1.15 / (1 + weight) - 1
    result = size_diaphragm(case, loop_of_margin(case, margin), [0.16, -0.10])
    assert float(result.weightless_margin) == pytest.approx(0.15, rel=1e-12)
    assert float(result.slack_share) == pytest.approx(weight / 0.15, rel=1e-10)
    # p d Tm/(2 |u_z|) less the weight's m_x g/(2 d |u_z|): independent prototype's form.
    steep = float(result.steepness)
    expected = PRESSURE * DEPTH * 0.15 / (2 * steep) - weight * PRESSURE * DEPTH / (2 * steep)
    assert float(result.tension) == pytest.approx(expected, rel=1e-10)
    light = level(DEPTH, OFFSET, RISE, float(result.slack_pressure), weight_moment=float(case.weight_moment))
    assert float(size_diaphragm(light, result.loop, [0.16, -0.10]).excess_moment) == pytest.approx(0.0, abs=1e-12)


def test_no_margin_and_less_are_slack() -> None:
    case = level(DEPTH, OFFSET, RISE, PRESSURE)
    result = size_diaphragm(case, loop_of_margin(case, np.array([-0.05, 0.0, 1e-6])), [0.16, -0.10])
    assert result.is_taut.tolist() == [False, False, True]
    assert result.tension[:2].tolist() == [0.0, 0.0]
    assert result.margin[1] == 0.0
    assert np.isinf(result.slack_share[:2]).all()
    assert result.slack_share[2] == 0.0  # no weight: taut at any pressure
    assert (result.stretch_stiffness[:2] == 0.0).all()


def test_corners_carry_less() -> None:
    """0.3 to 0.6 of the straight tension: own inflation in 3D, two cases."""
    case = level(DEPTH, OFFSET, RISE, PRESSURE)
    result = size_diaphragm(case, loop_of_margin(case, 0.15), [0.16, -0.10])
    np.testing.assert_allclose(result.corner_tension, [0.3 * 14.0084, 0.6 * 14.0084], rtol=1e-5)


def test_no_loop_changes_the_lift_where_chord_and_arm_are_parallel() -> None:
    case = loop_balance([0.2, 0.0], [0.4, 0.0], [0.0, 0.0], tip_mean_square=0.05, pressure=500.0)
    assert np.isnan(loop_of_margin(case, 0.1).length)
    no_balance = loop_balance([0.2, 0.2], [0.4, 0.0], [0.0, 0.0], tip_mean_square=0.2, pressure=500.0)
    loop: CutLoop = loop_of_margin(no_balance, 0.1)
    assert np.isnan(loop.length)
    assert np.isnan(size_diaphragm(no_balance, loop, [0.1, -0.1]).tension)


def test_every_default_states_its_source() -> None:
    assert all(stated.reason and stated.source for stated in DIAPHRAGM_DEFAULTS.values())
    assert DIAPHRAGM_DEFAULTS["least_margin"].value == 0.15
