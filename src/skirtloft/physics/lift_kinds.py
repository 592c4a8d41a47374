"""Skirt kinds side by side at equal mass, plan and gap: what each asks of the fan, with the doubt in every number.

All kinds escape through the same gap with the same Cd; what sets them apart is a leakage factor, what the air loses
before it is in the cushion, and nothing else. Ride, drag, wear and stability are not in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air_types import Assumption

TRADE = "common practice, no source"
UNSURE = "common practice, no source, low confidence"

KindName = Literal["loop and segment", "bag", "bag and segment", "full segment"]
Assumptions = tuple[Assumption, ...]

COMMON: Assumptions = (
    Assumption(
        "duct_loss", 0.05, 0.10, 0.20, "drop from fan to skirt over cushion pressure, at leakage factor 1", TRADE
    ),
    Assumption("fan_efficiency", 0.40, 0.50, 0.65, "air power over shaft power", TRADE),
    Assumption("drive_efficiency", 0.85, 0.90, 0.95, "belt or gearbox", TRADE),
)

KINDS: dict[KindName, Assumptions] = {
    "loop and segment": (
        Assumption("leakage", 1.0, 1.15, 1.3, "flow over that of a bag at the same gap", UNSURE),
        Assumption("mouth_ratio", 2.0, 3.0, 5.0, "open feed into the cushion over effective escape area", UNSURE),
        Assumption(
            "mouth_factor", 0.9, 1.0, 1.1, "loss factor of an open mouth", "White, Fluid Mechanics, from memory"
        ),
        *COMMON,
    ),
    "bag": (
        Assumption("leakage", 0.9, 1.0, 1.1, "flow over that of a bag at the same gap: the reference", UNSURE),
        Assumption("bag_ratio", 1.1, 1.2, 1.3, "bag pressure over cushion pressure, all air through the bag", TRADE),
        *COMMON,
    ),
    "bag and segment": (
        Assumption("leakage", 1.0, 1.15, 1.3, "flow over that of a bag at the same gap", UNSURE),
        Assumption("bag_ratio", 1.1, 1.2, 1.3, "bag pressure over cushion pressure, all air through the bag", TRADE),
        *COMMON,
    ),
    "full segment": (
        Assumption("leakage", 1.2, 1.4, 1.6, "flow over that of a bag at the same gap", UNSURE),
        Assumption("hole_ratio", 2.0, 2.5, 3.0, "feed holes from the plenum over effective escape area", TRADE),
        Assumption("hole_discharge", 0.58, 0.60, 0.65, "discharge coefficient of a feed hole", TRADE),
        Assumption("plenum_loss", 0.0, 0.05, 0.10, "drop in the plenum over cushion pressure", UNSURE),
        *COMMON,
    ),
}


@dataclass(frozen=True, eq=False)
class Lift:
    """What one kind asks of fan and engine, (...).

    Parameters
    ----------
    cushion_pressure, supply_pressure, fan_pressure : [Pa]
        The second is that in bag, loop or plenum.
    flow : [m3/s]
    gap_power, skirt_loss, duct_loss, air_power, engine_power : [W]
        air_power = gap_power + skirt_loss + duct_loss.
    """

    cushion_pressure: Floats
    supply_pressure: Floats
    fan_pressure: Floats
    flow: Floats
    gap_power: Floats
    skirt_loss: Floats
    duct_loss: Floats
    air_power: Floats
    engine_power: Floats


@dataclass(frozen=True, eq=False)
class Swing:
    """Engine power (...) [W] with one assumption at the ends of its band, the others at their best."""

    name: str
    at_low: Floats
    at_high: Floats


@dataclass(frozen=True, eq=False)
class KindResult:
    """One kind with its doubt.

    Parameters
    ----------
    name : KindName
    best : Lift
    engine_power_low, engine_power_high : (...) [W]
    swings : tuple of Swing
        Largest first (for the first case of a batch).
    assumptions : tuple of Assumption
    """

    name: KindName
    best: Lift
    engine_power_low: Floats
    engine_power_high: Floats
    swings: tuple[Swing, ...]
    assumptions: Assumptions


def compare_kinds(
    pressure: npt.ArrayLike,
    escape_area: npt.ArrayLike,
    density: npt.ArrayLike,
    kinds: Mapping[KindName, Assumptions] = KINDS,
) -> tuple[KindResult, ...]:
    """Return flow, pressures, losses and engine power of each kind for the same craft and gap.

    Parameters
    ----------
    pressure : (...) [Pa]
        Cushion pressure: mass and plan are the same.
    escape_area : (...) [m2]
        Effective: sum of Cd times length times gap.
    density : (...) [kg/m3]
    kinds : mapping
        Assumptions by kind; change them with `edited`.

    Notes
    -----
    Low and high: each assumption alone to the end of its band; the logarithms of the changes added as independent
    errors, the root of the sum of squares. Not the case that everything goes wrong at once.
    """
    return tuple(_with_doubt(name, given, pressure, escape_area, density) for name, given in kinds.items())


def _with_doubt(
    name: KindName, given: Assumptions, pressure: npt.ArrayLike, escape_area: npt.ArrayLike, density: npt.ArrayLike
) -> KindResult:
    values = {assumption.name: assumption.best for assumption in given}
    best = lift_of(name, values, pressure, escape_area, density)
    swings = []
    up, down = np.zeros(best.engine_power.shape), np.zeros(best.engine_power.shape)
    for assumption in given:
        low, high = (
            lift_of(name, {**values, assumption.name: end}, pressure, escape_area, density).engine_power
            for end in (assumption.low, assumption.high)
        )
        swings.append(Swing(assumption.name, low, high))
        change = np.log(np.stack([low, high]) / best.engine_power)
        up = up + np.maximum(0.0, change.max(axis=0)) ** 2
        down = down + np.minimum(0.0, change.min(axis=0)) ** 2
    swings.sort(key=lambda swing: -abs(float(np.ravel(swing.at_high - swing.at_low)[0])))
    return KindResult(
        name,
        best,
        frozen_array(best.engine_power * np.exp(-np.sqrt(down))),
        frozen_array(best.engine_power * np.exp(np.sqrt(up))),
        tuple(swings),
        given,
    )


def lift_of(
    name: KindName,
    values: Mapping[str, float],
    pressure: npt.ArrayLike,
    escape_area: npt.ArrayLike,
    density: npt.ArrayLike,
) -> Lift:
    """Return what one kind asks for with the assumptions at `values`.

    Notes
    -----
    Q = leakage A_e sqrt(2 p/rho). Loss before the cushion over p: open mouth K/ratio^2; bag, bag ratio - 1; full
    segment, plenum loss + 1/(Cd ratio)^2. Duct: duct loss times leakage^2. Engine = Q p_fan/(fan and drive efficiency).
    """
    p = np.asarray(pressure, dtype=np.float64)
    flow = values["leakage"] * np.asarray(escape_area) * np.sqrt(2.0 * p / np.asarray(density))
    skirt = p * skirt_loss_share(name, values)
    duct = p * values["duct_loss"] * values["leakage"] ** 2
    fan = p + skirt + duct
    engine = flow * fan / (values["fan_efficiency"] * values["drive_efficiency"])
    arrays = (p, p + skirt, fan, flow, p * flow, skirt * flow, duct * flow, fan * flow, engine)
    return Lift(*map(frozen_array, np.broadcast_arrays(*arrays)))


def skirt_loss_share(name: KindName, values: Mapping[str, float]) -> float:
    """Return what the air loses between duct and cushion, over cushion pressure."""
    if name == "loop and segment":
        return values["mouth_factor"] / values["mouth_ratio"] ** 2
    if name == "full segment":
        return values["plenum_loss"] + (values["hole_discharge"] * values["hole_ratio"]) ** -2
    return values["bag_ratio"] - 1.0


def edited(
    changes: Mapping[tuple[KindName, str], tuple[float, float, float]],
    kinds: Mapping[KindName, Assumptions] = KINDS,
) -> dict[KindName, Assumptions]:
    """Return the table with assumptions replaced by the builder's (low, best, high), by kind and name.

    Raises
    ------
    KeyError
        There is no such assumption.
    ValueError
        Not low <= best <= high.
    """
    table = {name: {assumption.name: assumption for assumption in given} for name, given in kinds.items()}
    for (kind, name), (low, best, high) in changes.items():
        if not low <= best <= high:
            raise ValueError(f"{kind}, {name}: {low}, {best}, {high} do not rise")
        table[kind][name] = replace(table[kind][name], low=low, best=best, high=high, source="as given")
    return {kind: tuple(given.values()) for kind, given in table.items()}
