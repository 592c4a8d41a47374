"""What sections do, as plain data for one station: points in the section's frame, outboard from the hull edge."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.behaviour import SectionBehaviour


def station_behaviour(behaviour: SectionBehaviour, i: int) -> dict[str, Any]:
    """Return what the section at station `i` does in the design case: keys as in the results file."""
    line, rule, taut = behaviour.force_line, behaviour.quarter_rule, behaviour.taut
    out = -behaviour.sections.hull_edge[i] * np.array([1.0, 0.0])
    return {
        "stiffness_over_p_d2": behaviour.hardness[i],
        "taut": {
            name: {
                "turn_deg": np.degrees(taut.turn[i, side]),
                "joint": behaviour.taut_joint[i, side] + out,
                "tip": behaviour.taut_tip[i, side] + out,
                "load_moment_nm_per_m": taut.load_moment[i, side],
                "held_moment_nm_per_m": taut.held_moment[i, side],
            }
            for side, name in enumerate(("tip_down", "tip_up"))
        },
        "held_share_of_taut": taut.share,
        "tip_pull_held_n_per_m": behaviour.drag_at_taut[i],
        "reactions": station_reactions(behaviour, 0, i),
        "force_line": {
            "foot": line.foot[i] + out,
            "crossing": line.crossing[i] + out,
            "least_inboard_m": line.least_inboard[i],
            "margin": line.margin[i],
            "least_inboard_bulged_m": line.least_inboard_bulged[i],
            "margin_bulged": line.margin_bulged[i],
            "upper_edge_margin": line.slack_margin[i],
        },
        "face": {
            "puckers": bool(behaviour.face_push[i] > 0.0),
            "push_n_per_m": behaviour.face_push[i],
            "lower_edge_at_tip_n_per_m": behaviour.tip_edge_pull[i],
        },
        "quarter_rule": {
            "loop_length_m": rule.length[i],
            "loop_length_difference_m": rule.length_difference[i],
            "turn_deg": np.degrees(rule.turn[i]),
            "joint_rise_m": rule.joint_rise[i],
            "tip_rise_m": rule.tip_rise[i],
        },
        "restoring_moment": {
            "turn_deg": np.degrees(behaviour.turn[:, i]),
            "moment_nm_per_m": behaviour.moment[:, i],
        },
    }


def station_reactions(behaviour: SectionBehaviour, load: int, i: int) -> dict[str, Floats | float]:
    """Return what the fixings carry at station `i` under a load: forces [outboard, up], pulls as numbers."""
    forces = behaviour.reactions
    return {
        "hull_edge_n_per_m": forces.hull_edge[load, i],
        "joint_n_per_m": forces.joint[load, i],
        "inner_n_per_m": forces.inner[load, i],
        "face_pressure_n_per_m": forces.face_pressure[load, i],
        "upper_edge_n_per_m": forces.upper_edge[load, i],
        "lower_edge_n_per_m": forces.lower_edge[load, i],
    }
