"""Fan laws Q ~ n D^3, p ~ rho n^2 D^2, P ~ rho n^3 D^5 (standard; found the same in several engineering tables).

Tabled: n x 0.8 -> 0.8, 0.64, 0.512; D x 1.2 -> 1.728, 1.44, 2.48832. (A web article that gives "1.2 for flow" for the
latter is wrong.) Exact, so the tolerance is rounding.
"""

from __future__ import annotations

import pytest

from skirtloft.physics.fan import affinity, resized
from skirtloft.physics.operating import gap_at_speed
from tests.lift_cases import SPEED, parabola, plain


@pytest.mark.parametrize(
    "speed, diameter, density, tabled",
    [
        (0.8, 1.0, 1.0, (0.8, 0.64, 0.512)),
        (1.0, 1.2, 1.0, (1.728, 1.44, 2.48832)),
        (1.0, 1.0, 0.9, (1.0, 0.9, 0.9)),
    ],
)
def test_factors(speed: float, diameter: float, density: float, tabled: tuple[float, float, float]) -> None:
    assert [float(factor) for factor in affinity(speed, diameter, density)] == pytest.approx(tabled, rel=1e-14)


def test_a_whole_craft_obeys_them() -> None:
    """At 0.8 of the speed 0.64 of the mass hovers at the same gap with 0.512 of the power."""
    whole = gap_at_speed(parabola(), plain(), 500.0, SPEED)
    slow = gap_at_speed(parabola(), plain(), 0.64 * 500.0, 0.8 * SPEED)
    assert float(slow.gap) == pytest.approx(float(whole.gap), rel=1e-12)
    assert float(slow.engine_power) == pytest.approx(0.512 * float(whole.engine_power), rel=1e-12)


def test_a_larger_fan_on_a_larger_plan() -> None:
    """All 1.2 times as large: the same speed carries 1.44^2 of the mass at 1.2 of the gap with 1.2^5 the power."""
    whole = gap_at_speed(parabola(), plain(), 500.0, SPEED)
    large = gap_at_speed(resized(parabola(), 0.72), plain(8.0 * 1.44, 12.0 * 1.2), 500.0 * 1.44**2, SPEED)
    assert float(large.gap) == pytest.approx(1.2 * float(whole.gap), rel=1e-12)
    assert float(large.engine_power) == pytest.approx(2.48832 * float(whole.engine_power), rel=1e-12)
