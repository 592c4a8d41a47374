"""Craft at prescribed tilts: equilibrium by other means, symmetry, scale, air."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.attitude.bounds import BOUNDS, Bound, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, falling_flow, flow_through, lean, tilt_slopes
from skirtloft.physics.attitude.tip_line import extent, tip_line, tip_polygon
from tests.attitude_cases import DENSITY, GRAVITY, MASS, box, level_flow, load_of, rounded

TILTS = [[0.0, 0.03], [0.02, 0.0], [-0.015, 0.02], [0.012, -0.035]]


@pytest.mark.parametrize("tilt", TILTS)
@pytest.mark.parametrize("bound", BOUNDS)
def test_equilibrium_by_the_polygon_of_the_footprint(tilt: list[float], bound: Bound) -> None:
    """Weight, moment and flow again: shapely's area and centroid of the moved contact line, tips as point forces."""
    line = rounded(taper=0.2, face_angle=math.radians(50.0))
    contact = contact_of(line, bound)
    height = 0.55
    held = lean(line, load_of(line, height=height), tilt, contact)
    clear = float(held.heave) + line.middle @ tilt
    sink = np.maximum(0.0, -clear)
    moved = line.middle + (contact.shift * sink)[:, None] * line.normal
    footprint = Polygon(moved)
    p = float(held.pressure)
    force = p * contact.stiffness * sink * line.length
    assert footprint.area == pytest.approx(float(held.area), rel=2e-4)
    assert p * footprint.area + force.sum() == pytest.approx(MASS * GRAVITY, rel=2e-4)
    middle = np.array(footprint.centroid.coords[0])
    moment = p * footprint.area * middle + force @ moved
    balanced = moment / (MASS * GRAVITY) + height * np.asarray(tilt)
    assert balanced == pytest.approx(held.offset, abs=2e-3 * float(np.hypot(*held.offset)))
    out = float((np.maximum(0.0, clear) * line.length) @ line.discharge) * math.sqrt(2 * p / DENSITY)
    assert out == pytest.approx(level_flow(line), rel=1e-3)
    assert held.flow == pytest.approx(level_flow(line), rel=1e-10)


@pytest.mark.parametrize("bound", BOUNDS)
def test_slopes_against_differences(bound: Bound) -> None:
    line = rounded(taper=0.15, longest=0.05)
    contact = contact_of(line, bound)
    load = HoverLoad(MASS, falling_flow(level_flow(line), 600.0, -300.0), DENSITY, height=0.4, leak_area=0.004)
    tilt, h = np.array(TILTS), 1e-6
    exact = tilt_slopes(line, load, lean(line, load, tilt, contact), contact)
    for axis in range(2):
        step = h * np.eye(2)[axis]
        rise = lean(line, load, tilt + step, contact).offset - lean(line, load, tilt - step, contact).offset
        assert rise / (2 * h) == pytest.approx(exact[..., axis], rel=1e-5, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.floats(-0.04, 0.04), st.floats(-0.04, 0.04), st.sampled_from(BOUNDS), st.floats(0.0, 0.8))
def test_mirror(trim: float, heel: float, bound: Bound, height: float) -> None:
    line = rounded(longest=0.1, taper=0.1)
    load, contact = load_of(line, height=height), contact_of(line, bound)
    one, other = lean(line, load, [trim, heel], contact), lean(line, load, [trim, -heel], contact)
    assert one.heave == pytest.approx(float(other.heave), abs=1e-12)
    assert one.offset == pytest.approx(other.offset * [1, -1], abs=1e-11)


@settings(max_examples=30, deadline=None)
@given(st.floats(-0.03, 0.03), st.floats(-0.03, 0.03), st.sampled_from(BOUNDS), st.floats(0.3, 3.0))
def test_scale(trim: float, heel: float, bound: Bound, scale: float) -> None:
    """Everything `scale` times as long, mass with its cube, flow with its power of 2.5: offsets and gaps scale."""
    small, large = box(4.0, 2.0), box(4.0, 2.0, scale=scale)
    one = lean(small, HoverLoad(MASS, level_flow(small), DENSITY, 0.5), [trim, heel], contact_of(small, bound))
    load = HoverLoad(MASS * scale**3, level_flow(small) * scale**2.5, DENSITY, 0.5 * scale)
    other = lean(large, load, [trim, heel], contact_of(large, bound))
    assert other.offset == pytest.approx(scale * one.offset, rel=1e-9, abs=1e-12)
    assert other.most_gap == pytest.approx(scale * float(one.most_gap), rel=1e-9)
    assert other.pressure == pytest.approx(scale * float(one.pressure), rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.012, 0.06), st.floats(0.0, 2 * math.pi))
def test_firm_over_likely_over_soft(size: float, way: float) -> None:
    line = rounded(longest=0.1)
    tilt = size * np.array([math.cos(way), math.sin(way)])
    soft, likely, firm = (-lean(line, load_of(line), tilt, contact_of(line, b)).offset @ tilt / size for b in BOUNDS)
    if soft > 1e-6:
        assert firm > 1.1 * likely > 1.1 * 1.1 * soft
    stiffer = replace(line, stiffness=frozen_array(1.5 * line.stiffness))
    for bound in ("likely", "firm"):
        before, after = (-lean(x, load_of(x), tilt, contact_of(x, bound)).offset @ tilt for x in (line, stiffer))
        assert after >= before


def test_likely_is_the_two_springs_in_a_row() -> None:
    """1/k = 1/k_firm + 1/2 with k_firm 2.8468: 1.17485; the shift of 45/90 is the sink for every bound."""
    line = box(4.0, 2.0)
    assert contact_of(line, "likely").stiffness == pytest.approx(1 / (1 / 2.8468 + 1 / 2))
    assert contact_of(line, "likely").turning == pytest.approx(1 / (1 / 2.8468 + 1 / 2) / 2.8468)
    for bound in BOUNDS:
        assert contact_of(line, bound).shift == pytest.approx(1.0)
    unstable = box(4.0, 2.0, stiffness=-0.01)
    assert contact_of(unstable, "firm").stiffness == pytest.approx(0.0)
    shallow = box(4.0, 2.0, lever=0.25, drop=0.15)
    assert contact_of(shallow, "firm").shift == pytest.approx(0.6)
    assert contact_of(shallow, "firm").stiffness == pytest.approx(STIFF := 2.8468 * 0.18**2 / 0.25**2)
    share = contact_of(shallow, "likely").turning[0]
    assert share == pytest.approx(2.0 / (2.0 + STIFF))
    assert contact_of(shallow, "likely").shift == pytest.approx(share * 0.6 + 1 - share)


def test_a_fan_that_falls_gives_more_air_as_the_pressure_falls() -> None:
    line, tilt = box(4.0, 2.0), [0.0, math.radians(2.0)]
    contact, flow, p = contact_of(line, "firm"), level_flow(line), MASS * GRAVITY / 8.0
    steady = lean(line, HoverLoad(MASS, flow, DENSITY), tilt, contact)
    falling = lean(line, HoverLoad(MASS, falling_flow(flow, p, -400.0), DENSITY), tilt, contact)
    points = np.array([300.0, p, 900.0])
    pchip = lean(line, HoverLoad(MASS, flow_through(flow - (points - p) / 400.0, points), DENSITY), tilt, contact)
    assert falling.flow == pytest.approx(flow + (p - float(falling.pressure)) / 400.0, rel=1e-12)
    assert float(falling.most_gap) > float(steady.most_gap) * 1.02
    assert pchip.most_gap == pytest.approx(float(falling.most_gap), rel=1e-9)


def test_leaks_and_a_fan_too_weak() -> None:
    line, contact = box(4.0, 2.0), contact_of(box(4.0, 2.0), "soft")
    flow, p = level_flow(line), MASS * GRAVITY / 8.0
    half = 0.5 * flow / math.sqrt(2 * p / DENSITY)
    leaky = lean(line, HoverLoad(MASS, flow, DENSITY, leak_area=half), [0.0, 0.0], contact)
    assert leaky.heave == pytest.approx(0.005, rel=1e-9)  # half the air is left for the gap
    assert leaky.gap_flow == pytest.approx(flow / 2, rel=1e-9)
    assert leaky.flow == pytest.approx(flow, rel=1e-9)
    drained = lean(line, HoverLoad(MASS, flow, DENSITY, leak_area=2.1 * half), [0.0, 0.0], contact)
    assert np.isnan(drained.heave)
    assert np.isnan(drained.offset).all()


def test_flags_of_sink_turn_and_hull() -> None:
    line = box(4.0, 2.0, turn_limit=0.5)
    hull = [[2.0, 1.0, 0.05], [2.0, -1.0, 0.05], [-2.0, 0.0, 0.20]]
    angle = np.radians([1.0, 2.0, 3.0])
    tilt = np.stack([np.zeros(3), angle], axis=-1)
    held = lean(line, load_of(line), tilt, contact_of(line, "firm"), hull=hull)
    # sink 12.0, 43.3, 75.9 mm (closed form, firm) against 0.3 d = 54 mm and a turn of sink/lever
    assert held.is_linear.tolist() == [True, True, False]
    assert held.turn_left == pytest.approx(0.5 + np.minimum(0.0, held.least_gap) / 0.18, rel=1e-9)
    assert held.hull_clearance == pytest.approx(held.heave - angle + 0.05, rel=1e-12)
    assert (held.hull_clearance > 0).tolist() == [True, True, False]
    free = lean(line, load_of(line), tilt, contact_of(line, "soft"))
    assert free.turn_left == pytest.approx(0.5)  # folds, does not turn
    assert np.isinf(free.hull_clearance).all()


def test_area_and_centre_of_any_polygon() -> None:
    """Against shapely."""
    corners = [[3.0, -0.5], [3.2, 0.6], [1.0, 1.2], [-0.8, 0.9], [-0.2, -1.1]]
    line, polygon = tip_polygon(corners, depth=0.2), Polygon(corners)
    assert line.area == pytest.approx(polygon.area, rel=1e-12)
    assert line.centre == pytest.approx(polygon.centroid.coords[0], rel=1e-12)
    assert extent(line, [0, 1]) == pytest.approx(2.3)
    assert extent(line, [2, 0]) == pytest.approx(4.0)
    assert line.discharge == pytest.approx(0.537286, abs=1e-6)  # free-streamline theory at 45 deg


@pytest.mark.parametrize("change, says", [({"normals": -1}, "clockwise"), ({"length": [2, 4, 2, 3]}, "close")])
def test_a_line_that_cannot_be(change: dict[str, Any], says: str) -> None:
    normals = np.array([[1, 0], [0, 1], [-1, 0], [0, -1.0]]) * change.get("normals", 1)
    with pytest.raises(ShapeError, match=says):
        tip_line([[2, 0], [0, 1], [-2, 0], [0, -1]], normals, change.get("length", [2, 4, 2, 4]), depth=0.2)
