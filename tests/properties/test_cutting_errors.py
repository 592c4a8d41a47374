"""Cutting errors: against first-order closed forms, by sign, linearity and symmetry, with and without a diaphragm."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.cutting_errors import STILL, cutting_errors, plain_errors, ranked
from skirtloft.design.read import load_design
from skirtloft.maths.frozen import Floats
from skirtloft.physics.force_line import force_line
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.pipeline import Skirt, build
from skirtloft.shape.chosen import chosen_stations
from tests.designs import EXAMPLES, NAMES, TAUT, skirt_of

SMALL = 1e-4  # of the usual slips: half a micrometre of loop


def light(name: str) -> Skirt:
    """An example without the weight of its cloth, without its pieces."""
    return build(load_design(EXAMPLES / f"{name}.toml", (("skirt.weight", "false"),)), cut=False)


def chosen(skirt: Skirt) -> list[int]:
    return chosen_stations(skirt.plan.stations)


def rates(skirt: Skirt) -> tuple[Floats, Floats]:
    """Without weight, p c1 and K: what the loop's bulge does to the moment about I, and the stiffness."""
    statics, shape = skirt.statics, skirt.statics.shape
    joint, edge = shape.joint - shape.inner, statics.hull_edge - shape.inner
    across = (joint - edge)[:, 0] * -joint[:, 1] + (joint - edge)[:, 1] * joint[:, 0]
    return statics.pressure * across / statics.chord, np.asarray(statics.stiffness)


@pytest.mark.parametrize("name", NAMES)
def test_a_long_loop_turns_the_segment_as_the_closed_form_says(name: str) -> None:
    """At a fixed chord ds/dL = 1/(2 (sin(b/2) - (b/2) cos(b/2))), and the moment about I has the term p s c1."""
    skirt = light(name)
    push, stiffness = rates(skirt)
    half = skirt.statics.angle / 2.0
    wanted = push / (2.0 * (np.sin(half) - half * np.cos(half))) / stiffness
    loop = cutting_errors(skirt, SMALL)[0]
    assert loop.turn / loop.slip.size == pytest.approx(wanted[chosen(skirt)], rel=2e-4)


@pytest.mark.parametrize("name", NAMES)
def test_a_short_tip_turns_the_segment_as_the_closed_form_says(name: str) -> None:
    """The pressure turns the tip up by p/2 <|G-I|^2> about I: what that gains by the slip, over the stiffness."""
    skirt = light(name)
    shape, tip = skirt.statics.shape, cutting_errors(skirt, SMALL)[1]
    shorter = segment_shape(
        shape.depth - tip.slip.size * np.sin(shape.face_angle), shape.face_angle, shape.pitch,
        inboard=shape.inboard, drop=shape.drop, radius=shape.radius,
    )  # fmt: skip
    moment = skirt.statics.pressure / 2.0 * (shorter.tip_mean_square - shape.tip_mean_square)
    wanted = (moment / skirt.statics.stiffness)[chosen(skirt)]
    assert tip.turn == pytest.approx(wanted, rel=1e-3)
    assert (np.abs(wanted) > 1e-9).all()


@pytest.mark.parametrize("name", NAMES)
def test_the_gap_follows_turn_and_slip(name: str) -> None:
    """To first order the mean tip edge rises by turn times its distance outboard of I, and by the slip itself."""
    skirt = skirt_of(name)
    shape, at = skirt.statics.shape, chosen(skirt)
    lever = (shape.tip[:, 0] + shape.tip_edge.out - shape.inner[:, 0])[at]
    itself = {"tip_short": np.sin(shape.face_angle[at]), "inner_low": -1.0}
    for error in cutting_errors(skirt, SMALL):
        wanted = error.turn * lever + error.slip.size * itself.get(error.slip.name, 0.0)
        assert error.gap_change == pytest.approx(wanted, abs=2e-4 * error.slip.size)


@pytest.mark.parametrize("name", NAMES)
def test_no_slip_changes_nothing_and_the_margins_are_those_of_the_sections(name: str) -> None:
    skirt = skirt_of(name)
    margins, at = force_line(skirt.statics), chosen(skirt)
    for error in cutting_errors(skirt, 0.0):
        for change in (error.turn, error.joint_rise, error.radius_change, error.gap_change):
            assert change == pytest.approx(0.0, abs=1e-9)
        assert error.force_margin == pytest.approx(margins.margin[at], abs=1e-9)
        assert error.slack_margin == pytest.approx(margins.slack_margin[at], abs=1e-7)


@pytest.mark.parametrize("name", NAMES)
def test_small_slips_are_linear_and_opposite_ones_are_opposite(name: str) -> None:
    skirt = skirt_of(name)
    small, twice, back = (cutting_errors(skirt, scale) for scale in (0.02, 0.04, -0.02))
    for one, two, other in zip(small, twice, back, strict=True):
        room = 0.01 * abs(one.slip.size)
        assert two.gap_change == pytest.approx(2.0 * one.gap_change, rel=0.02, abs=room)
        assert other.gap_change == pytest.approx(-one.gap_change, rel=0.02, abs=room)


@pytest.mark.parametrize("name", NAMES)
def test_signs_that_a_builder_knows(name: str) -> None:
    loop, tip, holes, _, low = cutting_errors(skirt_of(name))
    assert (loop.joint_rise < 0.0).all()  # more cloth: the joint comes down
    assert (loop.gap_change < 0.0).all()
    assert (tip.gap_change > 0.0).all()  # cut off is off
    assert (low.gap_change < 0.0).all()
    assert (np.abs(holes.joint_rise) < np.abs(loop.joint_rise)).all()  # 2 mm against 5
    assert holes.joint_rise == pytest.approx(0.4 * loop.joint_rise, rel=0.05)


def test_a_taut_diaphragm_holds_the_tips_against_loop_and_tip() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    errors = {error.slip.name: error for error in cutting_errors(skirt)}
    assert errors["loop_long"].gap_change == pytest.approx(0.0, abs=1e-9)
    assert np.abs(errors["loop_long"].radius_change).min() > 1e-3
    sine = np.sin(skirt.statics.shape.face_angle[chosen(skirt)])
    assert errors["tip_short"].gap_change == pytest.approx(0.003 * sine, rel=1e-9)


def test_a_taut_diaphragm_keeps_its_length_when_the_inner_fixing_is_out() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    out = {error.slip.name: error for error in cutting_errors(skirt)}["inner_out"]
    result, shape, at = skirt.service.diaphragm, skirt.statics.shape, chosen(skirt)
    assert result is not None
    fixed = (result.place.attachment.point - result.place.points.joint)[at]
    arm, phi = (shape.joint - shape.inner)[at], out.turn
    turned = np.stack(
        [arm[:, 0] * np.cos(phi) - arm[:, 1] * np.sin(phi), arm[:, 0] * np.sin(phi) + arm[:, 1] * np.cos(phi)], axis=-1
    )
    joint = shape.inner[at] + [out.slip.size, 0.0] + turned - shape.joint[at]  # where J goes
    assert np.linalg.norm(joint - fixed, axis=-1) == pytest.approx(np.linalg.norm(fixed, axis=-1), abs=1e-12)


def test_the_worst_comes_first_and_says_what_is_allowed() -> None:
    found = ranked(cutting_errors(skirt_of("four-seat")), 0.010)
    assert [one.per_error for one in found] == sorted((one.per_error for one in found), reverse=True)
    assert all(one.allowed * one.per_error == pytest.approx(0.010) for one in found)
    taut = ranked(cutting_errors(skirt_of("four-seat", *TAUT)), 0.010)
    assert [one.allowed for one in taut if one.per_error < STILL] == [np.inf, np.inf]


def test_results_carry_every_slip_and_station() -> None:
    skirt = skirt_of("one-seat")
    rows = plain_errors(cutting_errors(skirt))
    assert [row["by_m"] for row in rows] == [0.005, 0.003, 0.002, 0.002, 0.002]
    assert {station["run"] for station in rows[0]["stations"]} >= {"bow", "side", "stern"}
