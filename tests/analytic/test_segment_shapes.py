"""Faces and webs against closed forms, three-dimensional cones and mpmath.

Where a number is marked "prototype, 2026" it was printed by an independent numpy prototype of the same cones and
checked there in three dimensions to 1e-16; the closed form beside it is derived, no published source.
"""

from __future__ import annotations

import mpmath
import numpy as np
import pytest

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats
from skirtloft.physics.face import FLARE_END
from skirtloft.pieces.allowance import enclosed_area
from skirtloft.pieces.segment import (
    SIDE_STEPS,
    Cone,
    FaceShape,
    face_shape,
    half_cone,
    level_cut,
    touching_cone,
    web_corners,
)

D, T = 0.28, np.pi / 4.0
# radius, wedge [deg], wJ, wG, wI, Psi, top, tip, gap, Psi', top', tip' (prototype, 2026; closed forms in the tests)
TABLE = [
    (0.75, 11.25, 0.14703, 0.09214, 0.03725, 12.47555, 0.23095, 0.14473, 3.98387, 13.05785, 0.24173, 0.15148),
    (0.75, 15.0, 0.19579, 0.12269, 0.04960, 16.61327, 0.30755, 0.19273, 5.31847, 17.66622, 0.32704, 0.20494),
    (2.0, 5.0, 0.17448, 0.15005, 0.12562, 5.55184, 0.27407, 0.23570, 1.76833, 5.66357, 0.27958, 0.24044),
]


def outline(face: FaceShape) -> Floats:
    other = face.side[::-1] * [-1.0, 1.0]
    return np.vstack([face.side, other, face.tip[1:-1]])


def length(points: Floats) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def flat_angle(cone: Cone) -> float:
    return 2.0 * cone.half_arc * np.sin(cone.semi_angle)


def generators(cone: Cone, turn: Floats) -> Floats:
    """Unit generators in space: x outboard in the segment's middle plane, y along, z up."""
    axis = np.array([cone.axis_out, 0.0, cone.axis_up])
    out = np.array([cone.axis_up, 0.0, -cone.axis_out])
    ring = np.cos(turn)[:, None] * out + np.sin(turn)[:, None] * np.array([0.0, 1.0, 0.0])
    return np.cos(cone.semi_angle) * axis + np.sin(cone.semi_angle) * ring


@pytest.mark.parametrize("row", TABLE)
def test_full_arc_faces_have_the_tabled_widths_angles_and_gaps(row):
    radius, degrees, w_joint, w_tip, w_inner, psi, top, tip, gap, psi2, top2, tip2 = row
    wedge = np.radians(degrees)
    half, touching = half_cone(T, wedge), touching_cone(T, wedge)
    s = np.sin(wedge / 2.0)
    assert 2 * radius * s == pytest.approx(w_joint, abs=6e-6)
    assert 2 * (radius - D) * s == pytest.approx(w_tip, abs=6e-6)
    assert 2 * (radius - 2 * D) * s == pytest.approx(w_inner, abs=6e-6)
    assert np.degrees(flat_angle(half)) == pytest.approx(psi, abs=6e-6)
    assert flat_angle(half) == pytest.approx(np.pi * s / np.sqrt(2.0), rel=1e-14)  # derived: Psi = pi sin b
    assert np.degrees(flat_angle(touching)) == pytest.approx(psi2, abs=6e-6)
    for cone, at_joint, at_tip in ((half, top, tip), (touching, top2, tip2)):
        assert np.sqrt(2.0) * radius * flat_angle(cone) == pytest.approx(at_joint, abs=6e-6)
        assert np.sqrt(2.0) * (radius - D) * flat_angle(cone) == pytest.approx(at_tip, abs=6e-6)
    assert np.degrees(face_gap(half, wedge)) == pytest.approx(gap, abs=6e-6)
    assert face_gap(half, wedge) == pytest.approx(np.arcsin(np.tan(half.semi_angle)), rel=1e-7)  # derived, 45 deg
    assert flat_angle(touching) / flat_angle(half) == pytest.approx(top2 / top, abs=5e-5)


def face_gap(cone: Cone, wedge: float) -> float:
    """Angle between the face's tangent plane at the web and the radial plane, from the cone in space."""
    turn = np.array([cone.half_arc - 1e-6, cone.half_arc, cone.half_arc + 1e-6])
    before, web, after = generators(cone, turn)
    normal = np.cross(web, after - before)
    radial = np.array([-np.sin(wedge / 2.0), np.cos(wedge / 2.0), 0.0])
    cosine = abs(normal @ radial) / np.linalg.norm(normal)
    sine = np.linalg.norm(np.cross(normal / np.linalg.norm(normal), radial))
    return float(np.arctan2(sine, cosine))


@pytest.mark.parametrize("degrees", [5.0, 11.25, 15.0, 30.0])
@pytest.mark.parametrize("slope", [35.0, 45.0, 60.0])
def test_touching_cone_touches_both_radial_planes_and_never_crosses_them(degrees, slope):
    wedge, t = np.radians(degrees), np.radians(slope)
    cone = touching_cone(t, wedge)
    web = generators(cone, np.array([cone.half_arc]))[0]
    expected = [np.cos(t) * np.cos(wedge / 2), np.cos(t) * np.sin(wedge / 2), np.sin(t)]  # the web's own edge
    assert web == pytest.approx(expected, abs=1e-14)
    assert face_gap(cone, wedge) == pytest.approx(0.0, abs=1e-8)
    turn = np.linspace(-cone.half_arc, cone.half_arc, 401)
    lines = generators(cone, turn)
    outside = lines @ np.array([-np.sin(wedge / 2), np.cos(wedge / 2), 0.0])
    assert outside.max() <= 1e-15  # inside the wedge all the way
    s = np.sin(wedge / 2)
    assert 2 * cone.half_arc == pytest.approx(np.pi + 2 * np.arcsin(s * np.sin(t)), rel=1e-14)  # derived
    half = half_cone(t, wedge)
    assert generators(half, np.array([half.half_arc]))[0] == pytest.approx(expected, abs=1e-14)
    gap = np.arcsin(s * np.sin(t) / np.sqrt(1 - s**2 * np.cos(t) ** 2))  # derived, any face angle
    assert face_gap(half, wedge) == pytest.approx(gap, rel=1e-7)


@pytest.mark.parametrize("make", [half_cone, touching_cone])
@pytest.mark.parametrize("slope", [40.0, 45.0, 55.0])
def test_level_cut_lies_in_a_level_plane(make, slope):
    t, radius = np.radians(slope), 0.9
    cone = make(t, np.radians(12.0))
    turn = np.linspace(-cone.half_arc, cone.half_arc, 101)
    for height, out in ((0.0, radius - D / np.tan(t)), (D, radius)):  # tip plane and joint plane
        reach = level_cut(cone, turn, out / np.cos(t))
        apex = np.array([0.0, 0.0, D - radius * np.tan(t)])
        points = apex + reach[:, None] * generators(cone, turn)
        assert points[:, 2] == pytest.approx(np.full(101, height), abs=1e-14)
        assert np.hypot(points[0, 0], points[0, 1]) == pytest.approx(out, abs=1e-14)  # web corner


def test_level_cut_of_the_half_cone_has_the_tabled_radii():
    """d .28, r .75, 11.25 deg (prototype, 2026): 1.13944/0.71405 at 6.23777 deg, 1.11518/0.69885 at 3.11889 deg."""
    wedge = np.radians(11.25)
    cone = half_cone(T, wedge)
    s = np.sin(wedge / 2.0)
    b = np.arcsin(s / np.sqrt(2.0))
    for degrees, joint, tip, polar in ((90.0, 1.13944, 0.71405, 6.23777), (45.0, 1.11518, 0.69885, 3.11889)):
        a = np.radians(degrees)
        turn = np.array([np.pi / 2.0 - a])
        for radius, printed in ((0.75, joint), (0.75 - D, tip)):
            found = level_cut(cone, turn, np.sqrt(2.0) * radius)[0]
            assert found == pytest.approx(printed, abs=6e-6)
            closed = np.sqrt(2.0) * radius / (1.0 - np.tan(b) * np.cos(wedge / 2) * np.sin(a))  # derived, 45 deg
            assert found == pytest.approx(closed, rel=1e-14)
        assert np.degrees(a * np.sin(cone.semi_angle)) == pytest.approx(polar, abs=6e-6)


def test_straight_face_has_the_known_size():
    """d .28, w .15 (prototype, 2026): G (+-.11781, -.39115), crown y -.31615, tip edge .28651, area .073759."""
    face = face_shape(0.15, D, T, side_steps=2000, tip_steps=2000)
    assert face.tip[-1] == pytest.approx([0.11781, -0.39115], abs=6e-6)
    assert face.tip[0] == pytest.approx([-0.11781, -0.39115], abs=6e-6)
    assert face.tip[:, 1].max() == pytest.approx(-0.31615, abs=6e-6)
    assert length(face.tip) == pytest.approx(0.28651, abs=6e-6)
    assert enclosed_area(outline(face)) == pytest.approx(0.073759, abs=6e-7)


def side_depth(pitch: float, depth: float) -> float:
    """y of the tip corner by mpmath, straight run, 45 deg."""
    w, l = mpmath.mpf(pitch), mpmath.sqrt(2) * mpmath.mpf(depth)  # noqa: E741
    end = mpmath.mpf(FLARE_END) * l

    def drop(s):
        slope = (w / 2) * (mpmath.pi / 2 - 1) * mpmath.cos(mpmath.pi / 2 * s / end) * mpmath.pi / 2 / end
        return mpmath.sqrt(1 - slope**2)

    return -float(mpmath.quad(drop, [0, end]) + (l - end))


def test_side_edge_ends_where_the_integral_says_and_converges_with_order_two():
    exact = side_depth(0.15, D)
    errors = [abs(face_shape(0.15, D, T, side_steps=n).tip[-1, 1] - exact) for n in (50, 100, 200)]
    assert errors[1] < 1.5e-6  # what is cut: about a micrometre
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders == pytest.approx([2.0, 2.0], abs=0.1)
    assert (SIDE_STEPS * FLARE_END) % 1 == pytest.approx(0.0)  # a step ends where the flare does


@pytest.mark.parametrize("radius, wedge", [(np.inf, 0.0), (0.75, np.radians(11.25)), (0.6, np.radians(14.0))])
def test_face_side_is_as_long_as_the_web_edge_and_the_top_is_the_pitch(radius, wedge):
    face = face_shape(0.1471, D, T, radius, wedge)
    joint, tip, inner = web_corners(D, T)
    assert length(face.side) == pytest.approx(np.hypot(*(joint - tip)), abs=1e-12)
    assert length(face.top) == pytest.approx(0.1471, abs=1e-15)
    assert face.side[-1] == pytest.approx(face.top[0], abs=1e-15)
    assert face.side[0] == pytest.approx(face.tip[-1], abs=1e-15)
    assert face.tip[::-1] * [-1, 1] == pytest.approx(face.tip, abs=1e-13)  # its own mirror image
    assert np.hypot(*(joint - tip)) == pytest.approx(np.sqrt(2) * D)
    assert np.hypot(*(tip - inner)) == pytest.approx(np.sqrt(2) * D)
    assert np.hypot(*(joint - inner)) == pytest.approx(2 * D)
    assert (joint - tip) @ (inner - tip) == pytest.approx(0.0, abs=1e-16)  # right angle at the tip


def test_corner_tip_is_the_developed_level_cut_of_the_touching_cone():
    """Distances along and across the tip edge, measured in space, come back on the flat."""
    radius, wedge = 0.75, np.radians(11.25)
    pitch = 2 * radius * np.sin(wedge / 2)  # no scaling
    face = face_shape(pitch, D, T, radius, wedge, tip_steps=4000)
    cone = touching_cone(T, wedge)
    turn = np.linspace(-cone.half_arc, cone.half_arc, 4001)
    in_space = level_cut(cone, turn, np.sqrt(2) * (radius - D))[:, None] * generators(cone, turn)
    edge = float(np.linalg.norm(np.diff(in_space, axis=0), axis=1).sum())
    assert length(face.tip) == pytest.approx(edge, abs=1e-8)
    assert face.tip[-1, 0] == pytest.approx(np.sqrt(2) * (radius - D) * np.sin(flat_angle(cone) / 2), abs=1e-14)
    crown = level_cut(cone, np.zeros(1), np.sqrt(2) * (radius - D))[0]
    sagitta = crown - np.sqrt(2) * (radius - D) * np.cos(flat_angle(cone) / 2)
    assert face.tip[2000, 1] - face.tip[0, 1] == pytest.approx(sagitta, abs=1e-14)


def test_corner_widths_scale_with_the_cut_pitch():
    radius, wedge = 0.75, np.radians(11.25)
    one, two = (face_shape(pitch, D, T, radius, wedge).tip for pitch in (0.1470, 0.1473))
    assert two[:, 0] == pytest.approx(one[:, 0] * 0.1473 / 0.1470, abs=1e-15)


@pytest.mark.parametrize("slope", [40.0, 45.0, 55.0])
def test_a_corner_of_endless_radius_is_a_straight_run(slope):
    t = np.radians(slope)
    straight = face_shape(0.15, D, t)
    gaps = []
    for radius in (1e3, 1e4, 1e8):
        corner = face_shape(0.15, D, t, radius, 2 * np.arcsin(0.075 / radius))
        gaps.append(np.abs(outline(corner) - outline(straight)).max())
    assert gaps[0] / gaps[1] == pytest.approx(10.0, rel=0.01)  # first order in 1/r
    assert gaps[2] < 1e-9


def test_faces_that_cannot_be_made_say_what_would_do():
    with pytest.raises(ShapeError, match=r"more than 280 mm"):
        face_shape(0.15, D, T, 0.28, 0.2)
    with pytest.raises(ShapeError, match=r"below \d+ mm"):
        face_shape(0.45, 0.15, T)
