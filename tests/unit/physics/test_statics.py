"""The design case: loops that carry a segment as cut."""

from __future__ import annotations

import math
from dataclasses import fields

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.arc import chord_rates
from skirtloft.physics.loop_motion import loop_motion
from skirtloft.physics.section import solve_sections
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import area_rate, solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, SegmentCloth
from skirtloft.physics.types import SegmentWeight
from tests.statics_cases import ALLOWANCES, random_sections

HALF_RIGHT = math.pi / 4.0


def trade_section(
    depth: float, offset: float, rise: float, *, pitch: float = 0.15, bulge: float = 0.0
) -> SectionStatics:
    """A 45/90 level section without weight at 500 Pa."""
    shape = segment_shape(depth, HALF_RIGHT, pitch, inboard=2.0 * depth, bulge=bulge)
    return solve_statics(shape, offset, rise, 500.0)


@pytest.mark.parametrize(
    "depth, offset, rise, radius, angle, length, stiffness",
    [
        (0.18, 0.18, 0.20, 0.134536, 3.141593, 0.422658, 0.092236),
        (0.20, -0.05, 0.30, 0.197950, 1.752116, 0.346831, 0.563021),
        (0.15, 0.20, 0.20, 0.145774, 3.631550, 0.529385, 0.056106),
    ],
)
def test_numbers_of_the_flat_section(
    depth: float, offset: float, rise: float, radius: float, angle: float, length: float, stiffness: float
) -> None:
    """R, b, L and K/p without weight: computed once by an independent prototype, six digits."""
    section = trade_section(depth, offset, rise)
    found = [section.radius, section.angle, section.length, section.stiffness / 500.0]
    assert np.allclose(found, [radius, angle, length, stiffness], rtol=0.0, atol=6e-7)


def test_chord_and_bulge_of_the_flat_section() -> None:
    """c .26907 (first) and s .035355 (third): computed once by an independent prototype."""
    assert trade_section(0.18, 0.18, 0.20).chord == pytest.approx(0.26907, abs=5e-6)
    assert trade_section(0.15, 0.20, 0.20).bulge == pytest.approx(0.035355, abs=6e-7)


@pytest.mark.parametrize("offset, length, stiffness", [(0.23, 0.5791, 0.1431), (-0.075, 0.2529, 1.6433)])
def test_numbers_of_the_half_round_face(offset: float, length: float, stiffness: float) -> None:
    """Side and bow at depth .28, rise .22, pitch .15: computed once by an independent prototype, four digits."""
    section = trade_section(0.28, offset, 0.22, bulge=1.0)
    assert section.length == pytest.approx(length, abs=6e-5)
    assert section.stiffness / 500.0 == pytest.approx(stiffness, abs=6e-5)


@pytest.mark.parametrize(
    "depth, offset, rise, share", [(0.18, 0.18, 0.20, 0.7323), (0.2, -0.05, 0.3, 0.3970), (0.15, 0.2, 0.2, 0.7370)]
)
def test_share_of_the_loop_that_hangs_at_the_joint(depth: float, offset: float, rise: float, share: float) -> None:
    """zbar'/(2 d), flat face: computed once by an independent prototype, four digits."""
    shape = segment_shape(depth, HALF_RIGHT, 0.15, inboard=2.0 * depth, bulge=0.0)
    light = solve_statics(shape, offset, rise, 500.0, loop=LoopCloth(frozen_array(1e-9), frozen_array(0.0)))
    assert light.weight_moment / (1e-9 * light.length * 2.0 * depth) == pytest.approx(share, abs=6e-5)


def test_share_of_the_half_round_side_loop() -> None:
    """zbar'/(2 d) of (.28, .23, .22): .7429, computed once by an independent prototype for the flat face's loop."""
    section = trade_section(0.28, 0.23, 0.22)
    motion = loop_motion(
        *(np.asarray(x) for x in (0.56, 0.0, 0.33, 0.22)), section.bulge, section.angle, section.length
    )
    assert motion.centroid_rise / 0.56 == pytest.approx(0.7429, abs=6e-5)


def test_stiffness_of_the_arc_changes_sign() -> None:
    """kappa < 0 only below b = 5.59677 rad, and kappa tends to -12/b^3 for flat arcs; derived."""
    below, above = (chord_rates(np.array(5.59677 + step), np.array(1.0)).centre for step in (-1e-4, 1e-4))
    assert below < 0.0 < above
    assert chord_rates(np.array(0.01), np.array(1.0)).centre * 0.01**3 == pytest.approx(-12.0, rel=1e-4)


def test_same_as_the_fixed_shape_module() -> None:
    """At 45/90 with a level fixing the sections are those of the module for that shape alone, weight in."""
    rng = np.random.default_rng(4)
    offset, rise = rng.uniform(-0.1, 0.3, 50), rng.uniform(0.12, 0.35, 50)
    weight = SegmentWeight(0.8, 0.28, -0.09)
    theirs = solve_sections(
        offset,
        rise,
        depth=0.28,
        pitch=0.15,
        pressure=450.0,
        segment=weight,
        loop_areal_mass=0.3,
        loop_joint_allowance=0.025,
    )
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56)
    cloth = SegmentCloth(*(frozen_array(value) for value in (weight.mass, weight.moment, weight.height_moment)))
    mine = solve_statics(
        shape, offset, rise, 450.0, segment=cloth, loop=LoopCloth(frozen_array(0.3), frozen_array(0.025))
    )
    for name in ("length", "radius", "angle", "start_angle", "end_angle", "weight_moment", "tension", "stiffness"):
        assert np.allclose(getattr(mine, name), getattr(theirs, name), rtol=1e-11, atol=1e-12), name
    assert np.allclose(mine.centre[:, 0], -theirs.centre_inset, atol=1e-13)
    assert np.allclose(mine.centre[:, 1], theirs.centre_z, atol=1e-13)


def test_arc_runs_from_hull_edge_to_joint() -> None:
    """Both ends lie on the circle in the directions given, and the length is R b."""
    s = random_sections(200, 5)
    for end, direction in ((s.hull_edge, s.start_angle), (s.shape.joint, s.end_angle)):
        reached = s.centre + s.radius[:, None] * np.column_stack([np.cos(direction), np.sin(direction)])
        assert np.abs(reached - end).max() < 1e-13
    assert np.allclose(s.start_angle - s.end_angle, s.angle, rtol=1e-13)
    assert np.allclose(s.length, s.radius * s.angle, rtol=1e-14)
    assert np.allclose(s.tension, s.pressure * s.radius, rtol=1e-14)


def test_moments_balance() -> None:
    """p (J-I).(J-C) = p/2 (<|J-I|^2> - <|G-I|^2>) + g m_x, at 1,000 random sections; derived."""
    s = random_sections(1000, 6)
    joint = s.shape.joint - s.shape.inner
    left = s.pressure * (joint * (s.shape.joint - s.centre)).sum(axis=-1)
    right = s.pressure / 2.0 * (s.shape.joint_mean_square - s.shape.tip_mean_square) + 9.80665 * s.weight_moment
    assert np.abs(left / right - 1.0).max() < 1e-11
    assert np.allclose(s.pressure * area_rate(s), 9.80665 * s.weight_moment, rtol=1e-9)


@pytest.mark.parametrize(
    "margin, radius, length, tension",
    [
        (0.05, 0.134672, 0.41097, 4.6695),
        (0.10, 0.135080, 0.40012, 9.3389),
        (0.15, 0.135757, 0.39006, 14.0084),
        (0.25, 0.137900, 0.37219, 23.3473),
        (0.50, 0.147531, 0.33871, 46.6945),
    ],
)
def test_diaphragm_moment(margin: float, radius: float, length: float, tension: float) -> None:
    """A diaphragm at D = J + (-.20, -.10) under tension: computed once by an independent prototype."""
    pull = tension * np.array([-2.0, -1.0]) / math.sqrt(5.0)
    shape = segment_shape(0.18, HALF_RIGHT, 0.1, inboard=0.36, bulge=0.0)
    section = solve_statics(shape, 0.18, 0.20, 464.054, diaphragm_moment=0.36 * pull[1])
    assert section.radius == pytest.approx(radius, abs=2e-6)
    assert section.length == pytest.approx(length, abs=1e-5)
    assert -section.centre[0] == pytest.approx(0.09 * (1.0 + margin), rel=1e-5)


def test_singular_where_the_upper_edge_points_at_the_hull_edge() -> None:
    """J - I parallel to E - J: no loop there, but all is well to either side."""
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.5, drop=0.1)
    along = np.array([0.5, 0.1]) * 0.3 / math.hypot(0.5, 0.1)
    rise = along[1] * np.array([1.0, 0.5, 1.5])
    section = solve_statics(shape, -along[0], rise, 500.0)
    assert np.isnan(section.length).tolist() == [True, False, False]
    assert abs(section.lean[0]) < 1e-12
    assert np.isfinite(section.lean).all()


def test_weight_on_or_off() -> None:
    """Cloth pulls the tip down, so the loop's centre must lie further inboard by m_x g/(2 p d); derived."""
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56)
    cloth = segment_cloth(shape, areal_mass=0.4, **ALLOWANCES)
    bare, heavy = (solve_statics(shape, 0.23, 0.22, 500.0, segment=weight) for weight in (None, cloth))
    assert heavy.weight_moment == pytest.approx(cloth.moment, rel=1e-14)
    assert bare.centre[0] - heavy.centre[0] == pytest.approx(9.80665 * cloth.moment / (2.0 * 500.0 * 0.28), rel=1e-12)


def test_no_equilibrium_under_too_much_cloth() -> None:
    """2 Pa can hold up a light loop but not a heavy one: nan, and no others are touched."""
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56)
    loop = LoopCloth(frozen_array([0.3, 0.001]), frozen_array([0.025, 0.0]))
    cloth = segment_cloth(shape, areal_mass=0.3, **ALLOWANCES)
    section = solve_statics(shape, [0.2, 0.2], 0.1, [2.0, 500.0], segment=cloth, loop=loop)
    assert np.isnan(section.length).tolist() == [True, False]


def test_stations_and_designs_at_once() -> None:
    """Designs down, stations across: each as if alone."""
    depth, offset = np.array([[0.2], [0.3]]), np.array([-0.05, 0.1, 0.2])
    shape = segment_shape(depth, HALF_RIGHT, 0.14, inboard=2.0 * depth)
    loop = LoopCloth(frozen_array(0.3), frozen_array(0.02))
    batch = solve_statics(shape, offset, 0.25, 500.0, loop=loop)
    assert batch.length.shape == (2, 3)
    assert batch.centre.shape == (2, 3, 2)
    one = solve_statics(segment_shape(0.3, HALF_RIGHT, 0.14, inboard=0.6), 0.1, 0.25, 500.0, loop=loop)
    for field in ("length", "stiffness", "angle", "weight_moment"):
        assert getattr(batch, field)[1, 1] == pytest.approx(getattr(one, field), rel=1e-13), field
    for field in fields(batch):
        value = getattr(batch, field.name)
        assert not isinstance(value, np.ndarray) or not value.flags.writeable
