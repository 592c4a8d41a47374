"""Weight of segments of any shape: the 45/90 case, and a face cut into small pieces."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.physics.cloth import segment_weight
from skirtloft.physics.face import face_half_width
from skirtloft.physics.segment_cloth import face_moments, no_cloth, segment_cloth, tip_edge_moments
from skirtloft.physics.segment_shape import segment_shape
from tests.statics_cases import ALLOWANCES


@pytest.mark.parametrize("pitch", [0.10, 0.15, 0.22])
def test_trade_triangle(pitch: float) -> None:
    """The 45/90 level segment weighs what the fixed-shape module says (own quadrature there good to 1e-7)."""
    shape = segment_shape(0.28, math.pi / 4.0, pitch, inboard=0.56)
    mine = segment_cloth(shape, areal_mass=0.4, strip_areal_mass=0.3, **ALLOWANCES)
    theirs = segment_weight(depth=0.28, pitch=pitch, areal_mass=0.4, strip_areal_mass=0.3, **ALLOWANCES)
    assert mine.mass == pytest.approx(theirs.mass, rel=1e-6)
    assert mine.moment == pytest.approx(theirs.moment, rel=1e-6)
    assert mine.height_moment == pytest.approx(theirs.height_moment, rel=1e-6)


def _small_pieces(d: float, t: float, w: float, top: str, cut: str, arc: float) -> np.ndarray:
    """Area and first moments about J of a straight face, row by row and point by point along each hanging arc.

    `arc` is the tip's arc over its chord. A level cut is taken by leaving out what hangs below the ground; a bulged
    top by starting rows above J.
    """
    rows, points = 1500, 600
    length = d / math.sin(t)
    start = -w / math.tan(t) if top == "arc" and cut == "level" else 0.0
    share = start / length + (1.0 - start / length) * (np.arange(rows) + 0.5) / rows
    swollen = np.full(rows, arc * w / 2.0) if top == "arc" else face_half_width(share, w, w, arc * w / 2.0)
    step = (length - start) / rows
    slope = np.zeros(rows) if top == "arc" else np.gradient(swollen, step)
    total = np.zeros(3)
    for at, half, lean in zip(share * length, swollen, slope, strict=True):
        q = brentq(lambda x, half=half: math.sin(x) / x - w / (2.0 * half), 1e-9, 3.0) if half > w / 2.0 else 1e-9
        radius = half / q
        turn = q * (np.arange(points) + 0.5) / points
        y = radius * (np.cos(turn) - math.cos(q))
        x, z = y * math.sin(t) - at * math.cos(t), -y * math.cos(t) - at * math.sin(t)
        area = np.full(points, 2.0 * half / points * step * math.sqrt(1.0 - lean**2))
        keep = (z > -d) & (z < 0.0) if cut == "level" else np.ones(points, dtype=bool)
        total += [area[keep].sum(), (area * x)[keep].sum(), (area * z)[keep].sum()]
    return total


@pytest.mark.parametrize("top, cut, bulge", [("flat", "level", 1.0), ("arc", "level", 0.7), ("flat", "square", 0.7)])
def test_face_by_small_pieces(top: str, cut: str, bulge: float) -> None:
    """Second opinion: the face row by row, arcs by root finding; cut by leaving out what hangs too low."""
    d, t, w = 0.3, math.radians(54.0), 0.16
    q = 2.0 * math.atan(bulge)
    expected = _small_pieces(d, t, w, top, cut, q / math.sin(q))
    shape = segment_shape(d, t, w, inboard=0.5, drop=0.04, bulge=bulge, top=top, cut=cut)
    area, out, up = face_moments(shape)
    assert area == pytest.approx(expected[0], rel=5e-4)
    assert out - 0.5 * area == pytest.approx(expected[1], rel=5e-4)
    assert up - 0.04 * area == pytest.approx(expected[2], rel=5e-4)


@pytest.mark.parametrize("cut", ["level", "square"])
def test_tip_edge_by_small_steps(cut: str) -> None:
    """Second opinion: the edge as a fine polyline."""
    d, t, w, trim, q = 0.3, math.radians(54.0), 0.16, 0.02, 2.0 * math.atan(0.7)
    shape = segment_shape(d, t, w, inboard=0.5, drop=0.04, bulge=0.7, cut=cut)
    turn = np.linspace(-q, q, 4001)
    y = w / (2.0 * math.sin(q)) * (np.cos(turn) - math.cos(q))
    out, up = (y / math.sin(t), 0.0 * y) if cut == "level" else (y * math.sin(t), -y * math.cos(t))
    line = np.column_stack([w / (2.0 * math.sin(q)) * np.sin(turn), out, up])
    pieces = np.linalg.norm(np.diff(line, axis=0), axis=1)
    middle = (
        (line[1:] + line[:-1]) / 2.0
        + [0.0, 0.5 - d / math.tan(t), -0.26]
        - np.array([0.0, 0.01, 0.01]) * [0.0, math.cos(t), math.sin(t)]
    )
    expected = [pieces.sum(), pieces @ middle[:, 1], pieces @ middle[:, 2]]
    assert np.allclose(tip_edge_moments(shape, trim), expected, rtol=1e-6)


def test_flat_triangle_alone() -> None:
    """No allowances, no bulge, no narrowing: face d/sin t by w at its middle, two webs at their centroid."""
    d, t, inboard, drop, w = 0.3, math.radians(60.0), 0.45, 0.05, 0.2
    shape = segment_shape(d, t, w, inboard=inboard, drop=drop, bulge=0.0)
    cloth = segment_cloth(shape, areal_mass=0.5, seam=0.0, hem=0.0, tip_trim=0.0, joint=0.0)
    joint, tip = np.array([inboard, drop]), np.array([inboard - d / math.tan(t), drop - d])
    web = abs(joint[0] * tip[1] - joint[1] * tip[0]) / 2.0
    face = d / math.sin(t) * w
    moments = 0.5 / w * (face * (joint + tip) / 2.0 + 2.0 * web * (joint + tip) / 3.0)
    assert cloth.mass == pytest.approx(0.5 / w * (face + 2.0 * web), rel=1e-13)
    assert np.allclose([cloth.moment, cloth.height_moment], moments, rtol=1e-13)


def test_every_allowance_weighs() -> None:
    """Each allowance adds its edge's length times its width, both webs and both layers counted."""
    shape = segment_shape(0.28, math.pi / 4.0, 0.15, inboard=0.56)
    none = dict.fromkeys(ALLOWANCES, 0.0)
    bare = segment_cloth(shape, areal_mass=0.4, **none)
    edge = 0.28 * math.sqrt(2.0)
    expected = {"seam": 4.0 * edge, "hem": 2.0 * (0.56 + edge), "joint": 3.0 * 0.15}
    for name, length in expected.items():
        more = segment_cloth(shape, areal_mass=0.4, **(none | {name: 0.01}))
        assert more.mass - bare.mass == pytest.approx(0.4 * 0.01 * length / 0.15, rel=1e-9)
    assert segment_cloth(shape, areal_mass=0.4, **(none | {"tip_trim": 0.01})).mass > bare.mass


def test_corner_is_lighter() -> None:
    """A corner face narrows from joint to tip: flat trapezoid, but for the arc that a square cut makes (0.1 %)."""
    r, q, d = 0.75, math.radians(15.0), 0.28
    shape = segment_shape(d, math.pi / 4.0, r * q, inboard=0.56, radius=r, bulge=0.0, cut="square")
    top, tip = 2.0 * r * math.sin(q / 2.0), 2.0 * (r - d) * math.sin(q / 2.0)
    height = math.sqrt(2.0 * d**2 - ((top - tip) / 2.0) ** 2)
    assert face_moments(shape)[0] == pytest.approx((top + tip) / 2.0 * height, rel=2e-3)


def test_no_cloth() -> None:
    shape = segment_shape(0.28, math.pi / 4.0, [0.15, 0.2], inboard=0.56)
    assert not np.any([no_cloth(shape).mass, no_cloth(shape).moment, no_cloth(shape).height_moment])
