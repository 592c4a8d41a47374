"""Drag under way: waves, the air taken along, the air in the way, wet skirt; thrust against it, and the hump.

Only wave and momentum drag are theory. Air and skirt are coefficients that nobody has measured on this craft: they come
as low, best and high, and every answer is given for all three.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values, monotone_cubics
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import Assumption
from skirtloft.physics.stated import OURS, TRADE
from skirtloft.physics.water.wave_drag import FRESH_WATER, breaking_speed, wave_drag

Level = Literal["low", "best", "high"]
LEVELS: tuple[Level, ...] = ("low", "best", "high")
Thrust = Callable[[Floats], Floats]

DRAG_FACTORS: tuple[Assumption, ...] = (
    Assumption("wave", 0.8, 1.0, 1.2, "wave drag over that of linear theory in deep water; shallow water: more", OURS),
    Assumption("air", 0.4, 0.6, 0.9, "drag coefficient on the frontal area, craft with people in it", TRADE),
    Assumption("momentum", 1.0, 1.0, 1.0, "share of the lift air brought to the craft's speed", "momentum"),
    Assumption(
        "skirt_friction", 0.003, 0.006, 0.015, "drag coefficient on the wet band, spray and creases in it", OURS
    ),
    Assumption("wet_band", 0.0, 0.02, 0.04, "m; height of cloth wet all round, on calm water", OURS),
)

CAUTION = (
    "a screening figure for calm, deep water; waves, shallow water, wind and a wet start take more,"
    " and air and skirt drag are assumed, not measured"
)


@dataclass(frozen=True)
class UnderWay:
    """What of a craft the drag asks for.

    Parameters
    ----------
    mass : float [kg]
    length, area, perimeter : float [m], [m2], [m]
        Of the cushion at the tip line; the waves see a rectangle of this length and area.
    flow : float [m3/s]
        Lift air taken in.
    frontal_area : float [m2]
    air_density, water_density : float [kg/m3]
    """

    mass: float
    length: float
    area: float
    perimeter: float
    flow: float
    frontal_area: float
    air_density: float = 1.225
    water_density: float = FRESH_WATER

    @property
    def pressure(self) -> float:
        """Cushion pressure [Pa]."""
        return self.mass * GRAVITY / self.area

    @property
    def beam(self) -> float:
        """Beam of the rectangle [m]."""
        return self.area / self.length


@dataclass(frozen=True, eq=False)
class Drag:
    """Drag at speeds; (k,) each, [N].

    Parameters
    ----------
    speed : [m/s]
    wave, momentum, air, skirt, total : [N]
    is_doubtful : bool  so slow that the waves of the theory would break: real wave drag is lower
    """

    speed: Floats
    wave: Floats
    momentum: Floats
    air: Floats
    skirt: Floats
    total: Floats
    is_doubtful: npt.NDArray[np.bool_]


def factor(name: str, level: Level, factors: tuple[Assumption, ...] = DRAG_FACTORS) -> float:
    """Return the low, best or high value of a factor."""
    return float(getattr(next(f for f in factors if f.name == name), level))


def drag(
    craft: UnderWay, speed: npt.ArrayLike, level: Level = "best", factors: tuple[Assumption, ...] = DRAG_FACTORS
) -> Drag:
    """Return the drag at speeds (k,) [m/s].

    Notes
    -----
    Wave: `wave_drag`. Momentum: rho Q V. Air: C rho/2 A V^2. Skirt: C rho_w/2 V^2 times perimeter and wet band.

    References
    ----------
    Momentum drag: standard. That skirt drag is friction, pressure, spray and inertia: Yun and Bliault, 2000, p. 98; no
    published formula was confirmed, so the skirt's is our own, to be replaced by what a craft shows.
    """
    u = np.asarray(speed, dtype=np.float64)
    c = {name: factor(name, level, factors) for name in ("wave", "air", "momentum", "skirt_friction", "wet_band")}
    waves = wave_drag(u, craft.pressure, craft.length, craft.beam, water_density=craft.water_density)
    waves = c["wave"] * np.where(u == 0.0, 0.0, waves)
    momentum = c["momentum"] * craft.air_density * craft.flow * u
    air = c["air"] * 0.5 * craft.air_density * craft.frontal_area * u**2
    wet = craft.perimeter * c["wet_band"]
    skirt = c["skirt_friction"] * 0.5 * craft.water_density * wet * u**2
    return Drag(
        speed=frozen_array(u),
        wave=frozen_array(waves),
        momentum=frozen_array(momentum),
        air=frozen_array(air),
        skirt=frozen_array(skirt),
        total=frozen_array(waves + momentum + air + skirt),
        is_doubtful=np.asarray(u < breaking_speed(craft.pressure, craft.water_density)),
    )


def edited_factors(
    changes: Mapping[str, tuple[float, float, float]], factors: tuple[Assumption, ...] = DRAG_FACTORS
) -> tuple[Assumption, ...]:
    """Return the factors with the builder's own (low, best, high), by name.

    Raises
    ------
    KeyError
        There is no such factor.
    ValueError
        Not low <= best <= high.
    """
    table = {given.name: given for given in factors}
    for name, (low, best, high) in changes.items():
        if not low <= best <= high:
            raise ValueError(f"{name}: {low}, {best}, {high} do not rise")
        table[name] = replace(table[name], low=low, best=best, high=high, source="as given")
    return tuple(table.values())


def thrust_through(speed: npt.ArrayLike, thrust: npt.ArrayLike) -> Thrust:
    """Return thrust [N] over speed [m/s] through points (k,) of increasing speed; nan off their ends."""
    curve = monotone_cubics(speed, thrust)
    return lambda u: cubic_values(curve, u)


def thrust_of_disc(static: float, disc_area: float, air_density: float = 1.225) -> Thrust:
    """Return how the static thrust [N] of a propeller or fan falls with speed at constant power.

    Parameters
    ----------
    static : float [N]
    disc_area : float [m2]
        Swept by the blades; at the outlet where it runs in a duct.

    Notes
    -----
    T = 2 rho A (V + w) w and T (V + w) = power, w the speed added at the disc: with x = w/w0 and v = V/w0,
    x (v + x)^2 = 1, one root in 0 to 1. Ideal: real blades stall at rest and lose their bite at speed.

    References
    ----------
    Momentum theory of a propeller (Rankine, Froude), standard.
    """
    still = np.sqrt(static / (2.0 * air_density * disc_area))

    def thrust(speed: Floats) -> Floats:
        v = np.atleast_1d(np.asarray(speed, dtype=np.float64)) / still
        x = bracketed_roots(lambda y: y * (v + y) ** 2 - 1.0, np.zeros_like(v), np.ones_like(v))
        return np.asarray(static / (v + x)).reshape(np.shape(speed))

    return thrust
