"""Heave on a skirt that does not move: the cubic, the quartic with the air in the duct, and the least stable gap.

This is also the skirt that a taut diaphragm locks. What makes it heave is the spring of the cushion's own air: its cure
is a larger gap, a steeper fan or less volume, not a diaphragm.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import SEA_LEVEL_PRESSURE
from skirtloft.physics.bounce.hover import compliance, hover_flow, run_flow
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, Modes, SkirtRuns

_POLISH = 2  # Newton steps on every root


def cubic_heave(
    mass: npt.ArrayLike,
    area: npt.ArrayLike,
    compliance: npt.ArrayLike,
    flow_per_pressure: npt.ArrayLike,
    flow_per_gap: npt.ArrayLike,
) -> Floats:
    """Return the coefficients (..., 4), highest power first, of heave on a rigid skirt without inertia in the duct.

    Parameters
    ----------
    mass, area : (...) [kg], [m2]
    compliance : (...) [m3/Pa]
        C = V/(gamma (pa + p)).
    flow_per_pressure : (...) [m3/s/Pa]
        G = Q/(2 p) - dQ_fan/dp: escape and fan.
    flow_per_gap : (...) [m2/s]
        H = dQ/dh.

    Notes
    -----
    m C s^3 + m G s^2 + S^2 s + S H = 0.

    References
    ----------
    Derived; for the form compare Sowayan and AlSaif, Lat. Am. J. Solids Struct. 10 (2013) 725.
    """
    m, s, c, g, h = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (mass, area, compliance, flow_per_pressure, flow_per_gap))
    )
    return np.stack([m * c, m * g, s * s, s * h], axis=-1)


def modes_of(coefficients: npt.ArrayLike) -> Modes:
    """Return the roots of polynomials (..., k + 1), highest power first, and the one that grows most."""
    c = np.asarray(coefficients, dtype=np.float64)
    degree = c.shape[-1] - 1
    companion = np.zeros((*c.shape[:-1], degree, degree))
    companion[..., 0, :] = -c[..., 1:] / c[..., :1]
    companion[..., np.arange(1, degree), np.arange(degree - 1)] = 1.0
    roots = np.linalg.eigvals(companion).astype(np.complex128)
    for _ in range(_POLISH):
        value, slope = _horner(c, roots)
        roots = roots - np.divide(value, slope, out=np.zeros_like(value), where=slope != 0.0)
    return leading_mode(roots)


def _horner(c: Floats, at: npt.NDArray[np.complex128]) -> tuple[npt.NDArray[np.complex128], ...]:
    """Return value and slope of the polynomials at `at` (..., k)."""
    value, slope = np.zeros_like(at), np.zeros_like(at)
    for k in range(c.shape[-1]):
        slope = slope * at + value
        value = value * at + c[..., k, None]
    return value, slope


def leading_mode(roots: npt.NDArray[np.complex128]) -> Modes:
    """Return the record of roots (..., k) with growth, frequency and damping of the rightmost."""
    lead = np.take_along_axis(roots, np.argmax(roots.real, axis=-1)[..., None], axis=-1)[..., 0]
    size = np.abs(lead)
    damping = np.divide(-lead.real, size, out=np.zeros_like(size), where=size > 0.0)
    kept = np.array(roots)
    kept.setflags(write=False)
    return Modes(kept, frozen_array(lead.real), frozen_array(np.abs(lead.imag)), frozen_array(damping))


def locked_polynomial(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return the quartic (..., 5), highest power first, of heave with the segments locked, air in the duct in.

    Notes
    -----
    m C If s^4 + m (C Rf + Ge If) s^3 + [m (Ge Rf + 1) + S^2 If] s^2 + (S^2 Rf + S H If) s + S H Rf, Ge = Q0/(2 p0),
    Rf = tau p0/Q0. Without inertance the first coefficient is 0: use `locked_modes`, which divides by Rf there.

    References
    ----------
    Derived.
    """
    m, s, i = craft.mass, craft.area, craft.inertance
    flow = hover_flow(craft, runs)
    c, out, rf = compliance(craft), flow / (2.0 * craft.pressure), craft.steepness * craft.pressure / flow
    h = run_flow(craft, runs)[1].sum(axis=-1)
    terms = (m * c * i, m * (c * rf + out * i), m * (out * rf + 1.0) + s**2 * i, s**2 * rf + s * h * i, s * h * rf)
    return np.stack(np.broadcast_arrays(*terms), axis=-1)


def locked_modes(craft: HeaveCraft, runs: SkirtRuns) -> Modes:
    """Return the roots (..., 4) of heave with the segments locked; needs inertance above 0 in all states."""
    return modes_of(locked_polynomial(craft, runs))


def least_stable_gap(
    volume: npt.ArrayLike,
    area: npt.ArrayLike,
    pressure: npt.ArrayLike,
    *,
    fan_share: npt.ArrayLike = 0.0,
    atmosphere: npt.ArrayLike = SEA_LEVEL_PRESSURE,
    gamma: float = BOUNCE_DEFAULTS["gamma"].value,
) -> Floats:
    """Return the gap h (...) [m] below which the cushion's air makes even a locked skirt heave by itself.

    Parameters
    ----------
    volume, area, pressure : (...) [m3], [m2], [Pa]
    fan_share : (...) [-]
        1/tau; 0 for a fan that holds its flow whatever the pressure.

    Notes
    -----
    h = 2 p V/[S gamma (pa + p)(1 + 2/tau)], all the air leaving under smooth tips and no inertia in the duct: where
    G S = C H. There she heaves at S/sqrt(m C).

    References
    ----------
    Derived.

    Examples
    --------
    >>> round(float(least_stable_gap(1.51825, 5.28495, 464.054)) * 1e3, 4)
    1.871
    """
    p = np.asarray(pressure, dtype=np.float64)
    stored = 2.0 * p * np.asarray(volume) / (np.asarray(area) * gamma * (np.asarray(atmosphere) + p))
    return np.asarray(stored / (1.0 + 2.0 * np.asarray(fan_share)))


def least_gap_of(craft: HeaveCraft) -> Floats:
    """Return `least_stable_gap` (...) [m] of a craft; nan on the stalled side, where no gap is safe by this rule."""
    share = 1.0 / np.where(craft.steepness > 0.0, craft.steepness, np.nan)
    return least_stable_gap(craft.volume, craft.area, craft.pressure, fan_share=share, atmosphere=craft.atmosphere)


def neutral_frequency(craft: HeaveCraft) -> Floats:
    """Return S/sqrt(m C) (...) [rad/s], the heave at the least stable gap."""
    return np.asarray(craft.area / np.sqrt(craft.mass * compliance(craft)))


def slow_heave(
    gap: npt.ArrayLike,
    area: npt.ArrayLike,
    jet_width: npt.ArrayLike,
    speed: npt.ArrayLike,
    *,
    fan_share: npt.ArrayLike = 0.0,
    gravity: float,
) -> tuple[Floats, Floats, Floats]:
    """Return frequency (...) [rad/s], damping ratio [-] and closing time [s] of heave on air that does not spring.

    Parameters
    ----------
    gap, area : (...) [m], [m2]
    jet_width : (...) [m]
        Cc P, contraction times tip line.
    speed : (...) [m/s]
        Of the jet.

    Notes
    -----
    omega^2 = 2 g/[h (1 + 2/tau)], tau_c = S/(Cc P v), zeta = omega tau_c/2.

    References
    ----------
    Derived.
    """
    h = np.asarray(gap, dtype=np.float64)
    omega = np.sqrt(2.0 * gravity / (h * (1.0 + 2.0 * np.asarray(fan_share))))
    closing = np.asarray(area) / (np.asarray(jet_width) * np.asarray(speed))
    return np.asarray(omega), np.asarray(omega * closing / 2.0), np.asarray(closing)
