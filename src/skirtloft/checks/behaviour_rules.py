"""Rules on what sections do when something moves them: other loads, wet cloth, a pull at the tips, the force line."""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, grade
from skirtloft.checks.worst import load_name
from skirtloft.design.model import Design
from skirtloft.maths.frozen import Floats
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.behaviour import SectionBehaviour
from skirtloft.pieces.corner_cloth import BEYOND, CornerCloth
from skirtloft.shape.types import Plan

MARGIN = 0.10  # of the force line, both ways (common practice, no source: 10 to 15 %)
WET = 0.5  # cloth this much heavier: soaked, with sand in it
SINK = 0.5  # of the gap that the tips may sink or differ
JOINT = 0.015  # m: as exactly as a joint stands before the tips are trimmed
BOW_TURN = (np.radians(2.0), np.radians(8.0))
CARRY = "Raise the hull edge there, or bring the joint line inboard (larger tip_inside)."


def behaviour_findings(design: Design, plan: Plan, behaviour: SectionBehaviour) -> list[Finding]:
    """Return one finding per rule on the sections' behaviour, each at its worst station and load."""
    return [
        _stiff_enough(design, plan, behaviour),
        _force_line(plan, behaviour),
        _upper_edge(plan, behaviour),
        *_bow_taut(plan, behaviour),
        _rests(design, plan, behaviour),
        _joint_under_loads(design, plan, behaviour),
        _tips_level(design, plan, behaviour),
    ]


def _place(plan: Plan, index: int) -> str:
    stations = plan.stations
    return f"{stations.ids[index]} ({stations.runs[index].replace('_', ' ')})"


def _lowest(values: Floats) -> int:
    """Return the place of the least value (flat); nan counts as least."""
    return int(np.argmin(np.where(np.isnan(values), -np.inf, values)))


def wanted_stiffness(gap: float, behaviour: SectionBehaviour) -> Floats:
    """Return the least stiffness (n,) [N m / rad / m]: cloth half as heavy again sinks the tips by half the gap.

    Notes
    -----
    The extra weight turns the segment by WET g m_x/K about I, and the tip, l inboard of which I lies, sinks by l times
    that.

    References
    ----------
    Derived; the two halves are our own choice.
    """
    sections = behaviour.sections
    reach = sections.shape.tip[..., 0] - sections.shape.inner[..., 0]
    wanted: Floats = WET * GRAVITY * sections.weight_moment * reach / (SINK * gap)
    return wanted


def _stiff_enough(design: Design, plan: Plan, behaviour: SectionBehaviour) -> Finding:
    wanted, stiffness = wanted_stiffness(design.air.gap, behaviour), behaviour.sections.stiffness
    worst = _lowest(stiffness / np.maximum(wanted, 1e-12))
    value, low = float(stiffness[worst]), float(wanted[worst])
    sinks = 1000.0 * SINK * design.air.gap * low / value
    return Finding(
        rule="stiff-for-wet-cloth",
        title="Stiff enough that wet cloth does not set the tips down",
        verdict=grade(value, low, None, "warn"),
        value=value,
        unit="N m/rad/m",
        low=low,
        high=None,
        where=_place(plan, worst),
        why=f"With water and sand in it, the cloth half as heavy again, the tips sink {sinks:.1f} mm here;"
        f" the gap is {1000.0 * design.air.gap:.0f} mm.",
        change=f"{CARRY} Lighter cloth or a larger air.gap helps as well.",
        source="derived: turn by the extra weight over the stiffness; half the weight and half the gap: our own choice",
    )


def _force_line(plan: Plan, behaviour: SectionBehaviour) -> Finding:
    line = behaviour.force_line
    worst = _lowest(line.margin_bulged)
    value = float(line.margin_bulged[worst])
    needed = 1000.0 * (1.0 + MARGIN) * float(line.least_inboard_bulged[worst])
    return Finding(
        rule="force-line-margin",
        title="The pressure's force on the real, bulged face passes well outboard of the inner fixing",
        verdict=grade(value, MARGIN, None, "warn"),
        value=value,
        unit="1",
        low=MARGIN,
        high=None,
        where=_place(plan, worst),
        why="Where it passes through the inner fixing the loop has only the cloth's weight left to carry; beyond, it"
        " soon would have to hold the joint down. Bulged faces bring it nearer than the flat web says.",
        change=f"Set inner.inboard to at least {needed:.0f} mm there (a larger tip angle), or use a smaller pitch.",
        source=f"derived: moment of the pressure on the face between its real edges; 10 to 15 %: {TRADE}",
    )


def _upper_edge(plan: Plan, behaviour: SectionBehaviour) -> Finding:
    flat, pull = behaviour.force_line.slack_margin, behaviour.reactions.upper_edge
    least = np.where(np.isnan(pull), np.inf, pull).min(axis=0)  # no rest under a load is another rule's
    worst, real = _lowest(flat), _lowest(least)
    slack = not float(least[real]) > 0.0
    at = real if slack else worst
    value = float(flat[at])
    return Finding(
        rule="upper-edge-margin",
        title="The loop's centre is well nearer to the joint than to the tip",
        verdict="fail" if slack else grade(value, MARGIN, None, "warn"),
        value=value,
        unit="1",
        low=MARGIN,
        high=None,
        where=_place(plan, at),
        why="At equal distances nothing pulls the upper edge of the web, and it puckers. With the real face it pulls"
        f" {float(least[at]):.0f} N/m here.",
        change=CARRY,
        source=f"derived: balance of three forces on the segment; 10 to 15 %: {TRADE}",
    )


def _bow_taut(plan: Plan, behaviour: SectionBehaviour) -> list[Finding]:
    bow = np.flatnonzero([run == "bow" for run in plan.stations.runs])
    if len(bow) == 0:
        return []
    turns = -np.nan_to_num(behaviour.taut.turn[bow, 0], nan=-np.pi)
    low, high = (float(limit) for limit in BOW_TURN)
    worst = int(np.argmax(np.abs(np.log(np.maximum(turns, 1e-6) / np.sqrt(low * high)))))
    at, value = int(bow[worst]), float(turns[worst])
    return [
        Finding(
            rule="bow-taut-limit",
            title="How far the bow segments turn under before the loop goes straight and stops them",
            verdict=grade(value, low, high, "warn"),
            value=value,
            unit="rad",
            low=low,
            high=high,
            where=_place(plan, at),
            why="The straight loop is what keeps a bow from tucking under: late, it tucks first; early, nothing gives,"
            " and a few millimetres of making error show at the tips. Nearly there, the tips here hold a pull of"
            f" {float(behaviour.drag_at_taut[at]):.0f} N/m.",
            change="Late: a larger skirt.bow.joint_inside or a higher hull edge at the bow; early: the reverse.",
            source="derived: turn at which the distance from hull edge to joint is the loop's length; limits: our own"
            " choice",
        )
    ]


def _rests(design: Design, plan: Plan, behaviour: SectionBehaviour) -> Finding:
    lost = np.isnan(behaviour.rests.turn)
    count = int(lost.sum())
    loads = [load_name(design, int(k)) for k in np.flatnonzero(lost.any(axis=1))]
    where = f"{_place(plan, int(np.flatnonzero(lost.any(axis=0))[0]))}, {', '.join(loads)}" if count else "all stations"
    return Finding(
        rule="rests-under-every-load",
        title="Every section comes to rest under every load",
        verdict=grade(float(count), None, 0.0, "fail"),
        value=float(count),
        unit="1",
        low=None,
        high=0.0,
        where=where,
        why="Cut for the first load, a section that nothing brings to rest under another one rolls under or out.",
        change=f"{CARRY} Or bring the loads nearer to each other.",
        source="derived: restoring moment of the same cloth at the other pressure, to the taut limits or 75 deg",
    )


def _joint_under_loads(design: Design, plan: Plan, behaviour: SectionBehaviour) -> Finding:
    rise = behaviour.rests.joint_rise
    load, at = np.unravel_index(int(np.argmax(np.nan_to_num(np.abs(rise), nan=np.inf))), rise.shape)
    value = float(rise[load, at])
    return Finding(
        rule="joint-under-loads",
        title="The joint under other loads against the design case",
        verdict=grade(value, -JOINT, JOINT, "warn"),
        value=value,
        unit="m",
        low=-JOINT,
        high=JOINT,
        where=f"{_place(plan, int(at))}, {load_name(design, int(load))}",
        why="The cloth is cut for the first load; under this one its weight counts otherwise against the pressure, and"
        " the joint stands elsewhere by more than a skirt can be made.",
        change=f"Lighter cloth, or make the load that is flown most the first. {CARRY}",
        source="derived: rest of the same cloth at the other pressure; 15 mm: our own choice",
    )


def _tips_level(design: Design, plan: Plan, behaviour: SectionBehaviour) -> Finding:
    rise = behaviour.rests.tip_line_rise
    spread = rise.max(axis=1) - rise.min(axis=1)
    load = int(np.argmax(np.nan_to_num(spread, nan=np.inf)))
    value, high = float(spread[load]), SINK * design.air.gap
    low_at, high_at = _lowest(rise[load]), _lowest(-rise[load])
    return Finding(
        rule="tips-level-under-loads",
        title="The tips stay in one plane under other loads",
        verdict=grade(value, None, high, "warn"),
        value=value,
        unit="m",
        low=None,
        high=high,
        where=f"{_place(plan, low_at)} against {_place(plan, high_at)}, {load_name(design, load)}",
        why="Where the tips stand higher the air escapes there, and where they stand lower they drag.",
        change=f"Lighter cloth, or a larger air.gap. {CARRY}",
        source="derived: rest of the same cloth at the other pressure; half the gap: our own choice",
    )


def corner_cloth_finding(cloth: CornerCloth) -> Finding:
    """Return the finding on the allowance at the hull edge of corner panels."""
    return Finding(
        rule="corner-hull-edge",
        title="Cloth beyond the hull edge of the corner panels, to let out",
        verdict=grade(cloth.cut, cloth.wanted - 1e-9, None, "warn"),
        value=cloth.cut,
        unit="m",
        low=cloth.wanted,
        high=None,
        where=cloth.station or "no corner",
        why=f"By {cloth.rule} the loop would differ by {1000.0 * cloth.difference:.0f} mm here, and a corner's joint"
        " stands no more exactly than about 15 mm before it is trimmed: what is cut off cannot be let out.",
        change=f"Set making.hull_edge_corner to {1000.0 * cloth.wanted:.0f} mm or more, or leave it out.",
        source=f"our own choice: the largest difference and {1000.0 * BEYOND:.0f} mm",
    )
