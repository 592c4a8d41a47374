"""Segments turned about the inner fixing: restoring moment, taut limits, other loads, and the quarter rule."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.quarter_rule import quarter_rule
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics
from skirtloft.physics.turning import LARGEST_TURN, restoring_moment, settle, taut_limits, turning_stiffness
from tests.statics_cases import ALLOWANCES, random_sections

HALF_RIGHT = math.pi / 4.0
SIDE, BOW = 0, 1


def side_and_bow(*, weighed: bool = False, areal_mass: float = 0.3) -> SectionStatics:
    """A ballooning side and a nearly taut bow: depth .28, rise .22, pitch .15, 500 Pa, half-round faces."""
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56)
    if not weighed:
        return solve_statics(shape, [0.23, -0.075], 0.22, 500.0)
    none = dict.fromkeys(ALLOWANCES, 0.0)
    segment = segment_cloth(shape, areal_mass=areal_mass, **none)
    loop = LoopCloth(frozen_array(areal_mass), frozen_array(0.0))
    return solve_statics(shape, [0.23, -0.075], 0.22, 500.0, segment=segment, loop=loop)


def test_numbers_of_the_restoring_moment() -> None:
    """A'(.1) and A'(-.1) of d X .18, Z .20, flat: computed once by an independent prototype, four digits."""
    shape = segment_shape(0.18, HALF_RIGHT, 0.1, inboard=0.36, bulge=0.0)
    section = solve_statics(shape, 0.18, 0.20, 500.0)
    moment = restoring_moment(section, np.array([0.1, 0.0, -0.1])) / 500.0
    assert np.allclose(moment, [-0.008477, 0.0, 0.010037], rtol=0.0, atol=6e-7)


def test_moment_is_nothing_as_cut_and_falls_with_the_stiffness() -> None:
    """Second opinion on K everywhere on the curve: central differences of the moment."""
    s = random_sections(300, 7)
    assert np.abs(restoring_moment(s, 0.0) / s.pressure / s.shape.depth**2).max() < 1e-12
    assert np.allclose(turning_stiffness(s, 0.0), s.stiffness, rtol=1e-9)
    limits = taut_limits(s).turn
    for turn in (0.5 * limits[:, 0], 0.2 * limits[:, 1]):
        step = 1e-6
        slope = (restoring_moment(s, turn - step) - restoring_moment(s, turn + step)) / (2.0 * step)
        assert np.allclose(turning_stiffness(s, turn), slope, rtol=1e-6)


def test_curves_of_many_sections_at_once() -> None:
    """(k, 1) turns over n sections give (k, n), nan beyond the taut limits."""
    s = side_and_bow(weighed=True)
    turns = np.linspace(-0.6, 0.6, 25)[:, None]
    curve = restoring_moment(s, turns)
    assert curve.shape == (25, 2)
    limits = taut_limits(s).turn
    for i in (SIDE, BOW):
        inside = (turns[:, 0] > limits[i, 0]) & (turns[:, 0] < limits[i, 1])
        assert (np.isnan(curve[:, i]) != inside).all()
        assert (np.diff(curve[inside & (turns[:, 0] <= 0.0), i]) < 0.0).all()
    assert (np.diff(curve[-4:, SIDE]) > 0.0).all()  # a side pushed well up gives way more and more easily


def test_loop_is_straight_at_the_taut_limits() -> None:
    """There the joint is a loop's length from the hull edge; the restoring moment grows without bound on the way."""
    s = random_sections(200, 8)
    limits = taut_limits(s, share=0.9)
    for side in (0, 1):
        lever = s.shape.joint - s.shape.inner
        turn = limits.turn[:, side]
        turned = np.column_stack(
            [
                lever[:, 0] * np.cos(turn) - lever[:, 1] * np.sin(turn),
                lever[:, 1] * np.cos(turn) + lever[:, 0] * np.sin(turn),
            ]
        )
        there = np.isfinite(turn)
        away = np.linalg.norm(turned + s.shape.inner - s.hull_edge, axis=-1)
        assert np.allclose(away[there], s.length[there], rtol=1e-12)
        assert np.allclose(limits.held_moment[:, side], restoring_moment(s, 0.9 * turn), equal_nan=True)
    down = limits.turn[:, 0]
    assert (np.diff(restoring_moment(s, down * np.array([[0.9], [0.99], [0.999], [0.9999]])), axis=0) > 0.0).all()
    assert np.isfinite(down).sum() == 200


def test_bow_is_stopped_soon_and_side_late() -> None:
    """A nearly straight bow loop stops the segment within a few degrees; the load it then holds is the face's and more.

    Moment of the face about I by its own integral: p/2 (|J-I|^2 - <|G-I|^2>).
    """
    limits = taut_limits(side_and_bow())
    assert -3.0 < math.degrees(limits.turn[BOW, 0]) < -1.0
    assert math.degrees(limits.turn[SIDE, 0]) < -25.0
    face = -500.0 / 2.0 * (0.56**2 - (2.0 * 0.28**2 + 0.56 * math.pi * math.sqrt(2.0) / 8.0 * 0.15 + 0.15**2 / 3.0))
    assert np.allclose(limits.load_moment, face, rtol=1e-12)
    heavy = side_and_bow(weighed=True)
    heavier = taut_limits(heavy)
    m_x, m_z = heavy.segment.moment, heavy.segment.height_moment
    weight = 9.80665 * (m_x * np.cos(heavier.turn) - m_z * np.sin(heavier.turn))
    assert np.allclose(heavier.load_moment, face - weight, rtol=1e-12)


def test_loop_too_long_ever_to_go_straight() -> None:
    """A loop longer than |J-I| + |I-E| is never taut: nan limits, and a curve over all turns."""
    shape = segment_shape(0.15, HALF_RIGHT, 0.1, inboard=0.2, bulge=1.0, drop=0.0)
    section = solve_statics(shape, 0.25, 0.05, 500.0)
    reach = 0.2 + math.hypot(0.2 - 0.25, 0.05)
    assert section.length > reach
    assert np.isnan(taut_limits(section).turn).all()
    assert np.isfinite(restoring_moment(section, np.linspace(-1.0, 1.0, 9))).all()


def test_same_load_rests_as_cut() -> None:
    s = random_sections(300, 9)
    rest = settle(s)
    assert np.abs(rest.turn).max() < 1e-10
    assert np.abs(rest.joint_rise).max() < 1e-10
    for name in ("radius", "angle", "start_angle", "end_angle", "tension", "stiffness"):
        assert np.allclose(getattr(rest, name), getattr(s, name), rtol=1e-7, atol=1e-8), name
    assert np.allclose(rest.centre, s.centre, atol=1e-9)


def test_other_loads_keep_the_loop_and_balance() -> None:
    """More pressure against the same cloth lifts the tip; length kept, moments balanced, arc through both ends."""
    s = random_sections(400, 10)
    rest = settle(s, pressure=s.pressure * np.array([[0.7], [1.4]]))
    assert np.isfinite(rest.turn).all()
    assert (rest.turn[0] < 0.0).all()
    assert (rest.turn[1] > 0.0).all()
    assert (rest.stiffness > 0.0).all()
    left = restoring_moment(s, rest.turn, pressure=rest.pressure)
    assert np.abs(left / (rest.pressure * s.shape.depth**2)).max() < 1e-10
    assert np.allclose(rest.radius * rest.angle, s.length, rtol=1e-12)
    for end, direction in ((s.hull_edge, rest.start_angle), (rest.joint, rest.end_angle)):
        ray = np.stack([np.cos(direction), np.sin(direction)], axis=-1)
        assert np.abs(rest.centre + rest.radius[..., None] * ray - end).max() < 1e-10
    for before, after in ((s.shape.joint, rest.joint), (s.shape.tip, rest.tip)):
        arms = [np.linalg.norm(point - s.shape.inner, axis=-1) for point in (before, after)]
        assert np.allclose(*np.broadcast_arrays(*arms), rtol=1e-12)
    assert np.allclose(rest.joint_rise, rest.joint[..., 1] - s.shape.depth, atol=1e-15)
    assert np.allclose(rest.tip_rise, rest.tip[..., 1], atol=1e-15)


def test_without_weight_pressure_moves_nothing() -> None:
    s = random_sections(100, 11, weighed=False)
    assert np.abs(settle(s, pressure=2.0 * s.pressure).turn).max() < 1e-10


def test_tip_line_moves_with_the_segment() -> None:
    """Mean of the tip edge to second order: up by lever times turn, out by height times turn."""
    s = side_and_bow(weighed=True)
    rest = settle(s, pressure=490.0)
    lever = s.shape.tip[0] + s.shape.tip_edge.out - s.shape.inner[0]
    assert np.allclose(rest.tip_line_rise, lever * rest.turn, rtol=0.02)
    assert np.allclose(rest.tip_line_shift, 0.28 * rest.turn, rtol=0.02)


def test_longer_loop_lowers_the_joint() -> None:
    """dz_J/dL: -0.56 on the side, -0.81 at the bow, by inflation in a membrane model (own 3D computing)."""
    s = side_and_bow()
    slope = settle(s, length=s.length + 1e-5).joint_rise / 1e-5
    assert slope[SIDE] == pytest.approx(-0.56, abs=0.006)
    assert slope[BOW] == pytest.approx(-0.81, abs=0.006)


def test_cloth_lowers_a_side_joint() -> None:
    """300 g/m2 lowered a side joint by 12 mm in the same model; a plane section, free of its corners, by about 17 mm.

    A bow hardly moves.
    """
    bare = side_and_bow()
    drop = settle(side_and_bow(weighed=True), length=bare.length).joint_rise
    assert -0.020 < drop[SIDE] < -0.012
    assert -0.002 < drop[BOW] < 0.0


def test_too_short_a_loop_starts_from_its_limit() -> None:
    """A loop that cannot reach the joint as cut holds the segment up."""
    s = side_and_bow()
    rest = settle(s, length=0.97 * s.chord)
    assert (rest.turn > taut_limits(s).turn[:, 0]).all()
    assert (rest.joint_rise > 0.0).all()
    assert np.abs(restoring_of(s, rest.length, rest.turn) / (500.0 * 0.28**2)).max() < 1e-9


def restoring_of(s: SectionStatics, length: np.ndarray, turn: np.ndarray) -> np.ndarray:
    """A' of sections with another loop, by central differences of the enclosed area."""

    def area(phi: np.ndarray) -> np.ndarray:
        from scipy.optimize import brentq

        jx, jz = 0.56 * np.cos(phi), 0.56 * np.sin(phi)
        ex, ez = 0.56 + s.hull_edge[:, 0], s.hull_edge[:, 1] - 0.28
        chord = np.hypot(jx - ex, jz - ez)
        half = np.array([brentq(lambda h, q=q: math.sin(h) / h - q, 1e-9, 3.1) for q in chord / length])
        sector = (length / (2.0 * half)) ** 2 * (half - np.sin(2.0 * half) / 2.0)
        return (jx * ez - jz * ex) / 2.0 + sector + phi * s.shape.tip_mean_square / 2.0

    return (area(turn + 1e-5) - area(turn - 1e-5)) / 2e-5


def test_nothing_restores_within_the_range() -> None:
    """Hardly any pressure and three times the loop: the side falls beyond the largest turn, nan; the bow hangs on."""
    s = side_and_bow(weighed=True)
    rest = settle(s, length=3.0 * s.length, pressure=5.0)
    for value in (rest.turn, rest.joint_rise, rest.tension, rest.stiffness):
        assert np.isnan(value).tolist() == [True, False]
    assert -LARGEST_TURN < rest.turn[BOW] < -0.5


def test_quarter_rule_stands_too_high() -> None:
    """Cut by the quarter rule a ballooning side is 139 mm short and rises; a bow hardly does.

    Lengths .43976 and .2448: the rule's own arc. In a membrane model such sides rose 60 to 76 mm at the joint and 48 to
    55 mm at the tips, bows 2 mm either way (own 3D computing); a plane section gives 85, 45 and 7 mm.
    """
    rule = quarter_rule(side_and_bow())
    arc = [2.0 * math.atan2(c / 2.0, -s) * math.hypot(c / 2.0, s) for c, s in (_rule_arc(0.23), _rule_arc(-0.075))]
    assert np.allclose(rule.length, arc, rtol=1e-12)
    assert rule.length[SIDE] == pytest.approx(0.43976, abs=6e-6)
    assert rule.length_difference[SIDE] == pytest.approx(0.43976 - 0.57914, abs=2e-5)
    assert 0.060 < rule.joint_rise[SIDE] < 0.090
    assert 0.040 < rule.tip_rise[SIDE] < 0.055
    assert 0.0 < rule.joint_rise[BOW] < 0.010
    assert np.allclose(rule.joint_rise, 0.56 * np.sin(rule.turn), rtol=1e-12)
    assert np.allclose(rule.tip_rise, 0.28 * (np.sin(rule.turn) - np.cos(rule.turn) + 1.0), rtol=1e-12)


def _rule_arc(offset: float) -> tuple[float, float]:
    """Chord and bulge of the arc whose centre lies d/2 inboard of the joint."""
    chord = math.hypot(offset, 0.22)
    return chord, (offset / 2.0 - 0.14) * chord / 0.22


def test_quarter_rule_is_right_for_a_flat_face_without_weight() -> None:
    s = random_sections(50, 12, weighed=False)
    shape = segment_shape(
        s.shape.depth, s.shape.face_angle, s.shape.pitch, inboard=s.shape.inboard, drop=s.shape.drop, bulge=0.0
    )
    flat = solve_statics(shape, -s.hull_edge[:, 0], s.hull_edge[:, 1] - s.shape.depth, s.pressure)
    rule = quarter_rule(flat)
    assert np.abs(rule.length_difference).max() < 1e-12
    assert np.abs(rule.joint_rise).max() < 1e-10
    assert np.abs(quarter_rule(s).length_difference).min() > 1e-4
