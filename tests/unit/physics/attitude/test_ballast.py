"""Mass put aboard or moved."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.attitude.ballast import ballast_place, centre_with, level_move, shift_of
from skirtloft.physics.attitude.heel_limits import HEEL_LIMITS, PERSON_MASS, outward_heel_offset

FLOOR = [[2.0, -1.0], [2.0, 1.0], [-2.0, 1.0], [-2.0, -1.0]]


def test_a_passenger_aboard_and_a_passenger_moved() -> None:
    mass, centre = centre_with(400.0, [2.0, 0.0, 0.5], 80.0, [1.0, 0.3, 0.8])
    assert mass == 480.0
    assert centre == pytest.approx([(400 * 2 + 80) / 480, 24 / 480, (200 + 64) / 480])
    assert shift_of(500.0, 80.0, 0.3) == pytest.approx(0.048)
    back, was = centre_with(mass, centre, -80.0, [1.0, 0.3, 0.8])
    assert back == pytest.approx(400.0)
    assert was == pytest.approx([2.0, 0.0, 0.5])


def test_ballast_levels_the_craft() -> None:
    centre, middle = np.array([2.2, 0.05]), np.array([2.1, 0.0])
    found = ballast_place(500.0, centre, middle, 40.0, middle + np.array(FLOOR))
    assert found.place == pytest.approx(middle + [-500 * 0.1 / 40, -500 * 0.05 / 40])
    assert found.inside
    _, level = centre_with(500.0, centre, 40.0, found.place)
    assert level == pytest.approx(middle)
    _, level = centre_with(500.0, centre, found.least_mass, found.edge)
    assert level == pytest.approx(middle)
    # the way from the middle leaves the floor at y = -1: lever sqrt(1 + 4)
    assert found.least_mass == pytest.approx(500 * math.hypot(0.1, 0.05) / math.hypot(2, 1))


def test_too_little_ballast_lies_outside_and_none_is_asked_of_a_level_craft() -> None:
    found = ballast_place([500.0, 500.0], [[0.2, 0.0], [0.0, 0.0]], [0.0, 0.0], [10.0, 10.0], FLOOR)
    assert found.inside.tolist() == [False, True]
    assert found.least_mass == pytest.approx([50.0, 0.0])


def test_a_tank_moved() -> None:
    found = level_move(500.0, [0.1, 0.0], [0.0, 0.0], 60.0, [1.5, 0.0], FLOOR)
    assert found.shift == pytest.approx([-500 * 0.1 / 60, 0.0])
    assert found.place == pytest.approx([1.5 - 50 / 60, 0.0])
    assert found.inside
    assert found.least_mass == pytest.approx(50 / 3.5)
    assert found.edge == pytest.approx([-2.0, 0.0])
    outside = level_move(500.0, [0.1, 0.0], [0.0, 0.0], 10.0, [1.5, 0.0], FLOOR)
    assert not outside.inside


def test_limits_as_published() -> None:
    """IMO HSC Code 2.12.1 and 2.12.2: 10, 8 and 12 degrees; 2.10: 75 kg a person."""
    limits = {limit.name: round(math.degrees(limit.angle), 9) for limit in HEEL_LIMITS}
    assert limits == {"passengers and wind": 10.0, "turn": 8.0, "turn and wind": 12.0}
    assert PERSON_MASS == 75.0


def test_a_turn_heels_outward_like_a_shift() -> None:
    assert outward_heel_offset(10.0, 50.0, 0.5) == pytest.approx(100 / 50 / 9.80665 * 0.5)
