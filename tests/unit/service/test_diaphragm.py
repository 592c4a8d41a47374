"""The diaphragm in the flow: loops follow the margin, pull and slack load, vents and strips."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.air import contraction_coefficient
from skirtloft.pipeline import Skirt
from skirtloft.results import results
from tests.designs import TAUT, skirt_of

G = 9.80665


def diaphragm(skirt: Skirt):
    assert skirt.service.diaphragm is not None
    return skirt.service.diaphragm


def test_without_the_table_there_is_none() -> None:
    skirt = skirt_of("four-seat")
    assert skirt.service.diaphragm is None
    assert results(skirt, "")["diaphragm"] is None
    assert not [f for f in skirt.findings if f.rule.startswith("diaphragm")]


def test_a_usual_hull_has_no_place_and_its_loops_stay_in_balance() -> None:
    """The bottom reaches 30 mm below the joint, 0.048 to 0.050 of the distance: far from 0.3."""
    skirt, plain = skirt_of("four-seat", ("skirt.diaphragm.margin", "0.2")), skirt_of("four-seat")
    found = diaphragm(skirt)
    assert not found.place.is_possible
    assert 0.047 < found.place.attachment.steepness.min() < found.place.attachment.steepness.max() < 0.0505
    np.testing.assert_array_equal(skirt.sections.length, plain.sections.length)
    assert found.runs == ()
    assert found.mass == 0.0
    block = results(skirt, "")["diaphragm"]
    assert block["possible"] is False
    assert math.isnan(block["sections"][0]["tension_n_per_m"])
    (place,) = [f for f in skirt.findings if f.rule.startswith("diaphragm")]
    assert place.verdict == "fail"
    # 45/90 level, 560 mm inboard: 560 tan(asin .3) = 176 mm below the joint, 280 - 176 = 104 mm of clearance (derived)
    assert "176 mm below" in place.change
    assert "clearance of 104 mm or less" in place.change


def test_what_the_finding_says_would_do_does() -> None:
    """A hull with 103 mm of clearance that drops at the inner fixings has a place there; with 106 mm it has none."""
    bottom = (("hull.bottom.bow", "636 mm"), ("hull.bottom.side", "636 mm"), ("hull.bottom.stern", "636 mm"))
    for clearance, drops, possible in (("103 mm", True, True), ("106 mm", True, False), ("103 mm", False, False)):
        changes = (
            ("hull.clearance", clearance),
            ("skirt.diaphragm.margin", "0.2"),
            ("skirt.diaphragm.side.margin", "0"),
        )
        stern = (("skirt.diaphragm.stern.margin", "0"),)
        skirt = skirt_of("four-seat", *changes, *stern, *(bottom if drops else ()))
        place = diaphragm(skirt).place
        bow = place.asked == 0.2
        assert bool(place.attachment.is_found[bow][:2].all()) is possible


def test_loops_panels_and_pieces_follow_the_margin() -> None:
    with_it, without = skirt_of("four-seat", *TAUT), skirt_of("four-seat", *TAUT, ("skirt.diaphragm.margin", "0.0"))
    shorter = with_it.sections.length / without.sections.length - 1.0
    assert np.all(shorter < -0.015)
    # L falls by margin/|d margin/dL| to first order (derived): within a third of it for 0.2
    rate = diaphragm(with_it).sized.margin_per_length
    np.testing.assert_allclose(with_it.sections.length - without.sections.length, 0.2 / rate, rtol=0.35)
    area = [sum(p.area * p.quantity for p in s.pieces if p.cloth == "loop") for s in (with_it, without)]
    assert 0.85 < area[0] / area[1] < 0.98
    np.testing.assert_allclose(with_it.statics.length, with_it.sections.length)


def test_the_pull_balances_the_moments_about_the_inner_fixing() -> None:
    """p (J-I).(J-C) - p/2 (<|J-I|^2> - <|G-I|^2>) - g m_x = T |(J-I) x u|, from the points alone (derived)."""
    skirt = skirt_of("four-seat", *TAUT)
    statics, found = skirt.statics, diaphragm(skirt)
    shape = statics.shape
    arm = shape.joint - shape.inner
    lift = (arm * (shape.joint - statics.centre)).sum(axis=-1)
    pressure = 0.5 * (shape.joint_mean_square - shape.tip_mean_square)
    excess = statics.pressure * (lift - pressure) - G * statics.weight_moment
    to = found.place.attachment.point - found.place.points.joint
    unit = to / np.linalg.norm(to, axis=1)[:, None]
    lever = np.abs(arm[:, 0] * unit[:, 1] - arm[:, 1] * unit[:, 0])
    np.testing.assert_allclose(found.sized.tension, excess / lever, rtol=1e-9)
    np.testing.assert_allclose(found.sized.margin, 0.2, rtol=1e-9)
    assert found.sized.is_taut.all()
    side = skirt.plan.stations.runs.index("side")
    # p d Tm/(2 |u_z|) without bulge is 670 .28 .2/(2 .328) = 57 N/m; bulge takes a third of the lift (closed form)
    assert 35.0 < found.sized.tension[side] < 57.0


def test_a_taut_diaphragm_holds_the_segment_and_a_slack_one_lets_it_down() -> None:
    skirt = skirt_of("four-seat", *TAUT, ("craft.load[2].mass", "150 kg"))
    slack = diaphragm(skirt).slack_mass
    assert 150.0 < slack.min() < slack.max() < 465.0
    np.testing.assert_array_equal(skirt.rests.turn[:2], 0.0)
    assert np.all(skirt.rests.turn[2] < 0.0)


def test_a_run_may_do_without() -> None:
    skirt = skirt_of("four-seat", *TAUT, ("skirt.diaphragm.bow.margin", "0"))
    found, runs = diaphragm(skirt), skirt.plan.stations.runs
    bow = np.array([run == "bow" for run in runs])
    assert not found.is_there[bow].any()
    assert found.is_there[[run == "side" for run in runs]].all()
    assert "bow" not in [run.run for run in found.runs]
    first = [f for f in skirt.findings if f.rule == "diaphragm-taut"]
    assert first[0].verdict == "pass"


def test_vents_let_the_lift_air_through() -> None:
    """A = Cc h/(.6 sqrt(.02)) per metre of straight run (derived); the holes of a strip give it or more."""
    skirt = skirt_of("four-seat", *TAUT)
    found = diaphragm(skirt)
    side = next(run for run in found.runs if run.run == "side")
    wanted = contraction_coefficient(math.pi / 4.0) * 0.010 / (0.6 * math.sqrt(0.02))
    assert float(side.holes.wanted) == pytest.approx(wanted, rel=1e-9)
    given = math.pi / 4.0 * float(side.holes.diameter) ** 2 * int(side.holes.count) / side.pitch
    assert float(side.holes.area) == pytest.approx(given)
    assert given >= wanted
    assert found.vent_ratio >= 1.0
    assert side.strips == 46
    mass = sum(run.area - run.strips * run.pitch * float(run.holes.area) for run in found.runs) * 0.2
    assert found.mass == pytest.approx(mass, rel=1e-9)


def test_beside_the_lift_air_far_less_vent_is_wanted() -> None:
    """Some 6 to 20 times less (own estimate of the two ways)."""
    through, beside = (
        diaphragm(skirt_of("four-seat", *TAUT, ("skirt.diaphragm.feed", f))) for f in ("through", "beside")
    )
    ratio = through.wanted_vents / beside.wanted_vents
    assert np.all((ratio > 4.0) & (ratio < 40.0))


def test_vents_of_the_file_are_taken_as_they_are() -> None:
    skirt = skirt_of(
        "four-seat", *TAUT, ("skirt.diaphragm.vent_diameter", "40 mm"), ("skirt.diaphragm.vents_per_pitch", "5")
    )
    for run in diaphragm(skirt).runs:
        assert float(run.holes.area) == pytest.approx(5 * math.pi / 4.0 * 0.04**2 / run.pitch)
    (vents,) = [f for f in skirt.findings if f.rule == "diaphragm-vents"]
    assert vents.verdict == "warn"


def test_strips_have_the_size_between_joint_and_hull() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    for run in diaphragm(skirt).runs:
        assert 0.46 < run.span_low <= run.span_high < 0.51
        narrower = run.run.endswith("corner")
        assert (run.hull_pitch < 0.75 * run.pitch) is narrower
        assert run.strip_pull == pytest.approx(run.tension * run.pitch)
        assert math.isnan(run.corner_low) is not narrower
