"""Stations: where they must be, how they merge, and sections that cannot be. Expected numbers are closed forms."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest

from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.maths.crossings import feet
from skirtloft.maths.curves import points_at
from skirtloft.shape.hull_edge import HullEdge, hull_edge
from skirtloft.shape.joint_given import given_joint_line
from skirtloft.shape.joint_line import JointLine, joint_line
from skirtloft.shape.segment_field import segment_field
from skirtloft.shape.stations import MERGE, hull_breaks, place_stations
from skirtloft.shape.types import Stations
from tests.plan_cases import (
    CLEARANCE,
    DEPTH,
    OFFSETS,
    ROUND,
    SQUARE,
    TAPERED,
    edge_of,
    hull_points,
    joint_of,
    joint_points,
)

X = OFFSETS["side"]


def stations_of(hull: HullEdge, joint: JointLine | None = None, count: int = 7, depth: float = DEPTH) -> Stations:
    form = SegmentForm(depth, math.pi / 4, math.pi / 2)
    line = joint or joint_of(hull)
    field = segment_field(line, dict.fromkeys(("bow", "side", "stern"), form), line.path.breaks)
    return place_stations(hull, line, stations_per_corner=count, field=field)


def refused(hull: HullEdge, joint: JointLine | None = None, depth: float = DEPTH) -> ShapeError:
    with pytest.raises(ShapeError) as caught:
        stations_of(hull, joint, depth=depth)
    return caught.value


def chamfered(run_end: float) -> list[tuple[float, float, str | None]]:
    """A square bow with its corner cut off; the chamfer starts at y = `run_end` on the bow."""
    return [(4.405, 0.0, "bow"), (4.405, run_end, "corner"), (4.0, 1.05, "side"), *SQUARE[2:]]


@pytest.mark.parametrize("corners", [SQUARE, TAPERED, ROUND, chamfered(0.7)])
def test_stations_stand_where_they_must(corners) -> None:
    hull = edge_of(corners)
    joint = joint_of(hull, 0.7, 0.7, 0.7)
    stations = stations_of(hull, joint)
    assert stations.ids[:2] == ("P00", "P01")
    assert len(set(stations.ids)) == len(stations.ids) == len(stations.at)
    assert np.all(np.diff(stations.at) > MERGE - 1e-9)
    for end in joint.path.breaks:
        assert np.abs(stations.at - end).min() < 1e-12
    for vertex in hull.path.breaks:
        assert np.abs(stations.hull_at - vertex).min() < 1e-12


@pytest.mark.parametrize("corners", [SQUARE, TAPERED, chamfered(0.7)])
def test_the_foot_of_a_hull_vertex_has_its_section_through_the_vertex(corners) -> None:
    hull = edge_of(corners)
    stations = stations_of(hull)
    for x, y, _ in corners:
        away = np.hypot(*(stations.hull - (x, y)).T)
        assert away.min() < 1e-12


@pytest.mark.parametrize("corners", [SQUARE, TAPERED, ROUND])
def test_joint_and_hull_edge_lie_in_the_section(corners) -> None:
    """J = E + X n, both on their lines."""
    hull = edge_of(corners, at1={"radius": 0.2})
    joint = joint_of(hull)
    stations = stations_of(hull, joint)
    np.testing.assert_allclose(
        stations.joint, stations.hull + stations.offset[:, None] * stations.outward, rtol=0, atol=1e-12
    )
    np.testing.assert_allclose(stations.joint, points_at(joint.path, stations.at), rtol=0, atol=1e-12)
    np.testing.assert_allclose(stations.hull, points_at(hull.path, stations.hull_at), rtol=0, atol=1e-12)
    assert np.all(np.diff(stations.hull_at) > 0.0)


def test_offset_on_the_runs_is_the_one_asked_for() -> None:
    stations = stations_of(edge_of(TAPERED))
    for name in ("bow", "side", "stern"):
        mine = [run == name for run in stations.runs]
        assert stations.offset[mine] == pytest.approx(OFFSETS[name], abs=1e-12)


def test_offset_in_a_corner_over_a_sharp_hull_corner() -> None:
    """At the vertex: X = r - distance from the arc's centre (3.58, 1.05 + X - .75) to (4.405, 1.05)."""
    stations = stations_of(edge_of(SQUARE))
    vertex = int(np.argmin(np.hypot(*(stations.hull - (4.405, 1.05)).T)))
    assert stations.offset[vertex] == pytest.approx(0.75 - math.hypot(0.825, 0.75 - X), abs=1e-12)


def test_offset_over_a_concentric_hull_fillet() -> None:
    """A hull fillet about the joint arc's own centre keeps X: .75 - (.75 - X)."""
    hull = edge_of(SQUARE, at2={"radius": 0.75 - X})
    stations = stations_of(hull)
    mine = [run == "stern_corner" for run in stations.runs]
    assert stations.offset[mine] == pytest.approx(X, abs=1e-12)


@pytest.mark.parametrize(("count", "panels"), [(3, 2), (4, 3), (7, 6), (10, 9)])
def test_quarter_turn_without_hull_breaks_has_n_stations(count: int, panels: int) -> None:
    hull = edge_of(SQUARE, at2={"radius": 0.75 - X})  # its ends lie on the arc's ends
    stations = stations_of(hull, count=count)
    arc = joint_of(hull).path.breaks[3:5]
    inside = stations.at[(stations.at > arc[0] - 1e-9) & (stations.at < arc[1] + 1e-9)]
    assert len(inside) == panels + 1 == count
    assert np.diff(inside) == pytest.approx(0.75 * math.pi / 2 / panels)


@pytest.mark.parametrize("count", [3, 5, 7, 12])
@pytest.mark.parametrize("corners", [SQUARE, TAPERED, ROUND, chamfered(0.7)])
def test_every_arc_has_enough_stations_and_no_step_too_long(corners, count: int) -> None:
    hull = edge_of(corners)
    joint = joint_of(hull, 0.7, 0.7, 0.7)
    stations = stations_of(hull, joint, count)
    for k, name in enumerate(joint.names):
        start, end = joint.path.breaks[k : k + 2]
        inside = stations.at[(stations.at > start - 1e-9) & (stations.at < end + 1e-9)]
        if not name.endswith("corner"):
            feet = np.isin(np.round(stations.hull_at, 9), np.round(hull.path.breaks, 9))
            assert len(inside) <= 2 + np.count_nonzero(feet)  # straight runs get no steps of their own
            continue
        angle = (end - start) / 0.7
        wanted = 1 + math.ceil((count - 1) * angle / (math.pi / 2) - 1e-9)
        assert len(inside) >= wanted
        assert np.diff(inside).max() <= (end - start) / (wanted - 1) + 1e-9


def test_steps_are_equal_between_stations_that_must_be() -> None:
    hull = edge_of(SQUARE)
    stations = stations_of(hull)
    start, end = joint_of(hull).path.breaks[1:3]
    vertex = float(stations.at[int(np.argmin(np.hypot(*(stations.hull - (4.405, 1.05)).T)))])
    for low, high in ((start, vertex), (vertex, end)):
        steps = np.diff(stations.at[(stations.at > low - 1e-9) & (stations.at < high + 1e-9)])
        assert steps == pytest.approx(steps[0], abs=1e-12)


def test_end_of_an_arc_is_counted_with_the_run_beside_it() -> None:
    stations = stations_of(edge_of(TAPERED))
    joint = joint_of(edge_of(TAPERED))
    for end, name in zip(joint.path.breaks, joint.break_names, strict=True):
        i = int(np.argmin(np.abs(stations.at - end)))
        assert stations.runs[i] == name
        assert math.isinf(stations.radius[i]) == (i in (0, len(stations.at) - 1))


def test_height_of_the_hull_edge_at_the_stations() -> None:
    points = hull_points(SQUARE, at0={"height": 0.36}, at1={"height": 0.36}, at2={"height": 0.26}, at3={"height": 0.26})
    stations = stations_of(hull_edge(points, CLEARANCE))
    on_side = np.isclose(stations.hull[:, 1], 1.05)
    expected = 0.24 + 0.26 + 0.1 * stations.hull[on_side, 0] / 4.405
    assert stations.hull_z[on_side] == pytest.approx(expected, abs=1e-12)


# --- merging


def test_a_hull_vertex_near_the_end_of_an_arc_stands_for_it() -> None:
    run_end = float(joint_of(edge_of(SQUARE)).path.breaks[1])
    for shift in (-0.012, 0.012):
        hull = edge_of(chamfered(run_end + shift))
        joint = joint_of(hull)
        stations = stations_of(hull, joint)
        assert np.abs(stations.at - run_end).min() > 0.009  # no station at the arc's end itself
        i = int(np.argmin(np.abs(stations.at - run_end)))
        assert stations.hull[i] == pytest.approx((4.405, run_end + shift), abs=1e-12)
        assert (stations.runs[i], stations.radius[i]) == ("bow", 0.75)


def test_a_hull_vertex_further_off_leaves_the_end_of_the_arc() -> None:
    run_end = float(joint_of(edge_of(SQUARE)).path.breaks[1])
    stations = stations_of(edge_of(chamfered(run_end - 0.021)))
    assert stations.at[1:3] == pytest.approx([run_end - 0.021, run_end], abs=1e-12)


def test_a_smooth_end_of_a_hull_fillet_gives_way_to_the_end_of_the_arc() -> None:
    run_end = float(joint_of(edge_of(SQUARE)).path.breaks[1])
    hull = edge_of(SQUARE, at1={"radius": 1.05 - run_end - 0.012})
    stations = stations_of(hull)
    assert stations.at[1] == pytest.approx(run_end, abs=1e-12)
    assert stations.offset[1] == pytest.approx(OFFSETS["bow"], abs=1e-12)
    assert stations.at[2] - stations.at[1] > MERGE


def test_the_centre_line_always_keeps_its_station() -> None:
    tiny = [(4.405, 0.0, "bow"), (4.405, 0.015, "corner"), (4.2, 1.05, "side"), *SQUARE[2:]]
    stations = stations_of(edge_of(tiny))
    assert stations.at[0] == 0.0
    assert stations.at[1] > MERGE


def test_of_two_vertices_within_20_mm_the_sharper_stays() -> None:
    corners = [*SQUARE[:2], (2.0, 1.06, "side"), (1.985, 1.0599, "side"), *SQUARE[2:]]
    hull = edge_of(corners)
    at, sharpness = hull_breaks(hull)
    assert np.all(np.diff(sharpness) <= 1e-9)
    joint = joint_line(hull.drawn[:2] + hull.drawn[4:], OFFSETS, {"bow": 0.75, "side": 9.0, "stern": 0.75})
    stations = stations_of(hull, joint)
    near = [place for place in hull.path.breaks[2:4] if np.abs(stations.hull_at - place).min() < 1e-9]
    assert near == [next(place for place in at if place in hull.path.breaks[2:4])]


def test_equal_steps_are_never_below_20_mm() -> None:
    """A quarter of .3 m is .471 m long: 23 steps of 20.5 mm, where 30 were asked for."""
    hull = edge_of(SQUARE, at1={"radius": 0.3 - X}, at2={"radius": 0.3 - X})
    joint = joint_line(hull.drawn, {"bow": X, "side": X, "stern": X}, {"bow": 0.3, "side": 0.3, "stern": 0.3})
    stations = stations_of(hull, joint, count=31)
    steps = np.diff(stations.at)
    assert steps.min() >= MERGE - 1e-9
    assert np.count_nonzero(np.isclose(steps, 0.15 * math.pi / 23)) == 2 * 23


def test_round_bow_keeps_its_centre_section() -> None:
    hull = edge_of(ROUND)
    stations = stations_of(hull, joint_of(hull, bow="full"))
    assert (stations.runs[0], stations.at[0]) == ("bow", 0.0)
    assert stations.radius[0] == pytest.approx(1.05 + X)
    assert stations.outward[0] == pytest.approx((1.0, 0.0))
    assert stations.runs[1] == "bow_corner"


# --- what cannot be


def test_hull_edge_below_the_joint() -> None:
    points = hull_points(SQUARE, at1={"height": 0.03}, at2={"height": 0.03})
    error = refused(hull_edge(points, CLEARANCE))
    assert error.where.startswith("station P")
    assert "x " in error.where
    assert "270.0 mm above the tip plane" in error.why
    assert "more than 10.0 mm" in error.would_do


def test_hull_edge_level_with_the_joint() -> None:
    hull = edge_of(SQUARE)
    assert "more than 0.0 mm" in refused(hull, depth=float(hull.heights[0])).would_do


def test_hull_edge_nearly_along_the_section() -> None:
    """A joint line so wide that a section meets the side of the hull, near its stern corner, at less than 30 deg."""
    corners = [(6.0, 0.0, "bow"), (6.0, 2.4, "side"), (-0.15, 2.4, "stern"), (-0.15, 0.0, None)]
    joint = given_joint_line(joint_points(corners, at1={"radius": 2.3}, at2={"radius": 2.3}))
    hull = edge_of(SQUARE)
    error = refused(hull, joint)
    (station, x, y) = re.findall(r"station (P\d\d) \(x ([-\d.]+) m, y ([-\d.]+) m\)", error.where)[0]
    assert station == "P14"
    # the section runs through the arc's centre (2.15, .1); its angle with the side y = 1.05 is that of its slope
    angle = math.degrees(math.atan2(float(y) - 0.1, 2.15 - float(x)))
    assert f"only {angle:.1f} deg" in error.why
    assert angle < 30.0


def test_a_section_that_could_belong_to_bow_or_stern() -> None:
    hull = edge_of([(4.4, 0.0, "bow"), (4.4, 3.0, "side"), (0.0, 3.0, "stern"), (0.0, 0.0, None)])
    joint = joint_line(hull.drawn, {**OFFSETS, "bow": -2.0}, {"bow": 2.1, "side": 0.3, "stern": 0.3})
    error = refused(hull, joint)
    assert error.where.startswith("station P00 (x 2.400 m, y 0.000 m)")
    assert "2000.0 mm and again 2400.0 mm away" in error.why


def test_no_hull_edge_within_the_radius() -> None:
    """The hull front is 1.4 m inboard of the joint, and the corner that begins there has a radius of .6 m."""
    hull = edge_of([(3.0, 0.0, "bow"), (3.0, 0.2, "side"), (0.0, 0.2, "stern"), (0.0, 0.0, None)])
    corners = [(4.4, 0.0, "bow"), (4.4, 1.2, "side"), (-1.2, 1.2, "stern"), (-1.2, 0.0, None)]
    joint = given_joint_line(joint_points(corners, at1={"radius": 0.6}, at2={"radius": 0.6}))
    error = refused(hull, joint)
    assert error.where.startswith("station P01 (x 4.400 m, y 0.600 m)")
    assert "no hull edge within the arc's radius of 600.0 mm" in error.why


def test_two_hull_edges_within_the_radius() -> None:
    """A side drawn as an arc of 7.2 m about (2, -6): its sections cross both sides of the hull within the radius."""
    hull = edge_of([(4.4, 0.0, "bow"), (4.4, 0.5, "side"), (0.0, 0.5, "stern"), (0.0, 0.0, None)])
    y = math.sqrt(7.2**2 - 2.6**2) - 6.0
    corners = [(4.6, 0.0, "bow"), (4.6, y, "side"), (-0.6, y, "stern"), (-0.6, 0.0, None)]
    joint = given_joint_line(joint_points(corners, at1={"radius": 0.4, "through": (2.0, 1.2)}, at2={"radius": 0.4}))
    error = refused(hull, joint)
    place = complex(*(float(number) for number in re.findall(r"[xy] ([-\d.]+) m", error.where)))
    outward = (place - (2 - 6j)) / 7.2
    near, far = ((place.imag - side) / outward.imag for side in (0.5, -0.5))
    distances = [float(number) / 1000.0 for number in re.findall(r"([\d.]+) mm", error.why)]
    assert distances == pytest.approx([near, far], abs=2e-3)


def test_a_hull_vertex_outside_a_slight_kink_of_a_given_line() -> None:
    """An arc about (3.57925, .45) runs into the side at (3.58, 1.2) with a kink of 1 mrad; the hull's corner lies
    outboard of that very kink, square to neither piece."""
    centre, radius = 3.57925 + 0.45j, math.hypot(0.00075, 0.75)
    corners = [
        (centre.real + radius, 0.0, "bow"),
        (centre.real + radius, 0.45, "corner"),
        (3.58, 1.2, "side"),
        (-0.15, 1.2, "stern"),
        (-0.15, 0.0, None),
    ]
    middle = centre + radius * (1 + 1j) * math.sqrt(0.5)
    joint = given_joint_line(joint_points(corners, at1={"through": (middle.real, middle.imag)}, at3={"radius": 0.75}))
    corner = complex(3.58 + 0.0005 * 0.3, 1.5)
    assert all(abs(off - 0.3) > 1e-3 for _, off in feet(joint.path, corner))
    hull = edge_of([(4.5, 0.0, "bow"), (4.5, 0.8, "side"), (corner.real, 1.5, "side"), *SQUARE[2:]])
    stations = stations_of(hull, joint)
    assert np.hypot(*(stations.hull - (corner.real, corner.imag)).T).min() < 1e-3


def test_numbers_of_the_same_section_are_the_same_whatever_else_changes() -> None:
    """The stern sections do not know the bow."""
    one: Any = stations_of(edge_of(SQUARE))
    other: Any = stations_of(edge_of([(4.4, 0.0, "bow"), (4.4, 0.55, "side"), (3.0, 1.05, "side"), *SQUARE[2:]]))
    assert one.offset[-6:] == pytest.approx(other.offset[-6:], abs=1e-12)
