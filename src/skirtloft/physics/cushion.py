"""What a load asks of the cushion and of the lift air."""

from __future__ import annotations

import math
from collections.abc import Sequence

from skirtloft.physics.air import GRAVITY
from skirtloft.physics.types import Cushion


def cushion_pressure(mass: float, area: float) -> float:
    """Return the cushion pressure [Pa] that carries `mass` [kg] on `area` [m2] inside the mean tip line.

    Notes
    -----
    p = m g/S: the whole weight rests on a uniform pressure.

    References
    ----------
    Yun and Bliault, 2000, eq. 2.5.

    Examples
    --------
    >>> round(cushion_pressure(500.0, 8.0), 2)
    612.92
    """
    return mass * GRAVITY / area


def jet_speed(pressure: float, density: float) -> float:
    """Return the loss-free speed [m/s] of air leaving a cushion at `pressure` [Pa] with `density` [kg/m3].

    Notes
    -----
    v = sqrt(2 p/rho).

    References
    ----------
    Bernoulli's equation.
    """
    return math.sqrt(2.0 * pressure / density)


def escape_flow(pressure: float, gap: float, perimeter: float, discharge: float, density: float) -> float:
    """Return the flow that escapes under the tips.

    Parameters
    ----------
    pressure : float [Pa]
    gap : float [m]
        Daylight under the tips, the same all round.
    perimeter : float [m]
        Length of the mean tip line.
    discharge : float
        Cd, on the loss-free jet speed.
    density : float [kg/m3]

    Returns
    -------
    float [m3/s]

    Notes
    -----
    Q = Cd h P sqrt(2 p/rho).

    References
    ----------
    Yun and Bliault, 2000, eq. 2.8.
    """
    return discharge * gap * perimeter * jet_speed(pressure, density)


def air_power(pressure: float, flow: float) -> float:
    """Return pressure [Pa] times flow [m3/s] in watts: the power that leaves through the gap and nothing else."""
    return pressure * flow


def engine_power(
    gap_power: float, *, fan_efficiency: float, drive_efficiency: float, losses: float, reserve: float
) -> float:
    """Return a screening figure for the engine's lift power [W].

    Parameters
    ----------
    gap_power : float [W]
        Pressure times flow through the gap only.
    fan_efficiency, drive_efficiency : float
        Shares of the power that get through fan and belt or gearbox.
    losses : float
        Fan pressure over cushion pressure.
    reserve : float
        Engine power over the power needed on calm, smooth ground.

    Notes
    -----
    P = p Q losses reserve/(fan_efficiency drive_efficiency). For choosing an engine class, not for matching a fan.

    References
    ----------
    Structure: Yun and Bliault, 2000, eq. 2.4. Factors: common practice, no source.
    """
    return gap_power * losses * reserve / (fan_efficiency * drive_efficiency)


def support(
    loads: Sequence[tuple[str, float]],
    *,
    area: float,
    perimeter: float,
    gap: float,
    discharge: float,
    density: float,
    fan_efficiency: float,
    drive_efficiency: float,
    losses: float,
    reserve: float,
) -> tuple[Cushion, ...]:
    """Return pressure, escape flow and power for each load, in the order given.

    Parameters
    ----------
    loads : sequence of (name, mass [kg])
    area, perimeter : float [m2], [m]
        Inside and along the mean tip line.
    gap, discharge, density : float
        See `escape_flow`.
    fan_efficiency, drive_efficiency, losses, reserve : float
        See `engine_power`.
    """
    cushions = []
    for name, mass in loads:
        pressure = cushion_pressure(mass, area)
        flow = escape_flow(pressure, gap, perimeter, discharge, density)
        through_gap = air_power(pressure, flow)
        engine = engine_power(
            through_gap,
            fan_efficiency=fan_efficiency,
            drive_efficiency=drive_efficiency,
            losses=losses,
            reserve=reserve,
        )
        cushions.append(Cushion(name, mass, pressure, flow, through_gap, engine))
    return tuple(cushions)
