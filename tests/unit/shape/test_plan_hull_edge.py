"""Hull edge: pieces, fillets, heights, and every way it can be drawn wrongly. Expected numbers are closed forms."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from skirtloft.design.model import HullPoint
from skirtloft.errors import DesignError, ShapeError
from skirtloft.maths.curves import ArcPiece, area_to_axis, path_length, points_at
from skirtloft.shape.hull_edge import hull_edge, hull_height
from tests.plan_cases import CLEARANCE, HEIGHT, ROUND, SQUARE, TAPERED, edge_of, hull_points


def problems_of(points: list[HullPoint]) -> dict[str, str]:
    with pytest.raises(DesignError) as caught:
        hull_edge(points, CLEARANCE)
    return {problem.path: f"{problem.given} {problem.wrong} {problem.would_do}" for problem in caught.value.problems}


def moved(corners, index: int, x: float, y: float):
    return [(x, y, label) if i == index else (cx, cy, label) for i, (cx, cy, label) in enumerate(corners)]


def test_sharp_corners_stay_as_drawn() -> None:
    hull = edge_of(TAPERED)
    assert hull.labels == ("bow", "side", "side", "stern")
    lengths = [0.55, math.hypot(1.4, 0.5), 3.0, 1.05]
    assert hull.path.breaks.tolist() == pytest.approx([0.0, *np.cumsum(lengths)])
    assert hull.heights.tolist() == pytest.approx([CLEARANCE + HEIGHT] * 5)


def test_fillet_is_tangent_and_labelled_corner() -> None:
    hull = edge_of(SQUARE, at1={"radius": 0.3})
    assert hull.labels == ("bow", "corner", "side", "stern")
    arc = hull.path.pieces[1]
    assert isinstance(arc, ArcPiece)
    assert arc.centre.tolist() == pytest.approx([4.105, 0.75])
    assert path_length(hull.path) == pytest.approx(0.75 + 0.15 * math.pi + 4.105 + 1.05)
    assert area_to_axis(hull.path) == pytest.approx(4.405 * 1.05 - (1 - math.pi / 4) * 0.09)
    assert len(hull.drawn) == 3  # the pieces the joint line is moved from stay whole


def test_arc_piece_through_a_third_point() -> None:
    corners = [(4.4, 0.0, "bow"), (3.35, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
    half = 1.05 * math.sqrt(0.5)
    hull = edge_of(corners, at0={"through": (3.35 + half, half)})
    arc = hull.path.pieces[0]
    assert isinstance(arc, ArcPiece)
    assert (arc.radius, arc.sweep) == pytest.approx((1.05, math.pi / 2))
    assert arc.centre.tolist() == pytest.approx([3.35, 0.0])


def test_height_is_linear_in_plan_length_between_vertices() -> None:
    points = hull_points(SQUARE, at0={"height": 0.4}, at1={"height": 0.3}, at2={"height": 0.2}, at3={"height": 0.2})
    hull = hull_edge(points, CLEARANCE)
    at = [0.0, 0.525, 1.05, 1.05 + 4.405 / 4, 1.05 + 4.405]
    assert hull_height(hull, at).tolist() == pytest.approx([0.64, 0.59, 0.54, 0.515, 0.44])


def test_height_over_a_fillet_runs_between_its_tangent_points() -> None:
    points = hull_points(
        SQUARE, at0={"height": 0.4}, at1={"height": 0.3, "radius": 0.3}, at2={"height": 0.2}, at3={"height": 0.2}
    )
    hull = hull_edge(points, CLEARANCE)
    first, last = 0.24 + 0.4 - 0.1 * 0.75 / 1.05, 0.24 + 0.3 - 0.1 * 0.3 / 4.405  # on the pieces as drawn
    assert hull.heights[1:3].tolist() == pytest.approx([first, last])
    middle = (hull.path.breaks[1] + hull.path.breaks[2]) / 2
    assert hull_height(hull, [middle])[0] == pytest.approx((first + last) / 2)


def test_fillet_may_use_up_a_piece() -> None:
    hull = edge_of(SQUARE, at1={"radius": 1.05})
    assert hull.labels == ("corner", "side", "stern")
    assert hull.heights.tolist() == pytest.approx([CLEARANCE + HEIGHT] * 4)
    assert points_at(hull.path, [0.0])[0] == pytest.approx((4.405, 0.0))


def test_pointed_bow_rounded_across_the_centre_line() -> None:
    corners = [(5.0, 0.0, "bow"), (4.0, 1.0, "side"), (0.0, 1.0, "stern"), (0.0, 0.0, None)]
    points = hull_points(corners, at0={"radius": 0.5, "height": 0.36})
    hull = hull_edge(points, CLEARANCE)
    arc = hull.path.pieces[0]
    assert isinstance(arc, ArcPiece)
    assert arc.centre.tolist() == pytest.approx([5.0 - 0.5 * math.sqrt(2.0), 0.0])  # .5 from both slopes of 45 deg
    assert (arc.start_angle, arc.sweep) == pytest.approx((0.0, math.pi / 4))
    # both tangent points are equally high, .5 m down the slope of 1.414 m
    assert hull.heights[:2].tolist() == pytest.approx([0.24 + 0.36 - 0.1 * 0.5 / math.sqrt(2.0)] * 2)


def test_rounding_of_coordinates_is_no_wrong_turn() -> None:
    straight = [*SQUARE[:2], (2.0, 1.0495, "side"), *SQUARE[2:]]  # half a millimetre inboard in 2 m
    assert len(edge_of(straight).path.pieces) == 4


@pytest.mark.parametrize(
    ("index", "x", "y", "path"),
    [(2, 2.0, 0.7, "hull.edge[2]"), (1, 4.45, 0.55, "hull.edge[0]"), (3, -0.1, 1.0, "hull.edge[4]")],
)
def test_wrong_turn_is_named(index: int, x: float, y: float, path: str) -> None:
    found = problems_of(hull_points(moved(TAPERED, index, x, y)))
    assert "turns the wrong way" in found[path]


def test_all_wrong_turns_at_once() -> None:
    corners = [*TAPERED[:3], (2.0, 0.9, "side"), (1.5, 1.05, "side"), (1.0, 0.9, "side"), *TAPERED[3:]]
    assert set(problems_of(hull_points(corners))) == {"hull.edge[3]", "hull.edge[5]"}


def test_wrong_turn_tells_by_how_much() -> None:
    corners = [*SQUARE[:2], (2.0, 0.95, "side"), *SQUARE[2:]]
    turn = math.degrees(math.atan2(0.1, 2.405) + math.atan2(0.1, 2.0))
    assert f"{turn:.2f} deg" in problems_of(hull_points(corners))["hull.edge[2]"]


def test_arc_bent_inward() -> None:
    found = problems_of(hull_points(SQUARE, at1={"through": (2.2, 1.0)}))
    assert "bends inward" in found["hull.edge[1]"]


def test_spiral_is_refused() -> None:
    """Six turns of 90 deg to a half: 1080 deg in all."""
    corners = [
        (4.0, 0.0, "bow"),
        (4.0, 3.0, "bow"),
        (-3.0, 3.0, "bow"),
        (-3.0, 0.5, "bow"),
        (3.0, 0.5, "bow"),
        (3.0, 2.0, "side"),
        (0.0, 2.0, "stern"),
        (0.0, 0.0, None),
    ]
    assert "1080 deg" in problems_of(hull_points(corners))["hull.edge[0]"]


@pytest.mark.parametrize(
    ("changes", "path", "says"),
    [
        ({"at0": {"y": 0.1}}, "hull.edge[0].y", "bow centre"),
        ({"at3": {"y": 0.2}}, "hull.edge[3].y", "stern centre"),
        ({"at1": {"y": -1.05}}, "hull.edge[1].y", "port half"),
        ({"at1": {"run": None}}, "hull.edge[1].run", "bow, side, stern, corner"),
        ({"at2": {"run": "bow"}}, "hull.edge[2].run", "after a piece labelled side"),
        ({"at1": {"run": "corner"}}, "hull.edge[0].run", "No piece is labelled side"),
        ({"at2": {"x": 4.405, "y": 1.05}}, "hull.edge[2]", "repeats"),
        ({"at1": {"through": (2.0, 1.05)}}, "hull.edge[1].through", "in line"),
        ({"at3": {"through": (2.0, 1.05)}}, "hull.edge[3].through", "last point"),
        ({"at3": {"run": "stern"}}, "hull.edge[3].run", "last point"),
        ({"at0": {"radius": 0.1}}, "hull.edge[0].radius", "no corner"),
        ({"at3": {"x": 0.2}, "at2": {"x": 0.2}}, "hull.edge[3].x", "take 0.2 m off"),
    ],
)
def test_what_is_wrong_is_named(changes, path: str, says: str) -> None:
    found = problems_of(hull_points(SQUARE, **changes))
    assert list(found) == [path]
    assert says in found[path]


def test_radius_below_zero() -> None:
    points = hull_points(SQUARE)
    points[1] = points[1].model_copy(update={"radius": -0.1})
    assert "above zero" in problems_of(points)["hull.edge[1].radius"]


def test_unknown_label() -> None:
    points = hull_points(SQUARE)
    points[1] = points[1].model_copy(update={"run": "keel"})
    assert "'keel'" in problems_of(points)["hull.edge[1].run"]


def test_order_from_stern_to_bow() -> None:
    corners = [(0.0, 0.0, "bow"), (0.0, 1.0, "side"), (4.0, 1.0, "stern"), (4.0, 0.0, None)]
    assert "bow centre to stern centre" in problems_of(hull_points(corners))["hull.edge[0].x"]


def test_too_few_points() -> None:
    assert "at least two" in problems_of(hull_points(SQUARE[:1]))["hull.edge"]


def test_every_problem_at_once() -> None:
    found = problems_of(hull_points(SQUARE, at0={"y": 0.1, "run": None}, at2={"y": -1.0}))
    assert set(found) == {"hull.edge[0].y", "hull.edge[0].run", "hull.edge[2].y"}


@pytest.mark.parametrize(
    ("changes", "where", "largest"),
    [
        ({"at1": {"radius": 1.2}}, "hull.edge[1].radius", 1050.0),  # the bow is 1.05 m long
        ({"at1": {"radius": 0.8}, "at2": {"radius": 1.2}}, "hull.edge[2].radius", 1050.0),
    ],
)
def test_fillet_too_large_gives_the_largest_that_fits(changes, where: str, largest: float) -> None:
    with pytest.raises(ShapeError) as caught:
        hull_edge(hull_points(ROUND, **changes), CLEARANCE)
    assert caught.value.where == where
    (given,) = re.findall(r"at most ([\d.]+) mm", caught.value.would_do)
    assert float(given) == pytest.approx(largest)
    index = f"at{re.findall(r'[0-9]', where)[0]}"
    hull_edge(hull_points(ROUND, **{**changes, index: {"radius": float(given) / 1000.0}}), CLEARANCE)  # it does fit


def test_fillets_that_overlap_each_other() -> None:
    corners = [(1.0, 0.0, "bow"), (1.0, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None)]
    with pytest.raises(ShapeError) as caught:
        hull_edge(hull_points(corners, at1={"radius": 1.04}, at2={"radius": 1.03}), CLEARANCE)
    assert "Use 500.0 mm for all" in caught.value.would_do  # half the side each
