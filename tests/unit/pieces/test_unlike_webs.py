"""The face between two webs that are not alike. Expected: limits and symmetries of the construction (derived)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.pieces.segment import face_between, face_shape, web_corners

DEEP = SegmentForm(0.32, math.radians(50.0), math.radians(92.0), 0.02)
SHALLOW = SegmentForm(0.28, math.radians(45.0), math.radians(90.0))
CORNER = {"radius": 0.75, "wedge": math.radians(11.25)}


def length(points: np.ndarray) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


@pytest.mark.parametrize("where", [CORNER, {}])
def test_sides_are_as_long_as_their_webs_and_the_top_as_the_pitch(where: dict[str, float]) -> None:
    shape = face_between(0.15, DEEP, SHALLOW, **where)
    for side, form in ((shape.side, DEEP), (shape.stern_side, SHALLOW)):
        corners = web_corners(form.depth, form.face_angle, form.inboard, form.drop)
        assert length(side) == pytest.approx(math.dist(corners[0], corners[1]), abs=1e-12)
    assert length(shape.top) == pytest.approx(0.15, abs=1e-15)
    np.testing.assert_allclose(shape.side[-1], shape.top[0], atol=1e-15)
    np.testing.assert_allclose(shape.stern_side[0], shape.top[1], atol=1e-15)
    np.testing.assert_allclose(shape.tip[[0, -1]], [shape.stern_side[-1], shape.side[0]], atol=1e-15)


@pytest.mark.parametrize("form", [DEEP, SHALLOW])
def test_between_equal_webs_it_is_the_symmetric_face(form: SegmentForm) -> None:
    plain = face_shape(0.15, form.depth, form.face_angle, **CORNER)
    both = face_between(0.15, form, form, **CORNER)
    for name in ("top", "side", "stern_side", "tip"):
        np.testing.assert_array_equal(getattr(plain, name), getattr(both, name))
    np.testing.assert_allclose(both.stern_side[::-1] * [-1.0, 1.0], both.side, atol=1e-15)


def test_webs_exchanged_give_the_mirror_image() -> None:
    one, other = face_between(0.15, DEEP, SHALLOW, **CORNER), face_between(0.15, SHALLOW, DEEP, **CORNER)
    np.testing.assert_allclose(other.side, one.stern_side[::-1] * [-1.0, 1.0], atol=1e-14)
    np.testing.assert_allclose(other.tip, one.tip[::-1] * [-1.0, 1.0], atol=1e-14)


def test_nearly_equal_webs_give_nearly_the_same_face() -> None:
    """The change of shape goes with the change of the web: first order, so a tenth gives a tenth."""
    gaps = []
    for step in (1e-3, 1e-4):
        near = SegmentForm(0.28 + step, SHALLOW.face_angle, SHALLOW.tip_angle)
        gaps.append(
            np.abs(
                face_between(0.15, near, SHALLOW, **CORNER).tip - face_shape(0.15, 0.28, math.pi / 4, **CORNER).tip
            ).max()
        )
    assert 0.0 < gaps[1] < 4e-4
    assert gaps[0] / gaps[1] == pytest.approx(10.0, rel=0.05)


def test_a_straight_slope_is_a_parallelogram_but_for_the_bulge() -> None:
    """Equal face angles on a straight run: in the plane of the webs' edges the joints stand d sin t apart (derived).

    Corners of the plane strip: sides parallel, top hypot(w, dz) long, angle of the top to a side acos(dz sin t/top).
    """
    w, dz, t = 0.15, 0.02, math.pi / 4.0
    top = math.hypot(w, dz)
    shape = face_between(top, SegmentForm(0.28 + dz, t, math.pi / 2), SegmentForm(0.28, t, math.pi / 2))
    across = shape.side[0] - shape.stern_side[-1]  # chord of the tip, wide as the half rounds
    fall = dz * math.sin(t) - dz / math.sin(t)  # of the tip chord along the sides, over the width (pi/2) w
    assert np.hypot(*across) == pytest.approx(
        math.hypot(math.pi / 2.0 * math.sqrt(top**2 - (dz * math.sin(t)) ** 2), fall), rel=2e-3
    )


def test_a_bulge_that_grows_too_fast_is_refused() -> None:
    with pytest.raises(ShapeError, match="deeper"):
        face_between(0.5, SegmentForm(0.06, math.pi / 4, math.pi / 2), SegmentForm(0.08, math.pi / 4, math.pi / 2))


def test_web_of_any_form() -> None:
    """Angle at the tip, height and distance of the fixing come out of the corners."""
    joint, tip, inner = web_corners(DEEP.depth, DEEP.face_angle, DEEP.inboard, DEEP.drop)
    up, back = joint - tip, inner - tip
    angle = math.acos(float(up @ back) / math.hypot(*up) / math.hypot(*back))
    assert angle == pytest.approx(DEEP.tip_angle, rel=1e-12)
    assert math.atan2(up[1], up[0]) == pytest.approx(DEEP.face_angle, rel=1e-12)
    assert inner[1] == -DEEP.drop
