"""Fans: curves through tested points, carried to other speeds, sizes and densities."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import Cubics, cubic_slopes, cubic_values, monotone_cubics, scaled_cubics, split_last_piece
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GAS_CONSTANT

TEST_DENSITY = 1.2  # kg/m3, standard air of fan catalogues; ISO 5801, from memory
PLASTIC_TIP_SPEED = 167.0  # m/s: moulded blades, middle of 165 to 170; common practice, no source
QUIET_TIP_SPEED = 115.0  # m/s: middle of 100 to 130; common practice, no source
HEAT_RATIO = 1.4  # of air, ISO 2533:1975


@dataclass(frozen=True, eq=False)
class Fan:
    """A fan as tested; one, or many side by side (...).

    Parameters
    ----------
    pressure : Cubics
        Total pressure rise [Pa] over flow [m3/s].
    power : Cubics or None
        Shaft power [W] over flow, on the same knots.
    speed : (...) [rad/s]
    diameter : (...) [m]
    density : (...) [kg/m3]
        Of the air in the test.
    efficiency : (...)
        Air power over shaft power; used where `power` is None.
    estimated : bool
        The curve is a parabola through free flow and shut-off pressure: real fans differ, and may stall.
    """

    pressure: Cubics
    power: Cubics | None
    speed: Floats
    diameter: Floats
    density: Floats
    efficiency: Floats
    estimated: bool


def fan_from_points(
    flow: npt.ArrayLike,
    pressure: npt.ArrayLike,
    *,
    speed: float,
    diameter: float,
    power: npt.ArrayLike | None = None,
    efficiency: float = 0.5,
    density: float = TEST_DENSITY,
) -> Fan:
    """Return a fan through tested points.

    Parameters
    ----------
    flow, pressure : (k + 1,) [m3/s], [Pa]
        Flow increasing; total pressure (see `total_from_static`). `fan_check.fan_problems` says what is wrong with
        points that no fan can have.
    speed : float [rad/s]
    diameter : float [m]
    power : (k + 1,) [W], optional
        Shaft power.
    efficiency : float
        Used without `power`. 0.4 to 0.65 is usual for light lift fans: common practice, no source.
    density : float [kg/m3]
    """
    return Fan(
        monotone_cubics(flow, pressure),
        None if power is None else monotone_cubics(flow, power),
        frozen_array(speed),
        frozen_array(diameter),
        frozen_array(density),
        frozen_array(efficiency),
        estimated=False,
    )


def fan_from_two(
    free_flow: float,
    shut_off: float,
    *,
    speed: float,
    diameter: float,
    efficiency: float = 0.5,
    density: float = TEST_DENSITY,
) -> Fan:
    """Return a fan of which only free flow [m3/s] and shut-off pressure [Pa] are known, and mark it as estimated.

    Notes
    -----
    p = p0 (1 - (Q/Qf)^2). It only falls, so it says nothing about stall.

    References
    ----------
    Common practice, no source.
    """
    curve = Cubics(frozen_array([0.0, free_flow]), frozen_array([[shut_off, 0.0, -shut_off / free_flow**2, 0.0]]))
    return Fan(
        curve,
        None,
        frozen_array(speed),
        frozen_array(diameter),
        frozen_array(density),
        frozen_array(efficiency),
        estimated=True,
    )


def total_from_static(
    flow: npt.ArrayLike, static: npt.ArrayLike, outlet_area: npt.ArrayLike, density: npt.ArrayLike = TEST_DENSITY
) -> Floats:
    """Return total pressure [Pa] from static pressure [Pa]: p + rho/2 (Q/A)^2, A [m2] the fan's outlet."""
    speed = np.asarray(flow, dtype=np.float64) / np.asarray(outlet_area, dtype=np.float64)
    return np.asarray(static, dtype=np.float64) + 0.5 * np.asarray(density) * speed**2


def affinity(
    speed_ratio: npt.ArrayLike, diameter_ratio: npt.ArrayLike = 1.0, density_ratio: npt.ArrayLike = 1.0
) -> tuple[Floats, Floats, Floats]:
    """Return the factors on flow, pressure and power of similar fans at the same point of their curve.

    Notes
    -----
    Q ~ n D^3, p ~ rho n^2 D^2, P ~ rho n^3 D^5; the small gain of larger, faster fans (Reynolds number) is left out.

    References
    ----------
    Fan laws, standard.

    Examples
    --------
    >>> [round(float(factor), 3) for factor in affinity(0.8)]
    [0.8, 0.64, 0.512]
    """
    n, d = np.asarray(speed_ratio, dtype=np.float64), np.asarray(diameter_ratio, dtype=np.float64)
    rho = np.asarray(density_ratio, dtype=np.float64)
    return n * d**3, rho * n**2 * d**2, rho * n**3 * d**5


def resized(fan: Fan, diameter: npt.ArrayLike) -> Fan:
    """Return similar fans of other diameters (...) [m], as they would test at the same speed and density."""
    size = np.asarray(diameter, dtype=np.float64)
    flow, pressure, power = affinity(1.0, size / fan.diameter)
    return Fan(
        scaled_cubics(fan.pressure, flow, pressure),
        None if fan.power is None else scaled_cubics(fan.power, flow, power),
        fan.speed,
        frozen_array(size),
        fan.density,
        fan.efficiency,
        fan.estimated,
    )


def stacked(fans: Sequence[Fan]) -> Fan:
    """Return single fans side by side as one batch (n,).

    Notes
    -----
    Curves with fewer points get their last piece halved, which does not change them. A fan without shaft powers in a
    mixed batch gets those of its efficiency: P = p Q/efficiency, which is zero at no flow.
    """
    pieces = max(len(fan.pressure.coefficients) for fan in fans)
    powers = None if all(fan.power is None for fan in fans) else [_power_curve(fan) for fan in fans]
    return Fan(
        _side_by_side([fan.pressure for fan in fans], pieces),
        None if powers is None else _side_by_side(powers, pieces),
        frozen_array([fan.speed for fan in fans]),
        frozen_array([fan.diameter for fan in fans]),
        frozen_array([fan.density for fan in fans]),
        frozen_array([fan.efficiency for fan in fans]),
        any(fan.estimated for fan in fans),
    )


def _power_curve(fan: Fan) -> Cubics:
    if fan.power is not None:
        return fan.power
    knots = fan.pressure.knots
    return monotone_cubics(knots, knots * cubic_values(fan.pressure, knots) / fan.efficiency)


def _side_by_side(curves: Sequence[Cubics], pieces: int) -> Cubics:
    split = [split_last_piece(curve, pieces) for curve in curves]
    return Cubics(frozen_array([curve.knots for curve in split]), frozen_array([curve.coefficients for curve in split]))


def fan_scales(fan: Fan, speed: npt.ArrayLike, density: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Return the factors on flow, pressure and power from the test to `speed` [rad/s] and `density` [kg/m3]."""
    return affinity(np.asarray(speed) / fan.speed, 1.0, np.asarray(density) / fan.density)


def fan_pressure(fan: Fan, flow: npt.ArrayLike, speed: npt.ArrayLike, density: npt.ArrayLike) -> Floats:
    """Return the total pressure [Pa] at flow [m3/s], speed [rad/s] and density [kg/m3]; nan off the curve's ends."""
    q, p, _ = fan_scales(fan, speed, density)
    return p * cubic_values(fan.pressure, np.asarray(flow) / q)


def fan_slope(fan: Fan, flow: npt.ArrayLike, speed: npt.ArrayLike, density: npt.ArrayLike) -> Floats:
    """Return the slope of pressure over flow [Pa s/m3]; above zero the fan is stalled there."""
    q, p, _ = fan_scales(fan, speed, density)
    return p / q * cubic_slopes(fan.pressure, np.asarray(flow) / q)


def shaft_power(fan: Fan, flow: npt.ArrayLike, speed: npt.ArrayLike, density: npt.ArrayLike) -> Floats:
    """Return the power into the fan [W]: from its curve, or air power over its efficiency."""
    q, _, power = fan_scales(fan, speed, density)
    if fan.power is not None:
        return power * cubic_values(fan.power, np.asarray(flow) / q)
    return np.asarray(fan_pressure(fan, flow, speed, density) * np.asarray(flow) / fan.efficiency)


def stall_flow(fan: Fan) -> Floats:
    """Return the tested flow (...) [m3/s] below which the curve somewhere rises with flow; 0 where it only falls.

    Notes
    -----
    The curve is monotone between knots, so stall ends at the knot after the last rising piece.
    """
    knots = fan.pressure.knots
    values = _knot_values(fan)
    rising = np.diff(values) > 0.0
    last = rising.shape[-1] - np.argmax(rising[..., ::-1], axis=-1)
    end = np.take_along_axis(knots, np.asarray(last)[..., None], axis=-1)[..., 0]
    return np.where(rising.any(axis=-1), end, 0.0)


def highest_pressure(fan: Fan) -> Floats:
    """Return the highest tested total pressure (...) [Pa]."""
    highest: Floats = _knot_values(fan).max(axis=-1)
    return highest


def _knot_values(fan: Fan) -> Floats:
    first = fan.pressure.coefficients[..., 0]
    step = fan.pressure.knots[..., -1] - fan.pressure.knots[..., -2]
    c = fan.pressure.coefficients[..., -1, :]
    end = c[..., 0] + step * (c[..., 1] + step * (c[..., 2] + step * c[..., 3]))
    return np.concatenate([first, end[..., None]], axis=-1)


def tip_speed(diameter: npt.ArrayLike, speed: npt.ArrayLike) -> Floats:
    """Return the speed of the blade tips [m/s] from diameter [m] and speed [rad/s]."""
    return np.asarray(diameter, dtype=np.float64) * np.asarray(speed, dtype=np.float64) / 2.0


def sound_speed(temperature: float) -> float:
    """Return the speed of sound [m/s] in dry air of `temperature` [K]: sqrt(1.4 R T), ISO 2533:1975."""
    return math.sqrt(HEAT_RATIO * GAS_CONSTANT * temperature)
