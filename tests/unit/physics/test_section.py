"""Sections against printed numbers (prototype, 2026; closed forms derived), the solver against a scalar root finder."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.physics.balance import balanced_inset, shape_stiffness, tip_mean_square
from skirtloft.physics.cloth import loop_moment, segment_weight
from skirtloft.physics.section import impossible, loop_arc, solve_sections
from skirtloft.physics.types import SegmentWeight

NONE = SegmentWeight(0.0, 0.0, 0.0)
GRAVITY = 9.80665
SEGMENT = segment_weight(depth=0.28, pitch=0.15, areal_mass=0.4, seam=0.025, hem=0.015, tip_trim=0.015, joint=0.025)
CLOTHED = {
    "depth": 0.28,
    "pitch": 0.15,
    "pressure": 500.0,
    "segment": SEGMENT,
    "loop_areal_mass": 0.3,
    "loop_joint_allowance": 0.025,
}


@pytest.mark.parametrize(
    "depth, offset, rise, bulge, radius, angle, length, stiffness",
    [
        (0.18, 0.18, 0.20, 0.0, 0.134536, 3.141593, 0.422658, 0.092236),
        (0.20, -0.05, 0.30, None, 0.197950, 1.752116, 0.346831, 0.563021),
        (0.15, 0.20, 0.20, 0.035355, 0.145774, 3.631550, 0.529385, 0.056106),
    ],
)
def test_flat_face_and_no_weight(depth, offset, rise, bulge, radius, angle, length, stiffness) -> None:
    """a = d/2: loops below, at and above half a circle."""
    arc = loop_arc(offset, rise, depth / 2.0)
    if bulge is not None:
        assert float(arc.bulge) == pytest.approx(bulge, abs=5e-7)
    assert float(arc.radius) == pytest.approx(radius, abs=5e-7)
    assert float(arc.angle) == pytest.approx(angle, abs=5e-7)
    assert float(arc.length) == pytest.approx(length, abs=5e-7)
    value = float(shape_stiffness(arc, np.array(offset), np.array(rise), depth))
    assert value == pytest.approx(stiffness, abs=5e-7)
    if depth == 0.18:
        assert float(arc.chord) == pytest.approx(0.26907, abs=5e-6)
        assert value / depth**2 == pytest.approx(2.84680, abs=5e-6)


def test_arc_runs_from_hull_edge_to_joint_on_its_circle() -> None:
    offset, rise, inset = np.array([0.23, -0.075, 0.35, 0.1]), np.array([0.22, 0.22, 0.12, 0.3]), 0.09
    arc = loop_arc(offset, rise, inset)
    centre = np.stack([offset - inset, arc.centre_z])
    start = centre + arc.radius * np.stack([np.cos(arc.start_angle), np.sin(arc.start_angle)])
    end = centre + arc.radius * np.stack([np.cos(arc.end_angle), np.sin(arc.end_angle)])
    assert start == pytest.approx(np.stack([0.0 * rise, rise]), abs=1e-15)
    assert end == pytest.approx(np.stack([offset, 0.0 * rise]), abs=1e-15)
    assert arc.start_angle - arc.end_angle == pytest.approx(arc.angle, rel=1e-15)
    assert arc.radius * arc.angle == pytest.approx(arc.length, rel=1e-15)
    assert (arc.angle > np.pi).tolist() == [True, False, True, False]
    middle = arc.start_angle - arc.angle / 2.0  # the arc lies outboard of its chord: on the left of E to J
    bow = centre + arc.radius * np.stack([np.cos(middle), np.sin(middle)]) - np.stack([offset / 2.0, rise / 2.0])
    assert (bow[0] * rise + bow[1] * offset > 0.0).all()


def test_end_angle_counts_on_where_the_centre_lies_outboard_of_and_below_the_joint() -> None:
    """Counted on from straight down (-pi/2) to the third quarter, not begun again from above (closed form)."""
    near = loop_arc([-0.05, -0.05], [0.05, 0.05], [-0.1, -0.12])
    assert float(near.centre_z[0]) < 0.0
    assert (-1.5 * np.pi < near.end_angle).all()
    assert (near.end_angle < -np.pi).all()
    assert near.start_angle - near.end_angle == pytest.approx(near.angle, rel=1e-15)


def test_nothing_where_the_hull_edge_is_not_above_the_joint() -> None:
    arc = loop_arc([0.1, 0.1, 0.1], [0.0, -0.2, 0.2], 0.1)
    for field in ("chord", "centre_z", "bulge", "radius", "angle", "start_angle", "end_angle", "length"):
        assert np.isnan(getattr(arc, field)).tolist() == [True, True, False], field


@pytest.mark.parametrize(
    "pitch, mean_square, inset", [(0.10, 0.1912, 0.1093), (0.15, 0.2110, 0.0917), (0.20, 0.2323, 0.0726)]
)
def test_bulge_moves_the_loop_centre_outboard(pitch: float, mean_square: float, inset: float) -> None:
    """d .28 (prototype, 2026)."""
    square = tip_mean_square(0.28, pitch)
    assert square == pytest.approx(mean_square, abs=6e-5)  # 0.210950 is printed 0.2110
    assert float(balanced_inset(square, 0.0, 0.28, 500.0)) == pytest.approx(inset, abs=5e-5)
    short = 0.28 / 2.0 - np.pi * np.sqrt(2.0) / 16.0 * pitch - pitch**2 / (12.0 * 0.28)
    assert float(balanced_inset(square, 0.0, 0.28, 500.0)) == pytest.approx(short, rel=1e-14)


def test_mean_square_is_that_of_a_level_cut_half_round_tip() -> None:
    places = (np.arange(200_000) + 0.5) / 200_000 * 0.15 - 0.075
    out = 0.28 + np.sqrt(0.075**2 - places**2) * np.sqrt(2.0)
    assert tip_mean_square(0.28, 0.15) == pytest.approx(float((out**2 + 0.28**2).mean()), rel=1e-8)


@pytest.mark.parametrize("offset, length, stiffness", [(0.23, 0.5791, 0.1431), (-0.075, 0.2529, 1.6433)])
def test_side_and_bow_with_bulge(offset: float, length: float, stiffness: float) -> None:
    """d .28, w .15, h .22 (prototype, 2026)."""
    sections = solve_sections(
        [offset], [0.22], depth=0.28, pitch=0.15, pressure=500.0, segment=NONE, loop_areal_mass=0.0
    )
    assert sections.length[0] == pytest.approx(length, abs=5e-5)
    assert sections.stiffness[0] / 500.0 == pytest.approx(stiffness, abs=5e-5)
    assert sections.tension[0] == pytest.approx(500.0 * sections.radius[0], rel=1e-15)
    assert sections.quarter_rule_length[0] == pytest.approx(float(loop_arc(offset, 0.22, 0.14).length), rel=1e-15)


def test_quarter_rule_lengths() -> None:
    """L .43976 and .24480 with a = d/2 (prototype, 2026)."""
    sections = solve_sections([0.23, -0.075], [0.22, 0.22], **CLOTHED)
    assert sections.quarter_rule_length == pytest.approx([0.43976, 0.24480], abs=5e-6)


def test_weight_stands_in_the_balance() -> None:
    """p (J-I).(J-C) = p/2 (|J-I|^2 - <|G-I|^2>) + g m_x, to 1e-14 of the depth."""
    offset, rise = np.linspace(-0.1, 0.3, 9), np.linspace(0.3, 0.2, 9)
    sections = solve_sections(offset, rise, **CLOTHED)
    arc = loop_arc(offset, rise, sections.centre_inset)
    moment = SEGMENT.moment + loop_moment(arc, offset, rise, 0.28, 0.3, 0.025)
    assert sections.weight_moment == pytest.approx(moment, rel=1e-14)
    left = 500.0 * 2.0 * 0.28 * sections.centre_inset
    right = 250.0 * (4.0 * 0.28**2 - sections.tip_mean_square) + GRAVITY * sections.weight_moment
    assert left == pytest.approx(right, rel=1e-14)


def test_solver_finds_what_a_scalar_root_finder_finds() -> None:
    """300 sections over the sensible range, one by one with brentq."""
    rng = np.random.default_rng(7)
    for _ in range(3):
        depth, pressure, areal = rng.uniform(0.15, 0.45), rng.uniform(250.0, 1500.0), rng.uniform(0.15, 0.8)
        pitch = depth * rng.uniform(0.25, 0.7)
        segment = segment_weight(
            depth=depth, pitch=pitch, areal_mass=areal, seam=0.02, hem=0.015, tip_trim=0.015, joint=0.02
        )
        offset, rise = depth * rng.uniform(-0.5, 1.3, 100), depth * rng.uniform(0.5, 2.0, 100)
        sections = solve_sections(
            offset,
            rise,
            depth=depth,
            pitch=pitch,
            pressure=pressure,
            segment=segment,
            loop_areal_mass=areal,
        )
        square = tip_mean_square(depth, pitch)
        for x, z, found in zip(offset, rise, sections.centre_inset, strict=True):

            def short(a: float, x=x, z=z, depth=depth, pressure=pressure, square=square, segment=segment, areal=areal):
                moment = segment.moment + loop_moment(loop_arc(x, z, a), x, z, depth, areal, 0.0)
                return float(balanced_inset(square, moment, depth, pressure)) - a

            low = float(balanced_inset(square, segment.moment, depth, pressure))
            assert found == pytest.approx(
                brentq(short, low - 0.5 * depth, low + 2.0 * depth, xtol=1e-15, rtol=1e-14), rel=1e-12
            )


def test_weight_lengthens_no_loop_and_lowers_none() -> None:
    """Weight asks the loop to pull more: its centre moves inboard, and on a side run the loop gets shorter."""
    without = solve_sections([0.23], [0.22], depth=0.28, pitch=0.15, pressure=500.0, segment=NONE, loop_areal_mass=0.0)
    clothed = solve_sections([0.23], [0.22], **CLOTHED)
    assert clothed.centre_inset[0] > without.centre_inset[0]
    assert clothed.length[0] < without.length[0] - 0.01


def test_any_shape_and_nan_where_impossible() -> None:
    offset, rise = np.array([[0.1, 0.2, 0.0], [0.2, -0.1, 0.1]]), np.array([[0.2, -0.1, 0.3], [0.2, 0.2, 0.0]])
    sections = solve_sections(offset, rise, **CLOTHED)
    assert sections.length.shape == (2, 3)
    assert impossible(sections).tolist() == [1, 5]
    for field in ("centre_inset", "centre_z", "radius", "angle", "tension", "stiffness", "quarter_rule_length"):
        assert np.isnan(getattr(sections, field).ravel()).tolist() == [False, True, False, False, False, True], field
    alone = solve_sections([0.2], [0.2], **CLOTHED)
    assert sections.length[1, 0] == pytest.approx(alone.length[0], rel=1e-14)


def test_nan_where_no_loop_can_carry_the_cloth() -> None:
    """2 Pa under 0.3 kg/m2: the balance is missed by every centre inset from that without a loop up to 50 m."""
    sections = solve_sections([0.2, -0.1], [0.1, 0.1], **{**CLOTHED, "pressure": 2.0})
    assert impossible(sections).tolist() == [0]
    square = tip_mean_square(0.28, 0.15)
    start = float(balanced_inset(square, SEGMENT.moment, 0.28, 2.0))
    inset = np.linspace(start, 50.0, 20_000)
    x, z = np.full_like(inset, 0.2), np.full_like(inset, 0.1)
    moment = SEGMENT.moment + loop_moment(loop_arc(x, z, inset), x, z, 0.28, 0.3, 0.025)
    assert (balanced_inset(square, moment, 0.28, 2.0) > inset).all()


def test_solver_settles_far_outside_the_sensible_range() -> None:
    """Slack, taut, heavy and nearly level: every hull edge above the joint has its balance."""
    rng = np.random.default_rng(3)
    segment = segment_weight(depth=0.3, pitch=0.2, areal_mass=1.2, seam=0.02, hem=0.02, tip_trim=0.02, joint=0.02)
    offset, rise = 0.3 * rng.uniform(-1.5, 2.0, 2000), 0.3 * rng.uniform(0.02, 1.0, 2000)
    sections = solve_sections(offset, rise, depth=0.3, pitch=0.2, pressure=80.0, segment=segment, loop_areal_mass=1.2)
    assert impossible(sections).size == 0
    moment = segment.moment + loop_moment(loop_arc(offset, rise, sections.centre_inset), offset, rise, 0.3, 1.2, 0.0)
    balance = balanced_inset(sections.tip_mean_square, moment, 0.3, 80.0)
    assert sections.centre_inset == pytest.approx(balance, abs=1e-12)


def test_results_are_read_only() -> None:
    sections = solve_sections([0.2], [0.2], **CLOTHED)
    for field in ("offset", "centre_inset", "radius", "length", "stiffness"):
        with pytest.raises(ValueError):
            getattr(sections, field)[0] = 1.0
