"""Where a loop reaches, for any section there is, against points walked along its circle."""

from __future__ import annotations

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from skirtloft.physics.section import solve_sections
from skirtloft.physics.section_room import (
    arc_points,
    hull_clearance_angle,
    loop_lowest_point,
    loop_outermost_point,
    loop_overhang,
)
from skirtloft.physics.types import Sections, SegmentWeight

STEPS = 4000
NEAR = 1e-6  # of a radius: a step of 2 pi/4000 lies (pi/4000)^2/2 = 3e-7 of the radius inside the circle

shares = {
    "offset": st.floats(-0.8, 1.8),
    "rise": st.floats(0.05, 2.5),
    "pitch": st.floats(0.05, 1.8),  # above about 1.45 the loop's centre lies outboard of the joint
    "weight": st.floats(0.0, 0.3),
}


def solved(offset: float, rise: float, pitch: float, weight: float) -> Sections:
    """One section of depth 1 m; the weight is its moment over p d^2/g."""
    segment = SegmentWeight(0.0, weight * 500.0 / 9.80665, 0.0)
    sections = solve_sections(
        [offset], [rise], depth=1.0, pitch=pitch, pressure=500.0, segment=segment, loop_areal_mass=0.3
    )
    assume(np.isfinite(sections.length[0]))
    return sections


def walked(sections: Sections) -> np.ndarray:
    """Points from E to J, turned about the centre from the direction of E by the angle, all from E, J and a alone."""
    x, z, a = float(sections.offset[0]), float(sections.rise[0]), float(sections.centre_inset[0])
    height = (z**2 + (x - a) ** 2 - a**2) / (2.0 * z)  # the centre is equally far from E and J
    first = np.arctan2(z - height, a - x)
    turn = np.mod(first - np.arctan2(-height, a), 2.0 * np.pi)  # clockwise
    direction = first - np.linspace(0.0, turn, STEPS + 1)
    radius = np.hypot(a, height)
    return np.stack([x - a + radius * np.cos(direction), 1.0 + height + radius * np.sin(direction)], axis=-1)


@settings(max_examples=150, deadline=None)
@given(**shares)
def test_reach_is_that_of_the_walk(offset: float, rise: float, pitch: float, weight: float) -> None:
    sections = solved(offset, rise, pitch, weight)
    points, near = walked(sections), NEAR * float(sections.radius[0])
    assert np.abs(arc_points(sections, STEPS)[0] - points).max() < near
    assert abs(float(loop_lowest_point(sections)[0]) - points[:, 1].min()) < near
    assert abs(float(loop_outermost_point(sections)[0]) - max(0.0, points[:, 0].max())) < near
    over_deck = points[points[:, 1] >= 1.0 + rise - near, 0]
    assert abs(float(loop_overhang(sections)[0]) + over_deck.min(initial=0.0)) < near


@settings(max_examples=150, deadline=None)
@given(**shares)
def test_clearance_is_the_angle_between_the_first_step_and_the_hull(
    offset: float, rise: float, pitch: float, weight: float
) -> None:
    """Turned from the line to I up to the first step of the loop, and on to a level deck inboard."""
    sections = solved(offset, rise, pitch, weight)
    points = walked(sections)
    step = points[1] - points[0]
    bend = float(sections.angle[0]) / STEPS / 2.0  # a chord lags the tangent by half the turn of its arc
    leaves = np.arctan2(step[1], step[0]) + bend
    side = np.mod(leaves - np.arctan2(-rise, offset - 2.0), 2.0 * np.pi)
    deck = np.mod(np.pi - leaves, 2.0 * np.pi)
    clear = float(hull_clearance_angle(sections)[0])
    assert abs(clear - min(side, deck)) < 1e-6
    assert clear > 0.0


@settings(max_examples=60, deadline=None)
@given(**shares)
def test_loop_meets_neither_hull_side_nor_deck(offset: float, rise: float, pitch: float, weight: float) -> None:
    """Every point of the loop lies on the outboard side of the line from E to I: the clearance is never negative."""
    points = walked(solved(offset, rise, pitch, weight))
    to_inner = np.array([offset - 2.0, -rise])
    from_edge = points - np.array([0.0, 1.0 + rise])
    side = to_inner[0] * from_edge[:, 1] - to_inner[1] * from_edge[:, 0]
    inside = points[:, 1] > 1.0  # beside the hull: between the hull edge and the height of I
    assert (side[inside & (points[:, 1] < 1.0 + rise)] > -1e-9).all()
