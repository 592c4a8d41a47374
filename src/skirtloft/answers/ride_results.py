"""How it sits and what water does to it as plain nested dicts, for JSON: keys stable, SI, units in the names."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.physics.attitude.ballast import LevelPlace
from skirtloft.physics.attitude.bounds import CAUTION, likely_words
from skirtloft.physics.attitude.rest import Rest
from skirtloft.physics.attitude.restoring import RestoringCurve
from skirtloft.physics.water.drag import CAUTION as DRAG_CAUTION
from skirtloft.physics.water.drag import Drag
from skirtloft.physics.water.over_hump import OverHump
from skirtloft.physics.water.plough import CAUTION as BOW_CAUTION
from skirtloft.physics.water.plough import BowHold
from skirtloft.pipeline import Skirt
from skirtloft.results import finding_result
from skirtloft.sits.on_water import LoadOnWater, OnWater
from skirtloft.sits.sits import LoadSits, Sits

SITS_FORMAT, WATER_FORMAT = "skirtloft-sits/1", "skirtloft-water/1"


def sits_results(skirt: Skirt, digest: str, sits: Sits, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Return how it sits; `digest` is the sha256 of the design text."""
    return {
        "format": SITS_FORMAT,
        "design": _design(skirt, digest),
        "cautions": [CAUTION, *dict.fromkeys(likely_words(entry.line) for entry in sits.loads)],
        "likely_from_inflation": skirt.inflated is not None and bool(skirt.inflated.ground),
        "gap_the_same_all_round": not sits.is_uneven,
        "loads": [_load_sits(skirt, entry) for entry in sits.loads],
        "findings": [finding_result(finding) for finding in findings],
    }


def water_results(skirt: Skirt, digest: str, water: OnWater, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Return what water does to it."""
    return {
        "format": WATER_FORMAT,
        "design": _design(skirt, digest),
        "cautions": [DRAG_CAUTION, BOW_CAUTION],
        "thrust_told": water.has_thrust,
        "frontal_area_told": water.frontal_given,
        "factors": [
            {"name": f.name, "band": [f.low, f.best, f.high], "meaning": f.meaning, "source": f.source}
            for f in water.factors
        ],
        "loads": [_load_on_water(load, water.has_thrust) for load in water.loads],
        "findings": [finding_result(finding) for finding in findings],
    }


def _design(skirt: Skirt, digest: str) -> dict[str, str]:
    project = skirt.design.project
    return {"name": project.name, "revision": project.revision, "sha256": digest}


def _load_sits(skirt: Skirt, entry: LoadSits) -> dict[str, Any]:
    balance = skirt.design.balance
    return {
        "name": entry.name,
        "mass_kg": entry.mass,
        "carried": entry.flies,
        "centre_m": entry.centre,
        "cushion_centre_m": entry.line.centre,
        "height_above_tips_m": float(np.asarray(entry.hover.height)),
        "tip_line_m": entry.line.middle + entry.line.centre,
        "rests": {bound: _rest(found) for bound, found in entry.rests.items()},
        "curves": {
            side: {bound: _curve(curve) for bound, curve in curves.items()} for side, curves in entry.curves.items()
        },
        "diaphragm_slack": {bound: _curve(curve) for bound, curve in entry.slack.items()} or None,
        "person_aside": _rest(entry.person),
        "ballast": {"mass_kg": balance.ballast, **_place(entry.ballast)},
        "movable": [
            {"name": thing.name, "mass_kg": thing.mass, **_place(place)}
            for thing, place in zip(balance.movable, entry.movable, strict=True)
        ],
    }


def _rest(found: Rest) -> dict[str, Any]:
    leaning = found.leaning
    return {
        "hold": str(found.hold),
        "trim_deg": np.degrees(leaning.tilt[0]),
        "heel_deg": np.degrees(leaning.tilt[1]),
        "heave_m": leaning.heave,
        "pressure_pa": leaning.pressure,
        "flow_m3_s": leaning.flow,
        "gap_m": leaning.gap,
        "least_gap_m": leaning.least_gap,
        "most_gap_m": leaning.most_gap,
        "hull_clearance_m": leaning.hull_clearance,
        "dead_band_deg": np.degrees(found.dead_band),
    }


def _curve(curve: RestoringCurve) -> dict[str, Any]:
    return {
        "angle_deg": np.degrees(curve.angle),
        "held_m": curve.held,
        "restoring_m": curve.restoring,
        "extent_m": curve.extent,
        "dead_band_deg": np.degrees(curve.dead_band),
        "held_percent_per_deg": 100.0 * np.radians(curve.contact_slope),
        "loll_deg": np.degrees(curve.loll),
        "limit": curve.limit,
        "limit_deg": np.degrees(curve.limit_angle),
        "most_held_m": curve.most_held,
        "most_held_deg": np.degrees(curve.most_held_angle),
        "linear_deg": np.degrees(curve.linear_angle),
    }


def _place(place: LevelPlace) -> dict[str, Any]:
    return {
        "place_m": place.place,
        "shift_m": place.shift,
        "inside": bool(place.inside),
        "least_mass_kg": float(place.least_mass),
        "edge_m": place.edge,
    }


def _load_on_water(load: LoadOnWater, has_thrust: bool) -> dict[str, Any]:
    craft, heights = load.craft, load.heights
    return {
        "name": load.name,
        "mass_kg": craft.mass,
        "length_m": craft.length,
        "beam_m": craft.beam,
        "lift_flow_m3_s": craft.flow,
        "frontal_area_m2": craft.frontal_area,
        "water_density_kg_m3": craft.water_density,
        "heights_m": {
            "centre": heights.centre, "thrust": heights.thrust, "air": heights.air, "intake": heights.intake,
        },
        "hollow_m": load.hollow,
        "hump": {level: _hump(found, has_thrust) for level, found in load.levels.items()},
        "thrust_n": load.push,
        "drag": {level: _drag(found) for level, found in load.curves.items()},
        "fast_m_s": load.fast,
        "bow": {state: _bow(found) for state, found in load.bow.items()},
        "bow_planing_lift_n": load.planing,
        "bow_tuck_m_s": load.tuck,
    }  # fmt: skip


def _hump(found: OverHump, has_thrust: bool) -> dict[str, Any]:
    told = {
        "speed_m_s": found.hump_speed,
        "wave_n": found.hump_wave,
        "drag_n": found.hump_drag,
    }
    if not has_thrust:
        return {**told, "thrust_needed_n": -found.least_margin}
    return {
        **told,
        "thrust_n": found.hump_thrust,
        "least_to_spare_n": found.least_margin,
        "least_at_m_s": found.least_speed,
        "gets_over": found.gets_over,
        "stuck_at_m_s": found.stuck_speed,
        "most_mass_kg": found.most_mass,
        "top_speed_m_s": found.top_speed,
    }


def _drag(found: Drag) -> dict[str, Any]:
    parts = ("wave", "momentum", "air", "skirt", "total")
    return {"speed_m_s": found.speed, **{f"{name}_n": getattr(found, name) for name in parts}}


def _bow(found: BowHold) -> dict[str, Any]:
    return {
        "offset_m": found.offset,
        "down_deg": np.degrees(found.angle),
        "margin": found.margin,
        "limit": found.limit,
        "surface_left_deg": np.degrees(found.surface_left),
    }
