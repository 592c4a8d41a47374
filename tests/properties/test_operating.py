"""What must hold for any fan and craft: similarity, order, round trips, and never an exception in a sweep."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.physics.fan import Fan, fan_from_points
from skirtloft.physics.lift_path import system_pressure
from skirtloft.physics.operating import FAILURES, failures, gap_at_speed, mass_at_gap, speed_for_gap
from skirtloft.physics.watts import air_watts
from tests.lift_cases import SPEED, full


@st.composite
def fans(draw: st.DrawFn) -> Fan:
    count = draw(st.integers(3, 9))
    flows = np.cumsum(draw(st.lists(st.floats(0.2, 0.8), min_size=count, max_size=count)))
    start = draw(st.sampled_from([0.0, 1.0]))
    pressures = draw(st.lists(st.floats(50.0, 2000.0), min_size=count, max_size=count))
    return fan_from_points(flows - start * flows[0], pressures, speed=SPEED, diameter=0.6)


masses = st.floats(100.0, 1000.0)
speeds = st.floats(0.5, 1.6).map(lambda ratio: ratio * SPEED)


@settings(max_examples=60, deadline=None)
@given(fans(), masses, speeds, st.sampled_from([0.0, 0.015]))
def test_a_point_lies_on_fan_and_system_and_closes(fan: Fan, mass: float, speed: float, rough: float) -> None:
    system = full(roughness=rough)
    point = gap_at_speed(fan, system, mass, speed)
    if failures(point):
        (failed,) = failures(point)
        assert failed.name in [entry[0] for entry in FAILURES]
        assert math.isfinite(failed.margin)
        assert math.isnan(point.gap)
        return
    assert float(point.air.fan_pressure) == pytest.approx(float(system_pressure(system, mass, point.air.fan_flow)))
    watts = air_watts(system, point.air, point.gap)
    assert float(watts.power.sum()) == pytest.approx(float(point.air_power), rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(fans(), masses, st.floats(0.001, 0.03))
def test_speed_for_a_gap_gives_that_gap(fan: Fan, mass: float, gap: float) -> None:
    system = full()
    wanted = speed_for_gap(fan, system, mass, gap)
    if failures(wanted):
        return
    back = gap_at_speed(fan, system, mass, wanted.speed)
    # Of several meetings at that speed the one at most flow is taken; it may lie beyond a curve that rises at its end.
    if failures(back):
        assert failures(back)[0].name == "beyond the curve"
        return
    assert float(back.gap) >= gap * (1.0 - 1e-8)
    if int(back.crossings) == 1:
        assert float(back.gap) == pytest.approx(gap, rel=1e-7)


@settings(max_examples=60, deadline=None)
@given(fans(), masses, speeds, st.floats(0.6, 1.7))
def test_faster_by_k_carries_k_squared_at_the_same_gap(fan: Fan, mass: float, speed: float, k: float) -> None:
    one = gap_at_speed(fan, full(), mass, speed)
    other = gap_at_speed(fan, full(), k * k * mass, k * speed)
    assert int(one.failure) == int(other.failure)
    assert float(other.gap) == pytest.approx(float(one.gap), rel=1e-7, nan_ok=True)
    assert float(other.engine_power) == pytest.approx(k**3 * float(one.engine_power), rel=1e-7, nan_ok=True)


@settings(max_examples=60, deadline=None)
@given(fans(), speeds)
def test_more_mass_never_more_flow(fan: Fan, speed: float) -> None:
    loads = np.linspace(100.0, 1000.0, 40)
    point = gap_at_speed(fan, full(), loads, speed)
    flows = point.air.fan_flow[point.failure == 0]
    assert (np.diff(flows) <= 1e-9).all()


@settings(max_examples=40, deadline=None)
@given(fans(), st.floats(0.001, 0.03), speeds)
def test_the_mass_it_holds_hovers_at_that_gap(fan: Fan, gap: float, speed: float) -> None:
    held = mass_at_gap(fan, full(), gap, speed)
    if failures(held):
        return
    back = gap_at_speed(fan, full(), float(held.mass), speed)
    if failures(back):
        assert failures(back)[0].name == "beyond the curve"
        return
    assert float(back.gap) >= gap * (1.0 - 1e-7)


@settings(max_examples=40, deadline=None)
@given(fans(), masses, speeds)
def test_a_batch_is_its_cases(fan: Fan, mass: float, speed: float) -> None:
    together = gap_at_speed(fan, full(), np.array([[mass], [2 * mass]]), np.array([speed, 1.1 * speed]))
    alone = gap_at_speed(fan, full(), 2 * mass, 1.1 * speed)
    assert float(together.gap[1, 1]) == pytest.approx(float(alone.gap), rel=1e-12, nan_ok=True)
    assert int(together.failure[1, 1]) == int(alone.failure)
