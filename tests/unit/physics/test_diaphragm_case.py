"""Sections solved with a diaphragm against the closed form of the loop with a margin."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.diaphragm import size_diaphragm
from skirtloft.physics.diaphragm_case import balance_of, hang_half, solve_with_margin
from skirtloft.physics.loop_margin import margin_of, section_stiffness
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import flat_faced, segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth

DEPTH, OFFSET, RISE, PRESSURE = 0.18, 0.18, 0.20, 464.054
# Margin, R [m], L [m]; a published-free number set computed once by an independent prototype: flat face, no weight.
ROWS = [(0.05, 0.134672, 0.41097), (0.15, 0.135757, 0.39006), (0.25, 0.137900, 0.37219), (0.50, 0.147531, 0.33871)]


def shape(drop: float = 0.0):
    return segment_shape(DEPTH, math.pi / 4.0, 0.10, inboard=2.0 * DEPTH - drop, drop=drop)


def cloth():
    return segment_cloth(shape(), areal_mass=0.3, seam=0.025, hem=0.015, tip_trim=0.015, joint=0.025)


@pytest.mark.parametrize(("margin", "radius", "length"), ROWS)
def test_a_flat_face_without_weight_is_the_prototype(margin: float, radius: float, length: float) -> None:
    statics = solve_with_margin(flat_faced(shape()), OFFSET, RISE, PRESSURE, margin)
    assert float(statics.radius) == pytest.approx(radius, abs=5.1e-7)
    assert float(statics.length) == pytest.approx(length, abs=5.1e-6)
    # M_d = -margin p d^2 for a flat face, level and 45/90: p/2 (4 d^2 - 2 d^2) (derived)
    assert float(statics.diaphragm_moment) == pytest.approx(-margin * PRESSURE * DEPTH**2, rel=1e-12)


def test_no_margin_is_the_loop_in_balance() -> None:
    loop = LoopCloth(frozen_array(0.25), frozen_array(0.025))
    plain = solve_statics(shape(), OFFSET, RISE, PRESSURE, segment=cloth(), loop=loop)
    held = solve_with_margin(shape(), OFFSET, RISE, PRESSURE, 0.0, segment=cloth(), loop=loop)
    assert float(held.length) == pytest.approx(float(plain.length), rel=1e-12)
    assert float(held.diaphragm_moment) == 0.0


def test_margin_and_tension_come_back_with_bulge_and_weight() -> None:
    """The loop as solved, measured again by its length: its margin is the one asked; T |(J-I) x u| = -M_d."""
    margin = np.array([0.05, 0.15, 0.2, 0.3])
    loop = LoopCloth(frozen_array(0.25), frozen_array(0.025))
    statics = solve_with_margin(shape(0.02), OFFSET, RISE, PRESSURE, margin, segment=cloth(), loop=loop)
    case, cut = balance_of(statics)
    np.testing.assert_allclose(margin_of(case, cut), margin, rtol=1e-9)
    sized = size_diaphragm(case, cut, statics.shape.joint + np.array([-0.25, -0.14]))
    np.testing.assert_allclose(sized.tension * sized.lever, -statics.diaphragm_moment, rtol=1e-9)
    np.testing.assert_allclose(sized.section_stiffness, statics.stiffness, rtol=1e-9)
    assert np.all(np.diff(statics.length) < 0.0)  # made by loop length: more margin, shorter loop


def test_stiffness_is_that_of_the_same_loop_without_weight() -> None:
    """Two formulas of the second derivative of the enclosed area agree."""
    statics = solve_with_margin(shape(), OFFSET, RISE, PRESSURE, 0.2)
    case, cut = balance_of(statics)
    assert float(section_stiffness(case, cut)) == pytest.approx(float(statics.stiffness), rel=1e-9)
    assert float(case.weight_stiffness) == pytest.approx(0.0, abs=1e-8)


def test_half_of_a_diaphragm_hangs_at_the_joint() -> None:
    """0.12 kg/m: 0.06 kg on the lever |J-I| = 2 d (level, closed form)."""
    plain = cloth()
    hung = hang_half(plain, shape(), 0.12)
    assert float(hung.moment - plain.moment) == pytest.approx(0.06 * 2.0 * DEPTH)
    assert float(hung.height_moment - plain.height_moment) == pytest.approx(0.0, abs=1e-12)
    assert float(hung.mass) == float(plain.mass)
