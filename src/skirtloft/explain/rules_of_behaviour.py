"""How the values of the rules on the sections' behaviour come about: wet cloth, force line, taut limit, other loads."""

from __future__ import annotations

import numpy as np

from skirtloft.checks.behaviour_rules import SINK, WET
from skirtloft.checks.finding import Finding
from skirtloft.design.units import format_angle, format_pressure
from skirtloft.explain.figures import length_of
from skirtloft.explain.rules_of_air import load_of
from skirtloft.explain.station import station_of
from skirtloft.explain.types import Working
from skirtloft.physics.air import GRAVITY
from skirtloft.pieces.corner_cloth import BEYOND
from skirtloft.pipeline import Skirt


def _wet(skirt: Skirt, finding: Finding) -> str:
    i, sections = station_of(skirt, finding), skirt.statics
    moment = float(sections.weight_moment[i])
    reach = float(sections.shape.tip[i, 0] - sections.shape.inner[i, 0])
    gap = skirt.design.air.gap
    wanted = WET * GRAVITY * moment * reach / (SINK * gap)
    return (
        f"{WET:g} x {GRAVITY:g} m/s2 x {moment:.4f} kg m/m x {length_of(skirt, reach)}"
        f" / ({SINK:g} x {length_of(skirt, gap)}) = {wanted:.0f}, against K = {finding.value:.0f} N m/rad per metre"
    )


def _force_line(skirt: Skirt, finding: Finding) -> str:
    i, line = station_of(skirt, finding), skirt.behaviour.force_line
    least, inboard = float(line.least_inboard_bulged[i]), float(skirt.sections.inboard[i])
    return f"{length_of(skirt, inboard)} / {length_of(skirt, least)} - 1 = {finding.value:.1%}"


def _upper_edge(skirt: Skirt, finding: Finding) -> str:
    i, shape = station_of(skirt, finding), skirt.statics.shape
    centre = skirt.statics.centre[i]
    to_joint = float(np.linalg.norm(centre - shape.joint[i]))
    to_tip = float(np.linalg.norm(centre - shape.tip[i]))
    return (
        f"loop centre to joint {length_of(skirt, to_joint)}, to tip {length_of(skirt, to_tip)}:"
        f" margin {finding.value:.1%} of the face's half length"
    )


def _bow_taut(skirt: Skirt, finding: Finding) -> str:
    i, taut = station_of(skirt, finding), skirt.behaviour.taut
    joint = skirt.behaviour.taut_joint[i, 0]
    chord = float(np.linalg.norm(joint - skirt.statics.hull_edge[i]))
    loop = length_of(skirt, float(skirt.sections.length[i]))
    if not np.isfinite(taut.turn[i, 0]):
        return f"the loop of {loop} never goes straight"
    return (
        f"hull edge to joint {length_of(skirt, chord)} = loop length {loop} after a turn of"
        f" {format_angle(finding.value)}, tip down"
    )


def _rests(skirt: Skirt, finding: Finding) -> str:
    count = skirt.behaviour.rests.turn.size
    return f"{finding.value:.0f} of {count} cases (stations x loads) have no rest"


def _joint(skirt: Skirt, finding: Finding) -> str:
    show, load = skirt.design.project.show, load_of(skirt, finding)
    first, other = skirt.cushions[0].pressure, skirt.cushions[load].pressure
    return (
        f"at {format_pressure(other, show)} in place of {format_pressure(first, show)} the joint at {finding.where}"
        f" stands {length_of(skirt, abs(finding.value))} {'higher' if finding.value >= 0.0 else 'lower'}"
    )


def _level(skirt: Skirt, finding: Finding) -> str:
    rise = skirt.behaviour.rests.tip_line_rise[load_of(skirt, finding)]
    return (
        f"{length_of(skirt, float(np.nanmax(rise)))} - ({length_of(skirt, float(np.nanmin(rise)))})"
        f" = {length_of(skirt, finding.value)}"
    )


def _corner(skirt: Skirt, finding: Finding) -> str:
    cloth = skirt.corner_cloth
    return (
        f"cut {length_of(skirt, cloth.cut)}, wanted {length_of(skirt, cloth.difference)} + {length_of(skirt, BEYOND)},"
        f" up to a whole millimetre = {length_of(skirt, cloth.wanted)}"
    )


WORKINGS = {
    "stiff-for-wet-cloth": Working(
        "wanted K: 0.5 g m_x l / (0.5 gap), m_x the cloth's moment about the inner fixing, l from there to the tip",
        _wet,
    ),
    "force-line-margin": Working(
        "inboard distance of the inner fixing / the least at which the force on the bulged face passes through it - 1",
        _force_line,
    ),
    "upper-edge-margin": Working(
        "how far the loop's centre lies on the joint's side of the face's middle, over half the face", _upper_edge
    ),
    "bow-taut-limit": Working("turn at which the distance from hull edge to joint is the loop's length", _bow_taut),
    "rests-under-every-load": Working("cases in which the restoring moment of the same cloth has no zero", _rests),
    "joint-under-loads": Working("height of the joint of the same cloth at the other load's pressure - depth", _joint),
    "tips-level-under-loads": Working("highest - lowest mean tip line of all stations under one load", _level),
    "corner-hull-edge": Working("wanted: largest difference of a corner's loop by another rule + 20 mm", _corner),
}
