"""How the values of the rules on the cloth in use come about: diaphragm, weight, strength, and the craft at rest."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.design.units import format_areal_mass, format_mass, format_pressure
from skirtloft.explain.figures import length_of
from skirtloft.explain.station import station_of
from skirtloft.explain.types import Working
from skirtloft.pipeline import Skirt
from skirtloft.service.diaphragm import DiaphragmResult


def _diaphragm(skirt: Skirt) -> DiaphragmResult:
    result = skirt.service.diaphragm
    assert result is not None
    return result


def _weight(skirt: Skirt, finding: Finding) -> str:
    show = skirt.design.project.show
    assert finding.low is not None
    assert finding.high is not None
    low, high = format_areal_mass(finding.low, show), format_areal_mass(finding.high, show)
    return f"{format_areal_mass(finding.value, show)} against {low} to {high} ({finding.where})"


def _strength(skirt: Skirt, finding: Finding) -> str:
    pull = next(pull for pull in skirt.service.cloth.pulls if finding.where.startswith(f"{pull.name}, "))
    return f"{pull.strength:.4g} {pull.unit} / ({pull.load:.4g} {pull.unit} x {pull.shock:g}) = {finding.value:.3g}"


def _pinched(skirt: Skirt, finding: Finding) -> str:
    i, sitting = station_of(skirt, finding), skirt.service.rest.sitting
    room, heap = float(sitting.available[i]), float(sitting.heap[i])
    fixing = room - heap - finding.value
    return " - ".join(length_of(skirt, part) for part in (room, heap, fixing)) + f" = {length_of(skirt, finding.value)}"


def _skids(skirt: Skirt, finding: Finding) -> str:
    hull = skirt.design.hull
    clearance, height = length_of(skirt, hull.clearance), length_of(skirt, hull.skids.height)
    return f"{clearance} - {height} = {length_of(skirt, finding.value)}"


def _place(skirt: Skirt, finding: Finding) -> str:
    i, place = station_of(skirt, finding), _diaphragm(skirt).place
    points = place.points
    joint, inner, end = points.joint[i], points.inner[i], place.attachment.point[i]
    if np.isnan(end).any():
        return f"no place on the hull lies below the line from joint to inner fixing, at {finding.where}"
    across, arm = end - joint, inner - joint
    slope = -across[1] / math.hypot(*across)
    angle = math.atan2(arm[0] * across[1] - arm[1] * across[0], arm @ across)
    return (
        f"sine of the slope {length_of(skirt, float(-across[1]))} / {length_of(skirt, math.hypot(*across))}"
        f" = {slope:.3f};"
        f" sine of the angle to the line from joint to inner fixing {abs(math.sin(angle)):.3f};"
        f" the lesser {finding.value:.3f}"
    )


def _beyond_webs(skirt: Skirt, finding: Finding) -> str:
    return f"distance {length_of(skirt, finding.value)}, at {finding.where}"


def _taut(skirt: Skirt, finding: Finding) -> str:
    result = _diaphragm(skirt)
    if not (result.place.asked > 0.0).any():
        return "0, all round"
    i = station_of(skirt, finding)
    long, short = float(result.sized.balance_length[i]), float(skirt.sections.length[i])
    return (
        f"{finding.value:.3f}, of a loop {length_of(skirt, short)} long where {length_of(skirt, long)} would balance;"
        f" least {finding.low:.3f}"
    )


def _margin(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.value:.3f} at {finding.where}"


def _light(skirt: Skirt, finding: Finding) -> str:
    result, show = _diaphragm(skirt), skirt.design.project.show
    i = station_of(skirt, finding)
    pressure = float(result.sized.slack_pressure[i])
    return f"{format_pressure(pressure, show)} x {skirt.plan.tip_area:.4g} m2 / g = {format_mass(finding.value, show)}"


def _vents(skirt: Skirt, finding: Finding) -> str:
    runs = _diaphragm(skirt).runs
    given = sum(run.strips * run.pitch * float(run.holes.area) for run in runs)
    wanted = sum(run.strips * run.pitch * float(run.holes.wanted) for run in runs)
    return f"{given:.4g} m2 / {wanted:.4g} m2 = {finding.value:.3f}"


FACTOR = "strength / (pull in hover x making.shock)"

WORKINGS = {
    "diaphragm-place": Working(
        "the lesser of |u_z| and the sine of the angle between J-I and J-D, u from joint J to the place D, one long",
        _place,
    ),
    "diaphragm-clear-of-webs": Working(
        "distance of D inboard of the line through web corner and inner fixing", _beyond_webs
    ),
    "diaphragm-taut": Working("(J-I).(J-C) / [(|J-I|^2 - <|G-I|^2>) / 2 + g m_x / p] - 1, C the loop's centre", _taut),
    "diaphragm-margin": Working("skirt.diaphragm.margin, or the run's own", _margin),
    "diaphragm-light-load": Working(
        "pressure at which the weight of the cloth takes up the loop's excess, x cushion area / g", _light
    ),
    "diaphragm-vents": Working("area of all vents / area wanted", _vents),
    "cloth-weight-segment": Working("cloth.segment.mass", _weight),
    "cloth-weight-loop": Working("cloth.loop.mass", _weight),
    "cloth-strength": Working(f"{FACTOR}; loop p R, face p w/2", _strength),
    "seam-strength": Working(f"{FACTOR}; stitches per metre x thread x 1.5 (301) or 1.7 (401) x rows", _strength),
    "hole-strength": Working(f"{FACTOR}; pull of one hole p R x hole_pitch", _strength),
    "tear-strength": Working(f"{FACTOR}; pull of one hole p R x hole_pitch", _strength),
    "sitting-pinched": Working("room under the inner fixing - folded cloth - fixing", _pinched),
    "skids-clear": Working("hull.clearance - hull.skids.height", _skids),
}
