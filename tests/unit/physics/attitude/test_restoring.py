"""Restoring curves: dead band, slope, loll, and what ends the range."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.physics.attitude.lean import HoverLoad, lean
from skirtloft.physics.attitude.restoring import SIDES, dead_band, restoring_curve, restoring_curves
from tests.attitude_cases import DENSITY, GAP, MASS, box, level_flow, load_of, rounded

HULL = [[2.0, 1.0, 0.10], [2.0, -1.0, 0.10], [-2.0, 1.0, 0.10], [-2.0, -1.0, 0.10]]


def test_dead_band_of_a_box_is_twice_the_gap_over_the_beam() -> None:
    line = box(4.0, 2.0)
    load = load_of(line)
    assert dead_band(line, load, [0, -1]) == pytest.approx(2 * GAP / 2.0, rel=1e-9)
    assert dead_band(line, load, [1, 0]) == pytest.approx(2 * GAP / 4.0, rel=1e-9)


@pytest.mark.parametrize("side", SIDES)
def test_dead_band_is_where_the_first_tip_touches(side: str) -> None:
    line = rounded(taper=0.25, longest=0.05)
    curve = restoring_curve(line, load_of(line), side, "likely")  # type: ignore[arg-type]
    tilts = {"starboard": [0, 1], "port": [0, -1], "bow": [-1, 0], "stern": [1, 0]}
    at = lean(line, load_of(line), curve.dead_band * np.array(tilts[side]), contact_of(line, "likely"))
    assert float(at.least_gap) == pytest.approx(0.0, abs=1e-12)


def test_curves_of_the_closed_form() -> None:
    """Soft at 1, 2 and 3 deg: .3450, 1.2913, 2.2554 % of the beam; firm 1.2856, 4.5755, 7.6266 (closed form)."""
    line = box(4.0, 2.0)
    curves = restoring_curves(line, load_of(line), "starboard", angles=np.radians([0, 1, 2, 3]))
    assert 100 * curves["soft"].held / 2.0 == pytest.approx([0, 0.3450, 1.2913, 2.2554], abs=6e-5)
    assert 100 * curves["firm"].held / 2.0 == pytest.approx([0, 1.2856, 4.5755, 7.6266], abs=6e-5)
    assert (curves["likely"].held[1:] > curves["soft"].held[1:]).all()
    assert (curves["likely"].held[1:] < curves["firm"].held[1:]).all()


def test_contact_slope_is_that_of_one_degree_past_first_contact() -> None:
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line, height=0.5), "port", "soft")
    ends = curve.dead_band + np.radians([0.5, 1.5])
    at = lean(line, load_of(line, height=0.5), np.stack([0 * ends, -ends], axis=-1), contact_of(line, "soft"))
    assert curve.contact_slope == pytest.approx(np.diff(at.offset[:, 1])[0] / np.radians(1) / 2.0, rel=1e-9)
    # the height takes 1.745 % z/B per degree
    assert math.radians(100 * (curve.restoring_slope - curve.contact_slope)) == pytest.approx(1.7453 * 0.25, rel=1e-4)
    assert math.radians(100 * curve.restoring_slope) == pytest.approx(0.951, abs=0.001)  # between the rows of the table


@pytest.mark.parametrize("height, bound", [(0.5, "soft"), (0.7, "likely"), (0.5, "firm")])
def test_loll_is_where_the_curve_comes_back_to_none(height: float, bound: str) -> None:
    line = box(4.0, 2.0)
    load = load_of(line, height=height)
    curve = restoring_curve(line, load, "starboard", bound)  # type: ignore[arg-type]
    assert curve.dead_band < curve.loll < math.radians(6)
    near = np.array([[0.0, curve.loll * share] for share in (0.99, 1.0, 1.01)])
    below, at, above = -lean(line, load, near, contact_of(line, bound)).offset[:, 1]  # type: ignore[arg-type]
    assert below < 0.0 < above
    slope = (above - below) / (0.02 * curve.loll)  # m/rad
    assert at == pytest.approx(0.0, abs=2e-11 * slope)  # bracketed to 2e-11 rad


def test_upright_with_the_centre_of_gravity_at_the_ground_and_over_with_one_too_high() -> None:
    line = box(4.0, 2.0)
    assert restoring_curve(line, load_of(line), "port", "soft").loll == 0.0
    # soft holds some .95 % per degree; at z/B = .7 the height takes 1.22
    high = restoring_curve(line, load_of(line, height=1.4), "port", "soft")
    assert math.isnan(high.loll)
    assert high.contact_slope < 0.0
    assert high.most_held <= 0.0


def test_the_hull_ends_the_range() -> None:
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line), "starboard", "soft", hull=HULL)
    assert curve.limit == "hull touches"
    at = lean(line, load_of(line), [0.0, curve.limit_angle], contact_of(line, "soft"), hull=HULL)
    assert at.hull_clearance == pytest.approx(0.0, abs=1e-12)
    assert curve.most_held == pytest.approx(-float(at.offset[1]))
    assert curve.most_held_angle == curve.limit_angle
    free = restoring_curve(line, load_of(line), "starboard", "soft")
    assert free.limit == "end of the angles"
    assert free.limit_angle == pytest.approx(math.radians(6))


def test_a_straight_loop_ends_the_range_where_segments_turn() -> None:
    """Turn = sink/lever by `firm`; `soft` folds and never gets there."""
    line = box(4.0, 2.0, turn_limit=0.25)  # sink 45 mm
    firm = restoring_curve(line, load_of(line), "starboard", "firm")
    assert firm.limit == "loop straight"
    at = lean(line, load_of(line), [0.0, firm.limit_angle], contact_of(line, "firm"))
    assert at.least_gap == pytest.approx(-0.25 * 0.18, rel=1e-9)
    assert restoring_curve(line, load_of(line), "starboard", "soft").limit == "end of the angles"
    likely = restoring_curve(line, load_of(line), "starboard", "likely")
    assert likely.limit_angle > firm.limit_angle


def test_sinks_beyond_the_linear_range_are_flagged() -> None:
    """0.3 d = 54 mm; soft: s 44.1 mm at 2 deg, 77.5 at 3 (closed form), so near 2.3 deg."""
    line = box(4.0, 2.0)
    curve = restoring_curve(line, load_of(line), "starboard", "soft")
    assert math.degrees(curve.linear_angle) == pytest.approx(2.3, abs=0.11)
    deep = box(4.0, 2.0, depth=0.5, stiffness=0.1)
    assert restoring_curve(deep, load_of(deep), "starboard", "soft", angles=[0.0, 0.03]).linear_angle == math.inf


def test_a_diaphragm_makes_it_stiffer_but_not_when_segments_fold() -> None:
    line = box(4.0, 2.0)
    held = replace(line, stiffness=frozen_array(2.0 * line.stiffness))
    for bound, least in (("firm", 1.5), ("likely", 1.1), ("soft", 1.0)):
        plain, stiff = (restoring_curve(x, load_of(x), "port", bound).contact_slope for x in (line, held))  # type: ignore[arg-type]
        assert stiff >= least * plain
    assert stiff == plain


def test_a_higher_hover_makes_a_wider_dead_band() -> None:
    line = box(4.0, 2.0)
    twice = HoverLoad(MASS, level_flow(line, 2 * GAP), DENSITY)
    assert dead_band(line, twice, [0, 1]) == pytest.approx(2 * dead_band(line, load_of(line), [0, 1]), rel=1e-9)
