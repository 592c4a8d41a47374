"""The air of a design as plain data: SI, units in the names; documented in docs/results.md."""

from __future__ import annotations

from typing import Any

from skirtloft.design.model import Design
from skirtloft.lift.match import kinds_of
from skirtloft.lift.types import FanMatch, LiftAir
from skirtloft.physics.air_types import OperatingPoints
from skirtloft.physics.operating import FAILURES


def air_results(design: Design, lift: LiftAir) -> dict[str, Any]:
    """Return the `air` block of the results."""
    match = lift.match
    return {
        "density_kg_m3": lift.density,
        "wanted_gap_m": lift.gap,
        "set_speed_rad_s": None if match is None else match.speed,
        "curve_estimated": None if match is None else match.fan.estimated,
        "loads": [_load(design, lift, index) for index in range(len(lift.mass))],
        "losses": _losses(lift),
        "watts": None if match is None else _watts(match.watts.names, match.watts.kinds, match.watts.power[:, 0]),
        "watts_wanted": _watts(lift.need_watts.names, lift.need_watts.kinds, lift.need_watts.power[:, 0]),
        "feed": _feed(lift),
        "limits": None if match is None else _limits(match),
        "segments_lost": None if match is None else _segments_lost(match),
        "start_up": None if match is None or match.start_up is None else _start_up(design, match),
        "electric": None if match is None or match.electric is None else _electric(design, match),
        "kinds": _kinds(design, lift),
    }


def _load(design: Design, lift: LiftAir, i: int) -> dict[str, Any]:
    need, match = lift.need, lift.match
    return {
        "name": design.craft.load[i].name,
        "mass_kg": lift.mass[i],
        "needed": {
            "cushion_pressure_pa": need.cushion_pressure[i],
            "loop_pressure_pa": need.loop_pressure[i],
            "fan_pressure_pa": need.fan_pressure[i],
            "gap_flow_m3_s": need.gap_flow[i],
            "cushion_flow_m3_s": need.cushion_flow[i],
            "lift_flow_m3_s": need.lift_flow[i],
            "fan_flow_m3_s": need.fan_flow[i],
            "fan_air_power_w": need.fan_pressure[i] * need.fan_flow[i],
        },
        "at_wanted_gap": None if match is None else _point(match.for_gap, i),
        "at_set_speed": None if match is None else _point(match.at_speed, i),
    }


def _point(points: OperatingPoints, i: int) -> dict[str, Any]:
    failure = int(points.failure[i])
    name, unit = FAILURES[failure - 1][:2] if failure else ("", "")
    return {
        "gap_m": points.gap[i],
        "speed_rad_s": points.speed[i],
        "tip_speed_m_s": points.tip_speed[i],
        "fan_flow_m3_s": points.air.fan_flow[i],
        "gap_flow_m3_s": points.air.gap_flow[i],
        "fan_pressure_pa": points.air.fan_pressure[i],
        "loop_pressure_pa": points.air.loop_pressure[i],
        "cushion_pressure_pa": points.air.cushion_pressure[i],
        "fan_air_power_w": points.air_power[i],
        "shaft_power_w": points.shaft_power[i],
        "engine_power_w": points.engine_power[i],
        "efficiency": points.efficiency[i],
        "stall_margin": points.stall_margin[i],
        "stable_by_pa_s_m3": points.stable_by[i],
        "pressure_reserve": points.pressure_reserve[i],
        "crossings": int(points.crossings[i]),
        "failure": {"name": name, "margin": float(points.margin[i]), "unit": unit} if failure else None,
    }


def _losses(lift: LiftAir) -> list[dict[str, Any]]:
    """One row per line of the budget, for the first load at the wanted gap."""
    rows = []
    for k, line in enumerate(lift.system.losses):
        assert lift.choke is not None
        rows.append(
            {
                "name": line.name,
                "place": line.place,
                "area_m2": line.area,
                "factor": [line.factor_low, line.factor, line.factor_high],
                "share": line.share,
                "flow_m3_s": lift.budget.flow[k, 0],
                "drop_pa": lift.budget.drop[k, 0],
                "power_w": lift.budget.power[k, 0],
                "area_ratio": lift.choke.area_ratio[k, 0],
                "source": line.source,
            }
        )
    return rows


def _watts(names: tuple[str, ...], kinds: tuple[str, ...], power: Any) -> list[dict[str, Any]]:
    rows = zip(names, kinds, power, strict=True)
    return [{"name": name, "kind": kind, "power_w": float(watts)} for name, kind, watts in rows]


def _feed(lift: LiftAir) -> list[dict[str, Any]]:
    """One row per run, for the first load."""
    return [
        {
            "run": run,
            "segments": lift.segments[k],
            "flow_per_hole_m3_s": lift.feed.flow[0, k],
            "hole_area_m2": lift.feed.area[0, k],
            "hole_diameter_m": lift.feed.diameter[0, k],
            "area_ratio": lift.feed.area_ratio[0, k],
        }
        for k, run in enumerate(lift.runs)
    ]


def _limits(match: FanMatch) -> list[dict[str, Any]]:
    """Largest mass by what limits it, for the first load."""
    return [
        {"name": name, "mass_kg": match.limits.mass[k, 0], "extra_kg": match.limits.extra[k, 0]}
        for k, name in enumerate(match.limits.names)
    ]


def _segments_lost(match: FanMatch) -> dict[str, Any]:
    lost = match.segments_lost
    return {"may_be_lost": int(lost.may_be_lost), "all_tried": bool(lost.all_tried), "gap_m": lost.gap}


def _start_up(design: Design, match: FanMatch) -> list[dict[str, Any]]:
    start = match.start_up
    assert start is not None
    return [
        {
            "name": load.name,
            "draught_m": start.floating.draught[i],
            "low_draught_m": start.floating.low_draught[i],
            "hole_depth_m": start.floating.hole_depth[i],
            "hole_head_pa": start.floating.hole_head[i],
            "needed_pa": start.needed[i],
            "shut_off_pa": start.shut_off[i],
            "margin_pa": start.margin[i],
            "hangs": bool(start.hangs[i]),
            "gets_up": bool(start.gets_up[i]),
        }
        for i, load in enumerate(design.craft.load)
    ]


def _electric(design: Design, match: FanMatch) -> list[dict[str, Any]]:
    electric = match.electric
    assert electric is not None
    return [
        {
            "name": load.name,
            "battery_power_w": electric.power[i],
            "voltage_v": electric.voltage[i],
            "current_a": electric.current[i],
            "duration_s": electric.duration[i],
            "rate_per_h": electric.rate[i],
        }
        for i, load in enumerate(design.craft.load)
    ]


def _kinds(design: Design, lift: LiftAir) -> list[dict[str, Any]]:
    rows = []
    for kind in kinds_of(design, lift):
        best = kind.best
        rows.append(
            {
                "name": kind.name,
                "flow_m3_s": best.flow,
                "fan_pressure_pa": best.fan_pressure,
                "gap_power_w": best.gap_power,
                "skirt_loss_w": best.skirt_loss,
                "duct_loss_w": best.duct_loss,
                "engine_power_w": [kind.engine_power_low, best.engine_power, kind.engine_power_high],
                "assumptions": [
                    {"name": a.name, "band": [a.low, a.best, a.high], "meaning": a.meaning, "source": a.source}
                    for a in kind.assumptions
                ],
            }
        )
    return rows
