"""Lift by battery: power, current and minutes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array

MOTOR_EFFICIENCY = 0.88  # brushless motor near its best point; common practice, no source
CONTROLLER_EFFICIENCY = 0.96  # common practice, no source
USABLE_SHARE = 0.8  # of the nominal capacity, to spare the cells; common practice, no source
PACK_ENERGY = 150.0 * 3600.0  # J/kg of a lithium-ion pack with its case; from memory


@dataclass(frozen=True, eq=False)
class Electric:
    """What lift draws from a battery, (...); nan where the battery cannot give that power at all.

    Parameters
    ----------
    power : [W]  out of the cells, with what their resistance takes
    terminal_power : [W]  at the terminals
    voltage : [V]  at the terminals under load
    current : [A]
    duration : [s]  until the usable capacity is gone
    rate : [1/h]  current over capacity in ampere hours
    most_power : [W]  that the battery can give at its terminals
    """

    power: Floats
    terminal_power: Floats
    voltage: Floats
    current: Floats
    duration: Floats
    rate: Floats
    most_power: Floats


def electric_lift(
    engine_power: npt.ArrayLike,
    voltage: npt.ArrayLike,
    capacity: npt.ArrayLike,
    *,
    motor_efficiency: npt.ArrayLike = MOTOR_EFFICIENCY,
    controller_efficiency: npt.ArrayLike = CONTROLLER_EFFICIENCY,
    usable_share: npt.ArrayLike = USABLE_SHARE,
    resistance: npt.ArrayLike = 0.0,
) -> Electric:
    """Return current and duration for a power into belt or fan shaft.

    Parameters
    ----------
    engine_power : (...) [W]
        At the motor's shaft.
    voltage : (...) [V]
        Of the cells without load.
    capacity : (...) [A s]
        Nominal (1 A h = 3600 A s).
    motor_efficiency, controller_efficiency, usable_share : (...)
    resistance : (...) [ohm]
        Of battery and leads.

    Notes
    -----
    V I - R I^2 = P, the smaller root: I = 2 P/(V + sqrt(V^2 - 4 R P)); most power V^2/(4 R). Duration = usable
    capacity over current: no loss of capacity at high rates is taken.
    """
    power = np.asarray(engine_power, dtype=np.float64)
    volts, ohm = np.asarray(voltage, dtype=np.float64), np.asarray(resistance, dtype=np.float64)
    asked = power / (np.asarray(motor_efficiency) * np.asarray(controller_efficiency))
    with np.errstate(invalid="ignore", divide="ignore"):
        current = 2.0 * asked / (volts + np.sqrt(volts**2 - 4.0 * ohm * asked))
        most = np.where(ohm > 0.0, volts**2 / (4.0 * ohm), np.inf)
        duration = np.asarray(capacity) * np.asarray(usable_share) / current
    rate = current * 3600.0 / np.asarray(capacity)
    terminal = np.where(np.isnan(current), np.nan, asked)
    arrays = (volts * current, terminal, volts - ohm * current, current, duration, rate, most)
    return Electric(*map(frozen_array, np.broadcast_arrays(*arrays)))


def battery_mass(
    terminal_power: npt.ArrayLike,
    duration: npt.ArrayLike,
    *,
    usable_share: npt.ArrayLike = USABLE_SHARE,
    specific_energy: npt.ArrayLike = PACK_ENERGY,
) -> Floats:
    """Return the battery [kg] for a power [W] and a duration [s]; specific energy [J/kg]."""
    energy = np.asarray(terminal_power, dtype=np.float64) * np.asarray(duration)
    return np.asarray(energy / (np.asarray(usable_share) * np.asarray(specific_energy)))
