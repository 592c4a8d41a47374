"""Rules on the sections: do they hold their shape, and does the loop clear the hull?"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import TRADE, Finding, grade
from skirtloft.maths.frozen import Floats
from skirtloft.physics.section_room import loop_overhang
from skirtloft.physics.types import Sections
from skirtloft.shape.types import Stations

OVERHANG = 0.005  # m that the loop may lean in over the deck
FIXING_MARGIN = 0.10  # of the least inboard distance of the inner fixing (common practice, no source)
RIGHT_ANGLE = math.pi / 2.0
USUAL_FACES = (math.radians(40.0), math.radians(50.0))


def section_findings(stations: Stations, sections: Sections) -> list[Finding]:
    """Return one finding per section rule, each at its worst station."""
    return [
        _stiff(stations, sections),
        _upper_edge_pulls(stations, sections),
        _over_deck(stations, sections),
        _lifts_joint(stations, sections),
        _fixing_far_enough(stations, sections),
        _tip_angle(stations, sections),
        _face_angle(stations),
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
    half = sections.depth / np.sin(sections.face_angle) / 2.0
    along_face = np.cos(sections.face_angle) * -sections.centre_inset
    slack = along_face + np.sin(sections.face_angle) * (sections.centre_z - sections.depth) + half
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
        why="Where the loop's centre lies nearer to the tip than to the joint, the edge from joint to inner fixing"
        " goes slack.",
        change="Raise the hull edge there, or bring the joint line inboard (larger tip_inside).",
        source="derived: balance of three forces on the segment; the centre against the middle of the face",
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


def _fixing_far_enough(stations: Stations, sections: Sections) -> Finding:
    slope = np.tan(sections.face_angle)
    least = sections.depth / (2.0 * slope) + (sections.depth / 2.0 - sections.drop) * slope
    margin = sections.inboard / least - 1.0
    value, where = _worst(stations, margin)
    needed = 1000.0 * (1.0 + FIXING_MARGIN) * float(least[int(np.argmin(margin))])
    return Finding(
        rule="inner-fixing-far-enough",
        title="The inner fixing lies far enough inboard for the loop to carry the segment",
        verdict="fail" if not value > 0.0 else grade(value, FIXING_MARGIN, None, "warn"),
        value=value,
        unit="1",
        low=FIXING_MARGIN,
        high=None,
        where=where,
        why="Nearer to the joint, the pressure on the face lifts the segment and the loop has to hold the joint down.",
        change=f"Set inner.inboard to at least {needed:.0f} mm there (a larger tip angle), or drop the inner fixing.",
        source=f"derived; margin of 10 to 15 %: {TRADE}",
    )


def _tip_angle(stations: Stations, sections: Sections) -> Finding:
    value, where = _worst(stations, stations.tip_angle)
    i = int(np.argmin(stations.tip_angle))
    push = sections.pressure * float(sections.depth[i] / np.sin(sections.face_angle[i])) / 2.0 / np.tan(value)
    return Finding(
        rule="tip-angle",
        title="The tip angle keeps the face in tension",
        verdict=grade(value, RIGHT_ANGLE - 1e-9, None, "warn"),
        value=value,
        unit="rad",
        low=RIGHT_ANGLE,
        high=None,
        where=where,
        why="Below a right angle the face is pushed together at the tip and puckers"
        + (f": about {push:.0f} N/m here." if value < RIGHT_ANGLE - 1e-9 else "."),
        change="Make the tip angle 90 deg, or the inner fixing lie further inboard.",
        source=f"derived: two lines for the face and the lower edge; {TRADE}",
    )


def _face_angle(stations: Stations) -> Finding:
    away = np.abs(stations.face_angle - RIGHT_ANGLE / 2.0)
    worst = int(np.argmax(away))
    value = float(stations.face_angle[worst])
    return Finding(
        rule="face-angle",
        title="Slope of the face",
        verdict=grade(value, USUAL_FACES[0] - 1e-9, USUAL_FACES[1] + 1e-9, "warn"),
        value=value,
        unit="rad",
        low=USUAL_FACES[0],
        high=USUAL_FACES[1],
        where=f"{stations.ids[worst]} ({stations.runs[worst].replace('_', ' ')})",
        why="At 45 deg the inner fixing that the face needs lies nearest to the joint.",
        change="Make the face angle 45 deg, or know why not.",
        source=f"{TRADE}; width of the band: our own choice",
    )
