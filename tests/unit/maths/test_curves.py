"""Lines and arcs measured by their own length; expected numbers are the closed forms named beside them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.crossings import crossings, feet
from skirtloft.maths.curves import (
    ArcPiece,
    Path,
    arc_through,
    area_to_axis,
    line_piece,
    make_path,
    outward_at,
    parallel,
    path_length,
    path_points,
    piece_end,
    piece_index,
    piece_length,
    piece_start,
    points_at,
    radii_at,
    tangents_at,
)
from skirtloft.maths.frozen import frozen_array


@pytest.fixture
def stadium() -> Path:
    """Half a slot: quarter circle of radius 1 about (3, 0), straight of 3, quarter circle of radius 1 about (0, 0)."""
    first = ArcPiece(frozen_array((3.0, 0.0)), 1.0, 0.0, math.pi / 2)
    last = ArcPiece(frozen_array((0.0, 0.0)), 1.0, math.pi / 2, math.pi / 2)
    return make_path([first, line_piece(3 + 1j, 0 + 1j), last])


def test_lengths_are_those_of_line_and_circle(stadium: Path) -> None:
    assert path_length(stadium) == pytest.approx(3.0 + math.pi, abs=1e-14)  # 2 quarter circles and 3 m
    assert stadium.breaks.tolist() == pytest.approx([0.0, math.pi / 2, math.pi / 2 + 3.0, math.pi + 3.0])
    assert [piece_length(piece) for piece in stadium.pieces] == pytest.approx([math.pi / 2, 3.0, math.pi / 2])


def test_points_tangents_and_normals(stadium: Path) -> None:
    at = np.array([0.0, math.pi / 4, math.pi / 2 + 1.0, math.pi + 3.0])
    half = math.sqrt(0.5)
    np.testing.assert_allclose(points_at(stadium, at), [(4, 0), (3 + half, half), (2, 1), (-1, 0)], atol=1e-14)
    np.testing.assert_allclose(tangents_at(stadium, at), [(0, 1), (-half, half), (-1, 0), (0, -1)], atol=1e-14)
    np.testing.assert_allclose(outward_at(stadium, at), [(1, 0), (half, half), (0, 1), (-1, 0)], atol=1e-14)


def test_right_turning_arc_has_its_centre_on_the_outward_side() -> None:
    arc = ArcPiece(frozen_array((0.0, 0.0)), 2.0, math.pi / 2, -math.pi / 2)  # from (0, 2) clockwise to (2, 0)
    path = make_path([arc])
    np.testing.assert_allclose(points_at(path, [0.0, math.pi])[:, 0], [0.0, 2.0], atol=1e-14)
    np.testing.assert_allclose(tangents_at(path, [0.0]), [(1.0, 0.0)], atol=1e-14)
    np.testing.assert_allclose(outward_at(path, [0.0]), [(0.0, -1.0)], atol=1e-14)
    wider = parallel(path, -0.5).pieces[0]  # to the left, away from the centre
    assert isinstance(wider, ArcPiece)
    assert wider.radius == pytest.approx(2.5)


def test_at_a_kink_before_and_after_differ() -> None:
    path = make_path([line_piece(0, 1), line_piece(1, 1 + 1j)])
    assert tangents_at(path, [1.0], "before").tolist() == [[1.0, 0.0]]
    assert tangents_at(path, [1.0], "after").tolist() == [[0.0, 1.0]]
    assert piece_index(path, [0.0, 1.0, 2.0], "before").tolist() == [0, 0, 1]
    assert piece_index(path, [0.0, 1.0, 2.0], "after").tolist() == [0, 1, 1]


def test_a_piece_of_no_length_holds_nothing() -> None:
    nothing = ArcPiece(frozen_array((1.0, 0.0)), 0.0, -math.pi / 2, math.pi / 2)
    path = make_path([nothing, line_piece(1, 1 + 1j), nothing])
    assert piece_index(path, [0.0, 0.5, 1.0], "before").tolist() == [1, 1, 1]
    assert piece_index(path, [0.0, 0.5, 1.0], "after").tolist() == [1, 1, 1]
    np.testing.assert_allclose(points_at(path, [0.0, 1.0]), [(1.0, 0.0), (1.0, 1.0)])


def test_radii_at_breaks(stadium: Path) -> None:
    first = float(stadium.breaks[1])
    assert radii_at(stadium, [first], "before")[0] == 1.0
    assert math.isinf(radii_at(stadium, [first], "after")[0])


def test_area_counts_circular_segments(stadium: Path) -> None:
    assert area_to_axis(stadium) == pytest.approx(3.0 + math.pi / 2, abs=1e-14)  # 3 x 1 and two quarters of a disc
    there = make_path([line_piece(2, 1 + 1j), line_piece(1 + 1j, 0)])
    assert area_to_axis(there) == pytest.approx(1.0)  # triangle, base 2, height 1


def test_arc_through_three_points() -> None:
    # Thales: the circle on the diameter (0, 0)-(2, 0) goes through (1, 1); centre (1, 0), radius 1
    arc = arc_through(2 + 0j, 1 + 1j, 0j)
    assert arc is not None
    assert arc.centre.tolist() == pytest.approx([1.0, 0.0], abs=1e-15)
    assert (arc.radius, arc.sweep) == pytest.approx((1.0, math.pi))
    back = arc_through(0j, 1 + 1j, 2 + 0j)
    assert back is not None
    assert back.sweep == pytest.approx(-math.pi)
    assert abs(piece_start(back)) < 1e-15
    assert abs(piece_end(back) - 2.0) < 1e-15


@pytest.mark.parametrize("through", [1 + 0j, 0j, 3 + 0j])
def test_no_arc_through_points_in_line(through: complex) -> None:
    assert arc_through(0j, through, 2 + 0j) is None


def test_parallel_of_a_convex_path_follows_steiner(stadium: Path) -> None:
    """Length and area of a parallel curve of a convex outline: L - 2 pi t, A - L t + pi t^2 (Steiner, 1840)."""
    inset = 0.3
    inner = parallel(stadium, -inset)
    length, area = 2 * path_length(stadium), 2 * area_to_axis(stadium)
    assert 2 * path_length(inner) == pytest.approx(length - 2 * math.pi * inset, abs=1e-13)
    assert 2 * area_to_axis(inner) == pytest.approx(area - length * inset + math.pi * inset**2, abs=1e-13)


def test_parallel_beyond_the_radius_is_refused(stadium: Path) -> None:
    assert path_length(parallel(stadium, -1.0)) == pytest.approx(3.0)  # arcs shrunk to points
    with pytest.raises(ValueError, match="radius 1.0 m cannot be moved in by 1.1 m"):
        parallel(stadium, -1.1)


def test_points_for_drawing_stay_within_the_error(stadium: Path) -> None:
    error = 1e-4
    points = path_points(stadium, error)
    np.testing.assert_allclose(points[[0, -1]], [(4, 0), (-1, 0)], atol=1e-14)
    middle = (points[1:] + points[:-1]) / 2
    beyond = middle[:, 0] - np.clip(middle[:, 0], 0.0, 3.0)
    sagitta = np.where(beyond == 0.0, 0.0, 1.0 - np.hypot(beyond, middle[:, 1]))
    assert 0.25 * error < sagitta.max() <= error * (1 + 1e-9)  # fine enough, and not four times too fine


def test_crossings_of_lines_with_line_and_arc(stadium: Path) -> None:
    origin = np.array([(1.0, 0.0), (3.0, 0.0), (0.0, 5.0)])
    direction = np.array([(0.0, 1.0), (math.sqrt(0.5), math.sqrt(0.5)), (1.0, 0.0)])
    found = crossings(stadium, origin, direction)
    assert found.distance.shape == (3, 6)
    one = ~np.isnan(found.distance[0])
    assert found.distance[0][one].tolist() == pytest.approx([1.0])
    assert found.at[0][one].tolist() == pytest.approx([math.pi / 2 + 2.0])
    two = ~np.isnan(found.distance[1])  # from the centre of the first arc: its radius, its middle
    assert found.distance[1][two].tolist() == pytest.approx([1.0])
    assert found.at[1][two].tolist() == pytest.approx([math.pi / 4])
    assert np.isnan(found.distance[2]).all()  # passes above


def test_crossing_distance_is_signed_along_the_line(stadium: Path) -> None:
    found = crossings(stadium, np.array([(1.0, 3.0)]), np.array([(0.0, 1.0)]))
    assert np.nanmax(found.distance) == pytest.approx(-2.0)


def test_a_crossing_at_a_break_is_reported_by_both_pieces(stadium: Path) -> None:
    found = crossings(stadium, np.array([(3.0, 0.0)]), np.array([(0.0, 1.0)]))
    assert np.count_nonzero(np.isclose(found.distance, 1.0)) == 2


def test_crossing_at_the_very_ends(stadium: Path) -> None:
    found = crossings(stadium, np.array([(1.5, 0.0)]), np.array([(1.0, 0.0)]))
    assert sorted(found.distance[~np.isnan(found.distance)]) == pytest.approx([-2.5, 2.5])


def test_feet_are_square_to_the_path(stadium: Path) -> None:
    (at, off), *rest = feet(stadium, 2 + 1.5j)
    assert rest == []
    assert (at, off) == pytest.approx((math.pi / 2 + 1.0, 0.5))  # right of the travel, outside
    (at, off), *_ = feet(stadium, 3 + 0.5 * (1 + 1j))  # inside the first arc, 45 deg round
    assert (at, off) == pytest.approx((math.pi / 4, math.sqrt(0.5) - 1.0))
    assert feet(stadium, 4 - 2j) == []


def test_feet_at_the_start_of_an_arc_do_not_go_round() -> None:
    arc = ArcPiece(frozen_array((0.0, 0.0)), 1.0, 0.0, math.pi / 2)
    (at, off), *_ = feet(make_path([arc]), complex(1.2, -1e-16))
    assert (at, off) == pytest.approx((0.0, 0.2))
