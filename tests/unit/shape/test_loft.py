"""The lofted sections: circles through hull edge and joint, true lengths between stations."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.section import loop_arc
from skirtloft.shape.loft import arcs_by_inset, arcs_by_length, loft, loop_points
from tests.corner_cases import CENTRE, DEPTH, RADIUS, corner_case, hull_length_at


@pytest.mark.parametrize("case", "SPVT")
def test_sections_run_from_hull_edge_to_joint(case: str) -> None:
    plan, sections = corner_case(case)
    points = loop_points(loft(plan, sections), 24)
    stations = plan.stations
    assert points.shape == (len(stations.ids), 25, 3)
    assert points[:, 0, :2] == pytest.approx(stations.hull, abs=1e-12)
    assert points[:, 0, 2] == pytest.approx(stations.hull_z, abs=1e-12)
    assert points[:, -1, :2] == pytest.approx(stations.joint, abs=1e-12)
    assert points[:, -1, 2] == pytest.approx(np.full(len(stations.ids), DEPTH), abs=1e-12)


def test_points_lie_in_the_section_plane_on_the_circle_at_equal_steps() -> None:
    plan, sections = corner_case("S")
    surface = loft(plan, sections)
    points, stations = loop_points(surface, 24), plan.stations
    apart = points[..., :2] - stations.joint[:, None, :]
    along = apart[..., 0] * stations.outward[:, None, 1] - apart[..., 1] * stations.outward[:, None, 0]
    assert along == pytest.approx(np.zeros_like(along), abs=1e-12)
    outboard = np.sum(apart * stations.outward[:, None, :], axis=2) + sections.centre_inset[:, None]
    radius = np.hypot(outboard, points[..., 2] - sections.centre_z[:, None])
    assert radius == pytest.approx(np.repeat(sections.radius[:, None], 25, axis=1), abs=1e-12)
    chords = np.linalg.norm(np.diff(points, axis=1), axis=2)
    expected = 2 * sections.radius * np.sin(sections.angle / 48)  # closed form: chord of 1/24 of the arc
    assert chords == pytest.approx(np.repeat(expected[:, None], 24, axis=1), abs=1e-12)


def test_loop_bulges_outboard() -> None:
    # Closed form: seen from the chord E-J the middle of the arc lies outboard and above.
    points = loop_points(loft(*corner_case("T")), 2)
    middle = points[:, 1] - (points[:, 0] + points[:, 2]) / 2
    assert np.all(middle[:, 2] > 0.0)
    assert middle[0, 0] > 0.0


def test_true_lengths() -> None:
    plan, sections = corner_case("V")
    surface = loft(plan, sections)
    angle = np.linspace(0.0, np.pi / 2, 7)
    assert surface.joint_length == pytest.approx([0.53, *np.full(6, RADIUS * np.pi / 12), 0.53], abs=1e-12)
    rise = np.diff(0.12 * np.cos(angle) ** 2)  # linear between stations
    assert surface.hull_length[1:-1] == pytest.approx(np.hypot(np.diff(hull_length_at("V", angle)), rise), abs=1e-12)


def test_panel_runs_follow_the_joint_line() -> None:
    assert loft(*corner_case("S", 4)).runs == ("bow", "bow_corner", "bow_corner", "bow_corner", "side")


@pytest.mark.parametrize("inset", [0.03, 0.0917, 0.14, 0.25])
def test_arc_of_the_same_length_is_the_same_arc(inset: float) -> None:
    # Round trip: the arc by its centre and the arc by its length (from 30 deg to over half a turn).
    offset, rise = np.array([-0.15, -0.02, 0.1, 0.23, 0.4]), np.full(5, 0.22)
    joint = np.tile(CENTRE, (5, 1))
    outward = np.tile([1.0, 0.0], (5, 1))
    first = arcs_by_inset(joint, outward, offset, DEPTH + rise, DEPTH, np.full(5, inset))
    assert first.length == pytest.approx(loop_arc(offset, rise, inset).length, abs=1e-13)
    again = arcs_by_length(joint, outward, offset, DEPTH + rise, DEPTH, first.length)
    for name in ("centre_outboard", "centre_z", "radius", "start_angle", "end_angle"):
        assert getattr(again, name) == pytest.approx(getattr(first, name), abs=1e-10)


def test_arc_shorter_than_its_chord_keeps_its_length() -> None:
    offset, hull_z, joint = np.array([0.0]), np.array([0.5]), np.array([[1.0, 0.0]])
    arc = arcs_by_length(joint, np.array([[1.0, 0.0]]), offset, hull_z, DEPTH, np.array([0.2]))
    assert arc.length == pytest.approx([0.2], abs=1e-12)  # the chord is 0.22
    ends = arc.centre_z + arc.radius * np.sin([arc.start_angle[0], arc.end_angle[0]])
    assert ends == pytest.approx([0.39 + 0.1, 0.39 - 0.1], abs=1e-4)  # equal shares off both ends
