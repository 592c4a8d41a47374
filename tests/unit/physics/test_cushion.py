"""Cushion and air as functions: how each figure moves with what goes in (closed forms)."""

from __future__ import annotations

import pytest

from skirtloft.physics.cushion import cushion_pressure, engine_power, escape_flow, support

GIVEN = {
    "area": 8.0,
    "perimeter": 12.0,
    "gap": 0.01,
    "discharge": 0.5,
    "density": 1.2,
    "fan_efficiency": 0.6,
    "drive_efficiency": 0.95,
    "losses": 1.2,
    "reserve": 1.4,
}


def test_pressure_is_weight_over_area() -> None:
    assert cushion_pressure(10.0, 2.0) == pytest.approx(5.0 * 9.80665, rel=1e-15)


def test_flow_grows_with_gap_and_with_the_root_of_pressure() -> None:
    flow = escape_flow(400.0, 0.01, 12.0, 0.5, 1.2)
    assert escape_flow(400.0, 0.02, 12.0, 0.5, 1.2) == pytest.approx(2.0 * flow, rel=1e-14)
    assert escape_flow(1600.0, 0.01, 12.0, 0.5, 1.2) == pytest.approx(2.0 * flow, rel=1e-14)
    assert escape_flow(400.0, 0.01, 12.0, 0.5, 4.8) == pytest.approx(flow / 2.0, rel=1e-14)


def test_engine_power_takes_every_factor() -> None:
    power = engine_power(100.0, fan_efficiency=0.5, drive_efficiency=0.8, losses=1.5, reserve=2.0)
    assert power == pytest.approx(100.0 * 1.5 * 2.0 / 0.4, rel=1e-15)


def test_loads_keep_their_order_and_names() -> None:
    light, heavy = support([("light", 250.0), ("heavy", 1000.0)], **GIVEN)
    assert (light.name, light.mass, heavy.name, heavy.mass) == ("light", 250.0, "heavy", 1000.0)
    assert heavy.pressure == pytest.approx(4.0 * light.pressure, rel=1e-14)
    assert heavy.flow == pytest.approx(2.0 * light.flow, rel=1e-14)
    assert heavy.air_power == pytest.approx(heavy.pressure * heavy.flow, rel=1e-14)
    assert heavy.engine_power == pytest.approx(heavy.air_power * 1.2 * 1.4 / (0.6 * 0.95), rel=1e-14)
