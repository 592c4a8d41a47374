"""The joint's runs as sewn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.errors import ShapeError
from skirtloft.pieces.joint import hole_places, holes_per_pitch, pitch_lines, pitch_text, segment_number, sewn_runs
from tests.loop_cases import JointCase, panels, plan

HOLE_PITCH = 0.06


def runs_of(craft):
    return sewn_runs(plan(craft), panels(craft), HOLE_PITCH)


def test_runs_are_as_long_as_their_panels_and_share_them_equally():
    craft = JointCase()
    runs = runs_of(craft)
    assert [run.name for run in runs] == ["bow", "bow_corner", "side", "stern_corner", "stern"]
    assert [run.crosses for run in runs] == ["bow", "", "", "", "stern"]
    assert runs[0].length == pytest.approx(2 * 0.53, abs=1e-14)
    assert runs[1].length == pytest.approx(0.75 * np.pi / 2, abs=1e-14)
    assert runs[2].length == pytest.approx(2.976696, abs=1e-14)
    assert [run.segments for run in runs] == [7, 8, 20, 8, 6]
    assert runs[1].wedge == pytest.approx(np.pi / 16, rel=1e-14)  # 90 deg over 8 segments
    assert runs[2].wedge == 0.0
    assert runs[0].pitch * 7 == pytest.approx(runs[0].length, abs=1e-15)
    assert [run.sides for run in runs] == [1, 2, 2, 2, 1]


def test_the_sewn_length_rules_not_the_plan():
    """A panel 1 mm longer at the joint makes its run 1 mm longer, and no other."""
    craft = JointCase()
    flat = list(panels(craft))
    longer = flat[2]
    flat[2] = replace(longer, joint_line=longer.joint_line + np.array([[0.001, 0.0], [0.0, 0.0]]))
    before, after = runs_of(craft), sewn_runs(plan(craft), flat, HOLE_PITCH)
    assert [b.length - a.length for a, b in zip(before, after, strict=True)] == pytest.approx([0, 0.001, 0, 0, 0])
    assert after[1].pitch == pytest.approx(before[1].pitch + 0.001 / 8)


@pytest.mark.parametrize("bow_across", [True, False])
def test_spans_follow_each_other_and_lie_about_the_centre_line(bow_across):
    runs = runs_of(JointCase(bow_across=bow_across, side_panels=3))
    for run in runs:
        assert run.spans[1:, 0] == pytest.approx(run.spans[:-1, 1], abs=1e-14)
    bow, stern = runs[0], runs[-1]
    assert bow.spans[-1, 1] == pytest.approx(bow.length)
    assert bow.spans[0, 0] == pytest.approx(0.0 if bow_across else bow.length / 2)
    assert stern.spans.mean() == pytest.approx(stern.length / 2)
    assert bow.length == pytest.approx(1.06)


def test_a_panel_given_twice_as_wide_is_not_counted_twice():
    whole, halves = runs_of(JointCase(bow_across=True)), runs_of(JointCase(bow_across=False))
    assert whole[0].length == pytest.approx(halves[0].length, abs=1e-14)


def test_holes_are_spread_so_that_none_lies_on_a_web_line():
    assert [holes_per_pitch(pitch, 0.06) for pitch in (0.05, 0.12, 0.149, 0.151, 0.30)] == [2, 2, 2, 3, 5]
    for run in runs_of(JointCase()):
        places, lines = hole_places(run), pitch_lines(run)
        assert len(places) == run.segments * run.holes
        assert np.diff(places) == pytest.approx(np.full(len(places) - 1, run.pitch / run.holes), abs=1e-14)
        assert np.abs(places[:, None] - lines).min() == pytest.approx(run.pitch / run.holes / 2, abs=1e-14)


def test_segments_are_numbered_from_the_bow_alike_on_both_sides():
    runs = runs_of(JointCase())
    bow, corner, side, _, stern = runs
    assert [segment_number(bow, i) for i in range(7)] == [4, 3, 2, 1, 2, 3, 4]
    assert [segment_number(corner, i) for i in (0, 7)] == [5, 12]
    assert [segment_number(side, i) for i in (0, 19)] == [13, 32]
    assert [segment_number(stern, i) for i in range(6)] == [41, 42, 43, 43, 42, 41]
    assert [pitch_text(stern, i) for i in range(7)] == ["41", "41/42", "42/43", "43/43", "42/43", "41/42", "41"]


def test_a_run_without_a_panel_is_refused():
    craft = JointCase()
    with pytest.raises(ShapeError, match="stern"):
        sewn_runs(plan(craft), panels(craft)[:-1], HOLE_PITCH)


def test_a_round_bow_without_a_bow_run_has_four_runs():
    craft = JointCase()
    made, flat = plan(craft), panels(craft)
    short = replace(made.runs[0], end=0.0)
    at = np.maximum(made.stations.at - craft.bow, 0.0)
    moved = tuple(replace(run, start=run.start - craft.bow, end=run.end - craft.bow) for run in made.runs[1:])
    stations = replace(made.stations, at=at, ids=("P00", *made.stations.ids[1:]))
    round_bow = replace(made, runs=(short, *moved), stations=stations)
    runs = sewn_runs(round_bow, flat[1:], HOLE_PITCH)
    assert [run.name for run in runs] == ["bow_corner", "side", "stern_corner", "stern"]
    assert runs[0].first_segment == 1
