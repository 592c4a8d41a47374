"""Where loads come to rest."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.physics.attitude.bounds import BOUNDS, Bound, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, lean, tilt_slopes
from skirtloft.physics.attitude.rest import rest
from tests.attitude_cases import DENSITY, box, level_flow, load_of, rounded

RANDOM = np.random.default_rng(7)


@pytest.mark.parametrize("bound", BOUNDS)
@pytest.mark.parametrize("height", [0.0, 0.4])
def test_there_and_back(bound: Bound, height: float) -> None:
    """Tilts out of the dead band, the centre of gravity each balances, and back to the tilts."""
    line = rounded(longest=0.1, taper=0.15)
    load = load_of(line, height=height)
    way = RANDOM.uniform(0, 2 * math.pi, 25)
    # trim as heel: scaled with length and beam, 1.5 to 4 times the dead band
    tilt = RANDOM.uniform(0.015, 0.04, 25)[:, None] * np.stack([0.5 * np.cos(way), np.sin(way)], axis=-1)
    offset = lean(line, load, tilt, contact_of(line, bound)).offset
    turned = tilt_slopes(line, load, lean(line, load, tilt, contact_of(line, bound)), contact_of(line, bound))
    # those that the tips hold, clear of the loll, leaning to the side of the centre of gravity
    rises = (np.linalg.eigvals(-turned).real > 0.02).all(axis=-1) & (offset[:, 1] * tilt[:, 1] < 0.0)
    found = rest(line, load, line.centre + offset, bound)
    assert rises.sum() > 8
    held = found.hold == "held"
    assert held[rises].all()
    np.testing.assert_allclose(found.leaning.offset[held], offset[held], atol=1e-9)
    np.testing.assert_allclose(found.leaning.tilt[rises & held], tilt[rises & held], atol=1e-6)


def test_signs() -> None:
    """Starboard mass heels it starboard down (positive), aft mass lifts the bow (positive)."""
    line = box(4.0, 2.0)
    found = rest(line, load_of(line), [[0.0, -0.02], [0.0, 0.02], [-0.03, 0.0], [0.03, 0.0]], "likely")
    assert (found.hold == "held").all()
    trim, heel = found.leaning.tilt.T
    assert heel[0] > math.radians(0.6)
    assert heel[1] == pytest.approx(-heel[0])
    assert trim[2] > math.radians(0.3)
    assert trim[3] == pytest.approx(-trim[2])
    assert abs(trim[:2]).max() < 1e-9
    assert abs(heel[2:]).max() < 1e-9
    assert found.low_point[0, 1] == pytest.approx(-1.0)
    assert found.low_point[2, 0] == pytest.approx(-2.0)


def test_the_closed_form_backwards() -> None:
    """0.3450 % of the beam off the middle: 1 deg by `soft`; 4.5755 %: 2 deg by `firm` (rectangle, closed form)."""
    line = box(4.0, 2.0)
    soft = rest(line, load_of(line), [0.0, -0.003450 * 2.0], "soft")
    firm = rest(line, load_of(line), [0.0, -0.045755 * 2.0], "firm")
    assert math.degrees(soft.leaning.tilt[1]) == pytest.approx(1.0, abs=2e-4)
    assert 1000 * soft.leaning.most_gap == pytest.approx(22.716, abs=0.01)
    assert math.degrees(firm.leaning.tilt[1]) == pytest.approx(2.0, abs=2e-4)
    assert firm.leaning.flow == pytest.approx(level_flow(line), rel=1e-10)


def test_neutral_in_the_middle() -> None:
    line = box(4.0, 2.0)
    found = rest(line, load_of(line), [[0.0, 0.0], [0.0003, 0.0]], "firm")
    assert found.hold.tolist() == ["neutral", "neutral"]
    assert np.abs(found.leaning.tilt).max() == 0.0
    assert found.leaning.gap == pytest.approx(0.010, rel=1e-9)
    assert found.dead_band[1] == pytest.approx(0.005, rel=1e-9)  # towards the bow: 2 h/L
    assert found.dead_band[0] == pytest.approx(0.010 / math.hypot(2.0, 1.0), rel=1e-9)  # the nearest of all: a corner
    assert np.isnan(found.slope).all()
    assert np.isnan(found.low_point).all()


@pytest.mark.parametrize("bound", BOUNDS)
def test_a_tiny_offset_leans_to_the_end_of_the_dead_band_or_to_the_loll(bound: Bound) -> None:
    line = box(4.0, 2.0)
    low = rest(line, load_of(line), [0.0, 0.001], bound)
    high = rest(line, load_of(line, height=0.4), [0.0, 0.001], bound)
    assert low.hold == "held"
    assert float(low.dead_band) < abs(low.leaning.tilt[1]) < 1.5 * float(low.dead_band)
    assert high.hold == "held"
    assert abs(high.leaning.tilt[1]) > abs(low.leaning.tilt[1])
    assert (high.slope > 0).all()


def test_what_cannot_rest() -> None:
    line = box(4.0, 2.0)
    over = rest(line, load_of(line, height=1.5), [0.0, 0.02], "soft")
    assert over.hold == "no rest"
    dry = rest(line, HoverLoad(500.0, 0.5, DENSITY, leak_area=0.1), [0.0, 0.02], "soft")
    assert dry.hold == "not lifted"
    hull = [[0.0, 1.0, 0.02], [0.0, -1.0, 0.02]]
    assert rest(line, load_of(line), [0.0, 0.05], "likely", hull=hull).hold == "touches"
    assert rest(line, load_of(line), [0.0, 0.05], "likely").hold == "held"


def test_many_loads_of_their_own_mass_and_height_are_those_one_by_one() -> None:
    line = rounded(longest=0.15)
    mass, height = np.array([300.0, 420.0, 500.0]), np.array([0.3, 0.5, 0.4])
    flow = level_flow(line) * np.array([1.0, 0.9, 1.1])
    load = replace(load_of(line), mass=mass, height=height, flow=flow)
    points = np.array([[0.05, 0.0], [0.0, 0.03], [-0.04, -0.02]])
    together = rest(line, load, points, "likely")
    assert together.leaning.gap.shape == (3, len(line.length))
    for k in range(3):
        alone = rest(line, replace(load, mass=mass[k], height=height[k], flow=flow[k]), points[k], "likely")
        assert alone.leaning.tilt == pytest.approx(together.leaning.tilt[k], abs=1e-8)
        assert alone.hold == together.hold[k]


def test_a_load_on_the_centre_line_lolls_when_it_is_high() -> None:
    """By symmetry it could stay upright, but the height of the centre of gravity tips it out of the gap."""
    line = box(4.0, 2.0)
    load = load_of(line, height=0.6)
    found = rest(line, load, [-0.01, 0.0], "soft")
    assert found.hold == "lolls"
    assert abs(found.leaning.tilt[1]) > math.radians(0.5)
    assert found.leaning.offset == pytest.approx([-0.01, 0.0], abs=1e-9)
    mirrored = lean(line, load, found.leaning.tilt * [1, -1], contact_of(line, "soft"))
    assert mirrored.offset == pytest.approx([-0.01, 0.0], abs=1e-9)
    low = rest(line, load_of(line, height=0.05), [-0.05, 0.0], "firm")
    assert low.hold == "held"
    assert low.leaning.tilt[1] == pytest.approx(0.0, abs=1e-12)
