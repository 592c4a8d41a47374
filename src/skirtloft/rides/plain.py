"""The rides of a design as plain data: SI, units in the names, stable ("skirtloft-rides/1"); see docs/rides.md."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.physics.bounce.hover import compliance, hover_flow
from skirtloft.physics.bounce.stability_map import StabilityMap
from skirtloft.physics.bounce.threshold import MECHANISMS
from skirtloft.physics.bounce.types import SCREENING, Modes
from skirtloft.pipeline import Skirt
from skirtloft.rides.types import Knock, Rides

FORMAT = "skirtloft-rides/1"


def rides_results(
    skirt: Skirt,
    rides: Rides,
    digest: str,
    findings: tuple[Finding, ...],
    chart: StabilityMap | None = None,
    knock: Knock | None = None,
) -> dict[str, Any]:
    """Return the rides of a skirt as nested dicts and lists; what was not asked for is null."""
    project, hover, craft = skirt.design.project, rides.hover, rides.hover.craft
    return {
        "format": FORMAT,
        "screening": SCREENING,
        "design": {"name": project.name, "revision": project.revision, "sha256": digest},
        "load": rides.loads[hover.load].name,
        "assumed": [{"what": one.name, "taken": one.taken, "key": one.key} for one in hover.assumed],
        "craft": {
            "mass_kg": craft.mass,
            "pressure_pa": craft.pressure,
            "gap_m": hover.point.gap,
            "lift_flow_m3_s": hover_flow(craft, hover.runs),
            "fan_steepness": craft.steepness,
            "cushion_volume_m3": craft.volume,
            "compliance_m3_pa": compliance(craft),
            "duct_inertance_kg_m4": craft.inertance,
            "fixed_openings_m2": craft.leak_area,
            "mouth_area_m2": hover.mouth.area,
            "loop_open_side_m2": hover.mouth.open_side,
            "least_mouth_area_m2": rides.least_mouth,
            "loop_over_pressure": hover.over_pressure,
            "least_gap_m": rides.least_gap,
            "bounce_margin": rides.margins.craft_margin,
            "loss_factor_needed": rides.margins.craft_needed,
            "held": _modes(rides.held),
            "free": _modes(rides.free),
        },
        "closed_loop": None
        if rides.closed_loop is None
        else {"over_pressure": rides.closed_loop.over_pressure, "bounce_margin": rides.closed_loop.margin},
        "sections": [_section(rides, k) for k in range(len(hover.names))],
        "sensitivities": [
            {"input": one.name, "slope": one.slope, "measured": one.is_measured} for one in rides.sensitivities
        ],
        "diaphragm": _diaphragm(rides),
        "loads": [
            {
                "name": one.name,
                "gap_m": one.gap,
                "least_gap_m": one.least_gap,
                "loop_over_pressure": one.over_pressure,
                "bounce_margin": one.margin,
                "loss_factor_needed": one.needed,
                "free_growth_1_s": one.free_growth,
                "held_growth_1_s": one.held_growth,
            }
            for one in rides.loads
        ],
        "map": None if chart is None else _map(chart),
        "knock": None if knock is None else _knock(knock),
        "findings": [
            {
                "rule": one.rule,
                "verdict": one.verdict,
                "value": one.value,
                "unit": one.unit,
                "limit": [one.low, one.high],
                "where": one.where,
                "why": one.why,
                "change": one.change,
                "source": one.source,
            }
            for one in findings
        ],
    }


def _modes(modes: Modes) -> dict[str, Any]:
    return {
        "growth_1_s": modes.growth,
        "frequency_rad_s": modes.frequency,
        "damping": modes.damping,
        "roots_real_1_s": modes.roots.real,
        "roots_imaginary_1_s": modes.roots.imag,
    }


def _key(name: str) -> str:
    return name.replace(" ", "_").replace("-", "_")


def _section(rides: Rides, k: int) -> dict[str, Any]:
    hover, runs, margins = rides.hover, rides.hover.runs, rides.margins
    return {
        "run": hover.names[k],
        "station": hover.stations[k],
        "length_m": runs.length[k],
        "gap_m": runs.gap[k],
        "stiffness_nm_per_rad_per_m": runs.stiffness[k],
        "inertia_kg_m2_per_m": runs.inertia[k],
        "cloth_inertia_kg_m2_per_m": hover.cloth_inertia[k],
        "turn_rad": hover.turn[k],
        "loss_factor": runs.loss_factor[k],
        "loss_factor_needed": margins.needed[k],
        "bounce_margin": margins.margin[k],
        "frequency_rad_s": margins.frequency[k],
        "needed_alone": {_key(name): margins.alone[name][k] for name in MECHANISMS},
        "needed_without": {_key(name): margins.without[name][k] for name in MECHANISMS},
        "fed_most_by": str(margins.drives[k]),
    }


def _diaphragm(rides: Rides) -> dict[str, Any]:
    cure, result = rides.cure, rides.cure.result
    told: dict[str, Any] = {"steep_enough": list(cure.found), "no_place": list(cure.missing)}
    told |= {"there": cure.is_there, "taut": list(cure.taut), "tried": None}
    if result is not None:
        told["least_margin"] = result.least_margin
        told["tried"] = [
            {
                "margin": result.margin[k],
                "tension_n_per_m": result.tension[k],
                "loop_length_share": result.length_share[k],
                "section_stiffness_gain": result.stiffness_gain[k],
                "stays_taut": [bool(one) for one in result.stays_taut[k]],
                "growth_1_s": result.growth[k],
                "cures": bool(result.cures[k]),
            }
            for k in range(result.margin.size)
        ]
    return told


def _map(chart: StabilityMap) -> dict[str, Any]:
    return {
        "gap_m": chart.gap[:, 0],
        "lift_flow_m3_s": chart.flow[0],
        "bounce_margin": chart.margin,
        "growth_1_s": chart.growth,
        "verdict": [[str(word) for word in row] for row in chart.verdict],
    }


def _knock(knock: Knock) -> dict[str, Any]:
    found, motion = knock.outcome, knock.motion
    return {
        "drop_m": knock.drop,
        "outcome": found.outcome,
        "heave_m": found.heave,
        "gap_swing_m": found.gap,
        "frequency_rad_s": found.frequency,
        "sealed_share": found.sealed,
        "lowest_pressure_share": found.lowest,
        "highest_pressure_share": found.highest,
        "time_s": motion.time,
        "heave_trace_m": motion.heave,
        "least_gap_trace_m": np.min(motion.gap, axis=1),
        "pressure_trace_pa": motion.pressure,
    }
