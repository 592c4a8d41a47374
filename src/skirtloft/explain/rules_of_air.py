"""How the values of the rules on pressure, fan and feed come about."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.checks.finding import Finding
from skirtloft.design.units import (
    format_area,
    format_duration,
    format_flow,
    format_length,
    format_power,
    format_pressure,
)
from skirtloft.explain.figures import weight_of
from skirtloft.explain.types import Working
from skirtloft.lift.types import FanMatch
from skirtloft.pipeline import Skirt


def load_of(skirt: Skirt, finding: Finding) -> int:
    """Return the index of the load that a finding names; 0 where it names none."""
    for i, load in enumerate(skirt.design.craft.load):
        if finding.where.endswith(f"load {load.name!r}"):
            return i
    return 0


def _match(skirt: Skirt) -> FanMatch:
    assert skirt.air.match is not None  # rules on the fan are there only with one
    return skirt.air.match


def _pressure(skirt: Skirt, finding: Finding) -> str:
    show, i = skirt.design.project.show, load_of(skirt, finding)
    return (
        f"{weight_of(skirt, skirt.cushions[i].mass)} / {format_area(skirt.plan.tip_area, show)}"
        f" = {format_pressure(finding.value, show)}"
    )


def _feed(skirt: Skirt, finding: Finding) -> str:
    show, i, choke = skirt.design.project.show, load_of(skirt, finding), skirt.air.choke
    assert choke is not None
    line = skirt.air.system.losses[int(choke.narrowest[i])]
    area = float(line.area)
    return f"{line.name}: {format_area(area, show)} / {format_area(area / finding.value, show)} = {finding.value:.2f}"


def _surplus(skirt: Skirt, finding: Finding) -> str:
    return f"{format_pressure(finding.value, skirt.design.project.show)}, highest over the curve"


def _pascal(skirt: Skirt, finding: Finding) -> str:
    return f"{format_pressure(finding.value, skirt.design.project.show)} with {finding.where}"


def _flow(skirt: Skirt, finding: Finding) -> str:
    return f"{format_flow(finding.value, skirt.design.project.show)} with {finding.where}"


def _gap(skirt: Skirt, finding: Finding) -> str:
    show, i, at = skirt.design.project.show, load_of(skirt, finding), _match(skirt).at_speed
    return (
        f"fan {format_pressure(float(at.air.fan_pressure[i]), show)}"
        f" at {format_flow(float(at.air.fan_flow[i]), show)}, of which"
        f" {format_flow(float(at.air.gap_flow[i]), show)} leave under the tips:"
        f" a gap of {format_length(finding.value, show)}"
    )


def _stall(skirt: Skirt, finding: Finding) -> str:
    show, i = skirt.design.project.show, load_of(skirt, finding)
    flow = float(_match(skirt).at_speed.air.fan_flow[i])
    return (
        f"{format_flow(flow, show)} / {format_flow(flow / (1.0 + finding.value), show)} - 1 = {finding.value:.0%}"
        if math.isfinite(finding.value)
        else "the curve has no rising part: no stall is known"
    )


def _slope(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.value:.0f} Pa per m3/s with {finding.where}"


def _count(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.value:.0f} with {finding.where}"


def _tips(skirt: Skirt, finding: Finding) -> str:
    fan = skirt.design.air.fan
    assert fan is not None
    speed = 2.0 * finding.value / fan.diameter
    return (
        f"{speed * 30.0 / math.pi:.0f} rpm x pi / 30 x {format_length(fan.diameter, skirt.design.project.show)} / 2"
        f" = {finding.value:.0f} m/s"
    )


def _segments(skirt: Skirt, finding: Finding) -> str:
    lost = _match(skirt).segments_lost
    return f"{lost.may_be_lost} segments, each {format_length(skirt.air.pitch, skirt.design.project.show)} wide"


def _engine(skirt: Skirt, finding: Finding) -> str:
    show, installed = skirt.design.project.show, skirt.design.air.engine_power
    assert installed is not None
    needed = installed / finding.value if finding.value > 0.0 else math.nan
    return f"{format_power(installed, show)} / {format_power(needed, show)} = {finding.value:.2f}"


def _electric_power(skirt: Skirt, finding: Finding) -> str:
    show, electric = skirt.design.project.show, _match(skirt).electric
    assert electric is not None
    most = float(np.broadcast_to(electric.most_power, len(skirt.cushions))[load_of(skirt, finding)])
    asked = most / finding.value if finding.value > 0.0 else math.nan
    return f"{format_power(most, show)} / {format_power(asked, show)} = {finding.value:.2f}"


def _lasts(skirt: Skirt, finding: Finding) -> str:
    return f"{format_duration(finding.value)} with {finding.where}"


def _told(skirt: Skirt, finding: Finding) -> str:
    return f"{finding.value:.0f}"


WORKINGS = {
    "pressure-range": Working("m g / area inside the mean tip line", _pressure),
    "feed-choked": Working(
        "narrowest passage / effective escape area under the tips (discharge x gap x length)", _feed
    ),
    "fan-carries-load": Working(
        "most that fan pressure exceeds cushion pressure and losses by, over the whole curve", _surplus
    ),
    "fan-on-curve": Working(
        "fan pressure less what is asked, at the end of the curve that the point lies beyond", _pascal
    ),
    "fan-leaks": Working("flow of the fan - flow through the fixed leaks", _flow),
    "fan-gap": Working(
        "fan pressure - losses = cushion pressure; fan flow = leaks + Cd h length sqrt(2 p / rho)", _gap
    ),
    "fan-stall": Working("flow at the point / flow where the curve stops rising - 1", _stall),
    "fan-stable": Working("slope of the system's curve - slope of the fan's, at the wanted gap", _slope),
    "fan-one-point": Working("meetings of the fan's curve with the system's", _count),
    "fan-tip-speed": Working("angular speed x diameter / 2, as the file sets the speed", _tips),
    "fan-tip-speed-at-gap": Working("angular speed x diameter / 2, at the speed that the wanted gap asks for", _tips),
    "fan-estimated": Working("points known of the curve", _told),
    "segments-spare": Working(
        "most segments open, each pitch x depth x 0.8, with which the fan still holds the least gap", _segments
    ),
    "losses-told": Working("loss lines in the file", _told),
    "engine-power": Working("power installed / power into belt or gearbox at the wanted gap", _engine),
    "gets-up-from-water": Working(
        "fan's shut-off pressure - the greater of water over the feed holes and cushion pressure", _pascal
    ),
    "battery-can-give": Working("V^2 / (4 R) / power drawn at the wanted gap", _electric_power),
    "battery-lasts": Working("usable energy / power drawn at the wanted gap", _lasts),
}
