"""Every watt is accounted for: engine = drive + fan + losses + leaks + thrust + gap, to 1e-9."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.physics.fan import resized
from skirtloft.physics.operating import gap_at_speed, mass_at_gap, speed_for_gap
from skirtloft.physics.watts import air_watts, engine_watts
from tests.lift_cases import POWERS, SPEED, fan_of_points, full

CASES = [(share, rough) for share in (1.0, 0.35) for rough in (0.0, 0.02)]


@pytest.mark.parametrize("share, rough", CASES)
def test_closes_for_every_way_of_asking(share: float, rough: float) -> None:
    rng = np.random.default_rng(7)
    n = 300
    system = full(rng.uniform(6.0, 12.0, n), rng.uniform(0.95, 1.3, n), rough, share)
    fan = resized(fan_of_points(power=POWERS), 0.6 * (1.0 / share) ** (1.0 / 3.0))
    mass, speed = rng.uniform(200.0, 700.0, n), SPEED * rng.uniform(0.9, 1.3, n)
    for points in (
        gap_at_speed(fan, system, mass, speed),
        speed_for_gap(fan, system, mass, rng.uniform(0.002, 0.012, n)),
        mass_at_gap(fan, system, rng.uniform(0.002, 0.012, n), speed),
    ):
        solved = points.failure == 0
        assert solved.sum() > n / 3
        lines = air_watts(system, points.air, points.gap).power.sum(axis=0)
        assert lines[solved] == pytest.approx(points.air_power[solved], rel=1e-9)
        whole = engine_watts(system, points).power.sum(axis=0)
        assert whole[solved] == pytest.approx(points.engine_power[solved], rel=1e-9)


def test_the_test_can_fail() -> None:
    """A leak that is left out of the sum is missed by far more than 1e-9."""
    points = gap_at_speed(fan_of_points(), full(), 500.0, SPEED)
    forgotten = replace(full(), leaks=full().leaks[:1])
    lines = air_watts(forgotten, points.air, points.gap).power.sum(axis=0)
    assert abs(float(lines / points.air_power) - 1.0) > 1e-3
