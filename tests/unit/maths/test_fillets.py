"""Tangent arcs between lines and circles; expected numbers are closed forms."""

from __future__ import annotations

import itertools
import math

import pytest

from skirtloft.maths.curves import (
    ArcPiece,
    Piece,
    end_direction,
    line_piece,
    make_path,
    piece_end,
    piece_start,
    start_direction,
)
from skirtloft.maths.fillets import (
    end_for_end,
    largest_radius,
    mirrored,
    round_corners,
    tangent_arc,
    turn_between,
)
from skirtloft.maths.frozen import frozen_array

UP = line_piece(2, 2 + 1j)  # a bow, then a side
LEFT = line_piece(2 + 1j, 0 + 1j)
CIRCLE = ArcPiece(frozen_array((0.0, 0.0)), 1.0, 0.0, math.pi / 2)


def touches(arc: ArcPiece, before: Piece, after: Piece) -> None:
    """The arc leaves and meets both pieces (or the lines and circles they lie on) without a kink."""
    for piece, place, direction in (
        (before, piece_start(arc), start_direction(arc)),
        (after, piece_end(arc), end_direction(arc)),
    ):
        if isinstance(piece, ArcPiece):
            away = place - complex(*piece.centre)
            assert abs(away) == pytest.approx(piece.radius, abs=1e-12)
            tangent = 1j * away / abs(away)
        else:
            tangent = start_direction(piece)
            assert abs(((place - piece_start(piece)) / tangent).imag) < 1e-12
        assert abs(turn_between(tangent, direction)) < 1e-7


def test_line_to_line_square_corner() -> None:
    arc = tangent_arc(UP, LEFT, 0.25)
    assert arc is not None
    assert arc.centre.tolist() == pytest.approx([1.75, 0.75])  # radius in from both
    assert (arc.start_angle, arc.sweep) == pytest.approx((0.0, math.pi / 2))
    touches(arc, UP, LEFT)


def test_line_to_line_tangent_length_is_r_tan_half_the_angle() -> None:
    slant = line_piece(2 + 1j, 1 + 1.5j)
    angle = turn_between(start_direction(UP), start_direction(slant))
    arc = tangent_arc(UP, slant, 0.2)
    assert arc is not None
    assert arc.sweep == pytest.approx(angle)
    assert abs(piece_start(arc) - (2 + 1j)) == pytest.approx(0.2 * math.tan(angle / 2))
    touches(arc, UP, slant)


def test_line_to_arc() -> None:
    wall = line_piece(0.9 - 1j, 0.9 + 0j)  # runs up at x = .9, the circle of radius 1 turns over it
    arc = tangent_arc(wall, CIRCLE, 0.1)
    assert arc is not None
    # centre .1 left of the wall and .9 from the origin: x .8, y sqrt(.81 - .64)
    assert arc.centre.tolist() == pytest.approx([0.8, math.sqrt(0.17)])
    touches(arc, wall, CIRCLE)


def test_arc_to_line() -> None:
    roof = line_piece(0.4 + 0.9j, -2 + 0.9j)
    arc = tangent_arc(CIRCLE, roof, 0.1)
    assert arc is not None
    assert arc.centre.tolist() == pytest.approx([math.sqrt(0.17), 0.8])
    touches(arc, CIRCLE, roof)


def test_arc_to_a_line_clear_of_it_needs_a_larger_radius() -> None:
    roof = line_piece(0.0 + 1.2j, -2 + 1.2j)  # .2 outside the circle
    assert tangent_arc(CIRCLE, roof, 0.9) is None
    arc = tangent_arc(CIRCLE, roof, 2.0)
    assert arc is not None
    # |centre| = 2 - 1, centre .8 below the axis: x -sqrt(1 - .64)
    assert arc.centre.tolist() == pytest.approx([-0.6, -0.8])
    touches(arc, CIRCLE, roof)


def test_arc_to_arc() -> None:
    first = ArcPiece(frozen_array((0.0, 0.0)), 1.0, 0.0, 1.8)
    other = ArcPiece(frozen_array((0.6, 0.0)), 1.0, math.pi - 1.8, 1.8)  # two circles that cross at x = .3
    arc = tangent_arc(first, other, 0.25)
    assert arc is not None
    assert arc.centre.tolist() == pytest.approx([0.3, math.sqrt(0.75**2 - 0.3**2)])  # .75 from both centres
    touches(arc, first, other)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (UP, line_piece(2 + 1j, 2 + 2j)),  # in line
        (LEFT, line_piece(0 + 1j, 0 + 2j)),  # turns right
        (CIRCLE, CIRCLE),
        (CIRCLE, line_piece(0 + 3j, -1 + 3j)),  # far from the circle
    ],
)
def test_no_arc_where_there_is_none(before: Piece, after: Piece) -> None:
    assert tangent_arc(before, after, 0.5) is None


def test_rounded_corners_leave_a_path_without_gaps() -> None:
    pieces = [UP, LEFT, line_piece(0 + 1j, 0)]
    rounded = round_corners(pieces, [0.25, 0.5])
    assert rounded.lengths == pytest.approx((0.75, 2.0 - 0.25 - 0.5, 0.5))
    first, second = rounded.arcs
    assert first is not None
    assert second is not None
    laid = [rounded.pieces[0], first, rounded.pieces[1], second, rounded.pieces[2]]
    for one, two in itertools.pairwise(laid):
        assert abs(piece_end(one) - piece_start(two)) < 1e-14
    # 4 m of lines, each corner 2 r of them replaced by a quarter circle
    assert make_path(laid).breaks[-1] == pytest.approx(4.0 + (math.pi / 2 - 2.0) * 0.75)


def test_overlapping_arcs_show_as_a_negative_length() -> None:
    rounded = round_corners([UP, LEFT, line_piece(0 + 1j, 0)], [0.9, 1.3])
    assert rounded.lengths[1] == pytest.approx(2.0 - 0.9 - 1.3)
    assert rounded.missing == ()


def test_a_corner_without_an_arc_is_named() -> None:
    rounded = round_corners([UP, line_piece(2 + 1j, 2 + 2j)], [0.5])
    assert rounded.missing == (0,)


def test_largest_radius_is_exact_for_a_straight_run() -> None:
    def margin(radius: float) -> float:
        return min(round_corners([UP, LEFT, line_piece(0 + 1j, 0)], [radius, 0.3]).lengths)

    assert largest_radius(margin, 2.0, 2.0) == pytest.approx(1.0, abs=1e-14)  # the bow is 1 m long


def test_largest_radius_of_a_range_that_does_not_start_at_nothing() -> None:
    def margin(radius: float) -> float:
        return 0.7**2 - (radius - 2.0) ** 2 if radius > 1.4 else -math.inf

    assert largest_radius(margin, 1.0, 1.2) == pytest.approx(2.7, abs=1e-12)
    assert largest_radius(lambda radius: -1.0, 1.0, 2.0) is None


def test_mirrored_and_end_for_end_keep_turning_left() -> None:
    arc = ArcPiece(frozen_array((1.0, 0.5)), 0.4, 0.2, 0.7)
    back = mirrored(arc)
    assert piece_start(back) == pytest.approx(piece_end(arc).conjugate())
    assert piece_end(back) == pytest.approx(piece_start(arc).conjugate())
    assert isinstance(back, ArcPiece)
    assert back.sweep == arc.sweep
    turned = end_for_end(arc)
    assert piece_start(turned) == pytest.approx(-piece_end(arc).conjugate())
    assert piece_end(end_for_end(turned)) == pytest.approx(piece_end(arc))
    assert piece_start(end_for_end(UP)) == pytest.approx(-2 + 1j)
