"""Where a load hovers, how steep the fan's curve is there, and what the fan gives the cushion at other flows."""

from __future__ import annotations

import math

import numpy as np

from skirtloft.physics.air_types import OperatingPoints
from skirtloft.physics.fan import fan_pressure, fan_scales
from skirtloft.physics.lift_path import path_of, system_pressure
from skirtloft.pipeline import Skirt
from skirtloft.rides.types import Assumed, Fan, WorkingPoint

LEAST_GAP = 1e-4  # m: below it there is no hover to speak of
_KNOTS = 2001


def working_point(skirt: Skirt, load: int) -> WorkingPoint:
    """Return where a load hovers: at the fan's set speed, else at the wanted gap.

    Notes
    -----
    Steepness of the fan less its losses, dp_cushion/dQ at the lift flow into the loop: `stable_by`, which is per flow
    of the fan, over the share of the flow that lifts.
    """
    match, need = skirt.air.match, skirt.air.need
    assumed: list[Assumed] = []
    if match is not None:
        for points, words in (
            (match.at_speed, ""),
            (match.for_gap, "the fan at its speed has no working point; at the speed that gives the wanted gap"),
        ):
            gap = float(points.gap[load])
            if not int(points.failure[load]) and gap > LEAST_GAP:
                if words:
                    assumed.append(Assumed("working point", words, "air.fan"))
                return _with_fan(skirt, points, load, tuple(assumed))
        assumed.append(Assumed("working point", "no speed of the fan gives it: the wanted gap all the same", "air.fan"))
    tau = skirt.design.bounce.fan_steepness
    if match is None:
        assumed.append(Assumed("gap", "the wanted gap, because no fan is told", "air.fan"))
    assumed.append(Assumed("fan steepness", f"{tau:g}", "air.fan, or bounce.fan_steepness"))
    return WorkingPoint(
        skirt.air.gap, float(need.lift_flow[load]), float(need.gap_flow[load]), tau, None, tuple(assumed)
    )


def _with_fan(skirt: Skirt, points: OperatingPoints, load: int, assumed: tuple[Assumed, ...]) -> WorkingPoint:
    air = points.air
    flow, pressure = float(air.lift_flow[load]), float(air.cushion_pressure[load])
    slope = float(points.stable_by[load]) / float(skirt.air.system.lift_share)
    fan = cushion_curve(skirt, load, float(points.speed[load]))
    return WorkingPoint(float(points.gap[load]), flow, float(air.gap_flow[load]), slope * flow / pressure, fan, assumed)


def cushion_curve(skirt: Skirt, load: int, speed: float) -> Fan:
    """Return the cushion pressure [Pa] that fan less losses keep up at a lift flow [m3/s], read from a fine table.

    Notes
    -----
    Losses and leaks are those at the load's own pressure. Beyond the last tested point the curve goes on with its last
    slope; where air is driven back the losses work the other way, p(0) + R Q^2.
    """
    match, system = skirt.air.match, skirt.air.system
    assert match is not None
    share, mass = float(system.lift_share), float(skirt.air.mass[load])
    scale = float(fan_scales(match.fan, speed, system.density)[0])
    knots = match.fan.pressure.knots
    first, last = (share * scale * float(end) for end in (knots[0], knots[-1]))
    flow = np.linspace(first, last, _KNOTS)
    blown = fan_pressure(match.fan, flow / share, speed, system.density)
    carried = float(skirt.cushions[load].pressure)
    table = np.asarray(blown - system_pressure(system, mass, flow / share) + carried).tolist()
    step = (last - first) / (_KNOTS - 1)
    path = path_of(system)
    back = float(path.feed + path.supply + path.intake / share**2)

    def pressure(q: float) -> float:
        at = (q - first) / step
        if at < 0.0:
            return float(table[0] + back * (q - first) ** 2)
        k = min(int(at), _KNOTS - 2)
        return float(table[k] + (table[k + 1] - table[k]) * (at - k))

    return pressure


def is_stalled(point: WorkingPoint) -> bool:
    """Tell whether the fan, less its losses, gives more pressure at more flow there."""
    return not point.steepness > 0.0 or not math.isfinite(point.steepness)
