"""The numbers that can be asked for by name: meaning, equation, source, value."""

from __future__ import annotations

import math

from skirtloft.design.units import (
    format_angle,
    format_area,
    format_flow,
    format_power,
    format_pressure,
)
from skirtloft.explain.figures import length_of, weight_of
from skirtloft.explain.rules_of_shape import balance_words
from skirtloft.explain.types import Topic
from skirtloft.pipeline import Skirt
from skirtloft.results import sizes

DERIVED = "derived"
TRADE = "common practice, no source"


def _pressure(skirt: Skirt, i: int) -> str:
    show, first = skirt.design.project.show, skirt.cushions[0]
    return (
        f"{weight_of(skirt, first.mass)} / {format_area(skirt.plan.tip_area, show)}"
        f" = {format_pressure(first.pressure, show)}"
    )


def _area(skirt: Skirt, i: int) -> str:
    show, plan = skirt.design.project.show, skirt.plan
    lost = plan.joint_area - plan.tip_area
    return f"{format_area(plan.joint_area, show)} - {format_area(lost, show)} = {format_area(plan.tip_area, show)}"


def _flow(skirt: Skirt, i: int) -> str:
    show, first = skirt.design.project.show, skirt.cushions[0]
    jet = math.sqrt(2.0 * first.pressure / skirt.air.density)
    area = first.flow / jet
    return f"{format_area(area, show)} x {jet:.1f} m/s = {format_flow(first.flow, show)}"


def _air_power(skirt: Skirt, i: int) -> str:
    show, first = skirt.design.project.show, skirt.cushions[0]
    return (
        f"{format_pressure(first.pressure, show)} x {format_flow(first.flow, show)}"
        f" = {format_power(first.air_power, show)}"
    )


def _loop_length(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    return (
        f"{length_of(skirt, float(s.radius[i]))} x {math.degrees(float(s.angle[i])):.2f} deg x pi / 180"
        f" = {length_of(skirt, float(s.length[i]))}"
    )


def _radius(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    chord = math.hypot(float(s.offset[i]), float(s.rise[i]))
    off = math.sqrt(max(0.0, float(s.radius[i]) ** 2 - chord**2 / 4.0))
    return f"hypot({length_of(skirt, chord)} / 2, {length_of(skirt, off)}) = {length_of(skirt, float(s.radius[i]))}"


def _centre(skirt: Skirt, i: int) -> str:
    return f"{balance_words(skirt, i)} = {length_of(skirt, float(skirt.sections.centre_inset[i]))}"


def _tension(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    pressure = format_pressure(s.pressure, skirt.design.project.show)
    return f"{pressure} x {length_of(skirt, float(s.radius[i]))} = {float(s.tension[i]):.1f} N/m"


def _stiffness(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    relative = float(s.stiffness[i]) / (s.pressure * float(s.depth[i]) ** 2)
    return f"{relative:.3f} x p d^2 = {float(s.stiffness[i]):.1f} N m/rad per metre"


def _quarter(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    return (
        f"{length_of(skirt, float(s.quarter_rule_length[i]))}, against {length_of(skirt, float(s.length[i]))}"
        " with bulge and weight in"
    )


def _tip_square(skirt: Skirt, i: int) -> str:
    s = skirt.sections
    flat = float((s.inboard[i] - s.tip_inboard[i]) ** 2 + (s.depth[i] - s.drop[i]) ** 2)
    mean = float(s.tip_mean_square[i])
    return (
        f"({length_of(skirt, math.sqrt(flat))})^2 at the web, ({length_of(skirt, math.sqrt(mean))})^2 in the mean of"
        " the real tip edge"
    )


def _pitch(skirt: Skirt, i: int) -> str:
    run = next(r for r in skirt.plan.runs if r.end >= float(skirt.plan.stations.at[i]) - 1e-9)
    return f"{length_of(skirt, run.fitted_length)} / {run.segments} segments = {length_of(skirt, run.fitted_pitch)}"


def _angle(skirt: Skirt, i: int) -> str:
    return format_angle(float(skirt.sections.angle[i]))


def _hover(skirt: Skirt, i: int) -> str:
    design = skirt.design
    return (
        f"{length_of(skirt, design.hull.clearance)} + {length_of(skirt, design.air.gap)}"
        f" = {length_of(skirt, sizes(skirt)['hover_height_m'])}"
    )


TOPICS = (
    Topic(
        "pressure",
        "Cushion pressure in the design case",
        "What carries the craft: its weight spread over the area inside the tips. It is the same under the hull, in"
        " the segments and in the loop.",
        "p = m g / S",
        "statics",
        "Pa",
        lambda skirt, i: skirt.cushions[0].pressure,
        _pressure,
    ),
    Topic(
        "cushion-area",
        "Cushion area",
        "The area inside the mean tip line, on the ground; not that inside the hull edge.",
        "S = area inside the joint line - the strip of width delta, delta = d cot t - (pi/8) w / sin t",
        DERIVED,
        "m2",
        lambda skirt, i: skirt.plan.tip_area,
        _area,
    ),
    Topic(
        "escape-flow",
        "Air that escapes under the tips at the wanted gap",
        "What the fan must at least deliver, leaks and losses apart.",
        "Q = sum of Cd h ds x sqrt(2 p / rho)",
        "Cd: contraction of a free jet (von Mises, 1917, from memory) unless air.discharge is given",
        "m3/s",
        lambda skirt, i: skirt.cushions[0].flow,
        _flow,
    ),
    Topic(
        "air-power",
        "Power in the air that escapes",
        "Through the gap only: the engine needs several times this. A screening figure.",
        "P = p Q",
        "definition",
        "W",
        lambda skirt, i: skirt.cushions[0].air_power,
        _air_power,
    ),
    Topic(
        "hover-height",
        "Hull bottom above ground at hover",
        "Clearance and the gap under the tips.",
        "clearance + gap",
        "definition",
        "m",
        lambda skirt, i: sizes(skirt)["hover_height_m"],
        _hover,
    ),
    Topic(
        "overall-width",
        "Width over the inflated loop",
        "What has to go through a gate while it hovers.",
        "2 x (half width of the hull edge + furthest point of the loop outboard of it), at the widest station",
        "closed form",
        "m",
        lambda skirt, i: sizes(skirt)["overall_width_m"],
        lambda skirt, i: length_of(skirt, sizes(skirt)["overall_width_m"]),
    ),
    Topic(
        "pitch",
        "Fitted pitch of the segments",
        "A whole number of segments fills each run, so the pitch of a run is its length over that number.",
        "length of the run along the joint / number of segments",
        "definition",
        "m",
        lambda skirt, i: float(skirt.sections.pitch[i]),
        _pitch,
        by_station=True,
    ),
    Topic(
        "loop-length",
        "Length of the loop cloth from hull edge to joint",
        "How long to cut the loop so that joint and tip stand where they are drawn, bulge of the faces and weight in.",
        "L = R b",
        "closed form: arc of a circle; radius and angle from centre-inset",
        "m",
        lambda skirt, i: float(skirt.sections.length[i]),
        _loop_length,
        by_station=True,
    ),
    Topic(
        "loop-radius",
        "Radius of the loop",
        "The same pressure everywhere inside bends the cloth into an arc of a circle.",
        "R = hypot(c / 2, s), c the chord from hull edge to joint, s from the chord's middle to the centre",
        "Laplace's law for a membrane",
        "m",
        lambda skirt, i: float(skirt.sections.radius[i]),
        _radius,
        by_station=True,
    ),
    Topic(
        "loop-angle",
        "Angle that the loop subtends",
        "More than half a circle on a ballooning side, less on a taut bow.",
        "b = 2 atan2(c / 2, -s)",
        "closed form",
        "rad",
        lambda skirt, i: float(skirt.sections.angle[i]),
        _angle,
        by_station=True,
    ),
    Topic(
        "centre-inset",
        "Loop centre inboard of the joint, a",
        "It sets how strongly the loop lifts the joint: just enough to hold the segment, whose face the pressure pushes"
        " out and whose cloth hangs.",
        "p (J-I).(J-C) = p/2 (|J-I|^2 - <|G-I|^2>) + g m_x; with the fixing level with the joint a = (|J-I|^2 -"
        " <|G-I|^2>) / (2 |J-I|) + weight",
        "derived: balance of moments about the inner fixing",
        "m",
        lambda skirt, i: float(skirt.sections.centre_inset[i]),
        _centre,
        by_station=True,
    ),
    Topic(
        "loop-tension",
        "Tension in the loop cloth",
        "Small against what the cloth stands: tear, rubbing and stitch holes decide, not this.",
        "T = p R",
        "Laplace's law for a membrane",
        "N/m",
        lambda skirt, i: float(skirt.sections.tension[i]),
        _tension,
        by_station=True,
    ),
    Topic(
        "stiffness",
        "Stiffness of the section against turning about the inner fixing",
        "How strongly loop and segment come back after a bump, per metre of joint.",
        "K = p [(J-I) x (E-I) / 2 - kappa c1^2 - s c2] - g m_z",
        "derived: second derivative of the enclosed area at fixed loop length",
        "N m/rad/m",
        lambda skirt, i: float(skirt.sections.stiffness[i]),
        _stiffness,
        by_station=True,
    ),
    Topic(
        "quarter-rule",
        "Loop length by the trade's quarter rule",
        "For a flat face without weight the centre lies a quarter of the joint-to-fixing distance inboard of the"
        " joint. Real faces bulge: a loop cut by it is too short and lifts the joint.",
        "a = |J-I| / 4, L = R b",
        TRADE,
        "m",
        lambda skirt, i: float(skirt.sections.quarter_rule_length[i]),
        _quarter,
        by_station=True,
    ),
    Topic(
        "tip-mean-square",
        "Mean of the squared distance from the tip edge to the inner fixing",
        "How the bulge of the face changes the push on it: a half-round tip reaches further out than the web.",
        "<|G-I|^2> = 2 d^2 + 2 d (pi sqrt2 / 8) w + w^2 / 3 for the usual level segment",
        "derived",
        "m2",
        lambda skirt, i: float(skirt.sections.tip_mean_square[i]),
        _tip_square,
        by_station=True,
    ),
)


def topic_named(name: str) -> Topic | None:
    """Return the topic of a name; None where there is none."""
    return next((topic for topic in TOPICS if topic.name == name), None)
