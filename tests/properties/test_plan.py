"""The plan under change of scale, and what holds for every plan."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.design.model import Design
from skirtloft.maths.curves import (
    area_to_axis,
    end_direction,
    path_length,
    piece_end,
    piece_start,
    points_at,
    start_direction,
)
from skirtloft.maths.fillets import turn_between
from skirtloft.shape.plan import lay_out, line_inboard
from skirtloft.shape.stations import MERGE
from tests.plan_cases import design_of, hull_points


@st.composite
def craft(draw: st.DrawFn) -> tuple[list[tuple[float, float, str | None]], dict[str, float], dict[str, float]]:
    """A hull with a taper of its own, corner radii and heights: (corners, radii, heights)."""
    length, half = draw(st.floats(3.0, 8.0)), draw(st.floats(0.95, 1.6))
    front, taper = half * draw(st.floats(0.62, 0.85)), draw(st.floats(0.8, 1.4))
    corners: list[tuple[float, float, str | None]] = [
        (length, 0.0, "bow"),
        (length, front, "side"),
        (length - taper, half, "side"),
        (0.0, half, "stern"),
        (0.0, 0.0, None),
    ]
    radii = {name: draw(st.floats(0.57, 0.62)) for name in ("bow", "side", "stern")}
    heights = {f"at{i}": draw(st.floats(0.24, 0.34)) for i in range(5)}
    return corners, radii, heights


def scaled_design(corners, radii, heights, k: float) -> Design:
    points = hull_points(
        [(k * x, k * y, label) for x, y, label in corners],
        **{name: {"height": k * height} for name, height in heights.items()},
    )
    design = design_of(
        points,
        {name: k * radius for name, radius in radii.items()},
        depth=k * 0.28,
        pitch=k * 0.15,
        bow={"joint_inside": k * 0.075},
        side={"tip_inside": k * 0.05},
        stern={"tip_inside": k * 0.05},
    )
    making = design.making.model_copy(update={"hem": k * design.making.hem})
    hull = design.hull.model_copy(update={"clearance": k * 0.24})
    return design.model_copy(update={"hull": hull, "making": making})


@settings(max_examples=40, deadline=None)
@given(craft(), st.floats(1.0, 3.0))
def test_scaling_all_lengths_scales_all_lengths(case, k: float) -> None:
    """Merging at 20 mm is the one length that does not scale, so only plans without a merge are compared."""
    one, other = lay_out(scaled_design(*case, 1.0)), lay_out(scaled_design(*case, k))
    if len(one.stations.at) == len(other.stations.at):
        for name in ("at", "joint", "hull", "hull_at", "hull_z", "offset", "radius"):
            np.testing.assert_allclose(
                getattr(other.stations, name), k * getattr(one.stations, name), rtol=1e-9, atol=1e-9
            )
        np.testing.assert_allclose(other.stations.outward, one.stations.outward, atol=1e-9)
        assert other.stations.runs == one.stations.runs
    else:
        assert np.diff(one.stations.at).min() < MERGE * 1.5  # the smaller craft had stations near enough to merge
    assert [run.segments for run in other.runs] == [run.segments for run in one.runs]
    np.testing.assert_allclose(other.joint_line.breaks, k * one.joint_line.breaks, rtol=1e-9)
    np.testing.assert_allclose(
        [other.joint_area, other.tip_area], k**2 * np.array([one.joint_area, one.tip_area]), rtol=1e-9
    )
    np.testing.assert_allclose(
        [other.joint_perimeter, other.tip_perimeter, other.tip_inset],
        k * np.array([one.joint_perimeter, one.tip_perimeter, one.tip_inset]),
        rtol=1e-9,
    )


@settings(max_examples=40, deadline=None)
@given(craft(), st.integers(3, 12))
def test_what_holds_for_every_plan(case, count: int) -> None:
    design = scaled_design(*case, 1.0)
    plan = lay_out(design.model_copy(update={"skirt": design.skirt.model_copy(update={"stations_per_corner": count})}))
    joint, stations = plan.joint_line, plan.stations
    # closed by its mirror image, convex, tangent-continuous
    assert abs(piece_start(joint.pieces[0]).imag) < 1e-9
    assert abs(piece_end(joint.pieces[-1]).imag) < 1e-9
    for before, after in zip(joint.pieces[:-1], joint.pieces[1:], strict=True):
        assert abs(piece_end(before) - piece_start(after)) < 1e-9
        assert abs(turn_between(end_direction(before), start_direction(after))) < 1e-7
    turned = np.unwrap(np.arctan2(stations.outward[:, 1], stations.outward[:, 0]))
    assert np.all(np.diff(turned) > -1e-12)
    assert math.isclose(turned[-1] - turned[0], math.pi, abs_tol=1e-9)
    # sections: J = E + X n, on both lines, in order, above the joint
    np.testing.assert_allclose(stations.joint, stations.hull + stations.offset[:, None] * stations.outward, atol=1e-9)
    np.testing.assert_allclose(points_at(plan.hull_edge, stations.hull_at), stations.hull, atol=1e-9)
    assert np.all(np.diff(stations.at) >= MERGE - 1e-9)
    assert np.all(np.diff(stations.hull_at) > 0.0)
    assert np.all(np.abs(stations.offset) < stations.radius)
    assert np.all(stations.hull_z > design.skirt.depth)
    # the tip line as a path agrees with the formulas
    tip = line_inboard(plan, plan.tip_inset)
    assert math.isclose(2 * area_to_axis(tip), plan.tip_area, rel_tol=1e-9)
    assert math.isclose(2 * path_length(tip), plan.tip_perimeter, rel_tol=1e-9)
    # whole numbers of segments, each within half a segment of the wanted pitch
    for run in plan.runs:
        assert abs(run.fitted_length / design.skirt.pitch - run.segments) <= 0.5 or run.segments == 1
