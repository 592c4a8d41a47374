"""Does the thrust take the craft over the hump, how fast does it go, how heavy may it be."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import Assumption
from skirtloft.physics.water.drag import DRAG_FACTORS, LEVELS, Level, Thrust, UnderWay, drag
from skirtloft.physics.water.wave_drag import breaking_speed, primary_hump

LEAST_HUMP_FROUDE = 0.42  # slower lies the second hump, which breaking waves take away; see `wave_drag`
PAST_HUMP = 1.1  # times the speed of the hump: up to there it may still stick, other drag rising
FASTEST = 40.0  # m/s; no light craft goes faster over water, our own choice
_STEPS = 100


@dataclass(frozen=True, eq=False)
class OverHump:
    """Thrust against drag at one level of the factors.

    Parameters
    ----------
    level : str
    hump_speed : float [m/s]  of the wave drag
    hump_wave, hump_drag, hump_thrust : float [N]  wave drag, whole drag and thrust there
    least_margin : float [N]  smallest thrust less drag around the hump, at `least_speed` [m/s]; nan: thrust not known
    gets_over : bool
    stuck_speed : float [m/s]  where it stays on the way up; nan where it gets over
    most_mass : float [kg]  at which the least margin is none, drag of air and skirt as they are; 0: none
    top_speed : float [m/s]  where thrust and drag meet beyond the hump; nan: it does not get there, inf: not up to the
        end of the thrust curve or `FASTEST`
    """

    level: Level
    hump_speed: float
    hump_wave: float
    hump_drag: float
    hump_thrust: float
    least_margin: float
    least_speed: float
    gets_over: bool
    stuck_speed: float
    most_mass: float
    top_speed: float


def over_hump(
    craft: UnderWay, thrust: Thrust, level: Level = "best", factors: tuple[Assumption, ...] = DRAG_FACTORS
) -> OverHump:
    """Return whether and how the craft gets over the hump.

    Notes
    -----
    The hump is looked at from where waves stand (`breaking_speed`, and not below F 0.42) to 1.1 of the hump's speed.
    Wave drag goes with the square of the mass: the heaviest mass is that of the least (thrust - other drag)/wave drag
    in that range.

    References
    ----------
    Our own derivation.
    """
    hump = float(primary_hump(craft.beam / craft.length).froude) * math.sqrt(GRAVITY * craft.length)
    slowest = min(max(float(breaking_speed(craft.pressure, craft.water_density)), _of_froude(craft)), hump)
    range_ = np.concatenate([np.linspace(slowest, PAST_HUMP * hump, _STEPS), [hump]])
    at, push = drag(craft, range_, level, factors), thrust(range_)
    margin = push - at.total
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(at.wave > 0.0, (push - (at.total - at.wave)) / at.wave, np.inf)
    known = not np.isnan(margin).any()
    k = int(np.argmin(margin)) if known else 0
    least = float(margin[k]) if known else math.nan
    over = known and least > 0.0
    return OverHump(
        level=level,
        hump_speed=hump,
        hump_wave=float(at.wave[-1]),
        hump_drag=float(at.total[-1]),
        hump_thrust=float(push[-1]),
        least_margin=least,
        least_speed=float(range_[k]) if known else math.nan,
        gets_over=over,
        stuck_speed=_stuck(craft, thrust, range_[:-1], margin[:-1], level, factors) if known and not over else math.nan,
        most_mass=craft.mass * math.sqrt(max(0.0, float(np.min(share)))) if known else math.nan,
        top_speed=_top_speed(craft, thrust, PAST_HUMP * hump, level, factors) if over else math.nan,
    )


def over_hump_levels(
    craft: UnderWay, thrust: Thrust, factors: tuple[Assumption, ...] = DRAG_FACTORS
) -> dict[Level, OverHump]:
    """Return the answer with the factors low, best and high."""
    return {level: over_hump(craft, thrust, level, factors) for level in LEVELS}


def _of_froude(craft: UnderWay) -> float:
    return LEAST_HUMP_FROUDE * math.sqrt(GRAVITY * craft.length)


def _stuck(
    craft: UnderWay, thrust: Thrust, speeds: Floats, margin: Floats, level: Level, factors: tuple[Assumption, ...]
) -> float:
    """Return the first speed at which the margin is gone on the way up [m/s]."""
    k = int(np.argmax(margin <= 0.0))
    if k == 0:
        return float(speeds[0])
    ends = frozen_array(speeds[k - 1 : k]), frozen_array(speeds[k : k + 1])
    return float(bracketed_roots(lambda u: thrust(u) - drag(craft, u, level, factors).total, *ends)[0])


def _top_speed(craft: UnderWay, thrust: Thrust, slowest: float, level: Level, factors: tuple[Assumption, ...]) -> float:
    speeds = np.linspace(slowest, max(FASTEST, 2.0 * slowest), _STEPS)
    margin = thrust(speeds) - drag(craft, speeds, level, factors).total
    gone = margin <= 0.0
    if not gone.any():
        return math.inf
    return _stuck(craft, thrust, speeds, np.where(np.isnan(margin), 1.0, margin), level, factors)
