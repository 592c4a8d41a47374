"""Drag, thrust and the hump."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.physics.water.drag import (
    DRAG_FACTORS,
    UnderWay,
    drag,
    edited_factors,
    factor,
    thrust_of_disc,
    thrust_through,
)
from skirtloft.physics.water.over_hump import over_hump, over_hump_levels
from skirtloft.physics.water.wave_drag import breaking_speed

CRAFT = UnderWay(500.0, 4.0, 8.0, 12.0, 2.2776, 1.8)
WEAK, STRONG = thrust_of_disc(180.0, 0.8), thrust_of_disc(420.0, 0.9)


def test_parts() -> None:
    """Momentum drag 41.9 N at 15 m/s with 2.2776 m3/s (rho Q V); the rest by their formulas."""
    at = drag(CRAFT, [15.0])
    assert at.momentum[0] == pytest.approx(41.9, abs=0.06)
    assert at.air[0] == pytest.approx(0.6 * 0.5 * 1.225 * 1.8 * 225)
    assert at.skirt[0] == pytest.approx(0.006 * 0.5 * 1000 * 225 * 12 * 0.02)
    assert at.total[0] == pytest.approx(float(at.wave[0] + at.momentum[0] + at.air[0] + at.skirt[0]))
    assert drag(CRAFT, [3.929]).wave[0] == pytest.approx(183.6, abs=0.06)  # worked example of the wave drag


def test_at_rest_there_is_none_and_slow_waves_are_doubtful() -> None:
    speed = float(breaking_speed(CRAFT.pressure))
    at = drag(CRAFT, [0.0, 0.99 * speed, 1.01 * speed])
    assert at.total[0] == 0.0
    assert at.is_doubtful.tolist() == [True, True, False]


def test_levels_are_in_order_and_factors_can_be_edited() -> None:
    low, best, high = (drag(CRAFT, [4.0, 9.0], level).total for level in ("low", "best", "high"))  # type: ignore[arg-type]
    assert (low < best).all()
    assert (best < high).all()
    own = edited_factors({"air": (0.5, 0.7, 0.8)})
    assert factor("air", "best", own) == 0.7
    assert next(f for f in own if f.name == "air").source == "as given"
    assert drag(CRAFT, [9.0], "best", own).air[0] == pytest.approx(7 / 6 * float(drag(CRAFT, [9.0]).air[0]))
    with pytest.raises(ValueError, match="air"):
        edited_factors({"air": (0.9, 0.7, 0.8)})
    with pytest.raises(KeyError):
        edited_factors({"hull": (0.9, 0.9, 0.9)})
    assert all(f.low <= f.best <= f.high and f.source and f.meaning for f in DRAG_FACTORS)


def test_thrust_of_a_disc_keeps_its_power() -> None:
    """T (V + w) the same at every speed, T = 2 rho A (V + w) w: momentum theory."""
    speed = np.array([0.0, 3.0, 10.0, 25.0])
    push = STRONG(speed)
    assert push[0] == pytest.approx(420.0)
    w = -speed / 2 + np.sqrt(speed**2 / 4 + push / (2 * 1.225 * 0.9))
    assert push * (speed + w) == pytest.approx(np.full(4, push[0] * w[0]), rel=1e-12)
    assert (np.diff(push) < 0).all()


def test_over_the_hump_and_top_speed() -> None:
    found = over_hump(CRAFT, STRONG)
    assert found.hump_speed == pytest.approx(3.929, abs=6e-4)
    assert found.hump_wave == pytest.approx(183.6, abs=0.06)
    assert found.gets_over
    assert math.isnan(found.stuck_speed)
    at = drag(CRAFT, [found.hump_speed, found.least_speed, found.top_speed])
    push = STRONG(at.speed)
    assert push[1] - at.total[1] == pytest.approx(found.least_margin)
    assert found.least_margin <= push[0] - at.total[0]
    assert push[2] == pytest.approx(at.total[2], rel=1e-9)
    assert found.top_speed > 1.1 * found.hump_speed


def test_the_heaviest_mass_just_gets_over() -> None:
    found = over_hump(CRAFT, STRONG)
    for share, over in ((0.99, True), (1.01, False)):
        heavy = over_hump(replace(CRAFT, mass=share * found.most_mass), STRONG)
        assert heavy.gets_over is over
    assert 500.0 < found.most_mass < 900.0


def test_stuck_below_the_hump() -> None:
    found = over_hump(CRAFT, WEAK)
    assert not found.gets_over
    assert found.least_margin < 0.0
    assert found.most_mass < 500.0
    assert found.stuck_speed < found.hump_speed
    assert WEAK(np.array([found.stuck_speed]))[0] == pytest.approx(float(drag(CRAFT, [found.stuck_speed]).total[0]))
    assert math.isnan(found.top_speed)


def test_more_drag_is_never_better() -> None:
    levels = over_hump_levels(CRAFT, STRONG)
    margins = [levels[level].least_margin for level in ("low", "best", "high")]
    assert margins[0] > margins[1] > margins[2]


def test_a_thrust_curve_that_ends() -> None:
    curve = thrust_through([0.0, 5.0, 8.0], [450.0, 400.0, 380.0])
    assert math.isinf(over_hump(CRAFT, curve).top_speed)  # not known beyond 8 m/s
    short = over_hump(CRAFT, thrust_through([0.0, 3.0], [450.0, 430.0]))
    assert math.isnan(short.least_margin)
    assert not short.gets_over
