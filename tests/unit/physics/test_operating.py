"""Where fan and craft meet; expected numbers are closed forms, or scipy's brentq on the equations written out here."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from skirtloft.physics.escape import leak
from skirtloft.physics.fan import fan_from_points, fan_from_two, resized, stacked
from skirtloft.physics.losses import loss
from skirtloft.physics.operating import failures, gap_at_speed, mass_at_gap, speed_for_gap
from tests.lift_cases import FALLING, FLOWS, HUMPED, POWERS, SPEED, VALLEY, fan_of_points, full, parabola, plain

P = 500.0 * 9.80665 / 8.0
JET = math.sqrt(2.0 * P / 1.225)


def test_parabola_fan_and_one_loss_in_closed_form() -> None:
    # p0 (1 - Q^2/Qf^2) = p + R Q^2
    system = plain(losses=(loss("duct", 0.25, 2.0),))
    resistance = 2.0 * 0.6125 / 0.0625
    flow = math.sqrt((1200.0 - P) / (resistance + 1200.0 / 16.0))
    point = gap_at_speed(parabola(), system, 500.0, SPEED)
    assert float(point.air.fan_flow) == pytest.approx(flow, rel=1e-13)
    assert float(point.gap) == pytest.approx(flow / (0.6 * 12.0 * JET), rel=1e-12)
    assert float(point.air.fan_pressure) == pytest.approx(1200.0 * (1.0 - flow**2 / 16.0))
    assert float(point.shaft_power) == pytest.approx(float(point.air.fan_pressure) * flow / 0.5)
    assert float(point.engine_power) == pytest.approx(float(point.shaft_power) / 0.9)
    assert float(point.slope) == pytest.approx(-2.0 * 1200.0 * flow / 16.0)
    assert float(point.pressure_reserve) == pytest.approx(1200.0 / float(point.air.fan_pressure) - 1.0)
    assert float(point.stall_margin) == math.inf
    assert float(point.tip_speed) == pytest.approx(0.3 * SPEED)
    assert (int(point.failure), int(point.crossings), point.estimated) == (0, 1, True)
    assert failures(point) == ()


def test_tested_fan_against_brentq() -> None:
    curve, power = PchipInterpolator(FLOWS, HUMPED), PchipInterpolator(FLOWS, POWERS)
    n, rho = 0.95, 1.225 / 1.2
    resistance = 2.0 * 0.6125 / 0.0625

    def excess(flow: float) -> float:
        return float(rho * n**2 * curve(flow / n) - P - resistance * flow**2)

    flow = brentq(excess, 1.5 * n, 3.5 * n, xtol=1e-14)
    system = plain(losses=(loss("duct", 0.25, 2.0),))
    point = gap_at_speed(fan_of_points(power=POWERS), system, 500.0, n * SPEED)
    assert float(point.air.fan_flow) == pytest.approx(flow, rel=1e-12)
    assert float(point.shaft_power) == pytest.approx(rho * n**3 * power(flow / n), rel=1e-12)
    assert float(point.stall_margin) == pytest.approx(flow / n / 1.5 - 1.0)


@pytest.mark.parametrize("roughness", [0.0, 0.02])
@pytest.mark.parametrize("share", [1.0, 0.5])
def test_gap_speed_and_mass_say_the_same(roughness: float, share: float) -> None:
    fan, system = resized(fan_of_points(power=POWERS), 0.6 / math.sqrt(share)), full(8.0, 1.2, roughness, share)
    mass = np.array([250.0, 400.0, 500.0])
    point = gap_at_speed(fan, system, mass, SPEED)
    assert (point.failure == 0).all()
    back = speed_for_gap(fan, system, mass, point.gap)
    assert back.speed == pytest.approx(np.full(3, SPEED), rel=1e-10)
    assert back.engine_power == pytest.approx(point.engine_power, rel=1e-10)
    held = mass_at_gap(fan, system, point.gap, SPEED)
    assert held.mass == pytest.approx(mass, rel=1e-10)
    assert held.air.fan_flow == pytest.approx(point.air.fan_flow, rel=1e-10)


def test_needed_speed_follows_the_parabola_fan_in_closed_form() -> None:
    # p = n^2 p0 - p0 (Q/Qf)^2 with no losses: n^2 = p/p0 + (Q/Qf)^2
    flow = 0.6 * 0.12 * JET
    point = speed_for_gap(parabola(), plain(), 500.0, 0.01)
    assert float(point.speed) == pytest.approx(SPEED * math.sqrt(P / 1200.0 + (flow / 4.0) ** 2), rel=1e-12)


def test_no_gap_and_no_leak_needs_shut_off_pressure() -> None:
    point = speed_for_gap(parabola(), plain(), 500.0, 0.0)
    assert float(point.speed) == pytest.approx(SPEED * math.sqrt(P / 1200.0))
    assert float(point.air.fan_flow) == 0.0
    held = mass_at_gap(parabola(), plain(), 0.0, SPEED)
    assert float(held.mass) == pytest.approx(1200.0 * 8.0 / 9.80665)


def test_too_weak_is_a_value_with_its_margin() -> None:
    masses = np.array([500.0, 1000.0])
    point = gap_at_speed(parabola(), plain(), masses, SPEED)
    assert point.failure.tolist() == [0, 1]
    assert np.isnan(point.gap).tolist() == [False, True]
    assert point.mass.tolist() == pytest.approx([500.0, 1000.0])
    (failed,) = failures(point)
    assert (failed.case, failed.name, failed.unit) == ((1,), "too weak", "Pa")
    assert failed.margin == pytest.approx(1200.0 - 1000.0 * 9.80665 / 8.0)


def test_beyond_the_last_point_is_not_drawn_on() -> None:
    short = fan_from_points(FLOWS[:4], FALLING[:4], speed=SPEED, diameter=0.6, density=1.225)
    (failed,) = failures(gap_at_speed(short, plain(), 500.0, SPEED))
    assert (failed.case, failed.name) == ((), "beyond the curve")
    assert failed.margin == pytest.approx(1160.0 - P)
    # The gap that asks for 2 m3/s at n = 2/1.5: the fan gives (2/1.5)^2 1160 Pa there
    (failed,) = failures(speed_for_gap(short, plain(), 500.0, 2.0 / (0.6 * 12.0 * JET)))
    assert failed.name == "beyond the curve"
    assert failed.margin == pytest.approx(1160.0 * (2.0 / 1.5) ** 2 - P)


def test_before_the_first_point_is_not_drawn_on() -> None:
    late = fan_from_points(FLOWS[4:], FALLING[4:], speed=SPEED, diameter=0.6, density=1.225)
    (failed,) = failures(gap_at_speed(late, plain(), 900.0, SPEED))
    assert failed.name == "before the curve"
    assert failed.margin == pytest.approx(1090.0 - 900.0 * 9.80665 / 8.0)
    (failed,) = failures(speed_for_gap(late, plain(), 900.0, 0.001))
    assert failed.name == "before the curve"
    (failed,) = failures(mass_at_gap(late, plain(), 0.001, SPEED))
    assert failed.name == "before the curve"


def test_leaks_may_take_all_the_air() -> None:
    # The fan passes Q where p0 (1 - Q^2/Qf^2) = p; a leak of 0.2 m2 wants more
    system = plain(leaks=(leak("torn", 0.2),))
    (failed,) = failures(gap_at_speed(parabola(), system, 500.0, SPEED))
    assert (failed.name, failed.unit) == ("leaks", "m3/s")
    assert failed.margin == pytest.approx(4.0 * math.sqrt(1.0 - P / 1200.0) - 0.6 * 0.2 * JET)


def test_of_several_meetings_the_stable_one_at_most_flow() -> None:
    # VALLEY dips to 600 Pa at 0.5 m3/s: a system at 800 Pa meets it three times
    mass = 800.0 * 8.0 / 9.80665
    point = gap_at_speed(fan_of_points(VALLEY, density=1.225), plain(), mass, SPEED)
    assert int(point.crossings) == 3
    assert float(point.slope) < 0.0 < float(point.stall_margin)
    flow = brentq(lambda q: float(PchipInterpolator(FLOWS, VALLEY)(q)) - 800.0, 2.0, 3.5, xtol=1e-14)
    assert float(point.air.fan_flow) == pytest.approx(flow, rel=1e-12)


def test_a_curve_that_ends_above_the_system_leaves_the_point_open() -> None:
    # Meets 650 Pa twice, but rises again at its end: the meeting at most flow is not on the curve.
    rising = fan_from_points(
        (0.0, 0.5, 1.0, 1.5), (1000.0, 500.0, 500.0, 900.0), speed=SPEED, diameter=0.6, density=1.225
    )
    (failed,) = failures(gap_at_speed(rising, plain(), 650.0 * 8.0 / 9.80665, SPEED))
    assert failed.name == "beyond the curve"
    assert failed.margin == pytest.approx(250.0)


def test_two_meetings_between_neighbouring_looks_are_found() -> None:
    # A narrow peak on a steep system: its top lies between looks, and a load just below it meets it twice there.
    peaked = (500.0, 500.0, 500.0, 1000.0, 500.0, 500.0, 500.0, 200.0)
    flows = np.linspace(1.0, 1.5, 2_000_001)
    top = float((PchipInterpolator(FLOWS, peaked)(flows) - 122.5 * flows**2).max())  # K 2 on 0.1 m2: 122.5 Q^2
    mass = np.array([top - 0.05, top + 0.05]) * 8.0 / 9.80665
    system = plain(losses=(loss("duct", 0.1, 2.0),))
    point = gap_at_speed(fan_of_points(peaked, density=1.225), system, mass, SPEED)
    assert point.failure.tolist() == [0, 1]
    assert point.crossings.tolist() == [2, 0]
    assert float(point.margin[1]) == pytest.approx(-0.05, abs=1e-5)
    # The same with another meeting at less flow, from a high shut-off pressure.
    both = (1200.0, *peaked[1:])
    point = gap_at_speed(fan_of_points(both, density=1.225), system, mass[0], SPEED)
    assert int(point.crossings) == 3
    assert float(point.air.fan_flow) > 1.0


def test_two_meetings_before_the_last_point_are_found() -> None:
    # A fan of 400 Q and a system p + R Q^2 that would touch it at 2.97 m3/s: R = 400/(2 * 2.97), p = 200 * 2.97; with
    # 0.05 Pa less it meets it sqrt(0.05/R) to either side, both within the last look.
    resistance = 400.0 / 5.94
    flows = np.array([0.0, 1.0, 2.0, 2.5, 3.0])
    pressures = [1500.0, *(400.0 * flows[1:])]  # another meeting at less flow
    rising = fan_from_points(flows, pressures, speed=SPEED, diameter=0.6, density=1.225)
    system = plain(losses=(loss("duct", 0.1, resistance / 61.25),))
    point = gap_at_speed(rising, system, (200.0 * 2.97 - 0.05) * 8.0 / 9.80665, SPEED)
    assert int(point.failure) == 0
    assert float(point.air.fan_flow) == pytest.approx(2.97 + math.sqrt(0.05 / resistance), rel=1e-9)


def test_stall_at_the_point_is_seen() -> None:
    # The only meeting on a rising curve that losses cross from below: a system much steeper than the fan
    system = plain(losses=(loss("choked", 0.03, 1.0),))
    point = gap_at_speed(fan_of_points(density=1.225), system, 500.0, SPEED)
    assert int(point.failure) == 0
    assert float(point.slope) > 0.0 > float(point.stall_margin)
    assert float(point.stable_by) > 0.0


def test_a_point_that_runs_away_is_seen() -> None:
    # A gap of 6 mm at 800 Pa asks for 1.3 m3/s; VALLEY rises steeply there and nothing else holds the flow.
    point = speed_for_gap(fan_of_points(VALLEY, density=1.225), plain(), 800.0 * 8.0 / 9.80665, 0.0045)
    assert int(point.failure) == 0
    assert float(point.stall_margin) < 0.0
    assert float(point.stable_by) < 0.0


def test_a_fan_for_every_craft_at_once() -> None:
    fans = [fan_of_points(), parabola(), fan_of_points(FALLING, power=POWERS)]
    mass, area = np.array([400.0, 500.0, 450.0]), np.array([8.0, 7.0, 9.0])
    speed = SPEED * np.array([1.0, 1.1, 0.95])
    for solve, asked in ((gap_at_speed, speed), (speed_for_gap, np.array([0.008, 0.012, 0.01]))):
        together = solve(stacked(fans), full(area), mass, asked)
        for i, fan in enumerate(fans):
            alone = solve(fan, full(area[i]), mass[i], asked[i])
            assert float(together.gap[i]) == pytest.approx(float(alone.gap), rel=1e-10)
            assert float(together.speed[i]) == pytest.approx(float(alone.speed), rel=1e-10)
    held = mass_at_gap(stacked(fans), full(area), 0.01, speed)
    assert float(held.mass[1]) == pytest.approx(float(mass_at_gap(fans[1], full(7.0), 0.01, speed[1]).mass), rel=1e-10)


def test_masses_against_gaps_as_a_table() -> None:
    table = speed_for_gap(fan_of_points(), full(), np.array([[300.0], [500.0]]), np.array([0.005, 0.01, 0.015]))
    assert table.engine_power.shape == (2, 3)
    assert (np.diff(table.engine_power, axis=0) > 0.0).all()
    assert (np.diff(table.engine_power, axis=1) > 0.0).all()


def test_free_air_flow_says_little_of_flow_at_pressure() -> None:
    # A fan of 746 W and 60 % in free air through 1 m2 moves far more than 746 W can move at 613 Pa (Q = eta P/p).
    flow = (2 * 0.6 * 746.0 * 1.0 / 1.225) ** (1 / 3)
    assert flow > 9.0 > 0.6 * 746.0 / P
    weak = fan_from_two(flow, 100.0, speed=SPEED, diameter=1.13, density=1.225)
    (failed,) = failures(gap_at_speed(weak, plain(), 500.0, SPEED))
    assert failed.margin == pytest.approx(100.0 - P)
