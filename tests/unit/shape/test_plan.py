"""The whole plan from a design; expected numbers are closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.errors import DesignError, ShapeError
from skirtloft.maths.curves import ArcPiece, path_points
from skirtloft.shape.plan import fixing_inset, lay_out, line_inboard, web_inset
from skirtloft.shape.stations import panel_runs
from tests.plan_cases import ROUND, SQUARE, TAPERED, design_of, hull_points, joint_points


def test_runs_are_the_pieces_of_the_joint_line() -> None:
    plan = lay_out(design_of(hull_points(TAPERED)))
    assert len(plan.runs) == len(plan.joint_line.pieces)
    for run, piece, start, end in zip(
        plan.runs, plan.joint_line.pieces, plan.joint_line.breaks[:-1], plan.joint_line.breaks[1:], strict=True
    ):
        assert (run.start, run.end) == (start, end)
        assert math.isfinite(run.radius) == isinstance(piece, ArcPiece)
        if isinstance(piece, ArcPiece):
            assert run.centre.tolist() == piece.centre.tolist()
    assert [run.crosses_centre for run in plan.runs] == [True, *[False] * (len(plan.runs) - 2), True]


def test_segments_are_the_whole_number_nearest_to_the_pitch() -> None:
    """Bow run 2 x .446696 / .15 = 5.96, corner .75 pi/2 / .15 = 7.85, side 2.976696 / .15 = 19.84."""
    plan = lay_out(design_of(hull_points(SQUARE)))
    assert [run.segments for run in plan.runs] == [6, 8, 20, 8, 6]
    assert plan.runs[0].fitted_pitch == pytest.approx(2 * 0.446696 / 6, abs=1e-6)
    assert plan.runs[2].fitted_pitch == pytest.approx(2.976696 / 20, abs=1e-6)


def test_a_short_run_has_one_segment() -> None:
    plan = lay_out(design_of(hull_points(SQUARE), {"bow": 1.16, "side": 0.75, "stern": 0.75}))
    assert plan.runs[0].segments == 1
    assert plan.runs[0].fitted_length < 0.075  # less than half a pitch


def test_round_bow_has_no_bow_run() -> None:
    plan = lay_out(design_of(hull_points(ROUND), {"bow": "full", "side": 0.75, "stern": 0.75}))
    assert "bow" not in [run.name for run in plan.runs]
    assert plan.stations.runs[0] == "bow"
    assert all(run.end - run.start > 0.02 for run in plan.runs)


def test_panels_know_their_runs() -> None:
    plan = lay_out(design_of(hull_points(TAPERED)))
    runs = panel_runs(plan.stations, plan.runs)
    assert len(runs) == len(plan.stations.ids) - 1
    assert sorted(set(runs)) == list(range(len(plan.runs)))  # every run has a panel
    assert list(runs) == sorted(runs)


def test_joint_line_given_outright_is_taken_as_it_is() -> None:
    corners = [(4.33, 0.0, "bow"), (4.33, 1.2, "side"), (-0.15, 1.2, "stern"), (-0.15, 0.0, None)]
    joint = joint_points(corners, at1={"radius": 0.75}, at2={"radius": 0.6})
    plan = lay_out(design_of(hull_points(SQUARE), joint=joint))
    assert plan.joint_area == pytest.approx(4.48 * 2.4 - (4 - math.pi) / 2 * (0.75**2 + 0.6**2))
    assert plan.stations.offset[0] == pytest.approx(-0.075)
    assert plan.stations.offset[-1] == pytest.approx(0.15)


def test_tip_line_inside_everything() -> None:
    """The tip path keeps its distance from the joint line: delta everywhere."""
    plan = lay_out(design_of(hull_points(TAPERED)))
    tip = path_points(line_inboard(plan, plan.tip_inset), 1e-6)
    joint = path_points(plan.joint_line, 1e-6)
    away = np.hypot(*(tip[:, None, :] - joint[None, :, :]).transpose(2, 0, 1))
    assert away.min() > plan.tip_inset - 1e-5


def test_inner_fixing_of_the_usual_angles_is_twice_the_depth_inboard() -> None:
    assert fixing_inset(0.28, math.pi / 4, math.pi / 2) == pytest.approx(0.56)
    # 60 deg face, 80 deg tip: lower edge rises at 40 deg, so d (cot 60 + cot 40)
    expected = 0.28 / math.tan(math.pi / 3) + 0.28 / math.tan(math.radians(40.0))
    assert fixing_inset(0.28, math.pi / 3, math.radians(80.0)) == pytest.approx(expected)
    assert web_inset(0.28, math.pi / 4) == pytest.approx(0.28)


def test_corner_too_tight() -> None:
    design = design_of(hull_points(SQUARE), {"bow": 0.5, "side": 0.75, "stern": 0.75})
    inner = design.skirt.inner.model_copy(update={"tight": "whole"})
    assert lay_out(design).tight
    with pytest.raises(ShapeError) as caught:
        lay_out(design.model_copy(update={"skirt": design.skirt.model_copy(update={"inner": inner})}))
    assert "inner fixings of neighbouring segments cross" in caught.value.why
    assert "560.0 mm" in caught.value.would_do


def test_run_without_an_inset() -> None:
    with pytest.raises(DesignError) as caught:
        lay_out(design_of(hull_points(SQUARE), stern={}, side={}))
    assert [problem.path for problem in caught.value.problems] == ["skirt.side", "skirt.stern"]


def test_arrays_are_read_only() -> None:
    plan = lay_out(design_of(hull_points(SQUARE)))
    for array in (
        plan.hull_heights,
        plan.joint_line.breaks,
        plan.stations.at,
        plan.stations.hull,
        plan.stations.offset,
    ):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0.0
