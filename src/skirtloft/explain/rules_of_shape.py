"""How the values of the rules on plan, sections and hull come about."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.checks.plan_rules import cushion_centre, hull_width
from skirtloft.design.units import format_angle, format_mass, format_pressure
from skirtloft.explain.figures import length_of
from skirtloft.explain.station import station_of
from skirtloft.explain.types import Working
from skirtloft.pipeline import Skirt
from skirtloft.shape.hull_lines import section_points
from skirtloft.shape.plan import tip_insets_of


def _clearance(skirt: Skirt, finding: Finding) -> str:
    clearance = skirt.design.hull.clearance
    return f"{length_of(skirt, clearance)} / {length_of(skirt, hull_width(skirt.plan))} = {finding.value:.3f}"


def _inner_above_bottom(skirt: Skirt, finding: Finding) -> str:
    i, stations = station_of(skirt, finding), skirt.plan.stations
    parts = (float(stations.depth[i]), float(stations.drop[i]), skirt.design.hull.clearance)
    return " - ".join(length_of(skirt, part) for part in parts) + f" = {length_of(skirt, finding.value)}"


def _tip_inset(run: str) -> Working:
    def filled(skirt: Skirt, finding: Finding) -> str:
        inset = tip_insets_of(skirt.design)[run]
        offset = inset - finding.value
        return f"{length_of(skirt, inset)} - ({length_of(skirt, offset)}) = {length_of(skirt, finding.value)}"

    return Working(
        "mean tip line inboard of the joint, delta, less how far the joint lies outboard of the hull edge, X", filled
    )


def _bow_inset(skirt: Skirt, finding: Finding) -> str:
    return f"-X = {length_of(skirt, finding.value)} at the bow"


def _line_inside(skirt: Skirt, finding: Finding) -> str:
    return f"least distance {length_of(skirt, finding.value)}, at {finding.where}"


def _pitch_fit(skirt: Skirt, finding: Finding) -> str:
    wanted = skirt.design.skirt.pitch
    fitted = wanted * (1.0 + finding.value)
    return f"{length_of(skirt, fitted)} / {length_of(skirt, wanted)} - 1 = {finding.value:+.1%}"


def _proportion(skirt: Skirt, finding: Finding) -> str:
    pitch = skirt.design.skirt.pitch
    return f"{length_of(skirt, finding.value * pitch)} / {length_of(skirt, pitch)} = {finding.value:.2f}"


def _corner_room(skirt: Skirt, finding: Finding) -> str:
    name = finding.where.replace(" ", "_")
    run = next(run for run in skirt.plan.runs if run.name == name or run.name.replace("_", " ") == finding.where)
    inboard = max(run.first.inboard, run.last.inboard)
    turn = math.degrees(run.fitted_length / run.radius / run.segments)
    return (
        f"({length_of(skirt, run.radius)} - {length_of(skirt, inboard)}) x {turn:.2f} deg a segment"
        f" = {length_of(skirt, finding.value)}"
    )


def _webs_shortened(skirt: Skirt, finding: Finding) -> str:
    worst = max(skirt.plan.tight, key=lambda corner: corner.whole - corner.inboard, default=None)
    if worst is None:
        return "every web is whole: 0"
    run = skirt.plan.runs[worst.piece]
    turn, hem = math.degrees(run.fitted_pitch / run.radius), skirt.design.making.hem
    return (
        f"{length_of(skirt, worst.whole)} - ({length_of(skirt, run.radius)} - {length_of(skirt, hem)} / {turn:.2f} deg)"
        f" = {length_of(skirt, finding.value)}"
    )


def _fore_aft(skirt: Skirt, finding: Finding) -> str:
    centre, length, _ = cushion_centre(skirt.plan)
    at = centre + finding.value * length
    return f"({at:.3f} m - {centre:.3f} m) / {length:.3f} m = {finding.value:+.2%}"


def _sideways(skirt: Skirt, finding: Finding) -> str:
    _, _, width = cushion_centre(skirt.plan)
    return f"{length_of(skirt, finding.value * width)} / {length_of(skirt, width)} = {finding.value:+.2%}"


def _first_load(skirt: Skirt, finding: Finding) -> str:
    show, loads = skirt.design.project.show, skirt.design.craft.load
    heaviest = max(load.mass for load in loads)
    return f"{format_mass(heaviest, show)} / {format_mass(loads[0].mass, show)} = {finding.value:.2f}"


def _edge_height(skirt: Skirt, finding: Finding) -> str:
    i = station_of(skirt, finding)
    rise, depth = float(skirt.sections.rise[i]), float(skirt.sections.depth[i])
    return f"{length_of(skirt, rise)} / {length_of(skirt, depth)} = {finding.value:.2f}"


def _stable(skirt: Skirt, finding: Finding) -> str:
    i, sections = station_of(skirt, finding), skirt.sections
    relative = finding.value / (sections.pressure * float(sections.depth[i]) ** 2)
    pressure = format_pressure(sections.pressure, skirt.design.project.show)
    return (
        f"{finding.value:.1f} N m per radian and metre = {relative:.3f} x p d^2"
        f" at p {pressure}, d {length_of(skirt, float(sections.depth[i]))}"
    )


def _upper_edge(skirt: Skirt, finding: Finding) -> str:
    i, s = station_of(skirt, finding), skirt.sections
    centre = np.array([-s.centre_inset[i], s.centre_z[i] - s.depth[i]])
    along = float(np.cos(s.face_angle[i]) * centre[0] + np.sin(s.face_angle[i]) * centre[1])
    half = float(s.depth[i] / np.sin(s.face_angle[i]) / 2.0)
    return f"{length_of(skirt, half)} {_signed(skirt, along)} = {length_of(skirt, finding.value)}"


def _signed(skirt: Skirt, value: float) -> str:
    return f"{'+' if value >= 0.0 else '-'} {length_of(skirt, abs(value))}"


def _overhang(skirt: Skirt, finding: Finding) -> str:
    return f"furthest point of the arc {length_of(skirt, finding.value)} inboard of the hull edge"


def _centre_inset(skirt: Skirt, finding: Finding) -> str:
    i, s = station_of(skirt, finding), skirt.sections
    bulge = balance_words(skirt, i)
    return f"{bulge} = {length_of(skirt, float(s.centre_inset[i]))} at {skirt.plan.stations.ids[i]}"


def balance_words(skirt: Skirt, i: int) -> str:
    """Return the balance of moments for a level fixing in numbers: (|J-I|^2 - <|G-I|^2>)/(2 |J-I|) and the weight."""
    s = skirt.sections
    arm = float(np.hypot(s.inboard[i], s.drop[i]))
    pressure_part = (arm**2 - float(s.tip_mean_square[i])) / (2.0 * arm)
    return (
        f"{length_of(skirt, pressure_part)} from the pressure"
        f" {_signed(skirt, float(s.centre_inset[i]) - pressure_part)} from weight and slope of J to I"
    )


def _fixing_far(skirt: Skirt, finding: Finding) -> str:
    i, s = station_of(skirt, finding), skirt.sections
    inboard = float(s.inboard[i])
    least = inboard / (1.0 + finding.value)
    return f"{length_of(skirt, inboard)} / {length_of(skirt, least)} - 1 = {finding.value:.0%}"


def _tip_angle(skirt: Skirt, finding: Finding) -> str:
    i, s = station_of(skirt, finding), skirt.sections
    points = section_points(s)
    web = np.linalg.norm(points.inner[i] - points.tip[i])
    face = float(s.depth[i] / np.sin(s.face_angle[i]))
    return f"{format_angle(finding.value)}; face {length_of(skirt, face)}, lower edge {length_of(skirt, float(web))}"


def _face_angle(skirt: Skirt, finding: Finding) -> str:
    return format_angle(finding.value)


def _on_line(skirt: Skirt, finding: Finding) -> str:
    return f"{length_of(skirt, finding.value)} at {finding.where}; {finding.why}"


def _bottom(skirt: Skirt, finding: Finding) -> str:
    i = station_of(skirt, finding)
    inner = -float(section_points(skirt.sections).inner[i, 0])
    return f"{length_of(skirt, inner + finding.value)} - {length_of(skirt, inner)} = {length_of(skirt, finding.value)}"


def _breaks(skirt: Skirt, finding: Finding) -> str:
    return f"furthest {length_of(skirt, finding.value)}: {finding.where}"


WORKINGS = {
    "clearance-to-width": Working("clearance / width of the hull at its edge", _clearance),
    "inner-fixing-on-planing-surface": Working(
        "depth - drop of the inner fixing - clearance: its height over the flat of the bottom", _inner_above_bottom
    ),
    "bow-joint-inset": Working("how far the bow's joint line lies inside the hull edge, -X", _bow_inset),
    "side-tip-inset": _tip_inset("side"),
    "stern-tip-inset": _tip_inset("stern"),
    "tip-line-inside": Working(
        "least distance from the mean tip line to the hull edge; the line lies delta = d cot t - (pi/8) w / sin t"
        " inboard of the joint",
        _line_inside,
    ),
    "crown-line-inside": Working(
        "least distance from the line of the crowns to the hull edge; it lies d cot t - w / (2 sin t) inboard of the"
        " joint",
        _line_inside,
    ),
    "station-at-every-break": Working("distance along the hull edge from each break to the next station", _breaks),
    "pitch-fit": Working("fitted pitch / wanted pitch - 1, in the run furthest off", _pitch_fit),
    "depth-to-pitch": Working("depth / pitch", _proportion),
    "corner-inner-room": Working(
        "(corner radius - inner fixing inboard of the joint) x angle of a segment", _corner_room
    ),
    "corner-webs-shortened": Working(
        "inboard distance of a whole web - (radius of the joint line - hem / plan angle of a segment), never below 0",
        _webs_shortened,
    ),
    "balance-fore-aft": Working("(x of the load - x of the cushion's centre) / length of the cushion", _fore_aft),
    "balance-sideways": Working("y of the load / width of the cushion", _sideways),
    "first-load-is-design-case": Working("mass of the heaviest load / mass of the first", _first_load),
    "hull-edge-height": Working("(height of the hull edge - height of the joint) / depth", _edge_height),
    "section-stable": Working(
        "K = p [(J-I) x (E-I) / 2 - kappa c1^2 - s c2] - g m_z: the moment that turns a segment back, per radian",
        _stable,
    ),
    "upper-edge-taut": Working(
        "half the face's length + the loop's centre along the face, from the joint: how far the centre lies on the"
        " joint's side of the face's middle",
        _upper_edge,
    ),
    "loop-over-deck": Working("how far the loop's arc reaches inboard of the hull edge", _overhang),
    "loop-lifts-joint": Working(
        "p (J-I).(J-C) = p/2 (|J-I|^2 - <|G-I|^2>) + g m_x, solved for the loop's centre C: a, how far inboard of J",
        _centre_inset,
    ),
    "inner-fixing-far-enough": Working(
        "inboard distance of the inner fixing / [d / (2 tan t) + (d/2 - drop) tan t] - 1", _fixing_far
    ),
    "tip-angle": Working("angle of the web at the tip, between face and lower edge", _tip_angle),
    "face-angle": Working("slope of the web's face edge to the ground", _face_angle),
    "inner-fixing-on-line": Working("distance from the skirt's inner fixing to the hull's fixing line", _on_line),
    "flat-bottom-inside-fixings": Working(
        "edge of the flat bottom inside the hull edge - inner fixing inside the hull edge", _bottom
    ),
}
