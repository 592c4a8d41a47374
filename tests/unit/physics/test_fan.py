"""Fans; expected numbers are closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.fan import (
    fan_from_points,
    fan_pressure,
    fan_slope,
    highest_pressure,
    resized,
    shaft_power,
    sound_speed,
    stacked,
    stall_flow,
    tip_speed,
    total_from_static,
)
from tests.lift_cases import FALLING, FLOWS, HUMPED, POWERS, RPM, SPEED, VALLEY, fan_of_points, parabola


def test_goes_through_its_points() -> None:
    fan = fan_of_points(power=POWERS)
    assert fan_pressure(fan, FLOWS, SPEED, 1.2) == pytest.approx(HUMPED)
    assert shaft_power(fan, FLOWS, SPEED, 1.2) == pytest.approx(POWERS)


def test_parabola_through_free_flow_and_shut_off() -> None:
    fan = parabola(1200.0, 4.0)
    flow = np.array([0.0, 1.0, 2.0, 4.0])
    assert fan_pressure(fan, flow, SPEED, 1.225) == pytest.approx(1200.0 * (1.0 - flow**2 / 16.0), abs=1e-9)
    assert fan_slope(fan, 2.0, SPEED, 1.225) == pytest.approx(-300.0)  # -2 p0 Q/Qf^2
    assert fan.estimated
    assert not fan_of_points().estimated
    assert float(stall_flow(fan)) == 0.0


def test_other_speed_and_density() -> None:
    fan = fan_of_points(power=POWERS)
    # n x 0.8, rho x 0.9: flow .8, pressure .9 * .64, power .9 * .512
    assert float(fan_pressure(fan, 0.8 * 2.0, 0.8 * SPEED, 0.9 * 1.2)) == pytest.approx(0.9 * 0.64 * 1100.0)
    assert float(shaft_power(fan, 0.8 * 2.0, 0.8 * SPEED, 0.9 * 1.2)) == pytest.approx(0.9 * 0.512 * 2900.0)


def test_power_from_an_efficiency() -> None:
    assert float(shaft_power(fan_of_points(efficiency=0.4), 2.0, SPEED, 1.2)) == pytest.approx(2.0 * 1100.0 / 0.4)


def test_other_diameters_side_by_side() -> None:
    fans = resized(fan_of_points(power=POWERS), [0.6, 0.72])
    # D x 1.2: flow 1.728, pressure 1.44, power 2.48832 (fan laws)
    assert fan_pressure(fans, [2.0, 2.0 * 1.728], SPEED, 1.2) == pytest.approx([1100.0, 1.44 * 1100.0])
    assert shaft_power(fans, [2.0, 2.0 * 1.728], SPEED, 1.2) == pytest.approx([2900.0, 2.48832 * 2900.0])


def test_no_pressure_beyond_the_curve() -> None:
    assert math.isnan(fan_pressure(fan_of_points(), 3.6, SPEED, 1.2))


def test_stall_ends_at_the_last_peak() -> None:
    assert float(stall_flow(fan_of_points(HUMPED))) == 1.5
    assert float(stall_flow(fan_of_points(VALLEY))) == 1.5
    assert float(stall_flow(fan_of_points(FALLING))) == 0.0
    assert float(highest_pressure(fan_of_points(VALLEY))) == pytest.approx(1150.0)
    assert (
        float(fan_slope(fan_of_points(HUMPED), 1.2, SPEED, 1.2))
        > 0.0
        > float(fan_slope(fan_of_points(HUMPED), 1.8, SPEED, 1.2))
    )


def test_fans_with_different_points_stacked() -> None:
    short = fan_from_points([0.2, 1.0, 3.0], [900.0, 800.0, 100.0], speed=2000.0 * RPM, diameter=0.5)
    fans = stacked([fan_of_points(), short, parabola()])
    speeds = np.array([1.0, 0.9, 1.1]) * fans.speed
    flow = np.linspace(0.3, 2.6, 12)[:, None]
    together = fan_pressure(fans, flow, speeds, 1.2)
    for i, fan in enumerate((fan_of_points(), short, parabola())):
        assert together[:, i] == pytest.approx(fan_pressure(fan, flow[:, 0], speeds[i], 1.2), rel=1e-12, nan_ok=True)
    assert stall_flow(fans) == pytest.approx([1.5, 0.0, 0.0])
    assert highest_pressure(fans) == pytest.approx([1150.0, 900.0, 1200.0])


def test_stacked_keeps_powers() -> None:
    fans = stacked([fan_of_points(power=POWERS), fan_of_points(efficiency=0.5)])
    assert shaft_power(fans, 2.0, SPEED, 1.2) == pytest.approx([2900.0, 2.0 * 1100.0 / 0.5])


def test_total_pressure_adds_the_speed_at_the_outlet() -> None:
    assert float(total_from_static(2.5, 400.0, 0.25, 1.2)) == pytest.approx(460.0)  # 400 + 1.2/2 * 10^2


def test_tip_speed_and_sound() -> None:
    assert float(tip_speed(0.6, 3000.0 * RPM)) == pytest.approx(math.pi * 0.6 * 50.0)
    assert sound_speed(288.15) == pytest.approx(340.294, abs=5e-4)  # ISO 2533:1975
