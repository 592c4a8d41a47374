"""The results as plain data: SI, units in the names, stable ("skirtloft-results/1")."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.cutting_errors import cutting_errors, plain_errors
from skirtloft.lift.plain import air_results
from skirtloft.maths.polylines import polyline_length
from skirtloft.physics.behaviour_plain import station_behaviour, station_reactions
from skirtloft.physics.section_room import loop_outermost_point
from skirtloft.pieces.record import CUT_MARKS, fingerprint
from skirtloft.pieces.types import CutPiece
from skirtloft.pipeline import Skirt
from skirtloft.service.plain import service_results
from skirtloft.shape.flatten.strain import StrainFigure

FORMAT = "skirtloft-results/1"


def results(skirt: Skirt, digest: str) -> dict[str, Any]:
    """Return the results of `skirt` as nested dicts and lists.

    Parameters
    ----------
    digest : str
        sha256 of the design text (see `design.read.design_digest`).

    Notes
    -----
    Piece coordinates are in the piece frame: outside of the cloth facing you, x towards the bow, y towards the hull;
    port pieces are drawn with x to the left, so the numbers of both hands are the same.
    """
    project, plan = skirt.design.project, skirt.plan
    return {
        "format": FORMAT,
        "design": {"name": project.name, "revision": project.revision, "sha256": digest},
        "cushion": {
            "area_m2": plan.tip_area,
            "perimeter_m": plan.tip_perimeter,
            "joint_area_m2": plan.joint_area,
            "joint_perimeter_m": plan.joint_perimeter,
        },
        "size": sizes(skirt),
        "loads": [
            {
                "name": cushion.name,
                "mass_kg": cushion.mass,
                "pressure_pa": cushion.pressure,
                "flow_m3_s": cushion.flow,
                "air_power_w": cushion.air_power,
                "engine_power_screening_w": cushion.engine_power,
                "sections": [_rest(skirt, k, i) for i in range(len(plan.stations.ids))],
            }
            for k, cushion in enumerate(skirt.cushions)
        ],
        "air": air_results(skirt.design, skirt.air),
        "runs": [
            {
                "run": run.name,
                "start_s_m": run.start,
                "end_s_m": run.end,
                "radius_m": run.radius,
                "segments": run.segments,
                "fitted_pitch_m": run.fitted_pitch,
                "across_centre_line": run.crosses_centre,
            }
            for run in plan.runs
        ],
        "sections": [_section(skirt, index) for index in range(len(plan.stations.ids))],
        "hull": _hull(skirt),
        "corner_cloth": {
            "hull_edge_allowance_m": skirt.corner_cloth.cut,
            "wanted_m": skirt.corner_cloth.wanted,
            "largest_difference_m": skirt.corner_cloth.difference,
            "against": skirt.corner_cloth.rule,
            "station": skirt.corner_cloth.station,
        },
        "cutting_errors": plain_errors(cutting_errors(skirt)),
        **service_results(plan.stations, skirt.service),
        "inflated": inflated_results(skirt),
        "patterns": {
            "method": skirt.development.pattern,
            "as_cut": skirt.development.pattern == skirt.design.making.loop.pattern,
        },
        "panels": [_panel(skirt, i) for i in range(len(skirt.development.panels))],
        "pieces": [_piece(piece) for piece in skirt.pieces],
        "findings": [finding_result(finding) for finding in skirt.findings],
    }


def inflated_results(skirt: Skirt) -> dict[str, Any] | None:
    """Return what the skirt inflated as sewn shows; None where that was not computed or no longer holds."""
    saved = skirt.inflated
    if saved is None:
        return None
    return {
        "level": saved.is_level,
        "tolerance_m": saved.tolerance,
        "joint_rise_m": [float(saved.segments.joint.min()), float(saved.segments.joint.max())],
        "tip_m": [float(saved.segments.tip.min()), float(saved.segments.tip.max())],
        "panels_off_their_arcs_m": dict(saved.deviation),
        "ground_stiffness_n_per_m2": {run: row.stiffness for run, row in saved.ground.items()},
        "stations": [
            {
                "id": row.id,
                "joint_rise_m": row.joint_rise,
                "change_loop_m": row.change_loop if row.is_beyond else 0.0,
                "trim_tips_m": row.trim_tips,
            }
            for row in saved.stations
        ],
    }


def sizes(skirt: Skirt) -> dict[str, float]:
    """Return hover height and overall inflated width and length [m].

    Hover height is the clearance plus the wanted gap; width and length are over the inflated loop.
    """
    stations, sections = skirt.plan.stations, skirt.sections
    outermost = np.maximum(loop_outermost_point(sections), np.maximum(0.0, sections.offset))
    reach = stations.hull + outermost[:, None] * stations.outward
    return {
        "hover_height_m": skirt.design.hull.clearance + skirt.design.air.gap,
        "overall_width_m": 2.0 * float(reach[:, 1].max()),
        "overall_length_m": float(reach[:, 0].max() - reach[:, 0].min()),
    }


def _section(skirt: Skirt, i: int) -> dict[str, Any]:
    stations, sections = skirt.plan.stations, skirt.sections
    depth, offset = float(sections.depth[i]), float(sections.offset[i])
    return {
        "id": stations.ids[i],
        "run": stations.runs[i],
        "s_m": stations.at[i],
        "x_m": stations.joint[i, 0],
        "y_m": stations.joint[i, 1],
        "hull_edge": [0.0, depth + float(sections.rise[i])],
        "joint": [offset, depth],
        "tip": [offset - float(sections.tip_inboard[i]), 0.0],
        "inner": [offset - float(sections.inboard[i]), depth - float(sections.drop[i])],
        "loop_centre": [offset - float(sections.centre_inset[i]), sections.centre_z[i]],
        "loop_radius_m": sections.radius[i],
        "loop_angle_deg": np.degrees(sections.angle[i]),
        "loop_length_m": sections.length[i],
        "loop_length_quarter_rule_m": sections.quarter_rule_length[i],
        "tip_mean_square_m2": sections.tip_mean_square[i],
        "weight_moment_kg_m_per_m": sections.weight_moment[i],
        "pressure_pa": sections.pressure,
        "loop_tension_n_per_m": sections.tension[i],
        "stiffness_nm_per_rad_per_m": sections.stiffness[i],
        **station_behaviour(skirt.behaviour, i),
    }


def _panel(skirt: Skirt, i: int) -> dict[str, Any]:
    made, panel = skirt.development, skirt.development.panels[i]
    strain = made.strain[i] if made.strain else None
    arcs = made.surface.arcs.length
    seams = polyline_length(panel.seam_start), polyline_length(panel.seam_end)
    return {
        "id": panel.id,
        "from": panel.start,
        "to": panel.end,
        "method": "rectangle" if panel.is_rectangle else made.pattern,
        "hull_edge_m": panel.hull_edge,
        "joint_m": panel.joint_edge,
        "seam_from_m": seams[0],
        "seam_to_m": seams[1],
        "seam_less_section_m": [seams[0] - arcs[i], seams[1] - arcs[i + 1]],
        "edge_error_m": [made.hull_edge_error[i], made.joint_edge_error[i]],
        "area_m2": panel.area,
        "warp": None if strain is None else strain.warp,
        "deviation_m": None if made.deviation is None else made.deviation[i],
        "deviation_by": made.deviation_by,
        "strain": None
        if strain is None
        else {
            "thread": _figure(strain.thread),
            "principal": _figure(strain.principal),
            "shear_rad": _figure(strain.shear),
            "estimate": strain.estimate,
        },
    }


def _figure(figure: StrainFigure) -> dict[str, Any]:
    """One measure of strain: not exceeded on 95 % of the panel, the largest, and where on panel and craft that is."""
    return {"p95": figure.p95, "max": figure.largest, "at": figure.at, "point_m": figure.point}


def _hull(skirt: Skirt) -> dict[str, Any]:
    """What the hull must be: points [x, y, z] in craft coordinates, z from the tip plane."""
    hull = skirt.hull
    lines = {
        "hull_edge": hull.hull_edge,
        "joint": hull.joint,
        "inner": hull.inner,
        "tip": hull.tip,
        "bottom_edge": hull.bottom_edge,
    }
    stations = [
        {
            "id": name,
            "run": hull.runs[i],
            **{f"{line}_m": points[i] for line, points in lines.items()},
            "along_hull_edge_m": hull.along_hull_edge[i],
            "along_inner_m": hull.along_inner[i],
            "planing_slope_deg": np.degrees(hull.slope[i]),
            "planing_width_m": hull.width[i],
            "side_slope_deg": np.degrees(hull.side_slope[i]),
            "side_width_m": hull.side_width[i],
        }
        for i, name in enumerate(hull.ids)
    ]
    return {
        "clearance_m": hull.clearance,
        "bottom_edge_given": skirt.design.hull.bottom is not None,
        "stations": stations,
    }


def _rest(skirt: Skirt, load: int, i: int) -> dict[str, Any]:
    """Return where the cloth cut for the design case comes to rest at station `i` under a load; nan: nowhere."""
    rests, offset = skirt.rests, float(skirt.sections.offset[i])
    out = np.array([offset, 0.0])  # these sections are measured from the joint as cut
    return {
        "id": skirt.plan.stations.ids[i],
        "turn_deg": np.degrees(rests.turn[load, i]),
        "joint": rests.joint[load, i] + out,
        "tip": rests.tip[load, i] + out,
        "loop_centre": rests.centre[load, i] + out,
        "loop_radius_m": rests.radius[load, i],
        "loop_angle_deg": np.degrees(rests.angle[load, i]),
        "loop_tension_n_per_m": rests.tension[load, i],
        "stiffness_nm_per_rad_per_m": rests.stiffness[load, i],
        "joint_rise_m": rests.joint_rise[load, i],
        "tip_rise_m": rests.tip_rise[load, i],
        "tip_line_rise_m": rests.tip_line_rise[load, i],
        "tip_line_shift_m": rests.tip_line_shift[load, i],
        "reactions": station_reactions(skirt.behaviour, load, i),
    }


def _piece(piece: CutPiece) -> dict[str, Any]:
    return {
        "id": piece.id,
        "name": piece.name,
        "kind": piece.kind,
        "hand": piece.hand,
        "quantity": piece.quantity,
        "spares": piece.spares,
        "cloth": piece.cloth,
        "sew_line_m": piece.sew_line,
        "cut_line_m": piece.cut_line,
        "holes_m": piece.holes,
        "lap_holes_m": piece.lap_holes,
        "vents_m": piece.vents,
        "vent_diameter_m": piece.vent_diameter,
        "notches_m": [notch.at for notch in piece.notches],
        "slits_m": [mark.points for mark in piece.marks if mark.kind in CUT_MARKS],
        "corners_m": [edge.points[0] for edge in piece.edges],
        "warp": piece.warp,
        "fingerprint": fingerprint(piece),
        "area_m2": piece.area,
        "mass_kg": piece.mass,
    }


def finding_result(finding: Finding) -> dict[str, Any]:
    """Return a finding as the results file holds it."""
    return {
        "rule": finding.rule,
        "verdict": finding.verdict,
        "value": finding.value,
        "unit": finding.unit,
        "limit": [finding.low, finding.high],
        "where": finding.where,
        "why": finding.why,
        "change": finding.change,
        "source": finding.source,
    }
