"""Reach of the loop, against points walked along it."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.section import solve_sections
from skirtloft.physics.section_room import (
    arc_points,
    hull_clearance_angle,
    loop_lowest_point,
    loop_outermost_point,
    loop_overhang,
)
from skirtloft.physics.types import Sections, SegmentWeight

WALK = 20_000


def solved(offset: list[float], rise: list[float], pitch: float = 0.15) -> Sections:
    return solve_sections(
        offset,
        rise,
        depth=0.28,
        pitch=pitch,
        pressure=500.0,
        segment=SegmentWeight(0.0, 0.0, 0.0),
        loop_areal_mass=0.0,
    )


SECTIONS = solved([0.23, -0.075, 0.02, 0.35, 0.42], [0.22, 0.22, 0.30, 0.12, 0.06])
SAGGING = solved([0.35, 0.30], [0.05, 0.15], pitch=0.42)  # centre outboard of the joint: a < 0


def test_points_run_from_hull_edge_to_joint_on_the_circle() -> None:
    points = arc_points(SECTIONS, 16)
    assert points.shape == (5, 17, 2)
    assert points[:, 0] == pytest.approx(np.stack([0.0 * SECTIONS.rise, 0.28 + SECTIONS.rise], axis=-1), abs=1e-14)
    assert points[:, -1] == pytest.approx(np.stack([SECTIONS.offset, 0.0 * SECTIONS.offset + 0.28], axis=-1), abs=1e-14)
    walked = np.hypot(*np.moveaxis(np.diff(arc_points(SECTIONS, WALK), axis=1), -1, 0)).sum(axis=1)
    assert walked == pytest.approx(SECTIONS.length, rel=1e-7)


@pytest.mark.parametrize("sections", [SECTIONS, SAGGING], ids=["plain", "sagging"])
def test_reach_is_that_of_the_points(sections: Sections) -> None:
    points = arc_points(sections, WALK)
    assert loop_outermost_point(sections) == pytest.approx(points[..., 0].max(axis=1), abs=1e-8)
    assert loop_lowest_point(sections) == pytest.approx(points[..., 1].min(axis=1), abs=1e-8)
    assert loop_overhang(sections) == pytest.approx(
        np.maximum(
            0.0, -points[..., 0].min(axis=1) * (points[..., 0].min(axis=1) < np.minimum(0.0, sections.offset) - 1e-12)
        ),
        abs=1e-8,
    )


def test_cases_include_each_kind_of_reach() -> None:
    assert (loop_overhang(SECTIONS) > 0.0).tolist() == [False, False, False, True, True]
    assert (SAGGING.centre_inset < 0.0).all()
    assert (loop_lowest_point(SAGGING) < 0.28).all()
    assert loop_lowest_point(SECTIONS) == pytest.approx(np.full(5, 0.28), rel=1e-15)


def test_nothing_is_said_of_a_section_without_equilibrium() -> None:
    """The hull edge below the joint: no reach, no overhang that would pass a check."""
    sections = solved([0.2, 0.2], [0.2, -0.1])
    for reach in (loop_lowest_point, loop_outermost_point, loop_overhang, hull_clearance_angle):
        assert np.isnan(reach(sections)).tolist() == [False, True], reach.__name__


def test_a_loop_hanging_in_under_the_joint_does_not_lean_over_the_deck() -> None:
    """Centre outboard of the joint and below it: the arc's inboard end lies under the joint, not over the deck."""
    sections = solved([-0.05], [0.05], pitch=0.56)
    points = arc_points(sections, WALK)[0]
    assert points[:, 0].min() < -0.06
    assert points[points[:, 0].argmin(), 1] < 0.28
    assert loop_overhang(sections).tolist() == [0.0]
    assert loop_lowest_point(sections) == pytest.approx([points[:, 1].min()], abs=1e-8)


def test_clearance_angle_is_that_of_the_first_step() -> None:
    """Angles from the first short step of the loop to the line to I and to a level deck inboard."""
    step = np.diff(arc_points(SECTIONS, WALK)[:, :2], axis=1)[:, 0]
    leaves = np.arctan2(step[:, 1], step[:, 0])
    inner = np.stack([SECTIONS.offset - 0.56, -SECTIONS.rise], axis=-1)
    side = np.mod(leaves - np.arctan2(inner[:, 1], inner[:, 0]), 2.0 * np.pi)
    expected = np.minimum(side, np.pi - leaves)
    assert hull_clearance_angle(SECTIONS) == pytest.approx(expected, abs=1e-3)
