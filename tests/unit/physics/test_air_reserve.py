"""What gives first; every limit is checked by solving the craft at it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.air_reserve import carried_pressure, highest_mass, mass_limits, segments_lost, smallest_scale
from skirtloft.physics.escape import escape_runs, leak
from skirtloft.physics.lift_path import lift_system
from skirtloft.physics.losses import loss
from skirtloft.physics.operating import failures, gap_at_speed, speed_for_gap
from tests.lift_cases import POWERS, SPEED, fan_of_points, full, parabola, plain


def test_each_limit_is_reached_at_its_mass() -> None:
    fan, system = fan_of_points(power=POWERS), full()
    limits = mass_limits(fan, system, 500.0, 0.005, SPEED, engine_power=5000.0, most_tip_speed=80.0)
    by_gap, by_stall, by_fan, by_engine, by_tips = limits.mass
    assert float(gap_at_speed(fan, system, by_gap, SPEED).gap) == pytest.approx(0.005, rel=1e-9)
    assert float(gap_at_speed(fan, system, by_stall, SPEED).stall_margin) == pytest.approx(0.0, abs=1e-9)
    assert failures(gap_at_speed(fan, system, 0.9999 * by_fan, SPEED)) == ()
    assert len(failures(gap_at_speed(fan, system, 1.001 * by_fan, SPEED))) == 1
    assert float(speed_for_gap(fan, system, by_engine, 0.005).engine_power) == pytest.approx(5000.0)
    assert float(speed_for_gap(fan, system, by_tips, 0.005).tip_speed) == pytest.approx(80.0)
    assert limits.extra == pytest.approx(limits.mass - 500.0)
    assert limits.mass[int(limits.first)] == limits.mass.min()


def test_limits_that_do_not_apply_are_infinite() -> None:
    limits = mass_limits(parabola(), plain(), [400.0, 500.0], 0.005, SPEED)
    assert np.isinf(limits.mass[[1, 3, 4]]).all()
    assert [limits.names[i] for i in limits.first] == ["gap", "gap"]


def test_highest_mass_in_closed_form() -> None:
    # Without leaks a falling fan carries most at shut-off: p0 S/g.
    assert float(highest_mass(parabola(), plain(), SPEED)) == pytest.approx(1200.0 * 8.0 / 9.80665)
    # A leak of conductance c = Cd a sqrt(2/rho) must be fed: p0 (1 - c^2 p/Qf^2) = p
    leaky = plain(leaks=(leak("l", 0.05),))
    c = 0.6 * 0.05 * math.sqrt(2.0 / 1.225)
    wanted = 1200.0 / (1.0 + 1200.0 * c**2 / 16.0) * 8.0 / 9.80665
    assert float(highest_mass(parabola(), leaky, SPEED)) == pytest.approx(wanted, rel=1e-12)
    assert highest_mass(parabola(), plain([8.0, 4.0]), [SPEED, SPEED / 2]) == pytest.approx(
        np.array([1.0, 1.0 / 8.0]) * 1200.0 * 8.0 / 9.80665
    )


def test_carried_pressure_is_the_way_back() -> None:
    fan, system = fan_of_points(), full()
    point = gap_at_speed(fan, system, np.array([300.0, 500.0]), SPEED)
    pressure, left = carried_pressure(fan, system, point.air.fan_flow, SPEED)
    assert pressure == pytest.approx(point.air.cushion_pressure, rel=1e-12)
    assert left == pytest.approx(point.air.gap_flow, rel=1e-10)


def test_lost_segments_take_their_hole_from_the_gap() -> None:
    # No losses: flow stays, so each lost segment takes 0.6 * .15 * .28 * .8 m2 of 0.6 * 12 m * gap
    found = segments_lost(parabola(), plain(), [500.0, 600.0], SPEED, pitch=0.15, depth=0.28)
    step = 0.15 * 0.28 * 0.8 / 12.0
    assert found.gap[1] - found.gap[0] == pytest.approx([-step, -step])
    assert found.may_be_lost.tolist() == [math.floor((g - 0.003) / step) for g in found.gap[0]]
    assert not found.all_tried.any()


def test_no_segment_to_spare_and_more_than_tried() -> None:
    weak = segments_lost(parabola(), plain(), 970.0, SPEED, pitch=0.15, depth=0.28)
    assert int(weak.may_be_lost) == -1
    strong = segments_lost(parabola(), plain(), 500.0, SPEED, pitch=0.15, depth=0.28, most=2)
    assert int(strong.may_be_lost) == 2
    assert bool(strong.all_tried)


def test_smallest_plan_gives_the_gap() -> None:
    fan, losses, leaks = parabola(), (loss("duct", 0.25, 2.0),), (leak("low", 0.002), leak("d", 0.001, place="loop"))
    runs = escape_runs(["a", "b"], [4.0, 8.0])
    scale = float(smallest_scale(fan, lift_system(8.0, 1.225, runs, losses=losses, leaks=leaks), 500.0, 0.01, SPEED))
    assert 0.3 < scale < 1.0
    small = lift_system(
        8.0 * scale**2,
        1.225,
        escape_runs(["a", "b"], np.array([4.0, 8.0]) * scale),
        losses=losses,
        leaks=(leak("low", 0.002 * scale), leak("d", 0.001 * scale, place="loop")),
    )
    assert float(gap_at_speed(fan, small, 500.0, SPEED).gap) == pytest.approx(0.01, rel=1e-9)


def test_no_plan_is_large_enough_for_a_fan_that_gives_too_little_air() -> None:
    assert np.isnan(smallest_scale(parabola(1200.0, 1.0), plain(), 500.0, 0.01, SPEED))
