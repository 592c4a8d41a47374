"""Corners too tight for whole webs: what is shortened, that nothing crosses, that section, pieces and hull agree."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
import shapely

from skirtloft.design.read import load_design
from skirtloft.errors import ShapeError
from skirtloft.maths.curves import outward_at, points_at
from skirtloft.physics.segment_shape import flat_faced, segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.pieces.hull_strip import hull_strips
from skirtloft.pieces.joint import line_form, places_on_joint_line, sewn_runs
from skirtloft.pipeline import Skirt
from skirtloft.shape.plan import lay_out
from skirtloft.shape.types import JointRun, Plan
from tests.designs import EXAMPLES, skirt_of

DEPTH, HEM = 0.28, 0.015
TIGHT = ("skirt.corner.stern", "540 mm")


def tight(radius: str, *more: tuple[str, str]) -> Plan:
    return lay_out(load_design(EXAMPLES / "four-seat.toml", (("skirt.corner.stern", radius), *more)))


def stern_corner(plan: Plan) -> JointRun:
    return next(run for run in plan.runs if run.name == "stern_corner")


def webs(plan: Plan) -> list[shapely.LineString]:
    """Every web of the craft in plan, joint to inner fixing; 1 mm left off at either end."""
    found = []
    for run in (run for run in plan.runs if run.end > run.start):
        for k in range(run.segments + 1):
            form = run.lines[k] if run.lines else run.first
            at = (
                run.start + k * run.fitted_pitch - (run.end - run.start if run.crosses_centre and run.start == 0 else 0)
            )
            found += [_web(plan, at, form.inboard, side) for side in ((1.0,) if run.crosses_centre else (1.0, -1.0))]
    return found


def _web(plan: Plan, at: float, inboard: float, side: float) -> shapely.LineString:
    end = float(plan.joint_line.breaks[-1])
    port = min(abs(at), 2.0 * end - abs(at))
    turned = -1.0 if at < 0.0 or at > end else 1.0
    joint, out = points_at(plan.joint_line, [port])[0], outward_at(plan.joint_line, [port], "before")[0]
    ends = np.array([joint - 0.001 * out, joint - (inboard - 0.001) * out])
    return shapely.LineString(ends * [1.0, side * turned])


def crossed(plan: Plan) -> int:
    return sum(one.crosses(two) for one, two in combinations(webs(plan), 2))


@pytest.mark.parametrize("radius, is_short", [("618 mm", False), ("616 mm", True)])
def test_whole_webs_need_twice_the_depth_and_room_for_the_hems(radius: str, is_short: bool) -> None:
    # closed form: r >= 2 d + b / Q, Q the plan angle of a segment: six in this corner, 15 degrees
    least = 2.0 * DEPTH + HEM / math.radians(15.0)
    assert least == pytest.approx(0.6173, abs=5e-5)
    plan = tight(radius)
    assert stern_corner(plan).segments == 6
    turn = stern_corner(plan).fitted_pitch / stern_corner(plan).radius
    assert is_short == (stern_corner(plan).radius < 2.0 * DEPTH + HEM / turn)
    assert bool(plan.tight) == is_short


@pytest.mark.parametrize("radius", ["580 mm", "540 mm", "500 mm", "400 mm"])
def test_every_web_of_the_corner_is_shortened_to_leave_the_hems_their_room(radius: str) -> None:
    plan = tight(radius)
    run, stations = stern_corner(plan), plan.stations
    turn = run.fitted_pitch / run.radius
    inboard = run.radius - HEM / turn
    mine = (stations.at > run.start - 0.02) & (stations.at < run.end + 0.02)
    assert stations.inboard[mine] == pytest.approx(np.full(mine.sum(), inboard), abs=1e-6)
    assert run.first == run.last
    assert run.first.inboard == pytest.approx(inboard, abs=1e-6)
    chord = 2.0 * (run.radius - run.first.inboard) * math.sin(turn / 2.0)
    assert chord == pytest.approx(HEM, rel=0.01)  # wI = 2 r_min sin(Q/2)
    # tip angle of a web whose fixing is level with the joint, 45 degrees at the face
    slope = math.atan2(DEPTH, inboard - DEPTH)
    assert run.first.tip_angle == pytest.approx(math.pi - math.pi / 4.0 - slope, abs=1e-5)
    assert run.first.face_length == pytest.approx(math.sqrt(2.0) * DEPTH)


@pytest.mark.parametrize("radius", ["540 mm", "500 mm", "400 mm", "340 mm"])
def test_no_web_crosses_another_and_whole_ones_would(radius: str) -> None:
    plan = tight(radius)
    assert crossed(plan) == 0
    whole = {run.name: run.first.inboard for run in plan.runs if run.name == "side"}["side"]
    assert whole == pytest.approx(2.0 * DEPTH)
    ends = [_web(plan, at, whole, 1.0) for at in (stern_corner(plan).start, stern_corner(plan).end)]
    assert ends[0].crosses(ends[1])


def test_the_runs_beside_keep_to_their_side_of_the_corner() -> None:
    # a quarter turn: u from its end a web may be u longer; two lines are short at 400 mm, one at 500
    for radius, count in (("500 mm", 1), ("400 mm", 2)):
        plan = tight(radius)
        corner = plan.tight[0]
        side = plan.runs[corner.piece - 1]
        assert len(corner.before) == count + 1
        expected = np.minimum(corner.inboard + side.fitted_pitch * np.arange(count + 1), 2.0 * DEPTH)
        assert corner.before == pytest.approx(expected)
        assert [form.inboard for form in side.lines[::-1][: count + 1]] == pytest.approx(expected)
        for k in range(1, count + 1):  # and a station stands at each of them
            assert np.abs(plan.stations.at - (side.end - k * side.fitted_pitch)).min() < 0.02


def test_refusals() -> None:
    with pytest.raises(ShapeError, match="brought in until they do not crowd") as error:
        tight("300 mm")
    least = DEPTH + HEM / math.radians(30.0)  # d/(2 tan t) + d/2 tan t = d; three segments in this corner
    assert f"{1000 * least:.1f}"[:3] in error.value.would_do
    with pytest.raises(ShapeError, match="web corners of the segments meet"):
        tight("250 mm")  # r > d, the width of the tip
    with pytest.raises(ShapeError, match="inner fixings of neighbouring segments cross"):
        tight("500 mm", ("skirt.inner.tight", "whole"))
    assert tight("580 mm", ("skirt.inner.tight", "whole")).tight == ()


@pytest.mark.parametrize("reach", [0.56, 0.4827, 0.36])
def test_flat_faces_take_a_quarter_rule_of_their_own(reach: float) -> None:
    # moment about I with |J-I| = c level: c a = (c^2 - |G-I|^2)/2 and |G-I|^2 = (c - d)^2 + d^2, so a = d - d^2/c
    shape = flat_faced(segment_shape(DEPTH, math.pi / 4.0, 0.15, inboard=reach))
    found = solve_statics(shape, np.float64(-0.1), np.float64(0.22), 500.0)
    assert -float(found.centre[..., 0]) == pytest.approx(DEPTH - DEPTH**2 / reach, abs=1e-12)


def test_the_loop_of_the_corner_is_cut_for_the_shortened_web() -> None:
    skirt = skirt_of("four-seat", TIGHT, ("skirt.weight", "false"))
    run, stations = stern_corner(skirt.plan), skirt.plan.stations
    middle = int(np.argmin(np.abs(stations.at - (run.start + run.end) / 2.0)))
    inboard = run.radius - HEM / (run.fitted_pitch / run.radius)
    shape = segment_shape(DEPTH, math.pi / 4.0, run.fitted_pitch, inboard=inboard, radius=run.radius)
    rise = stations.hull_z[middle] - DEPTH
    alone = solve_statics(shape, stations.offset[middle], rise, skirt.cushions[0].pressure)
    assert skirt.sections.length[middle] == pytest.approx(float(alone.length), abs=2e-6)
    whole = segment_shape(DEPTH, math.pi / 4.0, run.fitted_pitch, inboard=2.0 * DEPTH, radius=run.radius)
    other = solve_statics(whole, stations.offset[middle], rise, skirt.cushions[0].pressure)
    assert skirt.sections.length[middle] > float(other.length) + 0.03


def _webs_of(skirt: Skirt, hand: str) -> dict[str, int]:
    return {piece.base: piece.quantity for piece in skirt.pieces if piece.kind == "web" and piece.hand == hand}


def test_pieces_are_as_many_as_the_craft_has_segments() -> None:
    skirt = skirt_of("four-seat", TIGHT)
    count = sum(run.segments * (1 if run.crosses_centre else 2) for run in skirt.plan.runs)
    assert sum(piece.quantity for piece in skirt.pieces if piece.kind == "face") == count
    assert sum(_webs_of(skirt, "P").values()) == sum(_webs_of(skirt, "S").values()) == count
    # corner webs: both of each of its segments and one of each segment beside it, on both sides of the craft
    assert _webs_of(skirt, "P")["W2"] == 2 * 6 + 2
    faces = [piece for piece in skirt.pieces if piece.kind == "face" and "segment 43" in piece.name]
    assert sorted((piece.hand, piece.quantity) for piece in faces) == [("P", 1), ("S", 1)]


def test_the_web_of_the_corner_is_cut_shortened_and_the_face_seam_is_not() -> None:
    skirt = skirt_of("four-seat", TIGHT)
    lengths = {}
    for base in ("W1", "W2"):
        piece = next(piece for piece in skirt.pieces if piece.base == base and piece.hand == "P")
        lengths[base] = {edge.name: edge.length for edge in piece.edges}
    inboard = stern_corner(skirt.plan).first.inboard
    assert lengths["W1"]["upper edge"] == pytest.approx(2.0 * DEPTH, abs=1e-9)
    assert lengths["W2"]["upper edge"] == pytest.approx(inboard, abs=1e-9)
    assert lengths["W2"]["lower edge"] == pytest.approx(math.hypot(inboard - DEPTH, DEPTH), abs=1e-9)
    assert lengths["W2"]["face edge"] == pytest.approx(lengths["W1"]["face edge"], abs=1e-12)


def test_ties_on_the_hull_are_where_the_webs_end() -> None:
    skirt = skirt_of("four-seat", TIGHT)
    plan, design = skirt.plan, skirt.design
    strip = hull_strips(design, plan, skirt.sections, skirt.development.panels)[1]
    ties = {mark.text: mark.at for mark in strip.marks if mark.kind == "web"}
    run, radius = stern_corner(plan), stern_corner(plan).radius - stern_corner(plan).first.inboard
    turn = run.fitted_pitch / run.radius
    apart = np.diff([ties[f"{k}/{k + 1}"] for k in range(36, 43)])
    assert apart == pytest.approx(np.full(6, radius * turn), abs=1e-4)
    # the line of the webs' ends, web line by web line
    runs = sewn_runs(plan, skirt.development.panels, design.making.hole_pitch)
    for index, sewn in enumerate(runs):
        for line, at in enumerate(places_on_joint_line(plan, runs, index)):
            if 0.0 <= at <= plan.stations.at[-1]:
                there = float(np.interp(at, plan.stations.at, skirt.sections.inboard))
                assert line_form(sewn, line).inboard == pytest.approx(there, abs=1e-4)
    assert crossed(plan) == 0


def test_it_is_said_what_was_done_and_what_it_costs() -> None:
    skirt = skirt_of("four-seat", TIGHT)
    finding = next(finding for finding in skirt.findings if finding.rule == "corner-webs-shortened")
    assert finding.verdict == "warn"
    assert finding.value == pytest.approx(2.0 * DEPTH - stern_corner(skirt.plan).first.inboard)
    assert finding.where == "stern corner"
    assert "483 mm inboard of the joint in place of 560 mm" in finding.why
    assert "617 mm" in finding.change
    room = next(finding for finding in skirt.findings if finding.rule == "corner-inner-room")
    assert room.verdict == "pass"


def test_a_short_run_between_two_tight_corners_keeps_its_middle_web() -> None:
    # one-seat of 300 mm depth: both corners tight; and no station stands twice
    plan = lay_out(load_design(EXAMPLES / "one-seat.toml", (("skirt.depth", "300 mm"),)))
    assert len(plan.tight) == 2
    assert crossed(plan) == 0
    for run in (run for run in plan.runs if run.lines):
        inboard = [form.inboard for form in run.lines]
        assert len(inboard) == run.segments + 1
        assert inboard[0] < inboard[1] == pytest.approx(0.6)
    assert np.diff(plan.stations.at).min() > 0.019
