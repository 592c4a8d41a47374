"""Holes and drains; expected numbers are closed forms, or an integration of the same equation by scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from skirtloft.physics.feed import (
    drain_time,
    drop_of_area_ratio,
    orifice_area,
    orifice_flow,
    segment_underpressure,
    size_feed_holes,
)


def test_orifice_both_ways() -> None:
    # .6 * .01 * sqrt(2 * 60/1.2) = .06
    assert float(orifice_flow(0.01, 60.0, 1.2)) == pytest.approx(0.06)
    assert float(orifice_flow(0.01, -60.0, 1.2)) == pytest.approx(-0.06)
    assert float(orifice_area(0.06, 60.0, 1.2)) == pytest.approx(0.01)


def test_area_ratio_and_drop_are_one_thing() -> None:
    holes = size_feed_holes([0.4, 1.6], [10, 32], 600.0, [120.0, 120.0], 1.2)
    assert holes.flow == pytest.approx([0.04, 0.05])
    # 1/(.6 sqrt .2) = 3.727
    assert holes.area_ratio == pytest.approx([3.7268, 3.7268], abs=1e-4)
    assert drop_of_area_ratio(holes.area_ratio) == pytest.approx([0.2, 0.2])
    assert orifice_flow(holes.area, 120.0, 1.2) == pytest.approx([0.04, 0.05])
    assert holes.area == pytest.approx(np.pi / 4 * holes.diameter**2)


def test_less_pressure_to_spare_makes_larger_holes() -> None:
    holes = size_feed_holes([0.4, 0.4], [10, 10], 600.0, [60.0, 120.0], 1.2)
    assert holes.area[0] / holes.area[1] == pytest.approx(np.sqrt(2.0))


def test_rule_of_two_to_three_times() -> None:
    assert drop_of_area_ratio([2.0, 3.0]) == pytest.approx([1 / 1.44, 1 / 3.24])


def test_a_segment_that_the_cushion_fills() -> None:
    # Two openings in series, e = escape/(Cd mouth): with e = 1 half of the pressure is lost at each.
    assert float(segment_underpressure(0.006, 0.01)) == pytest.approx(0.5)
    # 10 mm under 150 mm of tip against a mouth of 150 x 396 mm
    assert float(segment_underpressure(0.537 * 0.15 * 0.01, 0.15 * 0.396)) == pytest.approx(5.108e-4, rel=1e-3)


@pytest.mark.parametrize("pressure", [0.0, 700.0])
def test_drain_time_against_integration(pressure: float) -> None:
    area, surface, head = 3e-4, 0.8, 0.12

    def sinking(_: float, height: np.ndarray) -> np.ndarray:
        speed = np.sqrt(2.0 * 9.80665 * np.maximum(height, 0.0) + 2.0 * pressure / 1000.0)
        return -0.6 * area / surface * speed

    def half(_: float, height: np.ndarray) -> float:
        return float(height[0] - head / 2)

    half.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(sinking, (0.0, 1e5), [head], events=half, rtol=1e-10, atol=1e-12)
    whole = drain_time(area, surface, head, pressure)
    rest = drain_time(area, surface, head / 2, pressure)
    assert float(whole - rest) == pytest.approx(run.t_events[0][0], rel=1e-6)


def test_lift_air_blows_water_out() -> None:
    assert float(drain_time(3e-4, 0.8, 0.12, 700.0)) < 0.7 * float(drain_time(3e-4, 0.8, 0.12))
