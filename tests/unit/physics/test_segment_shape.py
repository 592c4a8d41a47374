"""Segments of any shape: web corners, inner fixing, and the means over the real edges of the face."""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest

from skirtloft.physics.face_edge import corner_half_arc, middle_plane_edge
from skirtloft.physics.segment_shape import (
    fixing_on_line,
    flat_faced,
    inboard_by_tip_angle,
    lower_edge_slope,
    mean_square,
    segment_shape,
)
from skirtloft.pieces.segment import touching_cone

HALF_RIGHT = math.pi / 4.0


def test_trade_triangle() -> None:
    """Face 45 degrees, right angle at the tip, level fixing: sides sqrt2 d, sqrt2 d, 2 d (common practice)."""
    inboard = inboard_by_tip_angle(0.28, HALF_RIGHT, math.pi / 2.0, 0.0)
    shape = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=inboard)
    assert inboard == pytest.approx(0.56, rel=1e-14)
    assert np.allclose([shape.joint, shape.tip, shape.inner], [[0.0, 0.28], [-0.28, 0.0], [-0.56, 0.28]], atol=1e-15)
    sides = [shape.face_length, shape.lower_edge, shape.upper_edge]
    assert np.allclose(sides, [0.28 * math.sqrt(2.0), 0.28 * math.sqrt(2.0), 0.56], rtol=1e-14)
    assert shape.tip_angle == pytest.approx(math.pi / 2.0, rel=1e-14)
    assert shape.joint_mean_square == pytest.approx(0.56**2, rel=1e-14)


@pytest.mark.parametrize(
    "pitch, square, inset", [(0.10, 0.1912, 0.1093), (0.15, 0.2110, 0.0917), (0.20, 0.2323, 0.0726)]
)
def test_half_round_face(pitch: float, square: float, inset: float) -> None:
    """<|G-I|^2> and the loop centre inboard of J; derived for a level cut half round, computed once, independently."""
    shape = segment_shape(0.28, HALF_RIGHT, pitch, inboard=0.56)
    assert shape.tip_mean_square == pytest.approx(square, abs=5e-5)
    assert (shape.joint_mean_square - shape.tip_mean_square) / 1.12 == pytest.approx(inset, abs=5e-5)
    closed = 0.14 - math.pi * math.sqrt(2.0) / 16.0 * pitch - pitch**2 / (12.0 * 0.28)
    assert (shape.joint_mean_square - shape.tip_mean_square) / 1.12 == pytest.approx(closed, rel=1e-13)


@pytest.mark.parametrize(
    "face, tip, drop", [(38.0, 98.0, 0.05), (45.0, 90.0, 0.0), (60.0, 85.0, 0.03), (70.0, 90.0, -0.02)]
)
def test_inner_fixing_keeps_the_tip_angle(face: float, tip: float, drop: float) -> None:
    """The tip angle put in comes out of the web's three corners."""
    inboard = inboard_by_tip_angle(0.25, math.radians(face), math.radians(tip), drop)
    shape = segment_shape(0.25, math.radians(face), 0.12, inboard=inboard, drop=drop)
    up, down = shape.joint - shape.tip, shape.inner - shape.tip
    between = math.acos(float(up @ down / np.linalg.norm(up) / np.linalg.norm(down)))
    assert between == pytest.approx(math.radians(tip), rel=1e-12)
    assert shape.tip_angle == pytest.approx(math.radians(tip), rel=1e-12)
    assert shape.lower_slope == pytest.approx(lower_edge_slope(math.radians(face), math.radians(tip)), rel=1e-12)
    assert shape.inner[1] == pytest.approx(0.25 - drop, rel=1e-14)


@pytest.mark.parametrize("slope", [-0.2, 0.0, 0.15])
def test_fixing_on_a_sloping_planing_surface(slope: float) -> None:
    """The fixing lies on the line, and on the lower edge at the wanted tip angle."""
    face, tip = math.radians(50.0), math.radians(92.0)
    drop, inboard = fixing_on_line(0.3, face, tip, 0.04, slope)
    assert 0.3 - drop == pytest.approx(0.3 - 0.04 + slope * inboard, rel=1e-13)
    shape = segment_shape(0.3, face, 0.15, inboard=inboard, drop=drop)
    assert shape.tip_angle == pytest.approx(tip, rel=1e-12)


def test_no_fixing() -> None:
    """A lower edge that goes down, a fixing on the ground, a line as steep as the lower edge: nan."""
    assert np.isnan(inboard_by_tip_angle(0.3, HALF_RIGHT, math.radians(140.0), 0.0))
    assert np.isnan(inboard_by_tip_angle(0.3, HALF_RIGHT, math.radians(90.0), 0.3))
    assert np.isnan(fixing_on_line(0.3, HALF_RIGHT, math.pi / 2.0, 0.0, 1.0)[0])
    assert np.isnan(fixing_on_line(0.3, HALF_RIGHT, math.pi / 2.0, 0.5, 0.0)[1])


def _straight_mean_square(d: float, t: float, w: float, inboard: float, drop: float, bulge: float, cut: str) -> float:
    """<|G-I|^2> by quadrature over the place along the joint, from the circle's own equation."""
    rise = bulge * w / 2.0
    radius = (rise**2 + (w / 2.0) ** 2) / (2.0 * rise)

    def square(place: float) -> float:
        y = mpmath.sqrt(radius**2 - place**2) - (radius - rise)
        out, up = (y / math.sin(t), 0.0) if cut == "level" else (y * math.sin(t), -y * math.cos(t))
        return (inboard - d / math.tan(t) + out) ** 2 + (up - (d - drop)) ** 2

    return float(mpmath.quad(square, [-w / 2.0, 0.0, w / 2.0]) / w)


@pytest.mark.parametrize("bulge", [1.0, 0.6, 0.05])
@pytest.mark.parametrize("cut", ["level", "square"])
@pytest.mark.parametrize("face", [40.0, 58.0, 90.0])
def test_straight_means_by_quadrature(bulge: float, cut: str, face: float) -> None:
    """Second opinion: adaptive quadrature along the pitch, from the circle's equation; shallow and square tips too."""
    t = math.radians(face)
    shape = segment_shape(0.3, t, 0.16, inboard=0.5, drop=0.04, bulge=bulge, cut=cut)
    assert shape.tip_mean_square == pytest.approx(_straight_mean_square(0.3, t, 0.16, 0.5, 0.04, bulge, cut), rel=1e-9)


def test_means_of_the_half_round() -> None:
    """Means pi w/(8 sin t) and w^2/(6 sin^2 t) of the offset; derived."""
    t, w = np.radians([40.0, 55.0, 80.0]), np.array([0.1, 0.15, 0.2])
    edge = segment_shape(0.3, t, w, inboard=0.6).tip_edge
    assert np.allclose(edge.out, math.pi * w / (8.0 * np.sin(t)), rtol=1e-14)
    assert np.allclose(edge.spread + edge.out**2, w**2 / (6.0 * np.sin(t) ** 2), rtol=1e-14)


def test_arc_top_and_flat_face() -> None:
    """A top as bulged as the tip moves both means alike; a bulge of nothing is the flat face."""
    t = math.radians(52.0)
    arc = segment_shape(0.3, t, 0.16, inboard=0.5, drop=0.04, top="arc")
    assert arc.joint_edge.out == pytest.approx(arc.tip_edge.out, rel=1e-14)
    offset = math.pi * 0.16 / (8.0 * math.sin(t))
    square = 0.16**2 / (6.0 * math.sin(t) ** 2)
    assert arc.joint_mean_square == pytest.approx(0.5**2 + 2.0 * 0.5 * offset + square + 0.04**2, rel=1e-13)
    none = segment_shape(0.3, t, 0.16, inboard=0.5, drop=0.04, bulge=0.0)
    for flat in (none, flat_faced(arc)):
        assert flat.tip_mean_square == pytest.approx(flat.lower_edge**2, rel=1e-14)
        assert flat.joint_mean_square == pytest.approx(flat.upper_edge**2, rel=1e-14)


def _turned(vector: mpmath.matrix, axis: mpmath.matrix, angle: float) -> mpmath.matrix:
    """Rodrigues's rotation."""
    cosine, sine = mpmath.cos(angle), mpmath.sin(angle)
    dot = sum(vector[i] * axis[i] for i in range(3))
    cross = mpmath.matrix(
        [
            axis[1] * vector[2] - axis[2] * vector[1],
            axis[2] * vector[0] - axis[0] * vector[2],
            axis[0] * vector[1] - axis[1] * vector[0],
        ]
    )
    return vector * cosine + cross * sine + axis * (dot * (1 - cosine))


def _cone_edge(d: float, t: float, r: float, wedge: float, cut: str, at: str):
    """Return a function of the turn, and its range: the edge's points on the cone that touches both radial planes.

    The cone's axis lies in the plane square to the radial plane through the web's edge, and in the segment's middle
    plane; generators come from turning one about it.
    """
    half = wedge / 2.0
    web = mpmath.matrix([mpmath.cos(t) * mpmath.cos(half), mpmath.cos(t) * mpmath.sin(half), mpmath.sin(t)])
    normal = mpmath.matrix([-mpmath.sin(half), mpmath.cos(half), 0])  # out of the segment
    semi = mpmath.atan(web[1] / normal[1])  # web cos - normal sin has no part off the middle plane
    axis = web * mpmath.cos(semi) - normal * mpmath.sin(semi)
    crowns = [mpmath.findroot(lambda turn: _turned(web, axis, turn)[1], side * (mpmath.pi / 2)) for side in (1, -1)]
    crown = max(crowns, key=lambda turn: _turned(web, axis, turn)[0])  # the one that bulges outboard
    reach = (r if at == "joint" else r - d / math.tan(t)) / mpmath.cos(t)
    apex = d - r * mpmath.tan(t)
    level = d if at == "joint" else 0

    def point(turn: float) -> mpmath.matrix:
        generator = _turned(web, axis, turn)
        length = (level - apex) / generator[2] if cut == "level" else reach
        return generator * length + mpmath.matrix([0, 0, apex])

    return point, crown


@pytest.mark.parametrize("cut", ["level", "square"])
@pytest.mark.parametrize("face, radius, wedge", [(45.0, 0.75, 11.25), (52.0, 0.9, 15.0), (60.0, 2.0, 5.0)])
def test_corner_means_by_quadrature(face: float, radius: float, wedge: float, cut: str) -> None:
    """Second opinion: the touching cone built from its tangency in mpmath, squares averaged over the plan angle."""
    d, t, q = 0.28, math.radians(face), math.radians(wedge)
    shape = segment_shape(d, t, radius * q, inboard=0.5, drop=0.03, radius=radius, top="arc", cut=cut)
    for name, mine in (("joint", shape.joint_mean_square), ("tip", shape.tip_mean_square)):
        point, crown = _cone_edge(d, t, radius, q, cut, name)

        def share(turn, point=point):
            at = point(turn)
            square = (mpmath.hypot(at[0], at[1]) - (radius - 0.5)) ** 2 + (at[2] - (d - 0.03)) ** 2
            return square * mpmath.diff(lambda u: mpmath.atan2(point(u)[1], point(u)[0]), turn)

        with mpmath.workdps(20):
            expected = float(mpmath.quad(share, [0, crown], maxdegree=4) / -(q / 2.0))
        assert mine == pytest.approx(expected, rel=1e-9)


def test_corner_over_the_middle_plane() -> None:
    """The mean over the width, by the trapezoid rule along the edge that mpmath builds."""
    d, t, r, q = 0.28, HALF_RIGHT, 0.75, math.radians(11.25)
    shape = segment_shape(d, t, r * q, inboard=0.56, radius=r)
    edge = middle_plane_edge(shape.half_arc, shape.face_angle, shape.wedge, np.asarray(r - d), "level")
    point, crown = _cone_edge(d, t, r, q, "level", "tip")
    points = np.array([[float(x) for x in point(u)] for u in np.linspace(0.0, float(crown), 2001)])
    assert np.trapezoid(points[:, 0], -points[:, 1]) / points[0, 1] - (r - d) * math.cos(q / 2.0) == pytest.approx(
        float(edge.out), rel=2e-6
    )
    assert mean_square(edge, 0.0, 0.0) == pytest.approx(
        np.trapezoid((points[:, 0] - (r - d) * math.cos(q / 2.0)) ** 2, -points[:, 1]) / points[0, 1], rel=2e-6
    )


def test_corner_face_is_the_one_that_is_cut() -> None:
    """The half arc is that of the cone the pieces are cut from."""
    wedge = math.radians(11.25)
    cone = touching_cone(HALF_RIGHT, wedge)
    assert corner_half_arc(np.float64(1.0), np.float64(HALF_RIGHT), np.float64(wedge)) == pytest.approx(cone.half_arc)


def test_wide_corner_is_a_straight_run() -> None:
    """Towards a straight run the corner's mean goes like 1/r; the difference is the narrowing of the tip."""
    t = math.radians(50.0)
    straight = segment_shape(0.28, t, 0.15, inboard=0.5, bulge=0.8)
    radii = np.array([1e3, 1e4])
    corner = segment_shape(0.28, t, 0.15, inboard=0.5, bulge=0.8, radius=radii)
    gap = np.abs(corner.tip_mean_square / straight.tip_mean_square - 1.0)
    assert gap[1] < 1e-4
    assert gap[0] / gap[1] == pytest.approx(10.0, rel=0.01)


def test_corner_of_no_bend_at_all_is_a_straight_run() -> None:
    """Where a run goes over to its corner the plan radius starts anywhere: no digits are lost on the way."""
    straight = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56)
    bent = segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56, radius=np.array([1e6, 9e6, 1e8, 1e12, 1e15, 1e17]))
    assert bent.tip_mean_square == pytest.approx(np.full(6, straight.tip_mean_square), rel=1e-6)


def test_flat_corner_face_is_a_chord() -> None:
    """Without bulge the face is a plane through both webs: its tip is the chord rho cos(Q/2)/cos(theta), in plan."""
    r, q, t = 0.75, math.radians(15.0), math.radians(52.0)
    shape = segment_shape(0.28, t, r * q, inboard=0.5, radius=r, bulge=0.0)
    inside = r - 0.28 / math.tan(t)
    mean = float(mpmath.quad(lambda a: inside * mpmath.cos(q / 2) / mpmath.cos(a), [-q / 2, q / 2]) / q)
    assert shape.tip_edge.out == pytest.approx(mean - inside, abs=1e-9)


def test_corner_too_tight() -> None:
    """Web corners of neighbours meet at a joint radius of d cot t: nan, not a number."""
    shape = segment_shape(0.28, HALF_RIGHT, 0.1, inboard=0.56, radius=[0.27, 0.75])
    assert np.isnan(shape.tip_mean_square[0])
    assert np.isfinite(shape.tip_mean_square[1])


def test_stations_and_designs_at_once() -> None:
    """A batch over designs and stations gives what each gives alone, straight runs and corners mixed."""
    depth, radius = np.array([[0.2], [0.3]]), np.array([np.inf, 0.75, 1.2])
    batch = segment_shape(depth, HALF_RIGHT, 0.14, inboard=2.0 * depth, radius=radius)
    assert batch.tip_mean_square.shape == (2, 3)
    assert batch.tip.shape == (2, 3, 2)
    for i, d in enumerate(depth[:, 0]):
        for j, r in enumerate(radius):
            one = segment_shape(d, HALF_RIGHT, 0.14, inboard=2.0 * d, radius=r)
            assert batch.tip_mean_square[i, j] == pytest.approx(one.tip_mean_square, rel=1e-13)


@pytest.mark.parametrize("words", [{"top": "round"}, {"cut": "slanted"}])
def test_unknown_word(words: dict[str, str]) -> None:
    with pytest.raises(ValueError, match="level or square"):
        segment_shape(0.28, HALF_RIGHT, 0.15, inboard=0.56, **words)
