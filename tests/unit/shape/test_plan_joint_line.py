"""Joint line: moved pieces, corner arcs, full radii, lines given outright. Expected numbers are closed forms."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import numpy as np
import pytest

from skirtloft.errors import DesignError, ShapeError
from skirtloft.maths.curves import (
    ArcPiece,
    LinePiece,
    end_direction,
    piece_end,
    piece_start,
    start_direction,
)
from skirtloft.maths.fillets import turn_between
from skirtloft.shape.joint_given import check_arc_radii, given_joint_line
from skirtloft.shape.joint_line import JointLine, joint_line
from tests.plan_cases import OFFSETS, ROUND, SQUARE, TAPERED, edge_of, joint_of, joint_points

X = OFFSETS["side"]
ARC_BOW = [(4.4, 0.0, "bow"), (3.35, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
ON_ARC = (3.35 + 1.05 * math.sqrt(0.5), 1.05 * math.sqrt(0.5))
LEVEL = {"bow": X, "side": X, "stern": X}


def is_sound(line: JointLine) -> None:
    """Laid end to end, tangent-continuous, from centre line to centre line and square to it."""
    pieces = line.path.pieces
    for before, after in itertools.pairwise(pieces):
        assert abs(piece_end(before) - piece_start(after)) < 1e-11
        assert abs(turn_between(end_direction(before), start_direction(after))) < 1e-9
    for place, direction in (
        (piece_start(pieces[0]), start_direction(pieces[0])),
        (piece_end(pieces[-1]), -end_direction(pieces[-1])),
    ):
        assert abs(place.imag) < 1e-11
        assert abs(turn_between(1j, direction)) < 1e-9
    assert len(line.names) == len(pieces) == len(line.break_names) - 1


def error_of(*arguments: Any) -> ShapeError:
    with pytest.raises(ShapeError) as caught:
        joint_line(*arguments)
    return caught.value


def millimetres_in(text: str) -> float:
    return float(re.findall(r"([\d.]+) mm", text)[0])


@pytest.mark.parametrize(
    ("corners", "names", "at_breaks"),
    [
        (SQUARE, "bow bow_corner side stern_corner stern", "bow bow side side stern stern"),
        (
            TAPERED,
            "bow bow_corner side side_corner side stern_corner stern",
            "bow bow side side side side stern stern",
        ),
    ],
)
def test_runs_in_order(corners, names: str, at_breaks: str) -> None:
    line = joint_of(edge_of(corners), 0.7, 0.7, 0.7)
    assert line.names == tuple(names.split())
    assert line.break_names == tuple(at_breaks.split())
    assert line.crosses_bow
    assert line.crosses_stern
    is_sound(line)


def test_each_corner_takes_its_own_radius() -> None:
    line = joint_of(edge_of(TAPERED), 0.6, 1.5, 0.8)
    radii = [piece.radius for piece in line.path.pieces if isinstance(piece, ArcPiece)]
    assert radii == [0.6, 1.5, 0.8]


def test_two_bow_and_two_stern_pieces_are_joined_by_their_own_radius() -> None:
    corners = [
        (4.4, 0.0, "bow"),
        (4.3, 0.6, "bow"),
        (3.9, 1.1, "side"),
        (0.3, 1.1, "stern"),
        (0.0, 0.5, "stern"),
        (0.0, 0.0, None),
    ]
    line = joint_line(edge_of(corners).drawn, OFFSETS, {"bow": 0.3, "side": 9.0, "stern": 0.4})
    is_sound(line)
    arcs = [
        (name, piece.radius)
        for name, piece in zip(line.names, line.path.pieces, strict=True)
        if isinstance(piece, ArcPiece)
    ]
    assert arcs == [("bow_corner", 0.3)] * 3 + [("stern_corner", 0.4)] * 2


def test_corner_pieces_are_left_out() -> None:
    chamfered = [(4.405, 0.0, "bow"), (4.405, 0.7, "corner"), (4.0, 1.05, "side"), *SQUARE[2:]]
    with_chamfer, without = joint_of(edge_of(chamfered)), joint_of(edge_of(SQUARE))
    assert with_chamfer.path.breaks.tolist() == pytest.approx(without.path.breaks.tolist(), abs=1e-12)


def test_hull_fillets_do_not_move_the_joint_line() -> None:
    rounded, sharp = joint_of(edge_of(SQUARE, at1={"radius": 0.4})), joint_of(edge_of(SQUARE))
    assert rounded.path.breaks.tolist() == sharp.path.breaks.tolist()


def test_straight_neighbours_of_one_run_are_one_run() -> None:
    halved = [*SQUARE[:2], (2.0, 1.05, "side"), *SQUARE[2:]]
    assert joint_of(edge_of(halved)).names == joint_of(edge_of(SQUARE)).names
    nearly = [*SQUARE[:2], (2.0, 1.0505, "side"), *SQUARE[2:]]  # half a millimetre out
    assert joint_of(edge_of(nearly)).names == joint_of(edge_of(SQUARE)).names


def test_bow_drawn_as_one_arc_gives_a_parallel_arc() -> None:
    hull = edge_of(ARC_BOW, at0={"through": ON_ARC})
    line = joint_line(hull.drawn, LEVEL, {"bow": 9.0, "side": 9.0, "stern": 0.75})
    assert line.names == ("bow", "side", "stern_corner", "stern")
    bow = line.path.pieces[0]
    assert isinstance(bow, ArcPiece)
    assert bow.radius == pytest.approx(1.05 + X)
    assert bow.centre.tolist() == pytest.approx([3.35, 0.0], abs=1e-12)
    assert line.crosses_bow
    is_sound(line)


def test_bow_arc_drawn_to_the_millimetre_is_made_tangent() -> None:
    hull = edge_of(ARC_BOW, at0={"through": (4.092, 0.743)})
    line = joint_line(hull.drawn, LEVEL, {"bow": 9.0, "side": 9.0, "stern": 0.75})
    assert line.names == ("bow", "side", "stern_corner", "stern")
    bow = line.path.pieces[0]
    assert isinstance(bow, ArcPiece)
    assert bow.radius == pytest.approx(1.05 + X, abs=1e-3)
    assert piece_end(bow).imag == pytest.approx(1.05 + X, abs=1e-12)
    is_sound(line)


def test_stern_drawn_as_one_arc_to_the_millimetre() -> None:
    corners = [(4.4, 0.0, "bow"), (4.4, 1.05, "side"), (1.05, 1.05, "stern"), (0.0, 0.0, None)]
    hull = edge_of(corners, at2={"through": (0.308, 0.743)})
    line = joint_line(hull.drawn, LEVEL, {"bow": 0.75, "side": 9.0, "stern": 9.0})
    assert line.names == ("bow", "bow_corner", "side", "stern")
    assert line.crosses_stern
    is_sound(line)


def test_bow_drawn_a_millimetre_off_square_is_squared() -> None:
    corners = [(4.4005, 0.0, "bow"), (4.3995, 1.05, "side"), *SQUARE[2:]]
    line = joint_of(edge_of(corners))
    assert line.names[0] == "bow"
    assert piece_start(line.path.pieces[0]).real == pytest.approx(4.4 - 0.075, abs=1e-6)
    is_sound(line)


def test_bow_arc_moved_less_than_the_side_takes_a_wider_corner() -> None:
    hull = edge_of(ARC_BOW, at0={"through": ON_ARC})
    line = joint_line(hull.drawn, OFFSETS, {"bow": 1.5, "side": 9.0, "stern": 0.75})
    assert line.names[:3] == ("bow", "bow_corner", "side")
    is_sound(line)
    error = error_of(hull.drawn, OFFSETS, {"bow": 0.75, "side": 9.0, "stern": 0.75})
    assert error.where.startswith("skirt.corner.bow")
    assert "no arc that small" in error.why


def test_pointed_bow_gets_an_arc_across_the_centre_line() -> None:
    corners = [(5.0, 0.0, "bow"), (4.0, 1.0, "side"), (0.0, 1.0, "stern"), (0.0, 0.0, None)]
    line = joint_of(edge_of(corners), bow=0.6)
    assert line.names[:4] == ("bow_corner", "bow", "bow_corner", "side")
    arc = line.path.pieces[0]
    assert isinstance(arc, ArcPiece)
    assert (arc.start_angle, arc.sweep) == pytest.approx((0.0, math.pi / 4))
    assert arc.centre[0] == pytest.approx(5.0 - (0.075 + 0.6) * math.sqrt(2.0))  # .6 from the slope .075 inside
    assert line.crosses_bow
    is_sound(line)


def test_full_radius_leaves_no_run() -> None:
    line = joint_of(edge_of(ROUND), bow="full")
    assert line.names == ("bow_corner", "side", "stern_corner", "stern")
    assert line.break_names[0] == "bow"
    assert not line.crosses_bow
    arc = line.path.pieces[0]
    assert isinstance(arc, ArcPiece)
    assert arc.radius == pytest.approx(1.05 + X, abs=1e-12)
    is_sound(line)


def test_full_at_both_ends() -> None:
    line = joint_of(edge_of(ROUND), bow="full", stern="full")
    assert line.names == ("bow_corner", "side", "stern_corner")
    assert line.break_names == ("bow", "side", "side", "stern")
    assert (line.crosses_bow, line.crosses_stern) == (False, False)
    is_sound(line)


def test_full_radii_that_meet_share_the_run_between() -> None:
    short = [(1.5, 0.0, "bow"), (1.5, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
    line = joint_of(edge_of(short), bow="full", stern="full")
    assert line.names == ("bow", "bow_corner", "stern_corner", "stern")
    radii = [piece.radius for piece in line.path.pieces if isinstance(piece, ArcPiece)]
    assert radii == pytest.approx([(1.5 - 0.075 + X) / 2] * 2)  # half the joint length each
    assert line.break_names == ("bow", "bow", "side", "stern", "stern")
    is_sound(line)


def test_full_side_corner_uses_up_the_shorter_neighbour() -> None:
    line = joint_of(edge_of(TAPERED), 0.7, "full", 0.7)
    assert "side_corner" in line.names
    corner = line.names.index("side_corner")
    assert line.names[corner - 1] == "bow_corner"  # the taper has gone
    assert line.break_names[corner] == "side"
    arc = line.path.pieces[corner]
    assert isinstance(arc, ArcPiece)
    angle = math.atan2(0.5, 1.4)
    taper = 0.765433 + 0.7 * math.tan(angle / 2)  # check number of the tapered bow, its corner of .7 m taken back
    assert arc.radius == pytest.approx(taper / math.tan(angle / 2), abs=1e-5)
    is_sound(line)


@pytest.mark.parametrize(
    ("corners", "radii", "key", "largest"),  # largest: half the width of the joint line, less 20 mm for a panel
    [
        (SQUARE, {"bow": 1.3, "side": 0.7, "stern": 0.7}, "bow", 1.05 + X),
        (SQUARE, {"bow": 0.7, "side": 0.7, "stern": 1.25}, "stern", 1.05 + X),
        (TAPERED, {"bow": 0.7, "side": 6.0, "stern": 0.7}, "side", None),
    ],
)
def test_overlap_gives_the_largest_radius_that_fits(corners, radii, key: str, largest: float | None) -> None:
    hull = edge_of(corners)
    error = error_of(hull.drawn, OFFSETS, radii)
    assert error.where.startswith(f"skirt.corner.{key}")
    assert "overlap" in error.why
    roomy, full = (float(text) / 1000.0 for text in re.findall(r"([\d.]+) mm", error.would_do))
    if largest is not None:
        assert full == pytest.approx(largest, abs=1e-4)
        assert roomy == pytest.approx(largest - 0.02, abs=1e-4)
    assert error_of(hull.drawn, OFFSETS, {**radii, key: full + 2e-4}).where == error.where  # no larger one does
    is_sound(joint_line(hull.drawn, OFFSETS, {**radii, key: "full"}))
    is_sound(joint_line(hull.drawn, OFFSETS, {**radii, key: roomy}))


def test_two_corners_that_overlap_each_other() -> None:
    short = [(1.5, 0.0, "bow"), (1.5, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
    hull = edge_of(short)
    error = error_of(hull.drawn, OFFSETS, {"bow": 0.45, "side": 0.7, "stern": 1.19})
    length = 1.5 - 0.075 + X
    assert not error.where.startswith("skirt.corner.bow")  # that would need the most change
    assert millimetres_in(error.would_do) == pytest.approx(1000 * (length - 0.45 - 0.02), abs=0.1)


def test_run_too_short_for_a_panel() -> None:
    error = error_of(edge_of(SQUARE).drawn, OFFSETS, {"bow": 1.05 + X - 0.005, "side": 0.7, "stern": 0.7})
    assert "bow of the joint line" in error.where
    assert "10.0 mm long" in error.why  # twice 5 mm
    assert "full" in error.would_do


def test_arc_too_short_for_a_panel() -> None:
    slight = [*SQUARE[:2], (2.0, 1.06, "side"), *SQUARE[2:]]  # turns by .5 deg
    turn = math.atan2(0.01, 2.405) + math.atan2(0.01, 2.0)
    error = error_of(edge_of(slight).drawn, OFFSETS, {"bow": 0.75, "side": 0.75, "stern": 0.75})
    assert "side corner" in error.where
    needed = millimetres_in(error.would_do)
    assert needed == pytest.approx(20.0 / turn, abs=0.1)
    joint_line(edge_of(slight).drawn, OFFSETS, {"bow": 0.75, "side": needed / 1000, "stern": 0.75})


def test_arc_moved_in_beyond_its_radius() -> None:
    hull = edge_of(ARC_BOW, at0={"through": ON_ARC})
    error = error_of(hull.drawn, {**OFFSETS, "bow": -1.1}, {"bow": 0.5, "side": 0.5, "stern": 0.5})
    assert "less than the 1100.0 mm" in error.why


def test_no_radius_fits() -> None:
    short = [(0.4, 0.0, "bow"), (0.4, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
    hull = edge_of(short)
    error = error_of(hull.drawn, {"bow": -0.3, "side": 0.1, "stern": -0.3}, {"bow": 0.5, "side": 0.5, "stern": 0.5})
    assert error.where == "skirt.corner"
    assert "outright" in error.would_do


def test_arcs_of_one_circle_are_one_run() -> None:
    corners = [(4.4, 0.0, "bow"), (*ON_ARC, "bow"), *ARC_BOW[1:]]
    eighth = math.pi / 8
    throughs = [(3.35 + 1.05 * math.cos(turn), 1.05 * math.sin(turn)) for turn in (eighth, 3 * eighth)]
    hull = edge_of(corners, at0={"through": throughs[0]}, at1={"through": throughs[1]})
    line = joint_line(hull.drawn, LEVEL, {"bow": 9.0, "side": 9.0, "stern": 0.75})
    assert line.names == ("bow", "side", "stern_corner", "stern")
    is_sound(line)


def test_bow_of_two_arcs_that_meet_in_a_point() -> None:
    """Arcs of 2 m about (2.4, -.9) and its mirror image: a point on the centre line, rounded to .6 m."""
    front = 2.4 + math.sqrt(4.0 - 0.81)
    corners = [(front, 0.0, "bow"), (2.4, 1.1, "side"), (0.0, 1.1, "stern"), (0.0, 0.0, None)]
    hull = edge_of(corners, at0={"through": (2.4 + 2.0 * math.cos(1.0), 2.0 * math.sin(1.0) - 0.9)})
    line = joint_line(hull.drawn, LEVEL, {"bow": 0.6, "side": 0.6, "stern": 0.6})
    assert line.names[:3] == ("bow_corner", "bow", "side")
    arc = line.path.pieces[0]
    assert isinstance(arc, ArcPiece)
    assert arc.centre[1] == pytest.approx(0.0, abs=1e-12)
    assert math.hypot(arc.centre[0] - 2.4, 0.9) == pytest.approx(2.0 + X - 0.6)  # touches the moved arc inside
    assert line.crosses_bow
    is_sound(line)


def test_full_radius_beside_one_that_does_not_fit() -> None:
    error = error_of(edge_of(SQUARE).drawn, OFFSETS, {"bow": 5.0, "side": 0.7, "stern": "full"})
    assert error.where.startswith("skirt.corner.bow")


# --- given outright

GIVEN = [(4.33, 0.0, "bow"), (4.33, 1.2, "side"), (-0.15, 1.2, "stern"), (-0.15, 0.0, None)]
ROUNDED = {"at1": {"radius": 0.75}, "at2": {"radius": 0.75}}


def test_given_with_fillets() -> None:
    line = given_joint_line(joint_points(GIVEN, **ROUNDED))
    assert line.names == ("bow", "bow_corner", "side", "stern_corner", "stern")
    assert line.break_names == ("bow", "bow", "side", "side", "stern", "stern")
    assert line.path.breaks[1] == pytest.approx(0.45)
    is_sound(line)


def test_given_with_drawn_arcs() -> None:
    reach = 0.75 * (1 - math.sqrt(0.5))
    corners = [
        (4.33, 0.0, "bow"),
        (4.33, 0.45, "corner"),
        (3.58, 1.2, "side"),
        (1.2, 1.2, "stern"),
        (0.0, 0.0, None),
    ]
    points = joint_points(
        corners,
        at1={"through": (4.33 - reach, 1.2 - reach)},
        at3={"through": (1.2 - 1.2 * math.sqrt(0.5), 1.2 * math.sqrt(0.5))},
    )
    line = given_joint_line(points)
    assert line.names == ("bow", "bow_corner", "side", "stern")
    assert isinstance(line.path.pieces[3], ArcPiece)
    assert line.crosses_stern
    is_sound(line)


def test_given_round_bow_as_a_corner_has_a_seam_on_the_centre_line() -> None:
    corners = [(4.4, 0.0, "corner"), (3.2, 1.2, "side"), (-0.15, 1.2, "stern"), (-0.15, 0.0, None)]
    points = joint_points(
        corners, at0={"through": (3.2 + 1.2 * math.sqrt(0.5), 1.2 * math.sqrt(0.5))}, at2={"radius": 0.75}
    )
    line = given_joint_line(points)
    assert line.names[0] == "bow_corner"
    assert not line.crosses_bow
    is_sound(line)


def test_given_round_stern_as_a_corner() -> None:
    corners = [(4.33, 0.0, "bow"), (4.33, 1.2, "side"), (1.2, 1.2, "corner"), (0.0, 0.0, None)]
    through = (1.2 - 1.2 * math.sqrt(0.5), 1.2 * math.sqrt(0.5))
    line = given_joint_line(joint_points(corners, at1={"radius": 0.75}, at2={"through": through}))
    assert line.names[-1] == "stern_corner"
    assert not line.crosses_stern
    is_sound(line)


def test_given_pieces_in_line_are_one_run() -> None:
    corners = [*GIVEN[:2], (2.0, 1.2, "side"), *GIVEN[2:]]
    line = given_joint_line(joint_points(corners, at1={"radius": 0.75}, at3={"radius": 0.75}))
    assert line.names == ("bow", "bow_corner", "side", "stern_corner", "stern")
    assert isinstance(line.path.pieces[2], LinePiece)


def test_given_side_corner_is_named_after_its_neighbours() -> None:
    corners = [(4.4, 0.0, "bow"), (4.4, 0.8, "side"), (3.0, 1.2, "side"), (0.0, 1.2, "stern"), (0.0, 0.0, None)]
    line = given_joint_line(joint_points(corners, at1={"radius": 0.6}, at2={"radius": 1.0}, at3={"radius": 0.7}))
    assert line.names == ("bow", "bow_corner", "side", "side_corner", "side", "stern_corner", "stern")


@pytest.mark.parametrize(
    ("corners", "changes", "where", "says"),
    [
        (GIVEN, {"at1": {"radius": 0.75}}, "skirt.joint_line[2]", "corner of 90.00 deg"),
        ([*GIVEN[:2], (2.0, 1.0, "side"), *GIVEN[2:]], {}, "skirt.joint_line[2]", "convex"),
        ([(4.9, 0.0, "bow"), *GIVEN[1:]], ROUNDED, "skirt.joint_line[0]", "corner of"),
        ([*GIVEN[:3], (-0.4, 0.0, None)], ROUNDED, "skirt.joint_line[3]", "corner of"),
    ],
)
def test_given_line_must_be_convex_and_without_kinks(corners, changes, where: str, says: str) -> None:
    with pytest.raises(ShapeError) as caught:
        given_joint_line(joint_points(corners, **changes))
    assert caught.value.where.startswith(where)
    assert says in caught.value.why


def test_given_line_must_be_closed_and_labelled() -> None:
    with pytest.raises(DesignError) as caught:
        given_joint_line(joint_points(GIVEN, at0={"y": 0.2}, at1={"run": None}))
    assert [problem.path for problem in caught.value.problems] == ["skirt.joint_line[0].y", "skirt.joint_line[1].run"]


def test_given_fillets_that_overlap() -> None:
    with pytest.raises(ShapeError) as caught:
        given_joint_line(joint_points(GIVEN, at1={"radius": 1.3}, at2={"radius": 0.75}))
    assert caught.value.where == "skirt.joint_line[1].radius"
    assert "1200.0 mm" in caught.value.would_do


def test_given_run_too_short_for_a_panel() -> None:
    with pytest.raises(ShapeError) as caught:
        given_joint_line(joint_points(GIVEN, at1={"radius": 1.195}, at2={"radius": 0.75}))
    assert "10.0 mm long" in caught.value.why


# --- radii no line may go below: web corners at d cot(face), inner fixings at 2 d for 45 / 90 deg
INSETS_45 = (lambda at: np.full(len(at), 0.28), lambda at: np.full(len(at), 0.56))


@pytest.mark.parametrize(
    ("radius", "says"),
    [(0.27, "web corners"), (0.279, "web corners"), (0.281, "inner fixings"), (0.559, "inner fixings")],
)
def test_arcs_too_tight_for_the_segments(radius: float, says: str) -> None:
    line = joint_of(edge_of(SQUARE), bow=radius)
    with pytest.raises(ShapeError) as caught:
        check_arc_radii(line, *INSETS_45)
    assert says in caught.value.why
    assert millimetres_in(caught.value.would_do) == pytest.approx(560.0)
    assert "bow corner" in caught.value.where


def test_arcs_of_just_enough_radius_pass() -> None:
    check_arc_radii(joint_of(edge_of(SQUARE), bow=0.56, stern=0.56), *INSETS_45)
