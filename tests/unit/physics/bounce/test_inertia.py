"""What is swung when a segment turns, against sampled cloth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.physics.bounce.inertia import (
    foot_of,
    loop_inertia,
    moved_air_inertia,
    segment_inertia,
    tip_flow_inertia,
)
from skirtloft.physics.section import loop_arc
from skirtloft.physics.segment_shape import segment_shape
from tests.statics_cases import ALLOWANCES, random_given, shape_of

NONE = {"seam": 0.0, "hem": 0.0, "tip_trim": 0.0, "joint": 0.0}


def flat_face(d: float, w: float):
    return segment_shape(d, math.pi / 4, w, inboard=2.0 * d, drop=0.0, bulge=0.0)


def test_flat_face_and_webs_by_hand() -> None:
    """Face sqrt2 d mu at 8/3 d^2, webs 2 d^2/w mu at 4/3 d^2: closed form for the 45/90 segment with a flat face."""
    d, w, mu = 0.26, 0.39, 0.3
    by_hand = mu * (math.sqrt(2.0) * d * 8.0 / 3.0 * d**2 + 2.0 * d**2 / w * 4.0 / 3.0 * d**2)
    assert segment_inertia(flat_face(d, w), areal_mass=mu, **NONE) == pytest.approx(by_hand, rel=2e-3)


def test_allowances_by_hand() -> None:
    d, w, mu = 0.26, 0.39, 0.3
    shape = flat_face(d, w)
    bare = segment_inertia(shape, areal_mass=mu, **NONE)
    seam = segment_inertia(shape, areal_mass=mu, **{**NONE, "seam": 0.025}) - bare
    assert seam == pytest.approx(4 * mu * 0.025 * math.sqrt(2) * d * 8 / 3 * d**2 / w, rel=1e-9)
    joint = segment_inertia(shape, areal_mass=mu, strip_areal_mass=0.5, **{**NONE, "joint": 0.02}) - bare
    assert joint == pytest.approx((mu + 1.0) * 0.02 * 4 * d**2, rel=1e-9)
    hem = segment_inertia(shape, areal_mass=mu, **{**NONE, "hem": 0.015}) - bare
    rows = 2 * d * 4 * d**2 / 3 + math.sqrt(2) * d * 2 * d**2 / 3
    assert hem == pytest.approx(2 * mu * 0.015 * rows / w, rel=1e-9)


def test_many_at_once_and_more_than_a_point_at_the_centroid() -> None:
    given = random_given(50, 5)
    shape = shape_of(given)
    found = segment_inertia(shape, areal_mass=given["segment_mass"], **ALLOWANCES)
    assert found.shape == (50,)
    reach = shape.upper_edge**2
    assert (found > 0.0).all()
    assert (found < 6.0 * given["segment_mass"] * reach).all()


def arc_by_steps(edge: np.ndarray, joint: np.ndarray, length: float, places: np.ndarray) -> np.ndarray:
    """Points of the arc by its centre, found by root finding."""
    chord = float(np.hypot(*(joint - edge)))
    half = brentq(lambda h: math.sin(h) / h - chord / length, 1e-6, math.pi - 1e-9, xtol=1e-14)
    radius = length / (2.0 * half)
    along = (joint - edge) / chord
    left = np.array([-along[1], along[0]])
    centre = (edge + joint) / 2.0 - left * radius * math.cos(half)
    start = math.atan2(*(edge - centre)[::-1])
    turn = start - 2.0 * half * places
    return centre + radius * np.stack([np.cos(turn), np.sin(turn)], axis=-1)


@pytest.mark.parametrize("d, x, z", [(0.18, 0.18, 0.20), (0.2, -0.05, 0.3), (0.15, 0.2, 0.2)])
def test_loop_against_its_points(d: float, x: float, z: float) -> None:
    """4001 pieces of cloth, moved by turning J a little either way."""
    edge, joint, mu = np.array([2 * d - x, z]), np.array([2 * d, 0.0]), 0.3
    length = float(loop_arc(x, z, d / 2).length)
    places = (np.arange(4001) + 0.5) / 4001

    def at(turn: float) -> np.ndarray:
        moved = np.array([joint[0] * math.cos(turn), joint[0] * math.sin(turn)])
        return arc_by_steps(edge, moved, length, places)

    speed = (at(1e-4) - at(-1e-4)) / 2e-4
    by_points = mu * length * (speed**2).sum(axis=-1).mean()
    assert loop_inertia(edge, joint, length, mu) == pytest.approx(by_points, rel=1e-6)
    with_hem = loop_inertia(edge, joint, length, mu, allowance=0.025)
    assert with_hem - by_points == pytest.approx(mu * 0.025 * 4 * d**2, rel=1e-4)


def test_a_nearly_straight_loop_is_a_third_of_its_mass_at_the_joint_when_it_swings_about_its_edge() -> None:
    """J moving square to the chord, cloth turning about E: m c^2/3 at unit turning of the chord."""
    edge, joint = np.array([0.9, 0.0]), np.array([0.4, 0.0])
    inertia = float(loop_inertia(edge, joint, 0.5 * (1 + 1e-9), 0.3))
    # J moves with 0.4 m/rad upwards, square to a chord of 0.5 m
    assert inertia == pytest.approx(0.3 * 0.5 * 0.4**2 / 3.0, rel=1e-3)


def test_moved_air_of_the_square_tip() -> None:
    """rho [(9 pi/32) d^4 + (pi/12) c^2 (2 d)^2]: independent prototype."""
    d, c = 0.26, 0.382
    expected = 1.225 * (9 * math.pi / 32 * d**4 + math.pi / 12 * c**2 * 4 * d**2)
    assert moved_air_inertia(1.225, math.sqrt(2) * d, 0.0, c, 2 * d) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("face_angle, drop", [(45.0, 0.0), (55.0, 0.02), (40.0, 0.03)])
def test_tip_flow_by_integration(face_angle: float, drop: float) -> None:
    """Pressure (rho/theta) ln(b/r) on the face, its moment about I summed piece by piece."""
    t, d = math.radians(face_angle), 0.26
    joint, tip = np.array([2 * d, drop]), np.array([2 * d - d / math.tan(t), drop - d])
    b = float(np.hypot(*(joint - tip)))
    along = (joint - tip) / b
    r = b * (np.arange(200_000) + 0.5) / 200_000
    points = tip + r[:, None] * along
    outward = np.array([along[1], -along[0]])  # out of the segment: down and outboard
    lowered = 1.225 / (math.pi - t) * np.log(b / r)
    moment = -(lowered * (points[:, 0] * outward[1] - points[:, 1] * outward[0])).sum() * (r[1] - r[0])
    assert tip_flow_inertia(1.225, b, foot_of(tip, joint), t) == pytest.approx(moment, rel=1e-4)
