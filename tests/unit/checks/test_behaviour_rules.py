"""Every rule on the sections' behaviour on both sides of its limits, on the four-seat example changed by one value."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.checks.behaviour_rules import behaviour_findings, corner_cloth_finding
from skirtloft.checks.finding import Finding
from skirtloft.physics.design_case import rest_under
from tests.designs import skirt_of

Changes = tuple[tuple[str, str], ...]


def finding(rule: str, *changes: tuple[str, str]) -> Finding:
    found = [f for f in skirt_of("four-seat", *changes).findings if f.rule == rule]
    assert len(found) == 1, f"{rule} found {len(found)} times"
    return found[0]


def heights(value: str) -> Changes:
    return tuple((f"hull.edge[{i}].height", value) for i in range(5))


def said(rule: str, name: str = "four-seat", **fields: object) -> Finding:
    """Return a rule's finding with fields of the behaviour replaced: limits to the last digit."""
    skirt = skirt_of(name)
    changed = replace(skirt.behaviour, **fields)  # type: ignore[arg-type]
    return next(f for f in behaviour_findings(skirt.design, skirt.plan, changed) if f.rule == rule)


WIDE = (("skirt.pitch", "250 mm"), ("skirt.corner.stern", "1000 mm"), ("skirt.corner.bow", "800 mm"))

# Limits: see the rule's own source; the gap of the example is 10 mm.
CASES: list[tuple[str, Changes, str]] = [
    ("stiff-for-wet-cloth", (("air.gap", "5 mm"),), "pass"),  # needs 96.3 at 10 mm, 192.6 at 5; 238 is there
    ("stiff-for-wet-cloth", (("air.gap", "4 mm"),), "warn"),  # 240.8
    ("force-line-margin", (*WIDE, ("skirt.tip_angle", "80 deg")), "pass"),  # .185
    ("force-line-margin", (*WIDE, ("skirt.tip_angle", "72 deg")), "warn"),  # .052
    ("bow-taut-limit", heights("340 mm"), "pass"),
    ("bow-taut-limit", heights("270 mm"), "pass"),
    ("bow-taut-limit", heights("240 mm"), "warn"),
    ("bow-taut-limit", heights("430 mm"), "pass"),
    ("bow-taut-limit", heights("470 mm"), "warn"),
    ("rests-under-every-load", (), "pass"),
    ("joint-under-loads", (("craft.load[2].mass", "270 kg"),), "pass"),
    ("joint-under-loads", (("craft.load[2].mass", "230 kg"),), "warn"),
    ("tips-level-under-loads", (("craft.load[2].mass", "310 kg"),), "pass"),
    ("tips-level-under-loads", (("craft.load[2].mass", "290 kg"),), "warn"),  # 5.3 mm, half the gap is 5
    ("corner-hull-edge", (("making.hull_edge_corner", "60 mm"),), "pass"),  # 40.0 mm differs, and 20 mm
    ("corner-hull-edge", (("making.hull_edge_corner", "59.5 mm"),), "warn"),
]


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_rule_on_both_sides(rule: str, changes: Changes, verdict: str) -> None:
    found = finding(rule, *changes)
    assert found.verdict == verdict, found
    assert found.where
    assert found.why
    assert found.change
    assert found.source


def test_wet_cloth_sinks_the_tips_by_what_is_said() -> None:
    """The tips' sink under half as much weight again, by the turned sections themselves (not by the stiffness)."""
    skirt = skirt_of("four-seat")
    gap, statics = skirt.design.air.gap, skirt.statics
    i = skirt.plan.stations.ids.index(finding("stiff-for-wet-cloth").where.split()[0])
    wet = replace(
        statics,
        segment=replace(
            statics.segment,
            moment=1.5 * statics.segment.moment,
            height_moment=1.5 * statics.segment.height_moment,
        ),
        loop=replace(statics.loop, areal_mass=1.5 * statics.loop.areal_mass),
    )
    sink = -float(rest_under(wet, [statics.pressure[0]]).tip_rise[0, i])
    found = finding("stiff-for-wet-cloth")
    assert found.low is not None
    assert 0.5 * gap * found.low / found.value == pytest.approx(sink, rel=0.04)  # linear: small turns


@pytest.mark.parametrize(("margin", "verdict"), [(0.101, "pass"), (0.099, "warn"), (-0.2, "warn")])
def test_force_line_margin_on_both_sides(margin: float, verdict: str) -> None:
    line = skirt_of("four-seat").behaviour.force_line
    moved = replace(line, margin_bulged=np.where(np.arange(len(line.margin)) == 4, margin, line.margin_bulged))
    found = said("force-line-margin", force_line=moved)
    assert (found.verdict, found.value, found.where) == (verdict, margin, "P04 (bow corner)")


def test_force_line_margin_names_the_distance_that_would_do() -> None:
    """With inner.inboard at what the finding asks for, to its millimetre, the margin of the real face is 10 %."""
    found = finding("force-line-margin", *WIDE, ("skirt.tip_angle", "72 deg"))
    wanted = found.change.split("at least ")[1].split(" mm")[0]
    mended = finding("force-line-margin", *WIDE, ("skirt.inner.inboard", f"{wanted} mm"))
    assert mended.value == pytest.approx(0.10, abs=0.003)


@pytest.mark.parametrize(("margin", "verdict"), [(0.101, "pass"), (0.099, "warn")])
def test_upper_edge_margin_on_both_sides(margin: float, verdict: str) -> None:
    line = skirt_of("four-seat").behaviour.force_line
    moved = replace(line, slack_margin=np.where(np.arange(len(line.margin)) == 8, margin, line.slack_margin))
    found = said("upper-edge-margin", force_line=moved)
    assert (found.verdict, found.value, found.where) == (verdict, margin, "P08 (side)")


@pytest.mark.parametrize(("pull", "verdict"), [(0.5, "pass"), (-0.5, "fail")])
def test_a_slack_upper_edge_under_any_load_fails(pull: float, verdict: str) -> None:
    reactions = skirt_of("four-seat").behaviour.reactions
    upper = np.array(reactions.upper_edge)
    upper[2, 5] = pull  # the third load, a corner station
    found = said("upper-edge-margin", reactions=replace(reactions, upper_edge=upper))
    assert found.verdict == verdict
    if verdict == "fail":
        assert found.where == "P05 (bow corner)"


def test_a_section_without_rest_under_a_load_fails_by_name() -> None:
    rests = skirt_of("four-seat").behaviour.rests
    turn = np.array(rests.turn)
    turn[1, 8] = turn[2, 8] = np.nan
    found = said("rests-under-every-load", rests=replace(rests, turn=turn))
    assert (found.verdict, found.value) == ("fail", 2.0)
    assert found.where == "P08 (side), load 'two aboard', load 'solo'"


def test_bow_taut_limit_is_where_the_loop_is_straight() -> None:
    """Closed form: distance from E to the turned J is the loop's length (own derivation)."""
    skirt = skirt_of("four-seat")
    found = finding("bow-taut-limit")
    i = skirt.plan.stations.ids.index(found.where.split()[0])
    shape, statics = skirt.statics.shape, skirt.statics
    turn = -found.value
    arm = shape.joint[i] - shape.inner[i]
    joint = shape.inner[i] + np.array(
        [arm[0] * math.cos(turn) - arm[1] * math.sin(turn), arm[1] * math.cos(turn) + arm[0] * math.sin(turn)]
    )
    assert np.linalg.norm(joint - statics.hull_edge[i]) == pytest.approx(float(statics.length[i]), rel=1e-9)


def test_no_bow_no_bow_rule() -> None:
    skirt = skirt_of("four-seat")
    stations = replace(skirt.plan.stations, runs=tuple("side" for _ in skirt.plan.stations.runs))
    found = behaviour_findings(skirt.design, replace(skirt.plan, stations=stations), skirt.behaviour)
    assert "bow-taut-limit" not in [f.rule for f in found]
    assert len(found) == 6


def test_corner_panels_are_cut_with_what_the_finding_says() -> None:
    skirt = skirt_of("four-seat")
    found = corner_cloth_finding(skirt.corner_cloth)
    assert found.value == pytest.approx(0.060)
    for piece in skirt.pieces:
        if piece.kind == "loop_panel":
            hull = next(edge.allowance for edge in piece.edges if edge.kind == "hull")
            wanted = found.value if piece.run.endswith("corner") else skirt.design.making.hull_edge
            assert hull == pytest.approx(wanted), piece.id
