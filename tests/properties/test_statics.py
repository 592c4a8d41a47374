"""Section statics under change of scale, and what holds for every section; 10,000 at once."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.force_line import force_line, reactions
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SegmentCloth
from skirtloft.physics.turning import restoring_moment, settle, taut_limits
from tests.statics_cases import cloths_of, random_given, random_sections, shape_of

LENGTHS = ("depth", "drop", "inboard", "pitch", "radius", "offset", "rise")


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.floats(0.1, 10.0))
def test_twice_the_craft(seed: int, scale: float) -> None:
    """Lengths times k, weight to match: loops k times as long, K and moments k^2 times, forces and tension k times."""
    given_ = random_given(5, seed)
    shape = shape_of(given_)
    segment, loop = cloths_of(given_, shape)
    small = solve_statics(shape, given_["offset"], given_["rise"], given_["pressure"], segment=segment, loop=loop)
    larger = given_ | {key: scale * given_[key] for key in LENGTHS}
    heavier = SegmentCloth(
        frozen_array(segment.mass * scale),
        frozen_array(segment.moment * scale**2),
        frozen_array(segment.height_moment * scale**2),
    )
    big = solve_statics(
        shape_of(larger),
        larger["offset"],
        larger["rise"],
        larger["pressure"],
        segment=heavier,
        loop=LoopCloth(loop.areal_mass, frozen_array(loop.allowance * scale)),
    )
    assert np.allclose(big.length, scale * small.length, rtol=1e-9)
    assert np.allclose(big.stiffness, scale**2 * small.stiffness, rtol=1e-8)
    assert np.allclose(big.angle, small.angle, rtol=1e-9)
    assert np.allclose(reactions(big).inner, scale * reactions(small).inner, rtol=1e-8, atol=1e-8 * scale)
    assert np.allclose(force_line(big).margin_bulged, force_line(small).margin_bulged, rtol=1e-8)
    limits = [taut_limits(s) for s in (small, big)]
    assert np.allclose(limits[1].turn, limits[0].turn, rtol=1e-7, equal_nan=True)
    assert np.allclose(limits[1].load_moment, scale**2 * limits[0].load_moment, rtol=1e-8, equal_nan=True)
    rest = [settle(s, pressure=1.2 * s.pressure).turn for s in (small, big)]
    assert np.allclose(rest[1], rest[0], rtol=1e-6, atol=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.floats(0.5, 2.0))
def test_weightless_cloth_knows_no_pressure(seed: int, ratio: float) -> None:
    """Without weight the lengths do not depend on the pressure; forces go with it."""
    s = random_sections(5, seed, weighed=False)
    other = solve_statics(s.shape, -s.hull_edge[:, 0], s.hull_edge[:, 1] - s.shape.depth, ratio * s.pressure)
    assert np.allclose(other.length, s.length, rtol=1e-13)
    assert np.allclose(other.stiffness, ratio * s.stiffness, rtol=1e-12)
    assert np.allclose(reactions(other).hull_edge, ratio * reactions(s).hull_edge, rtol=1e-11, atol=1e-9)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10**6), st.floats(0.75, 1.5))
def test_rest_is_where_the_moment_is_nothing(seed: int, ratio: float) -> None:
    """Other loads: no moment left, and the moment restores to either side of it."""
    s = random_sections(20, seed)
    rest = settle(s, pressure=ratio * s.pressure)
    found = np.isfinite(rest.turn)
    assert found.mean() > 0.8
    scale = rest.pressure * s.shape.depth**2
    there, before, after = (
        restoring_moment(s, rest.turn + step, pressure=rest.pressure) / scale for step in (0.0, -1e-4, 1e-4)
    )
    assert np.abs(there[found]).max() < 1e-9
    assert (before[found] > 0.0).all()
    assert (after[found] < 0.0).all()


def test_turned_section_is_a_section_as_cut() -> None:
    """Rest with a loop 2 % too long, take that as the shape to cut: the loop found for it is the same loop."""
    s = random_sections(50, 31, weighed=False)
    inner, hull = s.shape.inner, s.hull_edge
    flat = segment_shape(
        s.shape.depth, s.shape.face_angle, s.shape.pitch, inboard=s.shape.inboard, drop=s.shape.drop, bulge=0.0
    )
    start = solve_statics(flat, -hull[:, 0], hull[:, 1] - s.shape.depth, 500.0)
    rest = settle(start, length=1.02 * start.length)
    depth, run = (rest.joint - rest.tip)[:, 1], (rest.joint - rest.tip)[:, 0]
    below, inside = (rest.joint - inner)[:, 1], (rest.joint - inner)[:, 0]
    turned = segment_shape(depth, np.arctan2(depth, run), s.shape.pitch, inboard=inside, drop=below, bulge=0.0)
    again = solve_statics(turned, (rest.joint - hull)[:, 0], (hull - rest.joint)[:, 1], 500.0)
    found = np.isfinite(rest.turn)
    assert found.sum() > 40
    assert np.allclose(again.length[found], rest.length[found], rtol=1e-9)
    assert np.allclose(again.stiffness[found], rest.stiffness[found], rtol=1e-7)


def test_ten_thousand_sections_at_once() -> None:
    """Every random possible section in one batch: moments balance, arcs close, and each is as if alone."""
    s = random_sections(10_000, 1)
    assert np.isfinite(s.length).all()
    assert (s.stiffness > 0.0).all()
    joint = s.shape.joint - s.shape.inner
    left = s.pressure * (joint * (s.shape.joint - s.centre)).sum(axis=-1)
    right = s.pressure / 2.0 * (s.shape.joint_mean_square - s.shape.tip_mean_square) + 9.80665 * s.weight_moment
    assert np.abs(left / right - 1.0).max() < 1e-10
    away = [np.linalg.norm(s.centre - end, axis=-1) / s.radius - 1.0 for end in (s.hull_edge, s.shape.joint)]
    assert np.abs(away).max() < 1e-12
    given_ = {key: value[123:126] for key, value in random_given(10_000, 1).items()}
    shape = shape_of(given_)
    segment, loop = cloths_of(given_, shape)
    few = solve_statics(shape, given_["offset"], given_["rise"], given_["pressure"], segment=segment, loop=loop)
    assert np.allclose(few.length, s.length[123:126], rtol=1e-12)
    assert np.allclose(few.stiffness, s.stiffness[123:126], rtol=1e-11)
