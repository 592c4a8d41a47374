"""From a drawing to the points of the hull edge: exact for lines and arcs, within the tolerance for curves.

Expected numbers are the drawings' own dimensions or the closed forms named beside them.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from skirtloft.errors import DesignError
from skirtloft.maths.curves import ArcPiece, area_to_axis, path_length, start_direction
from skirtloft.shape.drawn.outline import Outline
from skirtloft.shape.hull_edge import hull_edge
from tests.outline_cases import INCH, METRE, MM, QUARTER, TAPERED, UNITLESS, polyline, read, rounded

L, W, R = 4.405, 1.05, 0.75


def places(outline: Outline) -> list[complex]:
    return [complex(point.x, point.y) for point in outline.points]


def labels(outline: Outline) -> list[str]:
    return [label for _, label in outline.pieces]


def runs(outline: Outline) -> list[str]:
    """Labels with repetitions left out."""
    found = labels(outline)
    return [label for k, label in enumerate(found) if k == 0 or label != found[k - 1]]


def test_a_polyline_with_bulges_comes_back_exactly() -> None:
    found = read(polyline(rounded()), bow=0.0)
    expected = [L, L + 1j * (W - R), L - R + 1j * W, R + 1j * W, 1j * (W - R), 0.0]
    np.testing.assert_allclose(places(found), expected, atol=1e-10)
    assert labels(found) == ["bow", "corner", "side", "corner", "stern"]
    edge = hull_edge(found.points, 0.24)
    assert path_length(edge.path) == pytest.approx(L - 2 * R + 2 * (W - R) + math.pi * R, abs=1e-9)
    assert 2.0 * area_to_axis(edge.path) == pytest.approx(2.0 * W * L - (4.0 - math.pi) * R**2, abs=1e-9)
    for piece in edge.path.pieces:
        if isinstance(piece, ArcPiece):
            assert piece.radius == pytest.approx(R, abs=1e-9)
    assert found.deviation.edge_from_drawing < 1e-9
    assert found.deviation.drawing_from_edge < 1e-9
    assert found.deviation.of_drawn < 1e-9


def chain(space: Any) -> None:
    """The same outline as loose lines and arcs, mixed up and run both ways."""
    length, half, r = 4405.0, 1050.0, 750.0
    space.add_line((r, half), (length - r, half))
    space.add_arc((length - r, -half + r), r, 270, 360)
    space.add_line((0, half - r), (0, -half + r))
    space.add_arc((r, half - r), r, 90, 180)
    space.add_line((length, half - r), (length, -half + r))
    space.add_arc((length - r, half - r), r, 0, 90)
    space.add_arc((r, -half + r), r, 180, 270)
    space.add_line((r, -half), (length - r, -half))


def test_loose_lines_and_arcs_are_the_same_outline() -> None:
    np.testing.assert_allclose(places(read(chain, bow=0.0)), places(read(polyline(rounded()), bow=0.0)), atol=2e-10)


@pytest.mark.parametrize("quarters", [0, 1, 2, 3])
def test_bow_to_any_side_and_anywhere(quarters: int) -> None:
    turn = 1j**quarters
    moved = [((turn * complex(x, y)).real - 700.0, (turn * complex(x, y)).imag + 300.0) for x, y in TAPERED]
    found = read(polyline(moved), bow=quarters * math.pi / 2.0)
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=1e-10)
    assert labels(found) == ["bow", "side", "side", "stern"]
    np.testing.assert_allclose(
        found.half.centre, (1j**-quarters * complex(-0.7, 0.3)).imag, atol=1e-12
    )  # of the moved origin


def test_the_bow_not_told_is_towards_rising_x_or_y() -> None:
    along_x, along_y = read(polyline(TAPERED)), read(polyline([(-y, x) for x, y in TAPERED]))
    assert places(along_x) == places(along_y)
    turned_round = read(polyline([(-x, -y) for x, y in TAPERED]))
    assert places(turned_round)[0] == pytest.approx(4.4)
    assert turned_round.points[1].y == pytest.approx(1.05), "the wide end now points forward"


def test_any_other_direction_must_be_told() -> None:
    turn = complex(math.cos(0.3), math.sin(0.3))
    moved = [(complex(x, y) * turn) for x, y in TAPERED]
    found = read(polyline([(p.real, p.imag) for p in moved]), bow=0.3)
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=1e-9)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("backwards", [False, True])
def test_half_an_outline_of_either_side_and_way_round(sign: float, backwards: bool) -> None:
    points = [(4400, 0), (4400, 550 * sign), (3000, 1050 * sign), (0, 1050 * sign), (0, 0)]
    points = points[::-1] if backwards else points
    found = read(lambda space: space.add_lwpolyline(points))
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=1e-10)
    assert found.half.asymmetry is None


def test_a_half_closed_along_the_centre_line_must_be_told() -> None:
    half = polyline([(4400, 100), (4400, 650), (3000, 1150), (0, 1150), (0, 100)])
    found = read(half, half=True)
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=1e-10)
    assert found.half.centre == pytest.approx(0.1)


@pytest.mark.parametrize(("code", "size"), [(MM, 1e-3), (METRE, 1.0), (INCH, 0.0254)])
def test_units_of_the_drawing(code: int, size: float) -> None:
    drawn = [(0.001 * x / size, 0.001 * y / size) for x, y in TAPERED]
    found = read(polyline(drawn), code)
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=3e-10)


@pytest.mark.parametrize("code", [UNITLESS, MM])
def test_units_told_stand_before_those_of_the_drawing(code: int) -> None:
    drawn = [(x / 304.8, y / 304.8) for x, y in TAPERED]  # feet
    found = read(polyline(drawn), code, units="ft")
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=3e-10)
    assert found.unit.said_by == "told"


def ellipse(space: Any) -> None:
    space.add_ellipse((2500, 0), (2500, 0), 0.46)


@pytest.mark.parametrize("tolerance", [4e-3, 1e-3, 1e-4])
def test_an_ellipse_within_the_tolerance_both_ways(tolerance: float) -> None:
    found = read(ellipse, bow=0.0, tolerance=tolerance)
    edge = hull_edge(found.points, 0.24)
    at = np.linspace(0.0, math.pi, 2001)
    drawn = 2.5 + 2.5 * np.cos(at) + 1.15j * np.sin(at)
    gaps = np.full(len(at), np.inf)  # our own distances, piece by piece
    for piece in edge.path.pieces:
        assert isinstance(piece, ArcPiece)
        centre, half = complex(*piece.centre), piece.sweep / 2.0
        beside = np.angle((drawn - centre) * np.exp(-1j * (piece.start_angle + half)))
        gap = np.where(np.abs(beside) <= half + 1e-4, np.abs(np.abs(drawn - centre) - piece.radius), np.inf)
        gaps = np.minimum(gaps, gap)
    assert gaps.max() <= tolerance
    assert gaps.max() == pytest.approx(found.deviation.drawing_from_edge, rel=0.01)
    assert found.deviation.edge_from_drawing == pytest.approx(found.deviation.drawing_from_edge, rel=0.05)
    assert found.deviation.edge_from_drawing > tolerance / 4.0
    exact = math.pi * 2.5 * 1.15
    assert abs(2.0 * area_to_axis(edge.path) - exact) < 2.0 * tolerance * path_length(edge.path)
    kinks = [abs(turn) for turn in _kinks(edge.path.pieces)]
    assert max(kinks) < 1e-6, "tangent, written to a tenth of a nanometre"


def _kinks(pieces: Any) -> list[float]:
    ends = [(piece.start_angle, piece.start_angle + piece.sweep) for piece in pieces]
    return [math.remainder(after[0] - before[1], 2.0 * math.pi) for before, after in pairwise(ends)]


def test_a_closed_spline_of_an_ellipse() -> None:
    """Eight rational quadratic quarters of a circle, stretched (Piegl and Tiller, The NURBS Book; from memory)."""
    s = math.sqrt(0.5)
    square = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1), (1, 0)]
    points = [(2500 + 2500 * x, 1150 * y) for x, y in square]
    weights, knots = [1, s, 1, s, 1, s, 1, s, 1], [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    found = read(lambda space: space.add_rational_spline(points, weights, degree=2, knots=knots), bow=0.0)
    same = read(ellipse, bow=0.0)
    assert len(found.points) == pytest.approx(len(same.points), abs=2)
    np.testing.assert_allclose(places(found)[0], 5.0, atol=1e-9)
    assert found.deviation.edge_from_drawing <= 1e-3


def test_a_round_bow_and_straight_sides_from_circle_and_lines() -> None:
    def draw(space: Any) -> None:
        space.add_arc((3400, 0), 1000, 270, 90)
        space.add_lwpolyline([(3400, 1000), (0, 1000), (0, -1000), (3400, -1000)])

    found = read(draw)
    assert runs(found) == ["bow", "corner", "side", "stern"]
    assert found.points[1].x == pytest.approx(3.4 + math.sqrt(0.5), abs=1e-9)  # where it faces 45 deg
    assert found.deviation.edge_from_drawing < 1e-9


def test_a_circle_has_a_bow_a_side_and_a_stern() -> None:
    found = read(lambda space: space.add_circle((0, 0), 1500), bow=0.0)
    assert labels(found) == ["bow", "side", "stern"]
    np.testing.assert_allclose(
        places(found), [3.0, 1.5 + 1.5 * np.exp(0.25j * np.pi), 1.5 + 1.5 * np.exp(0.75j * np.pi), 0.0], atol=1e-9
    )


def test_a_fillet_is_a_corner_and_a_long_curve_is_not() -> None:
    fillet = read(lambda space: space.add_lwpolyline(_half(300.0), format="xyb"))
    assert labels(fillet) == ["bow", "corner", "side", "stern"]
    crowned = math.tan(math.radians(20.0) / 4.0)  # a bow and a side that curve by 20 deg
    points = [(4200, 0, crowned / 2), (4100, 800, 0), (3800, 1000, crowned), (400, 1000, 0), (0, 700, 0), (0, 0, 0)]
    assert labels(read(lambda space: space.add_lwpolyline(points, format="xyb"))) == [
        "bow",
        "side",
        "side",
        "side",
        "stern",
    ]


def _half(r: float) -> list[tuple[float, float, float]]:
    return [(4000, 0, 0), (4000, 1000 - r, QUARTER), (4000 - r, 1000, 0), (0, 1000, 0), (0, 0, 0)]


def test_heights_from_the_drawing() -> None:
    points = [(4400, 0, 400), (4400, 550, 400), (3000, 1050, 340), (0, 1050, 300), (0, 0, 300)]
    found = read(lambda space: space.add_polyline3d(points), height=None)
    assert [point.height for point in found.points] == pytest.approx([0.4, 0.4, 0.34, 0.3, 0.3], abs=1e-10)
    told = read(lambda space: space.add_polyline3d(points), height=0.35)
    assert {point.height for point in told.points} == {0.35}


def test_heights_along_a_spline_keep_the_tolerance() -> None:
    points = [(5000, 0, 450), (5000, 900, 430), (3500, 1150, 350), (1500, 1150, 300), (0, 1150, 260), (0, 0, 260)]
    spline = read(lambda space: space.add_open_spline(points), height=None, tolerance=2e-3)
    assert spline.points[0].height == pytest.approx(0.45, abs=1e-9)
    assert spline.points[-1].height == pytest.approx(0.26, abs=1e-9)
    assert 0.0 < spline.deviation.height <= 2e-3


def test_slop_within_the_snap_distance_is_closed_and_told() -> None:
    def draw(space: Any) -> None:
        space.add_lwpolyline([(4400, 0), (4400, 550), (3000, 1050)])
        space.add_lwpolyline([(3000, 1050.06), (0, 1050), (0, 0)])

    found = read(draw)
    assert found.chain.widest_gap == pytest.approx(6e-5, abs=1e-12)
    assert found.points[2].y == pytest.approx(1.05003, abs=1e-10)


def test_a_hollow_below_half_the_tolerance_is_bridged() -> None:
    """A side that waves by a third of a millimetre comes out convex, and within the tolerance."""
    x = np.linspace(4000.0, 400.0, 13)
    side = [(float(a), 1000.0 + 0.15 * (-1.0) ** k) for k, a in enumerate(x)]

    def draw(space: Any) -> None:
        space.add_spline(side)
        space.add_lwpolyline([side[-1], (0, 700), (0, 0)])
        space.add_lwpolyline([(4400, 0), (4400, 600), side[0]])

    found = read(draw)
    assert found.deviation.edge_from_drawing <= 1e-3
    assert len(found.points) < 12
    edge = hull_edge(found.points, 0.24)
    assert all(not isinstance(piece, ArcPiece) or piece.sweep > 0.0 for piece in edge.path.pieces)


def test_a_hollow_across_the_centre_line_is_bridged_and_x_counts_from_the_stern() -> None:
    """A spline through the points of a blunt curve sags between them where bow and stern are nearly straight."""
    at = np.linspace(0.0, math.pi, 12)
    size = (np.abs(np.cos(at)) ** 3.91 + np.abs(np.sin(at)) ** 3.91) ** (-1.0 / 3.91)
    x, y = 3.37 * size * np.cos(at), 1.2 * size * np.sin(at)
    y[[0, -1]] = 0.0
    ends = {"start_tangent": (0, 1, 0), "end_tangent": (0, -1, 0)}

    def draw(space: Any) -> None:
        space.add_spline(list(zip(x, y, strict=True)), dxfattribs=ends)

    with pytest.raises(DesignError, match=r"bends inward by 1\.\d+ mm"):
        read(draw, METRE)
    found = read(draw, METRE, tolerance=4e-3)
    assert found.deviation.edge_from_drawing <= 4e-3
    assert start_direction(found.pieces[0][0].piece) == pytest.approx(1j, abs=1e-12), "square to the centre line"
    assert 6.74 + 5e-4 < found.points[0].x < 6.74 + 5e-3, "what bow and stern were moved out by"
    assert found.points[-1].x == 0.0


def test_curves_that_run_on_are_one() -> None:
    """Two quarters of an ellipse as two splines take no more arcs than the whole, and join without a kink."""
    s = math.sqrt(0.5)

    def draw(space: Any) -> None:
        for quarter in ([(5, 0), (5, 1.15), (2.5, 1.15)], [(2.5, 1.15), (0, 1.15), (0, 0)]):
            space.add_rational_spline(quarter, [1, s, 1], degree=2, knots=[0, 0, 0, 1, 1, 1])

    found, whole = read(draw, METRE), read(ellipse, bow=0.0)
    assert len(found.points) <= len(whole.points)
    assert max(map(abs, _kinks(hull_edge(found.points, 0.24).path.pieces))) < 1e-6
    assert " and " in found.pieces[0][0].source


def test_the_worst_asymmetry_is_measured_where_it_is() -> None:
    spoiled = [*TAPERED]
    spoiled[4] = (3000.0, -1050.8)
    found = read(polyline(spoiled))
    assert found.half.asymmetry is not None
    # 0.8 mm across a line that slants by atan(500/1400): nearest points lie a little less apart
    assert found.half.asymmetry.worst == pytest.approx(0.8e-3, rel=0.08)
    assert abs(found.half.asymmetry.where.real - 3.0) < 0.05
    assert found.half.centre == pytest.approx(0.0, abs=1e-12), "one wrong vertex does not move the centre line"
    np.testing.assert_allclose(places(found), [4.4, 4.4 + 0.55j, 3 + 1.05j, 1.05j, 0.0], atol=1e-10)
