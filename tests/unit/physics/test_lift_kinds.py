"""Skirt kinds side by side; expected numbers are the stated model worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.lift_kinds import KINDS, compare_kinds, edited, lift_of

P, AREA, RHO = 600.0, 0.06, 1.2
FLOW = 0.06 * math.sqrt(1000.0)


def test_best_of_each_kind_by_hand() -> None:
    found = {kind.name: kind.best for kind in compare_kinds(P, AREA, RHO)}
    # flow: leakage 1.15, 1, 1.15, 1.4; fan over cushion: 1 + skirt loss + 0.1 leakage^2
    wanted = {
        "loop and segment": (1.15, 1.0 / 9.0),
        "bag": (1.0, 0.2),
        "bag and segment": (1.15, 0.2),
        "full segment": (1.4, 0.05 + 1.0 / (0.6 * 2.5) ** 2),
    }
    for name, (leakage, lost) in wanted.items():
        lift = found[name]  # type: ignore[index]
        over = 1.0 + lost + 0.1 * leakage**2
        assert float(lift.flow) == pytest.approx(leakage * FLOW)
        assert float(lift.supply_pressure) == pytest.approx(P * (1.0 + lost))
        assert float(lift.fan_pressure) == pytest.approx(P * over)
        assert float(lift.engine_power) == pytest.approx(P * over * leakage * FLOW / 0.45)
        assert float(lift.gap_power + lift.skirt_loss + lift.duct_loss) == pytest.approx(float(lift.air_power))


def test_doubt_adds_up_like_independent_errors() -> None:
    one = edited({("bag", a.name): (a.best, a.best, a.best) for a in KINDS["bag"]})
    exact = next(kind for kind in compare_kinds(P, AREA, RHO, one) if kind.name == "bag")
    assert float(exact.engine_power_low) == pytest.approx(float(exact.best.engine_power))
    assert float(exact.engine_power_high) == pytest.approx(float(exact.best.engine_power))
    two = edited({("bag", "fan_efficiency"): (0.4, 0.5, 0.5), ("bag", "drive_efficiency"): (0.8, 0.9, 0.9)}, one)
    doubtful = next(kind for kind in compare_kinds(P, AREA, RHO, two) if kind.name == "bag")
    factor = math.exp(math.hypot(math.log(0.5 / 0.4), math.log(0.9 / 0.8)))
    assert float(doubtful.engine_power_high) == pytest.approx(factor * float(exact.best.engine_power))
    assert float(doubtful.engine_power_low) == pytest.approx(float(exact.best.engine_power))
    assert doubtful.swings[0].name == "fan_efficiency"
    assert float(doubtful.swings[0].at_low) == pytest.approx(float(exact.best.engine_power) * 0.5 / 0.4)


def test_bands_hold_the_best_and_batches_agree() -> None:
    pressures = np.array([400.0, 600.0])
    for kind, alone in zip(compare_kinds(pressures, AREA, RHO), compare_kinds(600.0, AREA, RHO), strict=True):
        assert (kind.engine_power_low < kind.best.engine_power).all()
        assert (kind.best.engine_power < kind.engine_power_high).all()
        assert kind.engine_power_high[1] == pytest.approx(float(alone.engine_power_high))
        sizes = [abs(float(np.ravel(s.at_high - s.at_low)[0])) for s in kind.swings]
        assert sizes == sorted(sizes, reverse=True)


def test_every_assumption_moves_its_result() -> None:
    for name, given in KINDS.items():
        values = {assumption.name: assumption.best for assumption in given}
        base = float(lift_of(name, values, P, AREA, RHO).engine_power)
        for assumption in given:
            assert assumption.low <= assumption.best <= assumption.high
            moved = lift_of(name, {**values, assumption.name: 1.01 * assumption.best}, P, AREA, RHO)
            assert abs(float(moved.engine_power) / base - 1.0) > 1e-4, (name, assumption.name)


def test_changing_the_table() -> None:
    table = edited({("full segment", "leakage"): (1.0, 1.1, 1.2)})
    changed = {assumption.name: assumption for assumption in table["full segment"]}
    assert changed["leakage"].best == 1.1
    assert changed["leakage"].source == "as given"
    assert table["bag"] == KINDS["bag"]
    with pytest.raises(KeyError):
        edited({("bag", "no such thing"): (1.0, 1.0, 1.0)})
    with pytest.raises(ValueError, match="do not rise"):
        edited({("bag", "leakage"): (1.0, 0.9, 1.1)})
