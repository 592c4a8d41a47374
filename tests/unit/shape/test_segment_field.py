"""Depth and angles along the joint line: nodes, corners that have shrunk, runs that meet without a corner."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.errors import ShapeError
from skirtloft.pipeline import build
from skirtloft.shape.own_pitch import station_pitches
from skirtloft.shape.plan import lay_out
from skirtloft.shape.segment_field import crown_insets, form_at, inboard_at, is_uniform, tip_insets, web_insets
from tests.plan_cases import DEPTH, PITCH, ROUND, SQUARE, TAPERED, design_of, hull_points, joint_points

DEEP_BOW = {"joint_inside": 0.075, "depth": 0.31, "inner": {"drop": 0.02}}


def test_values_are_even_in_runs_and_between_them_in_corners() -> None:
    plan = lay_out(design_of(hull_points(SQUARE), bow=DEEP_BOW))
    corner = plan.runs[1]
    assert corner.name == "bow_corner"
    assert (corner.first.depth, corner.last.depth) == (0.31, DEPTH)
    middle = form_at(plan.segments, (plan.segments.at[1] + plan.segments.at[2]) / 2.0)
    assert middle.depth == pytest.approx((0.31 + DEPTH) / 2.0, rel=1e-12)
    assert middle.drop == pytest.approx(0.01, rel=1e-12)
    assert plan.runs[2].first == plan.runs[2].last
    assert not is_uniform(plan.segments)


def test_insets_are_the_closed_forms() -> None:
    """d cot t; less (pi/8) w/sin t; less w/(2 sin t); and d cot t - (d - drop) cot(t + tip) for the inner fixing."""
    plan = lay_out(design_of(hull_points(SQUARE), bow={**DEEP_BOW, "face_angle": math.radians(50.0)}))
    t, at = math.radians(50.0), np.array([0.0])
    web = 0.31 / math.tan(t)
    assert web_insets(plan.segments, at)[0] == pytest.approx(web, rel=1e-13)
    assert tip_insets(plan.segments, PITCH, at)[0] == pytest.approx(web - math.pi / 8 * PITCH / math.sin(t), rel=1e-13)
    assert crown_insets(plan.segments, PITCH, at)[0] == pytest.approx(web - PITCH / 2 / math.sin(t), rel=1e-13)
    fixing = web - 0.29 / math.tan(t + math.pi / 2.0)
    assert inboard_at(plan.segments, at)[0] == pytest.approx(fixing, rel=1e-13)


def test_a_bow_that_has_shrunk_to_nothing_keeps_its_depth_on_the_centre_line() -> None:
    """The corner goes from the bow's depth to the side's; its one section on the centre line has the corner's pitch."""
    design = design_of(hull_points(ROUND), {"bow": "full", "side": 0.75, "stern": 0.75}, bow=DEEP_BOW)
    plan = lay_out(design)
    assert plan.stations.runs[0] == "bow"
    assert plan.stations.depth[0] == 0.31
    assert plan.runs[0].name == "bow_corner"
    pitch, radius = station_pitches(plan)
    assert (pitch[0], radius[0]) == (plan.runs[0].fitted_pitch, plan.runs[0].radius)
    skirt = build(design)
    assert not any(piece.kind == "loop_panel" and piece.hand == "" and piece.run == "bow" for piece in skirt.pieces)


def test_depth_of_the_tapered_bow() -> None:
    """A corner between two side runs has the sides' segments throughout."""
    plan = lay_out(design_of(hull_points(TAPERED), {"bow": 0.7, "side": 0.7, "stern": 0.7}, bow=DEEP_BOW))
    side_corner = next(run for run in plan.runs if run.name == "side_corner")
    assert side_corner.first == side_corner.last
    assert side_corner.first.depth == DEPTH


def round_bow(depth: float):  # type: ignore[no-untyped-def]
    """A joint line given outright whose bow arc runs into the side without a corner."""
    r = 1.2
    corners = ((3.0 + r, 0.0, "bow"), (3.0, r, "side"), (-0.1, r, "stern"), (-0.1, 0.0, None))
    middle = {"through": (3.0 + r * math.sqrt(0.5), r * math.sqrt(0.5))}
    joint = joint_points(corners, at0=middle, at2={"radius": 0.75})
    return design_of(hull_points(ROUND, at1={"radius": 1.0}), joint=joint, bow={"depth": depth})


def test_runs_that_meet_without_a_corner_have_the_same_segments() -> None:
    assert is_uniform(lay_out(round_bow(DEPTH)).segments)
    with pytest.raises(ShapeError) as caught:
        lay_out(round_bow(0.30))
    assert "without a corner" in caught.value.why
    assert "[skirt.bow] and [skirt.side]" in caught.value.would_do


def test_a_tight_corner_is_told_with_the_fixing_of_its_deepest_segment() -> None:
    """Inner fixings lie 2 d inboard at 45/90: the bow's .36 asks for 720 mm."""
    with pytest.raises(ShapeError) as caught:
        lay_out(
            design_of(
                hull_points(SQUARE),
                {"bow": 0.7, "side": 0.75, "stern": 0.75},
                bow={**DEEP_BOW, "depth": 0.36, "inner": {}},
            )
        )
    assert "720.0 mm" in caught.value.would_do
