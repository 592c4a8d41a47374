"""What an inflated skirt shows, as plain data ("skirtloft-inflated/1"), and the form to send measurements back on."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.checks.inflated_rules import inflated_findings
from skirtloft.inflate.forces import reactions
from skirtloft.inflate.saved import FORMAT, shape_digest
from skirtloft.inflate.skirt.measure import Measures
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.maths.curves import path_points, points_at
from skirtloft.maths.frozen import Floats

CLAIM = (
    "A computation from the cut pieces, not yet compared with a built skirt. It can tell whether joint and tips come "
    "level, to about 10 mm on bow-like runs and 15 mm on ballooning side runs before the tips are trimmed. It says "
    "nothing of the highest stress in the cloth, of flutter or bounce, of shocks, or of how cloth creeps."
)


def inflated_results(trial: Trial, digest: str) -> dict[str, Any]:
    """Return the results as nested dicts and lists.

    Parameters
    ----------
    trial : Trial
    digest : str
        sha256 of the design text.
    """
    skirt, plan = trial.skirt, trial.skirt.cut.plan
    project, mesh = skirt.cut.design.project, skirt.problem.mesh
    stations, advice = plan.stations, trial.advice
    return {
        "format": FORMAT,
        "design": {"name": project.name, "revision": project.revision, "sha256": digest},
        "shape_sha256": shape_digest(skirt.cut.design),
        "whole": trial.asked.making.only is None,
        "claim": CLAIM,
        "stopped_early": trial.is_stopped,
        "level": trial.is_level,
        "tolerance_m": trial.asked.tolerance,
        "pressure_pa": float(np.max(skirt.problem.loads.pressure)),
        "cloth_stiffness_n_per_m": skirt.problem.cloth.stiffness,
        "bare": not trial.asked.making.fittings,
        "joint_fittings_weigh_in": trial.asked.making.fittings and skirt.cut.design.skirt.weight,
        "solver": {
            "triangles": len(mesh.triangles),
            "steps": trial.shape.steps,
            "settled": trial.shape.is_settled,
            "residual_n": trial.shape.residual,
            "wanted_n": trial.shape.wanted,
        },
        "mesh": {
            "steps_across_loop_face": [skirt.detail.across, skirt.detail.loop, skirt.detail.face],
            "finer_mesh_adds": [
                {"joint_at_s_m": at, "joint_m": joint, "tip_m": tip}
                for at, joint, tip in zip(trial.mesh.at, trial.mesh.joint, trial.mesh.tip, strict=True)
            ],
            "added_in_advice_and_findings": trial.mesh.applied,
        },
        **_measures(trial, trial.measures),
        "stations": [
            {
                "id": stations.ids[i],
                "run": stations.runs[i],
                "joint_rise_m": advice.rise[i],
                "joint_rise_per_metre_of_loop": advice.slope[i],
                "loop_length_m": skirt.cut.sections.length[i],
                "change_loop_m": -advice.rise[i] / advice.slope[i],
                "beyond_tolerance": bool(advice.loop[i] != 0.0),
                "trim_tips_m": advice.tip_trim[i],
                "loop_off_drawn_m": trial.measures.loop_off[i],
            }
            for i in range(len(stations.ids))
        ],
        "levelling": [
            {
                "joint_worst_m": state.joint_worst,
                "tip_worst_m": state.tip_worst,
                "tip_mean_m": state.tip_mean,
                "loop_lengths_m": state.loops,
                "tip_trims_m": state.trims,
            }
            for state in trial.rounds
        ],
        "loads": [
            {"name": load.name, "pressure_pa": load.pressure, "settled": load.shape.is_settled}
            | _measures(trial, load.measures)
            for load in trial.loads
        ],
        "ground": [
            {"up_m": step.up, "lift_n_per_m": step.lift, "turned_share": step.turned, "settled": step.is_settled}
            for step in trial.ground
        ],
        "diaphragm": strip_pulls(trial),
        "ground_stiffness": ground_stiffness(trial),
        "from_above": _from_above(trial),
        "findings": [
            {key: getattr(finding, key) for key in finding.__dataclass_fields__} for finding in inflated_findings(trial)
        ],
    }


def _from_above(trial: Trial) -> dict[str, list[list[list[float]]]]:
    """Return the port half from above as lines (n, 2) by name, to a tenth of a millimetre [m]."""
    skirt, points = trial.skirt, trial.shape.points
    plan = skirt.cut.plan
    drawn = points_at(plan.joint_line, np.linspace(0.0, float(plan.joint_line.breaks[-1]), 200))
    lines = {
        "hull": [path_points(plan.hull_edge, 1e-3)],
        "drawn_joint": [drawn],
        "joint": [points[skirt.marks.joint]],
        "loop": [outermost(trial)],
        "tips": [points[tip] for tip in skirt.marks.tips],
    }
    return {name: [np.round(line[:, :2], 4).tolist() for line in found] for name, found in lines.items()}


def outermost(trial: Trial) -> Floats:
    """Return the loop's outermost point in every column of nodes, (c, 2) [m]."""
    skirt, points = trial.skirt, trial.shape.points
    found = np.zeros((len(skirt.chain.at), 2))
    for span, piece in zip(skirt.chain.panels, skirt.panel_pieces, strict=True):
        wide = span.last - span.first + 1
        grid = points[skirt.problem.mesh.nodes[piece]].reshape(-1, wide, 3)
        out = (grid * skirt.drawn.outward[span.first : span.last + 1]).sum(axis=2)
        found[span.first : span.last + 1] = grid[out.argmax(axis=0), np.arange(wide), :2]
    return found


def _measures(trial: Trial, found: Measures) -> dict[str, Any]:
    segments, lines = found.segments, found.lines
    joint, tip = trial.mesh.along(segments.at)
    return {
        "segments": [
            {
                "number": i + 1,
                "run": segments.runs[i],
                "s_m": segments.at[i],
                "joint_rise_m": segments.joint[i],
                "joint_rise_on_finer_mesh_m": segments.joint[i] + joint[i],
                "joint_outboard_m": segments.joint_out[i],
                "scallop_m": segments.scallop[i],
                "tip_m": segments.tip[i],
                "tip_on_finer_mesh_m": segments.tip[i] + tip[i],
                "tip_lowest_m": segments.tip_low[i],
                "tip_outboard_m": segments.tip_out[i],
                "slack_share": segments.slack[i],
                "wrinkled_share": segments.wrinkled[i],
            }
            for i in range(len(segments.at))
        ],
        "web_lines": [
            {
                "s_m": lines.at[i],
                "joint_rise_m": lines.joint[i],
                "joint_outboard_m": lines.joint_out[i],
                "tip_opening_m": lines.opening[i],
                "tips_touch_over_m": lines.touching[i],
                "fixing_pull_outboard_n": lines.pull[i, 0],
                "fixing_pull_along_n": lines.pull[i, 1],
                "fixing_pull_up_n": lines.pull[i, 2],
            }
            for i in range(len(lines.at))
        ],
        "loop_runs": [
            {"run": run, "tension_n_per_m": pull, "drawn_n_per_m": drawn}
            for run, pull, drawn in run_pulls(trial, found)
        ],
        "panels": [
            {
                "id": panel,
                "slack_share": found.panels.slack[i],
                "wrinkled_share": found.panels.wrinkled[i],
                "off_its_arc_m": found.panels.off[i],
            }
            for i, panel in enumerate(found.panels.panels)
        ],
    }


def run_pulls(trial: Trial, found: Measures) -> list[tuple[str, float, float]]:
    """Return each run of the loop with its tension at the hull edge and p R of its sections [N/m]."""
    skirt = trial.skirt
    pressure = float(np.max(skirt.problem.loads.pressure))
    flat = {panel.id: panel for panel in skirt.cut.panels}
    ids, groups = skirt.cut.plan.stations.ids, list[tuple[str, list[int]]]()
    for i, name in enumerate(found.panels.panels):
        run: str = flat[name].run
        if not groups or groups[-1][0] != run:
            groups.append((run, []))
        groups[-1][1].append(i)
    rows = []
    for run, own in groups:
        hull = found.panels.hull[own]
        at = [ids.index("P" + end[1:]) for i in own for end in (flat[found.panels.panels[i]].start,)]
        drawn = pressure * float(np.mean(skirt.cut.sections.radius[at]))
        rows.append((run, float(found.panels.pull[own] @ hull / hull.sum()), drawn))
    return rows


def strip_pulls(trial: Trial) -> list[dict[str, Any]]:
    """Return by run the tension of a diaphragm's strips, per metre of joint [N/m]: the hull's reaction on each."""
    skirt, rows = trial.skirt, list[tuple[str, float]]()
    if not skirt.rails:
        return []
    pulls = reactions(skirt.problem, trial.shape.points)
    for rail in skirt.rails:
        force = float(np.linalg.norm(pulls[rail.nodes].sum(axis=0)))
        rows.append((trial.measures.segments.runs[rail.segment], force / rail.width))
    return [
        {"run": run, "least_n_per_m": min(own), "most_n_per_m": max(own)}
        for run in dict.fromkeys(name for name, _ in rows)
        for own in ([pull for name, pull in rows if name == run],)
    ]


def ground_stiffness(trial: Trial) -> list[dict[str, Any]]:
    """Return by run how hard the first ground step presses, over how far it came up: per metre of joint [N/m2]."""
    if not trial.ground:
        return []
    step, segments = trial.ground[0], trial.measures.segments
    rows = []
    for run in dict.fromkeys(segments.runs):
        own = np.array([name == run for name in segments.runs])
        lift = float(np.average(step.lift[own], weights=segments.width[own]))
        turned = float(np.nanmean(step.turned[own]))
        rows.append({"run": run, "up_m": step.up, "n_per_m2": lift / step.up, "turned_share": turned})
    return rows


FORM_COLUMNS = {
    "place": "place",
    "what": "what to measure",
    "side": "side",
    "computed": "computed_mm",
    "measured": "measured_mm",
    "note": "note",
}


def form_rows(trial: Trial) -> list[dict[str, str | float | None]]:
    """Return the form for measurements at the first hover, one row per place and side, with room to write."""
    segments, project = trial.measures.segments, trial.skirt.cut.design.project
    joint_shift, tip_shift = trial.mesh.along(segments.at)
    rows: list[dict[str, str | float | None]] = [
        {"place": project.name, "what": f"revision {project.revision}", "note": "craft held level, hovering"},
        {"place": "all", "what": "cushion pressure, Pa", "computed": float(np.max(trial.skirt.problem.loads.pressure))},
        {"place": "all", "what": "mass aboard and on it, kg"},
        {"place": "all", "what": "cloth: maker, mass per area, age"},
        {"place": "all", "what": "height of the hull bottom over the ground"},
    ]
    depth = trial.skirt.drawn.points[:, 2]
    for i, span in enumerate(trial.skirt.chain.segments):
        middle = (span.first + span.last) // 2
        where = f"segment {i + 1} from the bow ({segments.runs[i].replace('_', ' ')})"
        values = (
            ("joint over the ground, middle of the segment", depth[middle] + segments.joint[i] + joint_shift[i]),
            ("tip over the ground, middle of its edge", segments.tip[i] + tip_shift[i]),
        )
        for what, value in values:
            for side in ("port", "starboard"):
                rows.append({"place": where, "what": what, "side": side, "computed": round(1e3 * float(value), 1)})
    return rows
