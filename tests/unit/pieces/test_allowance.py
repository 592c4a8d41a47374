"""Cut lines: expected corners are closed forms of offset lines."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.allowance import (
    MITRE_LIMIT,
    _without_whiskers,
    closed_line,
    cut_line,
    enclosed_area,
    is_rectangle,
)
from skirtloft.pieces.types import Edge


def polygon(corners, allowances):
    points = np.asarray(corners, dtype=float)
    ahead = np.roll(points, -1, axis=0)
    return tuple(
        Edge(f"edge {i}", "seam", frozen_array([points[i], ahead[i]]), allowances[i]) for i in range(len(points))
    )


def corners_of(line):
    return sorted((round(float(x), 9), round(float(y), 9)) for x, y in line)


def nearest(line, points):
    """Distances of points from a closed line."""
    return shapely.distance(shapely.LinearRing(line), shapely.points(points))


def test_each_side_of_a_rectangle_moves_by_its_own_allowance():
    line = cut_line(polygon([(0, 0), (0.2, 0), (0.2, 0.4), (0, 0.4)], (0.025, 0.02, 0.04, 0.01)))
    assert corners_of(line) == corners_of([(-0.01, -0.025), (0.22, -0.025), (0.22, 0.44), (-0.01, 0.44)])
    assert enclosed_area(line) == pytest.approx(0.23 * 0.465)
    assert is_rectangle(line)
    assert not is_rectangle(cut_line(polygon([(0, 0), (0.2, 0), (0.25, 0.4), (0, 0.4)], [0.02] * 4)))


def test_an_edge_cut_in_many_steps_leaves_no_extra_corners():
    side = frozen_array(np.column_stack([np.full(65, 0.2), np.linspace(0, 0.4, 65)]))
    edges = (
        Edge("joint", "joint", frozen_array([(0, 0), (0.2, 0)]), 0.025),
        Edge("seam", "seam", side, 0.02),
        Edge("hull", "hull", frozen_array([(0.2, 0.4), (0, 0.4)]), 0.04),
        Edge("seam", "seam", frozen_array(side[::-1] - np.array([0.2, 0.0])), 0.02),
    )
    assert len(cut_line(edges)) == 4


def test_a_sharp_corner_is_cut_off_square_at_the_limit():
    """45 deg corner, 20 mm all round: the moved edges would meet 20/sin(22.5 deg) = 52 mm out."""
    edges = polygon([(0, 0), (0.4, 0), (0.4, 0.4)], [0.02] * 3)
    line = cut_line(edges)
    away = -np.array([np.cos(np.pi / 8), np.sin(np.pi / 8)])
    assert (line @ away).max() == pytest.approx(MITRE_LIMIT * 0.02, abs=1e-10)
    assert np.sum(np.abs(line @ away - MITRE_LIMIT * 0.02) < 1e-9) == 2
    assert any(np.allclose(point, (0.42, -0.02), atol=1e-12) for point in line)  # the square corner stays whole


@pytest.mark.parametrize("order", [(0.04, 0.01), (0.01, 0.04)])
def test_a_wide_allowance_is_cut_back_to_a_narrow_neighbour_at_a_blunt_corner(order):
    """150 deg corner at the origin: 40 mm would stick out 40 cos 30 - 10 = 24.6 mm past the other moved edge."""
    a, b = order
    far = (0.5 * np.cos(np.radians(150.0)), 0.5 * np.sin(np.radians(150.0)))
    edges = polygon([far, (0, 0), (0.5, 0), (0.2, 0.6)], [a, b, 0.02, 0.02])
    line = cut_line(edges)
    normal_a = np.array([-0.5, -np.sqrt(0.75)])
    normal_b = np.array([0.0, -1.0])
    meet = np.linalg.solve(np.array([normal_a, normal_b]), np.array(order))
    assert any(np.allclose(point, meet, atol=1e-12) for point in line)
    here = line[np.hypot(*line.T) < 0.15]
    assert (here @ normal_a).max() == pytest.approx(a) or len(here) == 1
    assert (line @ normal_b).max() == pytest.approx(b)
    assert (line @ normal_a)[line[:, 0] < 0.2].max() == pytest.approx(a)
    assert shapely.Polygon(line).contains_properly(shapely.Polygon(closed_line(edges)))


def hollow(radius, count=61):
    """Edge into a semicircular bay of `radius` on the right-hand side of a plate, going up."""
    turn = np.linspace(-np.pi / 2, -3 * np.pi / 2, count)
    bay = np.column_stack([0.3 + radius * np.cos(turn), 0.2 + radius * np.sin(turn)])
    return np.vstack([[0.3, 0.0], bay, [0.3, 0.4]])


@pytest.mark.parametrize("radius", [0.08, 0.03, 0.02, 0.01])
def test_hollow_edges_never_cross_themselves(radius):
    """Radius above, at and below the 25 mm allowance; the allowance is whole everywhere."""
    side = hollow(radius)
    edges = (
        Edge("joint", "joint", frozen_array([(0, 0), (0.3, 0)]), 0.025),
        Edge("seam", "seam", frozen_array(side), 0.025),
        Edge("hull", "hull", frozen_array([(0.3, 0.4), (0, 0.4)]), 0.04),
        Edge("end", "end", frozen_array([(0, 0.4), (0, 0)]), 0.01),
    )
    line = cut_line(edges)
    cut, sewn = shapely.Polygon(line), shapely.Polygon(closed_line(edges))
    assert cut.is_valid
    assert cut.contains_properly(sewn)
    middles = (side[1:] + side[:-1]) / 2
    assert nearest(line, middles).min() >= 0.025 - 1e-9
    expected = sewn.buffer(0.025, join_style="mitre", mitre_limit=1.5)  # second opinion, away from the other edges
    zone = shapely.box(0.2, 0.05, 0.36, 0.35)
    assert cut.intersection(zone).symmetric_difference(expected.intersection(zone)).area < 1e-8


def test_round_edges_keep_their_distance():
    turn = np.linspace(0.0, np.pi, 101)
    arc = np.column_stack([0.2 * np.cos(turn), 0.2 * np.sin(turn)])
    edges = (
        Edge("tip", "tip", frozen_array([(-0.2, 0.0), (0.2, 0.0)]), 0.015),
        Edge("seam", "seam", frozen_array(arc), 0.025),
    )
    line = cut_line(edges)
    middles = (arc[1:] + arc[:-1]) / 2
    away = nearest(line, middles)
    assert away[4:-4] == pytest.approx(np.full(92, 0.025), abs=1e-10)
    assert away == pytest.approx(np.minimum(0.025, middles[:, 1] + 0.015), abs=1e-10)  # the ends lie nearer the tip


def test_tabs_are_left_on():
    plain = polygon([(0, 0), (0.2, 0), (0.2, 0.2), (0, 0.2)], [0.01] * 4)
    tab = np.array([(0.18, 0.18), (0.24, 0.18), (0.24, 0.24), (0.18, 0.24)])
    grown = enclosed_area(cut_line(plain, (tab,))) - enclosed_area(cut_line(plain))
    assert grown == pytest.approx(0.06**2 - 0.03**2)  # what of the tab lies beyond the allowance


@pytest.mark.parametrize(
    "corners", [[(0, 0), (0.2, 0.2), (0.2, 0), (0, 0.2)], [(0, 0), (0, 0.2), (0.2, 0.2), (0.2, 0)]]
)
def test_crossed_and_clockwise_outlines_are_refused(corners):
    with pytest.raises(ShapeError, match="L07"):
        cut_line(polygon(corners, [0.01] * 4), piece="L07")


def thinnest(line):
    """How far a closed line reaches out of what is at least 0.1 mm wide [m]."""
    whole = shapely.Polygon(line)
    wide = whole.buffer(-5e-5).buffer(5e-5, join_style="mitre", mitre_limit=30.0)
    return float(shapely.distance(shapely.points(line), wide).max())


@pytest.mark.parametrize("seed", [21, 178, 255, 529, 602, 715, 1218, 1524, 1593, 1687, 1870])
def test_a_wide_allowance_cut_back_leaves_no_sliver(seed):
    """Hull end of a corner panel as laid flat: a hem of 50 mm meets seams of 12.5 mm, with rounding at its worst.

    Of 2,500 such panels, jittered by 2 mm and turned at random, these kept a sliver of up to 24 mm.
    """
    corners = [(-13.898, 344.977), (-12.574, 315.328), (0.0, 100.0), (130.0, 100.0), (148.981, 317.348),
               (147.935, 322.381), (146.857, 327.408)]  # fmt: skip
    random = np.random.default_rng(seed)
    angle = random.uniform(0, 6.28)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    points = (np.array(corners) / 1e3 + random.uniform(-0.002, 0.002, (7, 2))) @ turn.T
    assert thinnest(cut_line(polygon(points, [0.0125] * 6 + [0.05]))) < 1e-6


def test_an_outline_that_runs_out_and_back_is_closed():
    """The corner of a panel as rounding had left it [mm]: a line of no width, 7 mm long, at a corner cut back."""
    corners = [(0.0, 0.0), (160.0, 0.0), (151.15, 366.73), (151.96, 374.13), (151.15, 366.73), (149.5, 374.4),
               (-28.9, 393.9)]  # fmt: skip
    whisker = np.array(corners) / 1e3
    left = _without_whiskers(whisker)
    assert {tuple(point) for point in left} == {tuple(point) for point in whisker} - {(0.15196, 0.37413)}
    assert len(_without_whiskers(left)) == len(left)
