"""Loss budget and choke; expected numbers are closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.lift_path import required_air
from skirtloft.physics.losses import loss
from skirtloft.physics.operating import gap_at_speed
from skirtloft.physics.watts import air_watts, choke, engine_watts, loss_budget
from tests.lift_cases import SPEED, full, parabola, plain


def test_drop_and_power_of_a_line() -> None:
    system = plain(losses=(loss("duct", 0.25, 2.0), loss("one side", 0.1, 1.0, share=0.5)))
    air = required_air(system, 500.0, 0.01)
    budget = loss_budget(system, air)
    flow = float(air.lift_flow)
    assert budget.flow == pytest.approx([flow, flow / 2])
    assert budget.drop == pytest.approx([2.0 * 0.6125 * (flow / 0.25) ** 2, 0.6125 * (flow / 0.2) ** 2])
    assert budget.power == pytest.approx(budget.drop * budget.flow)


def test_a_craft_without_losses_spends_all_in_the_gap() -> None:
    air = required_air(plain(), 500.0, 0.01)
    watts = air_watts(plain(), air, 0.01)
    assert watts.names == ("gap, all",)
    assert watts.power[0] == pytest.approx(float(air.fan_pressure * air.fan_flow))
    assert choke(plain(), air) is None
    assert loss_budget(plain(), air).power.shape == (0,)


def test_lines_have_names_and_kinds() -> None:
    system = full(lift_share=0.5)
    watts = engine_watts(system, gap_at_speed(parabola(1600.0, 9.0), system, [300.0, 400.0], SPEED))
    assert watts.names[:3] == ("belt or gearbox", "in the fan", "inlet guard")
    assert watts.kinds.count("gap") == 3
    assert watts.kinds.count("leak") == 2
    assert watts.kinds.count("thrust") == 1
    assert watts.power.shape == (len(watts.names), 2)
    assert (watts.power >= 0.0).all()


def test_the_choked_passage_is_found_and_named() -> None:
    # Nothing leaks, so the area ratio is the line's area over Cd L h = 0.072 m2.
    lines = (loss("duct", 0.3, 0.5), loss("past frames", 0.11, 1.0), loss("holes", 0.2, 2.8, place="feed"))
    system = plain(losses=lines)
    found = choke(system, required_air(system, np.array([300.0, 500.0]), 0.01))
    assert found is not None
    assert found.area_ratio[:, 1] == pytest.approx([0.3 / 0.072, 0.11 / 0.072, 0.2 / 0.072])
    assert [found.names[i] for i in found.narrowest] == ["past frames", "past frames"]
    assert found.least_ratio == pytest.approx([1.5278, 1.5278], abs=1e-4)
    # dearest by K/A^2: 5.6, 82.6, 70
    assert found.names[int(found.dearest[0])] == "past frames"
    loss_shares = np.array([0.5 / 0.3**2, 1.0 / 0.11**2, 2.8 / 0.2**2]) * 0.072**2
    assert found.dearest_share[0] == pytest.approx(loss_shares[1] / (1.0 + loss_shares.sum()))
