"""Air: its density, and how far the jet under the tips contracts."""

from __future__ import annotations

import math

# ISO 2533:1975, Standard atmosphere: sea level, gas constant of dry air, lapse rate of the troposphere, gravity.
SEA_LEVEL_TEMPERATURE = 288.15  # K
SEA_LEVEL_PRESSURE = 101325.0  # Pa
GAS_CONSTANT = 287.05287  # J/(kg K)
LAPSE_RATE = 0.0065  # K/m
GRAVITY = 9.80665  # m/s2


def standard_temperature(altitude: float) -> float:
    """Return the temperature of the standard atmosphere [K] at `altitude` [m], up to 11 km.

    References
    ----------
    ISO 2533:1975.
    """
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude


def standard_pressure(altitude: float) -> float:
    """Return the pressure of the standard atmosphere [Pa] at `altitude` [m], up to 11 km.

    Notes
    -----
    p = p0 (T/T0)^(g/(R L)).

    References
    ----------
    ISO 2533:1975.
    """
    ratio = standard_temperature(altitude) / SEA_LEVEL_TEMPERATURE
    return float(SEA_LEVEL_PRESSURE * ratio ** (GRAVITY / (GAS_CONSTANT * LAPSE_RATE)))


def air_density(altitude: float, temperature: float | None = None) -> float:
    """Return the density of dry air.

    Parameters
    ----------
    altitude : float [m]
        Geopotential altitude above sea level, up to 11 km; it sets the pressure.
    temperature : float [K], optional
        Actual temperature there; without it, that of the standard atmosphere.

    Returns
    -------
    float [kg/m3]

    Notes
    -----
    rho = p/(R T), p from the standard atmosphere at that altitude. Humidity is left out (under 2 % at 35 degC).

    References
    ----------
    ISO 2533:1975.

    Examples
    --------
    >>> round(air_density(0.0), 5), round(air_density(0.0, 293.15), 4)
    (1.225, 1.2041)
    """
    kelvin = standard_temperature(altitude) if temperature is None else temperature
    return standard_pressure(altitude) / (GAS_CONSTANT * kelvin)


def contraction_coefficient(face_angle: float) -> float:
    """Return the contraction of the jet under a tip: thickness of the jet far out over height of the gap.

    Parameters
    ----------
    face_angle : float [rad]
        Slope of the face, rising outboard, from the ground: 0 to pi (pi/2 upright).

    Returns
    -------
    float
        Used as discharge coefficient on the loss-free jet speed; between 0.5 (face angle 0) and 1 (pi).

    Notes
    -----
    Plane free-streamline flow out of an infinite reservoir, the ground as plane of symmetry; the wall meets the jet
    at beta = pi - face_angle. 1/Cc = 2 - (2/pi) sin(beta) [bf(beta/pi) - pi/(2 beta)],
    bf(x) = [psi((x+1)/2) - psi(x/2)]/2, psi = digamma. Here bf(x) = 1/x - bf(1 + x) is put in, which leaves no
    singular term at beta = 0.

    References
    ----------
    Derived from the classical theory (Helmholtz; von Mises, 1917); exact cases pi/(pi + 2) at 90 deg, 1/2 at 180 deg.

    Examples
    --------
    >>> round(contraction_coefficient(math.radians(45.0)), 6)
    0.537286
    """
    from scipy.special import digamma

    beta = math.pi - face_angle
    x = beta / math.pi
    beta_function = 0.5 * float(digamma(1.0 + x / 2.0) - digamma((1.0 + x) / 2.0))  # bf(1 + x)
    sine_over_x = math.pi if beta == 0.0 else math.sin(beta) / x
    return 1.0 / (2.0 - (2.0 / math.pi) * (sine_over_x / 2.0 - math.sin(beta) * beta_function))
