"""Getting up from water; expected numbers are hydrostatics worked here."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.fan import fan_from_points
from skirtloft.physics.start_up import floating, start_up
from tests.lift_cases import FALLING, FLOWS, SPEED, VALLEY, fan_of_points, full, parabola, plain

P = 500.0 * 9.80665 / 8.0


def test_float_line_and_head_over_the_holes() -> None:
    # 500 kg on 6.25 m2 of fresh water: 80 mm; holes 50 mm up are 30 mm under: 294.2 Pa
    afloat = floating(500.0, 6.25, [0.05, 0.12])
    assert afloat.draught == pytest.approx([0.08, 0.08])
    assert afloat.hole_depth == pytest.approx([0.03, -0.04])
    assert afloat.hole_head == pytest.approx([294.1995, 0.0])
    assert float(floating(512.5, 6.25, 0.0, water_density=1025.0).draught) == pytest.approx(0.08)


def test_trim_balances_the_box() -> None:
    offset, length = 0.1, 4.0
    afloat = floating(500.0, 6.25, 0.05, offset=-offset, float_length=length)
    x = np.linspace(-length / 2, length / 2, 200_001)
    depth = 0.08 + (float(afloat.low_draught) - 0.08) * x / (length / 2)  # wedge of water, low end at + L/2
    assert float(np.trapezoid(depth * x, x) / np.trapezoid(depth, x)) == pytest.approx(offset, rel=1e-6)


def test_strong_fan_gets_up() -> None:
    found = start_up(parabola(), plain(), 500.0, SPEED, floating(500.0, 6.25, 0.05))
    assert bool(found.gets_up)
    assert not bool(found.holes_decide)
    assert float(found.needed) == pytest.approx(P)
    assert float(found.margin) == pytest.approx(1200.0 - P)


def test_deep_holes_decide() -> None:
    # Swamped to 900 kg on a small bottom: 900/4.5 = 200 mm, holes at 0: 1961.3 Pa
    found = start_up(parabola(), plain(), 900.0, SPEED, floating(900.0, 4.5, 0.0))
    assert bool(found.holes_decide)
    assert float(found.margin) == pytest.approx(1200.0 - 1961.33)
    assert not bool(found.gets_up)


def test_weak_fan_does_not_get_up_and_a_batch_keeps_its_places() -> None:
    mass = np.array([500.0, 1000.0])
    found = start_up(parabola(), plain(), mass, SPEED, floating(mass, 6.25, 0.2))
    assert found.gets_up.tolist() == [True, False]
    assert found.margin[1] == pytest.approx(1200.0 - 1000.0 * 9.80665 / 8.0)


def test_a_fan_with_a_valley_hangs() -> None:
    # Shut-off 1000 Pa is above the 800 Pa wanted, but from rest the fan stays left of its valley at 600 Pa.
    mass = 800.0 * 8.0 / 9.80665
    found = start_up(fan_of_points(VALLEY, density=1.225), plain(), mass, SPEED, floating(mass, 6.25, 0.05))
    assert float(found.margin) == pytest.approx(200.0)
    assert bool(found.hangs)
    assert not bool(found.gets_up)


def test_shut_off_may_be_unknown() -> None:
    late = fan_from_points(FLOWS[1:], FALLING[1:], speed=SPEED, diameter=0.6, density=1.225)
    found = start_up(late, full(), 300.0, SPEED, floating(300.0, 6.25, 0.05))
    assert not bool(found.shut_off_known)
    assert float(found.shut_off) == pytest.approx(1230.0)
