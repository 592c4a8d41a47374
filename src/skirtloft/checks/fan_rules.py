"""Rules on the fan: does it carry every load, and is its working point sound?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, Verdict, grade
from skirtloft.checks.worst import least, load_name
from skirtloft.design.model import Design
from skirtloft.lift.fan_of import blades_stand, tip_limit
from skirtloft.lift.types import FanMatch, LiftAir
from skirtloft.physics.fan import PLASTIC_TIP_SPEED, QUIET_TIP_SPEED

STALL_RESERVE = 0.10  # flow over the flow where stall begins, less 1; our own choice
SPARE_SEGMENTS = 3  # loss of up to three is flown home: common practice, no source
ABOVE_ZERO = float(np.nextafter(0.0, 1.0))
PASCAL_SLACK = 1e-6  # Pa: less than this beyond the end of a curve is on it


def fan_findings(design: Design, lift: LiftAir, match: FanMatch) -> list[Finding]:
    """Return the findings on a fan and its working points, each rule once, at its worst load."""
    found = [
        _carries(design, match),
        _on_curve(design, match),
        _leaks(design, match),
        _gap(design, lift, match),
        _stall(design, match),
        _stable(design, match),
        _one_point(design, match),
        _tip_speed(design, match),
        _tips_at_gap(design, match),
        _segments(design, match),
    ]
    return [*found, _estimated()] if match.fan.estimated else found


def _carries(design: Design, match: FanMatch) -> Finding:
    index, value = least(match.surplus)
    need = float(match.for_gap.speed[index])
    faster = f" {need * 30.0 / math.pi:.0f} rpm gives the wanted gap." if blades_stand(design, need) else ""
    return Finding(
        rule="fan-carries-load",
        title="The fan gives more pressure than cushion and losses ask for",
        verdict=grade(value, 0.0, None, "fail"),
        value=value,
        unit="Pa",
        low=0.0,
        high=None,
        where=load_name(design, index),
        why="Where the fan is weaker at every flow the craft does not get up, whatever the gap.",
        change=f"Run it faster, take a larger fan, or reduce mass or losses.{faster}",
        source="derived: highest of fan pressure less cushion pressure and losses over the curve",
    )


def _on_curve(design: Design, match: FanMatch) -> Finding:
    """Beyond the last point: what is left over there. Before the first: what is missing there, if the load is met."""
    before = match.at_speed.failure == 2
    over = np.where(before, -match.surplus_first, match.surplus_last)
    index = int(np.argmax(over))
    value = float(over[index])
    end = "before its first point" if before[index] else "beyond its last point"
    return Finding(
        rule="fan-on-curve",
        title="The fan works between the points that were tested",
        verdict=grade(value, None, PASCAL_SLACK, "fail"),
        value=value,
        unit="Pa",
        low=None,
        high=0.0,
        where=load_name(design, index),
        why=f"Where the point lies {end} nobody has measured what the fan does; no curve is drawn on.",
        change="Give more points at that end (down to shut-off, up to free flow), or change the speed.",
        source="our own choice: a curve is never drawn beyond its points",
    )


def _leaks(design: Design, match: FanMatch) -> Finding:
    left = np.where(match.surplus >= 0.0, match.gap_flow, np.inf)
    left = np.where(np.isnan(left), np.inf, left)
    index, value = least(left)
    return Finding(
        rule="fan-leaks",
        title="Something is left for the gap when the fixed leaks have taken theirs",
        verdict=grade(value, 0.0, None, "fail"),
        value=value,
        unit="m3/s",
        low=0.0,
        high=None,
        where=load_name(design, index),
        why="All the air leaves by leaks: the tips stay on the ground and drag.",
        change="Close leaks, run the fan faster, or take a larger fan.",
        source="derived: flow balance of the cushion",
    )


def _gap(design: Design, lift: LiftAir, match: FanMatch) -> Finding:
    """Only loads that hover at all: the others have a rule of their own."""
    gap = np.where(match.at_speed.failure == 0, match.at_speed.gap, np.inf)
    index, value = least(gap)
    lowest, wanted = design.air.least_gap, lift.gap
    verdict: Verdict = "fail" if not value >= lowest else grade(value, wanted, None, "warn")
    need = float(match.for_gap.speed[index])
    faster = f"Run it at {need * 30.0 / math.pi:.0f} rpm" if blades_stand(design, need) else "Take a larger fan"
    return Finding(
        rule="fan-gap",
        title="Gap that the fan gives at its speed against the wanted gap",
        verdict=verdict,
        value=value,
        unit="m",
        low=wanted,
        high=None,
        where=load_name(design, index),
        why=f"Under the wanted gap tips wear and drag; below {1000 * lowest:g} mm they sit on the ground.",
        change=f"{faster}, reduce mass, leaks or losses, or be content with less gap.",
        source="the gap and the least gap of the design file",
    )


def _stall(design: Design, match: FanMatch) -> Finding:
    margin = np.where(match.at_speed.failure == 0, match.at_speed.stall_margin, np.inf)
    index, value = least(margin)
    return Finding(
        rule="fan-stall",
        title="Flow against the flow below which the fan stalls",
        verdict=grade(value, STALL_RESERVE, None, "warn"),
        value=value,
        unit="1",
        low=STALL_RESERVE,
        high=None,
        where=load_name(design, index),
        why="On the stalled side pressure falls with flow: the craft pumps, bounces and roars.",
        change="Let the fan run slower, open the gap or a vent, or take a smaller fan.",
        source="end of the rising part of the fan's curve; reserve of 10 %: our own choice",
    )


def _stable(design: Design, match: FanMatch) -> Finding:
    by = np.where(match.for_gap.failure == 0, match.for_gap.stable_by, np.inf)
    index, value = least(by)
    return Finding(
        rule="fan-stable",
        title="The point at the wanted gap holds itself",
        verdict=grade(value, ABOVE_ZERO, None, "fail"),
        value=value,
        unit="Pa s/m3",
        low=0.0,
        high=None,
        where=load_name(design, index),
        why="Where the fan's curve rises faster than the system's, flow and gap run away: no speed keeps that gap.",
        change="Move the point to more flow: slower fan, more gap, or a fan with a falling curve there.",
        source="derived: slopes of the two curves at the point",
    )


def _one_point(design: Design, match: FanMatch) -> Finding:
    count = np.where(match.at_speed.failure == 0, match.at_speed.crossings, 1)
    index = int(np.argmax(count))
    return Finding(
        rule="fan-one-point",
        title="Fan and system meet once only",
        verdict=grade(float(count[index]), None, 1.0, "warn"),
        value=float(count[index]),
        unit="1",
        low=None,
        high=1.0,
        where=load_name(design, index),
        why="With more than one meeting the fan can hang at a lower flow after a stop or a bump.",
        change="Run it faster, lose less pressure on the way, or take a fan whose curve has no valley.",
        source="derived: intersections of the two curves",
    )


def _tip_speed(design: Design, match: FanMatch) -> Finding:
    assert design.air.fan is not None
    value = design.air.fan.speed * design.air.fan.diameter / 2.0
    plastic = design.air.fan.blades == "plastic"
    fails = plastic and value > PLASTIC_TIP_SPEED
    rpm = QUIET_TIP_SPEED * 2.0 / design.air.fan.diameter * 30.0 / math.pi
    return Finding(
        rule="fan-tip-speed",
        title="Speed of the blade tips",
        verdict="fail" if fails else grade(value, None, QUIET_TIP_SPEED, "warn"),
        value=value,
        unit="m/s",
        low=None,
        high=QUIET_TIP_SPEED,
        where="lift fan",
        why=f"Above it the fan is loud; moulded blades may burst above {PLASTIC_TIP_SPEED:g} m/s. Guards, always.",
        change=f"Stay below {rpm:.0f} rpm at this diameter, or take a larger, slower fan.",
        source=f"{TRADE}: quiet 100 to 130 m/s, moulded blades 165 to 170 m/s",
    )


def _tips_at_gap(design: Design, match: FanMatch) -> Finding:
    """Only loads for which some speed gives the wanted gap; the others have a rule of their own."""
    assert design.air.fan is not None
    tips = np.where(np.isfinite(match.for_gap.speed), match.for_gap.speed, 0.0) * design.air.fan.diameter / 2.0
    index = int(np.argmax(tips))
    limit = tip_limit(design)
    return Finding(
        rule="fan-tip-speed-at-gap",
        title="Speed of the blade tips that the wanted gap would ask for",
        verdict=grade(float(tips[index]), None, limit, "fail"),
        value=float(tips[index]),
        unit="m/s",
        low=None,
        high=limit,
        where=load_name(design, index),
        why="No blade stands that: the speed and power computed for the wanted gap are not to be had from this fan.",
        change="Take a larger fan, or reduce gap, mass, leaks or losses.",
        source=f"{TRADE}: moulded blades 165 to 170 m/s; others never above the speed of sound",
    )


def _estimated() -> Finding:
    return Finding(
        rule="fan-estimated",
        title="The fan's curve is a guess",
        verdict="note",
        value=2.0,
        unit="1",
        low=3.0,
        high=None,
        where="lift fan",
        why="A parabola through free flow and shut-off pressure knows no stall and may miss the point by a third.",
        change="Ask the maker for pressure and flow at several throttlings, or measure them.",
        source=TRADE,
    )


def _segments(design: Design, match: FanMatch) -> Finding:
    value = float(match.segments_lost.may_be_lost)
    return Finding(
        rule="segments-spare",
        title="Segments that may be lost before the least gap is gone",
        verdict=grade(value, float(SPARE_SEGMENTS), None, "warn"),
        value=value,
        unit="1",
        low=float(SPARE_SEGMENTS),
        high=None,
        where=load_name(design, 0),
        why="Each lost segment lets air out; with little to spare one snag ends the trip.",
        change="Keep more flow in hand: faster or larger fan, less mass, fewer leaks.",
        source=f"{TRADE}: up to three lost are flown home; 0.8 of a lost segment open: our own choice",
    )
