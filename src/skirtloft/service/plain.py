"""The cloth in use as plain data: diaphragm, pulls, mass, and the craft at rest."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.service.at_rest import AtRest, Extent
from skirtloft.service.cloth import ClothInUse, Pull
from skirtloft.service.diaphragm import DiaphragmResult, DiaphragmRun
from skirtloft.service.in_service import InService
from skirtloft.service.weight import SkirtWeight
from skirtloft.shape.types import Stations


def service_results(stations: Stations, service: InService) -> dict[str, Any]:
    """Return the blocks `diaphragm` (None without one), `cloth`, `mass` and `at_rest`."""
    return {
        "diaphragm": None if service.diaphragm is None else _diaphragm(stations, service.diaphragm),
        "cloth": _cloth(service.cloth),
        "mass": None if service.weight is None else _mass(service.weight),
        "at_rest": _at_rest(stations, service.rest),
    }


def _diaphragm(stations: Stations, result: DiaphragmResult) -> dict[str, Any]:
    place = result.place
    return {
        "possible": place.is_possible,
        "place_given": place.is_given,
        "vent_area_ratio": result.vent_ratio,
        "mass_kg": result.mass,
        "sections": [_section(stations, result, i) for i in range(len(stations.ids))],
        "runs": [_run(run) for run in result.runs],
    }


def _section(stations: Stations, result: DiaphragmResult, i: int) -> dict[str, Any]:
    place, sized, there = result.place, result.sized, bool(result.is_there[i])
    taut = there and bool(sized.is_taut[i])

    def known(values: Floats) -> Any:
        return values[i] if there else np.nan

    return {
        "id": stations.ids[i],
        "margin_asked": place.asked[i],
        "margin": sized.margin[i] if there else 0.0,
        "margin_required": result.required[i],
        "taut": taut,
        "attachment": place.attachment.point[i],
        "steepness": place.attachment.steepness[i],
        "place_found": bool(place.attachment.is_found[i]),
        "off_hull_lines_m": place.off_hull[i],
        "beyond_webs_m": place.beyond_webs[i],
        "span_m": place.span[i],
        "loop_length_balance_m": sized.balance_length[i],
        "margin_per_loop_length_1_per_m": sized.margin_per_length[i],
        "tension_n_per_m": known(sized.tension),
        "slack_pressure_pa": known(sized.slack_pressure),
        "slack_mass_kg": known(result.slack_mass),
        "stiffness_taut_nm_per_rad_per_m": known(
            sized.section_stiffness + sized.stretch_stiffness + sized.turn_stiffness
        ),
        "vents_wanted_m2_per_m": known(result.wanted_vents),
        "vents_given_m2_per_m": known(result.given_vents),
    }


def _run(run: DiaphragmRun) -> dict[str, Any]:
    holes = run.holes
    return {
        "run": run.run,
        "strips": run.strips,
        "strip_width_joint_m": run.pitch,
        "strip_width_hull_m": run.hull_pitch,
        "strip_length_m": [run.span_low, run.span_high],
        "area_m2": run.area,
        "tension_n_per_m": run.tension,
        "corner_tension_n_per_m": [run.corner_low, run.corner_high],
        "strip_pull_n": run.strip_pull,
        "vents": {
            "diameter_m": float(holes.diameter),
            "in_a_strip": int(holes.count),
            "rows": int(holes.rows),
            "columns": int(holes.columns),
            "column_pitch_m": float(holes.column_pitch),
            "row_pitch_m": float(holes.row_pitch),
            "count": run.vents,
            "given_m2_per_m": float(holes.area),
            "wanted_m2_per_m": float(holes.wanted),
            "enough_here": bool(holes.fits),
            "have_room": run.have_room,
        },
    }


def _cloth(cloth: ClothInUse) -> dict[str, Any]:
    band = cloth.band
    return {
        "band": {"seats": band.seats, "mass_kg": band.mass, "by": "seats" if cloth.by_seats else "mass"},
        "weights": [
            {"cloth": w.part, "mass_kg_m2": w.mass, "usual_kg_m2": [w.low, w.high], "verdict": w.verdict}
            for w in cloth.weights
        ],
        "pulls": [_pull(pull) for pull in cloth.pulls],
    }


def _pull(pull: Pull) -> dict[str, Any]:
    return {
        "name": pull.name,
        "kind": pull.kind,
        "unit": pull.unit,
        "pull": pull.load,
        "load": pull.case,
        "station": pull.where,
        "run": pull.run,
        "shock": pull.shock,
        "pull_in_shock": pull.needed,
        "strength": pull.strength,
        "factor": pull.static_factor,
        "factor_in_shock": pull.shock_factor,
        "strength_from": pull.source,
    }


def _mass(weight: SkirtWeight) -> dict[str, Any]:
    table = weight.table
    return {
        "total_kg": table.mass,
        "cloth_in_pieces_kg": weight.pieces_mass,
        "share_of_heaviest_load": table.share_of_craft,
        "centre_x_m": weight.x,
        "centre_z_m": weight.z,
        "parts": [{"part": p.part, "mass_kg": p.mass, "x_m": p.x, "z_m": p.z} for p in weight.parts],
        "lines": [
            {
                "name": line.part,
                "cloth": line.cloth,
                "amount": line.amount,
                "unit": line.unit,
                "area_m2": line.area,
                "mass_kg": line.mass,
                "source": line.source,
            }
            for line in table.lines
        ],
    }


def _extent(extent: Extent) -> dict[str, float]:
    return {
        "width_m": extent.width,
        "length_m": extent.length,
        "width_most_m": extent.width_bound,
        "length_most_m": extent.length_bound,
    }


def _at_rest(stations: Stations, rest: AtRest) -> dict[str, Any]:
    sitting = rest.sitting
    return {
        "hanging": {**_extent(rest.free_extent), "below_bottom_most_m": rest.hangs_below},
        "sitting": {
            **_extent(rest.grounded_extent),
            "skid_height_m": rest.skid_height,
            "least_skid_m": float(sitting.least_skid.max()),
            "skid_air_m": float(np.min(sitting.skid_air)),
        },
        "stations": [
            {
                "id": name,
                "room_m": sitting.available[i],
                "heap_m": sitting.heap[i],
                "spare_m": sitting.spare[i],
                "pinched": bool(sitting.is_pinched[i]),
                "tip_reaches_skid": bool(sitting.tip_reaches_skid[i]),
            }
            for i, name in enumerate(stations.ids)
        ],
    }
