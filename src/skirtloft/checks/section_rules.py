"""Rules on the sections: do they hold their shape, and does the loop clear hull and ground?"""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, grade
from skirtloft.maths.frozen import Floats
from skirtloft.physics.section import hull_clearance_angle, loop_lowest_point
from skirtloft.physics.types import Sections
from skirtloft.shape.types import Stations

LOOP_GROUND_SHARE = 0.15  # of the depth: room for the loop's cloth to swing in the wash; our own choice


def section_findings(stations: Stations, sections: Sections) -> list[Finding]:
    """Return one finding per section rule, each at its worst station."""
    return [
        _stiff(stations, sections),
        _upper_edge_pulls(stations, sections),
        _clear_of_hull(stations, sections),
        _above_ground(stations, sections),
    ]


def _worst(stations: Stations, values: Floats) -> tuple[float, str]:
    """Return the least value and the station it belongs to; nan counts as least."""
    index = int(np.argmin(np.where(np.isnan(values), -np.inf, values)))
    return float(values[index]), f"{stations.ids[index]} ({stations.runs[index].replace('_', ' ')})"


def _stiff(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, sections.stiffness)
    return Finding(
        rule="section-stable",
        title="The section springs back when the segment is turned",
        verdict=grade(value, np.nextafter(0.0, 1.0), None, "fail"),
        value=value,
        unit="N m/rad/m",
        low=0.0,
        high=None,
        where=where,
        why="With no stiffness left the loop and segment do not return to their shape: the side rolls under or out.",
        change="Raise the hull edge there, or bring the joint line inboard (larger tip_inside).",
        source="derived: second derivative of the enclosed area at fixed loop length",
    )


def _upper_edge_pulls(stations: Stations, sections: Sections) -> Finding:
    slack = sections.centre_z - sections.depth / 2.0
    value, where = _worst(stations, slack)
    return Finding(
        rule="upper-edge-taut",
        title="The upper edge of the segment pulls, so the web does not pucker",
        verdict=grade(value, 0.0, None, "fail"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where=where,
        why="Where the loop's centre drops below half depth the edge from joint to inner fixing goes slack.",
        change="Raise the hull edge there, or bring the joint line inboard (larger tip_inside).",
        source="derived: balance of three forces on the segment, face 45 deg, right angle at the tip",
    )


def _clear_of_hull(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, hull_clearance_angle(sections))
    return Finding(
        rule="loop-clear-of-hull",
        title="The loop leaves the hull edge outboard of the hull side",
        verdict=grade(value, 0.0, None, "fail"),
        value=value,
        unit="rad",
        low=0.0,
        high=None,
        where=where,
        why="The drawn arc would pass through the hull between hull edge and inner fixing; the cloth would lie on the hull.",
        change="Raise the hull edge, or move the joint line outboard there.",
        source="derived: angle between the arc at the hull edge and the straight line to the inner fixing",
    )


def _above_ground(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, loop_lowest_point(sections))
    wanted = LOOP_GROUND_SHARE * sections.depth
    return Finding(
        rule="loop-above-ground",
        title="The loop hangs clear of the ground",
        verdict="fail" if not value > 0.0 else grade(value, wanted, None, "warn"),
        value=value,
        unit="m",
        low=wanted,
        high=None,
        where=where,
        why="A loop that reaches the ground drags, wears and lifts the tips.",
        change="Raise the hull edge there, or bring the joint line inboard (larger tip_inside).",
        source="fails at the ground itself; the wanted room, 0.15 of the depth, is our own choice",
    )
