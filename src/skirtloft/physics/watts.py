"""Where each watt goes: from the engine through drive, fan, losses and leaks to the gap."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air_types import AirState, Ints, LiftSystem, OperatingPoints, frozen_ints
from skirtloft.physics.escape import opening_area
from skirtloft.physics.losses import resistance

WattKind = Literal["drive", "fan", "thrust", "loss", "leak", "gap"]


@dataclass(frozen=True, eq=False)
class Watts:
    """Powers of a batch, line by line.

    Parameters
    ----------
    names : (k,)
    kinds : (k,)
        "drive" and "fan" are lost before the air; "thrust" leaves by a splitter; the rest is lift air.
    power : (k, ...) [W]
    """

    names: tuple[str, ...]
    kinds: tuple[WattKind, ...]
    power: Floats


@dataclass(frozen=True, eq=False)
class LossBudget:
    """The losses of a batch, line by line.

    Parameters
    ----------
    names : (k,)
    flow : (k, ...) [m3/s]  through the line
    drop : (k, ...) [Pa]  of the air that takes this way
    power : (k, ...) [W]
    """

    names: tuple[str, ...]
    flow: Floats
    drop: Floats
    power: Floats


def loss_budget(system: LiftSystem, air: AirState) -> LossBudget:
    """Return flow, drop and power of every loss.

    Notes
    -----
    drop = K rho/2 (share Q/A)^2, power = drop share Q, Q the flow at the line's place.
    """
    at_place = {"intake": air.fan_flow, "supply": air.lift_flow, "feed": air.cushion_flow}
    flows, drops = [], []
    for line in system.losses:
        flow = line.share * at_place[line.place]
        flows.append(flow)
        drops.append(line.factor * 0.5 * system.density * (flow / line.area) ** 2)
    flow, drop = _stack(flows, np.shape(air.fan_flow)), _stack(drops, np.shape(air.fan_flow))
    return LossBudget(tuple(line.name for line in system.losses), flow, drop, frozen_array(flow * drop))


def _stack(rows: list[Floats], shape: tuple[int, ...]) -> Floats:
    if not rows:
        return frozen_array(np.zeros((0, *shape)))
    return frozen_array(np.stack(np.broadcast_arrays(*rows, np.zeros(shape))[:-1]))


def air_watts(system: LiftSystem, air: AirState, gap: npt.ArrayLike) -> Watts:
    """Return where the fan's air power goes: losses, leaks, thrust, and the gap run by run.

    Parameters
    ----------
    air : AirState (...)
    gap : (...) [m]

    Notes
    -----
    Their sum is the fan's air power p_fan Q_fan: at each place pressure times flow is handed on less what is lost.
    Leaks are reckoned with the pressure of their place, the thrust air with what the intake has left of the fan's.
    """
    budget = loss_budget(system, air)
    names: list[str] = list(budget.names)
    kinds: list[WattKind] = ["loss"] * len(names)
    rows: list[Floats] = list(budget.power)
    jet = {"loop": air.loop_pressure, "cushion": air.cushion_pressure}
    for opening in system.leaks:
        pressure = jet[opening.place]
        rows.append(opening.area * opening.discharge * np.sqrt(2.0 * pressure / system.density) * pressure)
        names.append(opening.name)
        kinds.append("leak")
    if np.any(system.lift_share < 1.0):
        rows.append(_thrust(system, air))
        names.append("thrust air")
        kinds.append("thrust")
    speed = np.sqrt(2.0 * air.cushion_pressure / system.density)
    areas = opening_area(system.escape, gap)
    for run, name in enumerate(system.escape.names):
        rows.append(areas[..., run] * speed * air.cushion_pressure)
        names.append(f"gap, {name}")
        kinds.append("gap")
    return Watts(tuple(names), tuple(kinds), _stack(rows, np.shape(air.fan_flow)))


def _thrust(system: LiftSystem, air: AirState) -> Floats:
    lost = resistance(system.losses, "intake", system.density) * air.fan_flow**2
    return (air.fan_pressure - lost) * (1.0 - system.lift_share) * air.fan_flow


def engine_watts(system: LiftSystem, points: OperatingPoints) -> Watts:
    """Return where the engine's lift power goes, drive and fan first.

    Notes
    -----
    The sum is the power into belt or gearbox.
    """
    air = air_watts(system, points.air, points.gap)
    drive = points.engine_power - points.shaft_power
    fan = points.shaft_power - points.air_power
    return Watts(
        ("belt or gearbox", "in the fan", *air.names),
        ("drive", "fan", *air.kinds),
        frozen_array(np.concatenate([np.stack([drive, fan]), air.power])),
    )


@dataclass(frozen=True, eq=False)
class Choke:
    """The narrowest way and the dearest one, (...) each.

    Parameters
    ----------
    area_ratio : (k, ...)
        Area of each line over the area that its flow would leave through at the speed of the escaping jet.
    narrowest : (...) int
        Line with the least area ratio.
    least_ratio : (...)
    dearest : (...) int
        Line that loses most power.
    dearest_share : (...)
        Its part of the fan's air power.
    """

    names: tuple[str, ...]
    area_ratio: Floats
    narrowest: Ints
    least_ratio: Floats
    dearest: Ints
    dearest_share: Floats


WANTED_AREA_RATIO = (2.0, 3.0)  # feed area over effective escape area; common practice, no source


def choke(system: LiftSystem, air: AirState) -> Choke | None:
    """Return which line of the budget chokes the feed, or None where there are no losses.

    Notes
    -----
    The trade asks for 2 to 3 times the effective escape area (Cd L h). Where leaks or thrust take air too, a line's
    flow over the jet speed sqrt(2 p/rho) stands for that area.
    """
    if not system.losses:
        return None
    budget = loss_budget(system, air)
    jet = np.sqrt(2.0 * air.cushion_pressure / system.density)
    areas = np.stack([np.broadcast_to(line.area, np.shape(air.fan_flow)) for line in system.losses])
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = areas * jet / budget.flow
    narrowest, dearest = np.argmin(ratio, axis=0), np.argmax(budget.power, axis=0)
    whole = air.fan_pressure * air.fan_flow
    worst = np.take_along_axis(budget.power, dearest[None], axis=0)[0]
    return Choke(
        budget.names,
        frozen_array(ratio),
        frozen_ints(narrowest),
        frozen_array(np.take_along_axis(ratio, narrowest[None], axis=0)[0]),
        frozen_ints(dearest),
        frozen_array(worst / whole),
    )
