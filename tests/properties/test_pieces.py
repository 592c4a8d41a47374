"""What holds for every piece whatever its size."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from skirtloft.design.model import Making
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.allowance import closed_line, cut_line, enclosed_area
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.segment import FaceShape, face_shape
from skirtloft.pieces.types import Edge
from tests.loop_cases import JointCase, design, panels, plan

QUICK = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
FEW = settings(QUICK, max_examples=12)
T = np.pi / 4.0

depths = st.floats(0.15, 0.45)
shares = st.floats(0.25, 0.85)  # pitch over depth
rooms = st.floats(0.0, 2.5)  # corner radius beyond twice the depth
wedges = st.floats(np.radians(2.0), np.radians(22.5))


def length(points):
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def outline(face: FaceShape):
    return np.vstack([face.side, face.side[::-1] * [-1.0, 1.0], face.tip[1:-1]])


@QUICK
@given(depths, shares, rooms, wedges)
def test_corner_faces_fit_web_and_joint(depth, share, room, wedge):
    """The pitch comes from radius and wedge as on a craft, a few per mille off as the sewn length may be."""
    radius = 2.0 * depth + room
    wedge = min(wedge, share * depth / radius)
    pitch = radius * wedge * 1.002
    face = face_shape(pitch, depth, T, radius, wedge)
    assert length(face.top) == pytest.approx(pitch, abs=1e-14)
    assert length(face.side) == pytest.approx(depth * np.sqrt(2.0), abs=1e-12)
    sewn = shapely.Polygon(outline(face))
    assert sewn.is_valid
    assert outline(face) * [-1.0, 1.0] == pytest.approx(outline(face)[::-1][_turned(face)], abs=1e-12)
    straight = face_shape(pitch, depth, T)
    assert face.tip[-1, 0] < straight.tip[-1, 0]  # narrower at the tip than on a straight run
    inside = 2.0 * (radius - depth) * np.sin(wedge / 2.0)
    assert face.tip[-1, 0] > np.pi / 4.0 * inside  # a touching face is wider than a half round one


def _turned(face: FaceShape):
    """Order in which the mirrored outline, read backwards, meets the outline again."""
    count = 2 * len(face.side) + len(face.tip) - 2
    return (np.arange(count) + len(face.tip) - 2) % count


@QUICK
@given(depths, shares)
def test_straight_faces_scale_with_the_craft(depth, share):
    one, twice = face_shape(share * depth, depth, T), face_shape(2.0 * share * depth, 2.0 * depth, T)
    assert outline(twice) == pytest.approx(2.0 * outline(one), rel=1e-12, abs=1e-15)


@QUICK
@given(
    st.lists(st.floats(0.05, 0.4), min_size=3, max_size=9),
    st.lists(st.floats(0.0, 0.06), min_size=9, max_size=9),
    st.floats(0.0, 6.0),
)
def test_cut_lines_are_valid_and_hold_any_star(radii, allowances, turn):
    """Any star-shaped outline, hollow corners and all, any allowances, any way up."""
    angles = turn + np.arange(len(radii)) * (2.0 * np.pi / len(radii))
    points = np.array(radii)[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    ahead = np.roll(points, -1, axis=0)
    edges = [
        Edge(f"{i}", "seam", frozen_array([points[i], ahead[i]]), allowances[i] if allowances[i] > 1e-4 else 0.0)
        for i in range(len(points))
    ]
    line = cut_line(edges)
    cut, sewn = shapely.Polygon(line), shapely.Polygon(closed_line(edges))
    assert cut.is_valid
    assert cut.buffer(1e-9).contains(sewn)
    assert enclosed_area(line) >= enclosed_area(closed_line(edges)) - 1e-12
    if all(edge.allowance > 0.0 for edge in edges):
        assert cut.contains_properly(sewn)
    ring = shapely.LinearRing(line)
    widest = max(edge.allowance for edge in edges)
    assert shapely.hausdorff_distance(ring, sewn.exterior) <= max(1.5 * widest, 0.0) + 1e-9 + hollow_fill(sewn, widest)


def hollow_fill(sewn, widest):
    """How far the allowances may lie from the sew line at the bottom of a hollow that they fill."""
    return shapely.hausdorff_distance(sewn.exterior, sewn.buffer(widest).exterior)


@FEW
@given(
    st.floats(0.2, 0.35),
    st.floats(0.12, 0.2),
    st.floats(0.0, 0.6),
    st.floats(1.0, 4.0),
    st.integers(2, 5),
    st.booleans(),
)
def test_on_any_craft_the_joint_fits(depth, pitch, room, side, per_corner, bow_across):
    craft = JointCase(
        side=side, pitch=pitch, bow_radius=2.0 * depth + room, stern_radius=2.0 * depth + 0.5 * room + 0.05,
        panels=per_corner, bow_across=bow_across,
    )  # fmt: skip
    made = design(depth, pitch, Making(hole_pitch=0.05))
    pieces = cut_pieces(made, plan(craft), panels(craft))
    strips = [piece for piece in pieces if piece.kind == "joint_strip"]
    faces = [piece for piece in pieces if piece.kind == "face"]
    loops = [piece for piece in pieces if piece.kind == "loop_panel"]
    webs = [piece for piece in pieces if piece.kind == "web"]
    assert sum(face.quantity for face in faces) == webs[0].quantity == webs[1].quantity
    whole = sum(loop.joint_length * loop.quantity for loop in loops)
    assert sum(face.joint_length * face.quantity for face in faces) == pytest.approx(whole, abs=1e-9)
    assert sum(strip.joint_length * strip.quantity for strip in strips) == pytest.approx(whole, abs=1e-9)
    bow = next(strip for strip in strips if strip.run == "bow")
    # a seam on the centre line with a hole on it: one hole, through a port and a starboard panel, on both patterns
    shared = 0 if bow_across else (len(bow.holes) // 2) % 2
    holes = sum(len(loop.holes) * loop.quantity for loop in loops) - shared
    assert sum(len(face.holes) * face.quantity for face in faces) == holes
    assert sum(len(strip.holes) * strip.quantity for strip in strips) == 2 * holes
    for piece in pieces:
        cut = shapely.Polygon(piece.cut_line)
        assert cut.is_valid
        assert cut.buffer(1e-9).contains(shapely.Polygon(piece.sew_line))
        assert piece.area > 0.0
        if len(piece.holes):
            assert cut.contains(shapely.MultiPoint(piece.holes))
