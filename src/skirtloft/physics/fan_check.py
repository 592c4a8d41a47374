"""Fan data that no fan can have, each with the reason."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from skirtloft.errors import Problem
from skirtloft.physics.fan import TEST_DENSITY

MOST_PRESSURE = 2.0  # p/(rho u^2): the air leaves the blades at twice tip speed; no blade bends it further
MOST_FLOW = 2.0  # mean speed through the disc over tip speed; our own choice, far above any fan
LEAST_POINTS = 3


@dataclass(frozen=True)
class FanData:
    """A fan as the builder states it.

    Parameters
    ----------
    flow, pressure : (k + 1,) [m3/s], [Pa]
        Tested points; empty where only `free_flow` and `shut_off` are known.
    power : (k + 1,) [W] or empty
    free_flow, shut_off : float [m3/s], [Pa] or None
    speed : float [rad/s]
    diameter : float [m]
    density : float [kg/m3]
    """

    flow: tuple[float, ...] = ()
    pressure: tuple[float, ...] = ()
    power: tuple[float, ...] = ()
    free_flow: float | None = None
    shut_off: float | None = None
    speed: float = 0.0
    diameter: float = 0.0
    density: float = TEST_DENSITY


def fan_problems(fan: FanData, *, sound: float, path: str = "air.fan") -> tuple[Problem, ...]:
    """Return everything about the data that cannot be, or nothing.

    Parameters
    ----------
    sound : float [m/s]
        Speed of sound in the air of the day.
    path : str
        Place of the fan in the design file.

    Notes
    -----
    Refused: too few points; flows out of order; negative pressure; a free-flow figure without a pressure; more air
    power than shaft power; tips at or above the speed of sound; pressure or flow far beyond the tip speed (a slip
    of units).
    """
    problems = list(_shape(fan, path))
    if not problems:
        problems += _values(fan, path)
    return tuple(problems + list(_tips(fan, sound, path)))


def _shape(fan: FanData, path: str) -> Iterator[Problem]:
    """Is there enough, and does it belong together?"""
    if not fan.flow:
        yield from _two(fan, path)
        return
    if len(fan.pressure) != len(fan.flow) or (fan.power and len(fan.power) != len(fan.flow)):
        yield Problem(
            f"{path}.points", f"{len(fan.flow)} flows", "Some points lack a value.", "Every point wants the same keys."
        )
        return
    if max(fan.pressure) <= 0.0:
        yield _free_flow(f"{path}.points", f"{max(fan.flow):g} m3/s at 0 Pa")
    elif len(fan.flow) < LEAST_POINTS:
        yield Problem(
            f"{path}.points",
            f"{len(fan.flow)} points",
            "A curve needs at least three.",
            "Read more from the maker's sheet, or give free_flow and shut_off in place of points.",
        )


def _two(fan: FanData, path: str) -> Iterator[Problem]:
    if fan.free_flow is None and fan.shut_off is None:
        yield Problem(path, "(nothing)", "The fan has no curve.", "Give points, or free_flow and shut_off.")
    elif fan.free_flow is None:
        yield Problem(f"{path}.free_flow", "(nothing)", "Shut-off pressure alone is no curve.", "Give free_flow too.")
    elif fan.shut_off is None or fan.shut_off <= 0.0:
        yield _free_flow(f"{path}.free_flow", f"{fan.free_flow:g} m3/s")
    elif fan.free_flow <= 0.0:
        yield Problem(f"{path}.free_flow", f"{fan.free_flow:g} m3/s", "A fan moves air.", "Give a flow above zero.")


def _free_flow(path: str, given: str) -> Problem:
    return Problem(
        path,
        given,
        "A free-air flow: the fan blows against nothing. Under a craft it works against pressure and moves far less.",
        "Give flow and pressure together, measured at several throttlings, or the shut-off pressure as well.",
    )


def _values(fan: FanData, path: str) -> Iterator[Problem]:
    """Can these points be?"""
    for i, (flow, pressure) in enumerate(zip(fan.flow, fan.pressure, strict=True)):
        place = f"{path}.points[{i}]"
        if flow < 0.0 or (i and flow <= fan.flow[i - 1]):
            yield Problem(
                f"{place}.flow", f"{flow:g} m3/s", "Flows must rise from point to point.", "Sort the points by flow."
            )
        if pressure < 0.0:
            yield Problem(
                f"{place}.pressure",
                f"{pressure:g} Pa",
                "A fan that is blown through is no lift fan.",
                "End the curve at the free flow, where the pressure is 0.",
            )
        if fan.power and pressure * flow > fan.power[i]:
            yield Problem(
                f"{place}.power",
                f"{fan.power[i]:g} W",
                f"More comes out than goes in: the air takes {pressure * flow:g} W here.",
                "Check the units, and whether the pressure belongs to this flow.",
            )
    yield from _beyond_blades(fan, path)


def _beyond_blades(fan: FanData, path: str) -> Iterator[Problem]:
    """Pressure and flow against what blades at this tip speed can do: catches slips of units."""
    tips = fan.speed * fan.diameter / 2.0
    if tips <= 0.0:
        return
    pressure = fan.shut_off if fan.shut_off is not None else max(fan.pressure, default=0.0)
    flow = fan.free_flow if fan.free_flow is not None else max(fan.flow, default=0.0)
    most_pressure = MOST_PRESSURE * fan.density * tips**2
    most_flow = MOST_FLOW * tips * math.pi / 4.0 * fan.diameter**2
    if pressure > most_pressure:
        yield Problem(
            f"{path}.pressure",
            f"{pressure:g} Pa",
            f"Blades with tips at {tips:.3g} m/s cannot give more than {most_pressure:.3g} Pa.",
            "Check the units of pressure, speed and diameter.",
        )
    if flow > most_flow:
        yield Problem(
            f"{path}.flow",
            f"{flow:g} m3/s",
            f"{1000 * fan.diameter:.0f} mm with tips at {tips:.3g} m/s cannot pass more than {most_flow:.3g} m3/s.",
            "Check the units of flow, speed and diameter.",
        )


def _tips(fan: FanData, sound: float, path: str) -> Iterator[Problem]:
    tips = fan.speed * fan.diameter / 2.0
    if tips >= sound:
        fastest = 2.0 * sound / fan.diameter * 60.0 / (2.0 * math.pi)
        yield Problem(
            f"{path}.speed",
            f"{fan.speed * 60.0 / (2.0 * math.pi):.0f} rpm",
            f"The blade tips would run at {tips:.0f} m/s, above the speed of sound ({sound:.0f} m/s).",
            f"Stay below {fastest:.0f} rpm at this diameter; blades of plastic stand half of that.",
        )
