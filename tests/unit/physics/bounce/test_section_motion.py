"""Sections as they turn, against section statics, and at rest."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.errors import ShapeError, SolveError
from skirtloft.physics.bounce.at_rest import runs_at_rest, states
from skirtloft.physics.bounce.hover import heave_craft, hover_flow, run_flow, tip_opening
from skirtloft.physics.bounce.section_motion import (
    area_rate,
    from_statics,
    rest_turn,
    section_stiffness_at,
    turn_range,
    turning_section,
    weight_moment_at,
)
from skirtloft.physics.turning import restoring_moment, settle, taut_limits
from tests.bounce_cases import CC, RHO, G, at_hover, six_state_case
from tests.statics_cases import random_sections


@pytest.mark.parametrize("turn", [-0.1, 0.0, 0.15])
def test_moment_is_that_of_section_statics(turn: float) -> None:
    """Any segment, weightless and with weight; with weight the loop's own share moves a little as it turns."""
    for weighed, close in ((False, 1e-12), (True, 4e-3)):
        sections = random_sections(60, 3, weighed=weighed)
        one = from_statics(sections)
        moment = sections.pressure * area_rate(one, turn) - 9.80665 * weight_moment_at(one, turn)
        scale = sections.pressure * sections.shape.depth**2
        np.testing.assert_allclose(moment / scale, restoring_moment(sections, turn) / scale, atol=close)


def test_stiffness_is_the_fall_of_the_moment() -> None:
    one = from_statics(random_sections(40, 4))
    step = 1e-5

    def moment(turn: float):
        return 500.0 * area_rate(one, turn) - 9.80665 * weight_moment_at(one, turn)

    slope = -(moment(0.05 + step) - moment(0.05 - step)) / (2.0 * step)
    np.testing.assert_allclose(section_stiffness_at(one, 0.05, 500.0), slope, rtol=1e-7)


def test_rest_is_where_section_statics_settles() -> None:
    sections = random_sections(60, 5, weighed=False)
    one = from_statics(sections)
    np.testing.assert_allclose(rest_turn(one, sections.pressure), 0.0, atol=1e-9)
    turned = rest_turn(one, sections.pressure, 0.03)
    assert (turned[~np.isnan(turned)] > 0.0).all()  # over-pressure in the loop lifts the tips
    left = sections.pressure * (1.03 * area_rate(one, turned) + 0.03 * one.lever)
    good = ~np.isnan(turned)
    np.testing.assert_allclose((left / (sections.pressure * one.lever))[good], 0.0, atol=1e-10)
    assert settle(sections).turn == pytest.approx(0.0, abs=1e-9)


def test_range_ends_short_of_the_taut_loop() -> None:
    sections = random_sections(60, 6)
    low, high = turn_range(from_statics(sections))
    limits = taut_limits(sections).turn
    inside = (low > limits[:, 0]) | np.isnan(limits[:, 0])
    assert inside.all()
    assert ((high < limits[:, 1]) | np.isnan(limits[:, 1])).all()
    assert np.isfinite(area_rate(from_statics(sections), low)).all()


def test_a_loop_shorter_than_its_chord_is_refused() -> None:
    with pytest.raises(ShapeError, match="Cut it longer"):
        turning_section([0.18, 0.2], [0.36, 0.0], [0.18, -0.18], tip_mean_square=0.0648, length=0.26)


def test_a_loop_under_so_much_pressure_that_nothing_rests_is_refused() -> None:
    craft, _, section, _ = at_hover("1-seat")
    with pytest.raises(SolveError, match="at rest"):
        runs_at_rest(craft, section, length=9.0, gap=0.01, contraction=CC, inertia=0.015, over_pressure=20.0)


def test_nothing_that_is_not_positive_makes_a_craft() -> None:
    for name in ("mass", "area", "density", "volume"):
        given = {"mass": 500.0, "area": 8.0, "density": RHO, "volume": 2.4, "steepness": 1.5}
        with pytest.raises(ValueError, match=name):
            heave_craft(**{**given, name: 0.0})
    assert heave_craft(**given).pressure == pytest.approx(500.0 * 9.80665 / 8.0)


class TestOpening:
    def test_slope_is_the_growth_of_the_opening(self) -> None:
        gap = np.linspace(-0.004, 0.02, 61)
        for rough in (0.0, 0.0002, 0.005, 0.02):
            opening, slope = tip_opening(gap, rough)
            up, down = (tip_opening(gap + step, rough)[0] for step in (1e-7, -1e-7))
            np.testing.assert_allclose(slope, (up - down) / 2e-7, atol=2e-6)
            assert (opening > 0.0).all()

    def test_far_from_the_ground_it_is_the_gap(self) -> None:
        assert tip_opening(0.01, 0.0)[0] == pytest.approx(0.01, rel=1e-12)
        # h Phi(1) + s phi(1) at h = s: .841345 + .241971, tables of the normal distribution
        assert tip_opening(0.01, 0.01)[0] == pytest.approx(0.01 * 1.083316, abs=1e-8)
        assert tip_opening(0.01, 0.01)[1] == pytest.approx(0.841345, abs=1e-6)


class TestStates:
    def test_gap_alone_keeps_the_openings(self) -> None:
        craft, runs = six_state_case()
        one, many = states(craft, runs, gap=[0.005, 0.010, 0.020])
        np.testing.assert_allclose(hover_flow(one, many), 2.3715026 * np.array([0.5, 1.0, 2.0]), rtol=1e-6)
        np.testing.assert_allclose(many.over_pressure[:, 0], 0.02, rtol=1e-7)

    def test_flow_beyond_the_gap_goes_through_fixed_openings(self) -> None:
        craft, runs = six_state_case()
        one, many = states(craft, runs, gap=[0.010, 0.010, 0.010], flow=[2.0, 2.3715026, 3.0], mouth_area=0.74)
        assert np.isnan(one.leak_area[0])
        assert hover_flow(one, many)[2] == pytest.approx(3.0, rel=1e-9)
        speed = np.sqrt(2.0 * 629.33169 / RHO)
        assert one.leak_area[2] * speed == pytest.approx(3.0 - float(run_flow(one, many)[0][2, 0]), rel=1e-9)
        assert many.over_pressure[2, 0] == pytest.approx((3.0 / (0.74 * speed)) ** 2, rel=1e-9)  # closed form

    def test_over_pressure_leaves_the_segment_at_rest(self) -> None:
        craft, runs = six_state_case()
        _, many = states(craft, runs, gap=0.010, mouth_area=0.5)
        p, eps = 629.33169, float(many.over_pressure[0])
        left = p * many.area_rate[0] * (1.0 + eps) + eps * p * 0.26**2 - 0.10772386 * G
        assert left == pytest.approx(0.0, abs=1e-6 * p * 0.26**2)
