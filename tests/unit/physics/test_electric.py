"""Battery lift; expected numbers are P = V I worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.electric import battery_mass, electric_lift


def test_power_current_and_time_without_resistance() -> None:
    # 4224 W at the shaft over .88 * .96: 5000 W; 50 V: 100 A; 100 A h, 80 % of it: 48 min
    found = electric_lift(4224.0, 50.0, 360_000.0)
    assert float(found.power) == pytest.approx(5000.0)
    assert float(found.current) == pytest.approx(100.0)
    assert float(found.duration) == pytest.approx(48 * 60.0)
    assert float(found.rate) == pytest.approx(1.0)
    assert float(found.most_power) == np.inf


def test_resistance_lowers_the_voltage() -> None:
    # 90 A through .1 ohm leaves 41 of 50 V: 3690 W at the terminals, 4500 W from the cells
    found = electric_lift(3690.0, 50.0, 324_000.0, motor_efficiency=1.0, controller_efficiency=1.0, resistance=0.1)
    assert float(found.current) == pytest.approx(90.0)
    assert float(found.voltage) == pytest.approx(41.0)
    assert float(found.power) == pytest.approx(4500.0)
    assert float(found.most_power) == pytest.approx(6250.0)


def test_more_than_the_battery_can_give_is_no_number() -> None:
    found = electric_lift([5000.0, 6000.0], 50.0, 3.6e5, resistance=0.1)  # 5919 and 7102 W against 6250 W
    assert np.isnan(found.current).tolist() == [False, True]
    assert np.isnan(found.duration).tolist() == [False, True]


def test_battery_mass() -> None:
    # 5 kW for half an hour is 2.5 kWh; 80 % usable: 3.125 kWh; at 150 Wh/kg 20.83 kg
    assert float(battery_mass(5000.0, 1800.0)) == pytest.approx(20.8333, abs=1e-3)
