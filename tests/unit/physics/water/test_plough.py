"""What holds the bow up."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.attitude.restoring import restoring_curve
from skirtloft.physics.water.drag import UnderWay, drag
from skirtloft.physics.water.plough import Heights, bow_down_offset, bow_hold, planing_lift, tuck_speed
from tests.attitude_cases import box, load_of

CRAFT = UnderWay(500.0, 4.0, 8.0, 12.0, 2.0, 1.8)
HEIGHTS = Heights(centre=0.5, thrust=1.1, air=0.7, intake=0.8)
HULL = [[2.0, 0.9, 0.15], [2.0, -0.9, 0.15]]


def test_steady_speed_is_the_moment_of_thrust_over_drag() -> None:
    at = drag(CRAFT, [8.0])
    steady = bow_down_offset(500.0, HEIGHTS, at, at.total)
    moment = at.total * 1.1 - at.air * 0.7 - at.momentum * 0.8
    assert steady == pytest.approx(moment / (500 * 9.80665))


def test_thrust_cut_is_the_craft_pressing_itself_down() -> None:
    at = drag(CRAFT, [8.0])
    cut = bow_down_offset(500.0, HEIGHTS, at, 0.0)
    assert cut == pytest.approx((at.total * 0.5 - at.air * 0.7 - at.momentum * 0.8) / (500 * 9.80665))
    at_cg = Heights(
        0.5, 0.5, 0.5, 0.5
    )  # everything at the height of the centre of gravity: only the water's part is left
    for thrust in (0.0, 300.0):
        only_water = bow_down_offset(500.0, at_cg, at, thrust)
        assert only_water == pytest.approx((at.wave + at.skirt) * 0.5 / (500 * 9.80665))


def test_hold_is_read_from_the_curve() -> None:
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line, height=0.3), "bow", "likely", hull=HULL)
    k = 12
    assert curve.angle[k] < curve.limit_angle
    hold = bow_hold(curve, 0.02, [float(curve.held[k]) - 0.02, curve.most_held - 0.02, 10.0, -0.02], math.radians(20))
    assert hold.angle[:2] == pytest.approx([curve.angle[k], curve.limit_angle], rel=1e-9)
    assert np.isnan(hold.angle[2])
    assert hold.angle[3] == 0.0
    assert hold.margin[1] == pytest.approx(0.0, abs=1e-12)
    assert hold.margin[0] == pytest.approx((curve.most_held - curve.held[k]) / 4.0)
    assert hold.margin[2] < 0.0
    assert hold.limit == "hull touches"
    assert hold.surface_left == pytest.approx(math.radians(20) - curve.limit_angle)


def test_more_mass_ahead_leaves_less() -> None:
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line), "bow", "soft", hull=HULL)
    back, ahead = (bow_hold(curve, x, [0.03], 0.3).margin[0] for x in (-0.05, 0.05))
    assert back - ahead == pytest.approx(0.1 / 4.0)


def test_planing_lift_of_the_formula() -> None:
    """Savitsky's formula, from memory, worked by hand: 4 deg, l 2, V 8 m/s, b 1 m."""
    c_v_square = 64 / 9.80665
    coefficient = 4**1.1 * (0.012 * math.sqrt(2) + 0.0055 * 2**2.5 / c_v_square)
    assert planing_lift(8.0, 1.0, 2.0, math.radians(4)) == pytest.approx(coefficient * 500 * 64)
    assert coefficient == pytest.approx(0.0999, abs=2e-4)
    assert planing_lift(8.0, 1.0, 2.0, -0.05) == 0.0
    assert np.isnan(planing_lift(8.0, 1.0, 2.0, math.radians(20)))
    assert np.isnan(planing_lift(8.0, 1.0, 5.0, math.radians(4)))
    assert np.isnan(planing_lift(1.0, 1.0, 1.0, math.radians(4)))


def test_speed_at_which_a_sunk_bow_is_pulled_under() -> None:
    """M = C rho/2 V^2 s (z - s/2): 40 N m/m, 50 mm of 250 mm."""
    speed = float(tuck_speed(40.0, 0.05, 0.25))
    assert 500 * speed**2 * 0.05 * (0.25 - 0.025) == pytest.approx(40.0)
    assert tuck_speed(80.0, 0.05, 0.25) == pytest.approx(math.sqrt(2) * speed)
    assert np.isinf(tuck_speed(40.0, 0.0, 0.25))
    assert tuck_speed(-1.0, 0.05, 0.25) == 0.0
