"""From fan to gap; expected numbers are closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.escape import leak
from skirtloft.physics.lift_path import (
    air_at_pressure,
    air_from_fan,
    cushion_flow_of,
    path_of,
    required_air,
    system_pressure,
    system_slope,
)
from skirtloft.physics.losses import loss
from tests.lift_cases import full, plain

P = 500.0 * 9.80665 / 8.0


def test_plain_craft_needs_cushion_pressure_and_gap_flow() -> None:
    air = required_air(plain(), 500.0, 0.01)
    assert float(air.fan_pressure) == pytest.approx(P)
    assert float(air.fan_flow) == pytest.approx(0.6 * 0.12 * math.sqrt(2 * P / 1.225))


def test_every_loss_and_leak_at_its_place() -> None:
    losses = (
        loss("guard", 0.5, 2.0, place="intake"),
        loss("duct", 0.4, 1.0),
        loss("holes", 0.2, 3.0, place="feed"),
    )
    leaks = (leak("low", 0.005), leak("drain", 0.01, place="loop"))
    air = required_air(plain(losses=losses, leaks=leaks, lift_share=0.5), 500.0, 0.01)
    jet = math.sqrt(2 * P / 1.225)
    cushion = (0.072 + 0.6 * 0.005) * jet
    loop = P + 3.0 * 0.6125 * (cushion / 0.2) ** 2
    lift = cushion + 0.6 * 0.01 * math.sqrt(2 * loop / 1.225)
    fan = loop + 0.6125 * (lift / 0.4) ** 2 + 2.0 * 0.6125 * (2 * lift / 0.5) ** 2
    assert float(air.cushion_flow) == pytest.approx(cushion)
    assert float(air.loop_pressure) == pytest.approx(loop)
    assert float(air.lift_flow) == pytest.approx(lift)
    assert float(air.fan_flow) == pytest.approx(2 * lift)
    assert float(air.fan_pressure) == pytest.approx(fan)


@pytest.mark.parametrize("share", [1.0, 0.4])
def test_outwards_and_inwards_agree(share: float) -> None:
    system = full(lift_share=share)
    masses, gaps = np.array([200.0, 500.0, 900.0]), np.array([0.002, 0.01, 0.03])
    air = required_air(system, masses, gaps)
    back = air_from_fan(system, path_of(system), air.cushion_pressure, air.fan_flow, air.fan_pressure)
    assert back.gap_flow == pytest.approx(air.gap_flow, rel=1e-12)
    assert back.loop_pressure == pytest.approx(air.loop_pressure, rel=1e-12)
    assert system_pressure(system, masses, air.fan_flow) == pytest.approx(air.fan_pressure, rel=1e-12)


def test_cushion_flow_solves_its_equation_even_where_the_loop_leaks_most() -> None:
    for leaking in (1e-4, 0.02, 0.5):
        system = plain(losses=(loss("holes", 0.1, 3.0, place="feed"),), leaks=(leak("l", leaking, place="loop"),))
        path = path_of(system)
        lift = np.array([2.0, 8.0, 40.0])
        flow = cushion_flow_of(path, np.array(P), lift)
        held = flow > 0.0
        assert held.any()
        left = lift - path.loop_leak * np.sqrt(P + path.feed * flow**2)
        assert flow[held] == pytest.approx(left[held], rel=1e-11)
        assert (path.loop_leak * math.sqrt(P) >= lift[~held]).all()


def test_slope_of_the_system_curve() -> None:
    system = full(lift_share=0.6)
    air = required_air(system, 500.0, 0.01)
    step = 1e-5
    flows = float(air.fan_flow) + step * np.array([-1.0, 1.0])
    low, high = system_pressure(system, 500.0, flows)
    assert float(system_slope(system, path_of(system), air)) == pytest.approx((high - low) / (2 * step), rel=1e-7)


def test_pressures_are_proportional_and_flows_go_with_the_root() -> None:
    one, four = air_at_pressure(full(), 200.0, 0.01), air_at_pressure(full(), 800.0, 0.01)
    assert float(four.fan_pressure) == pytest.approx(4.0 * float(one.fan_pressure))
    assert float(four.fan_flow) == pytest.approx(2.0 * float(one.fan_flow))
