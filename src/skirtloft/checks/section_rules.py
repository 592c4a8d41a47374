"""Rules on the sections: do they hold their shape, and does the loop clear the hull?"""

from __future__ import annotations

import numpy as np

from skirtloft.checks.finding import Finding, grade
from skirtloft.maths.frozen import Floats
from skirtloft.physics.section_room import loop_overhang
from skirtloft.physics.types import Sections
from skirtloft.shape.types import Stations

OVERHANG = 0.005  # m that the loop may lean in over the deck


def section_findings(stations: Stations, sections: Sections) -> list[Finding]:
    """Return one finding per section rule, each at its worst station."""
    return [
        _stiff(stations, sections),
        _upper_edge_pulls(stations, sections),
        _over_deck(stations, sections),
        _lifts_joint(stations, sections),
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


def _over_deck(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, -loop_overhang(sections))
    return Finding(
        rule="loop-over-deck",
        title="The loop stays outboard of the hull edge",
        verdict=grade(-value, None, OVERHANG, "warn"),
        value=-value,
        unit="m",
        low=None,
        high=OVERHANG,
        where=where,
        why="A loop that balloons in over the deck rubs there and needs a coaming well inboard.",
        change="Raise the hull edge there, or bring the joint line inboard (larger tip_inside).",
        source="our own choice: 5 mm",
    )


def _lifts_joint(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, sections.centre_inset)
    return Finding(
        rule="loop-lifts-joint",
        title="The loop pulls the joint upwards",
        verdict=grade(value, np.nextafter(0.0, 1.0), None, "fail"),
        value=value,
        unit="m",
        low=0.0,
        high=None,
        where=where,
        why="Faces that bulge widely push the tip up by themselves; then the loop would have to hold the joint down.",
        change="Use a smaller pitch or a larger depth.",
        source="derived: balance of moments about the inner fixing; the loop's centre must lie inboard of the joint",
    )
