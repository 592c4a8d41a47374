"""The nouns of the lift air: what lets it out, what holds it up on the way, and where fan and craft meet.

Arrays marked (...) hold one value per case (design, load, speed) and broadcast against each other; a single case is
an array without axes. Flows are volume flows of air of one density.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats

LossPlace = Literal["intake", "supply", "feed"]
LeakPlace = Literal["loop", "cushion"]
FailureName = Literal["too weak", "before the curve", "beyond the curve", "leaks"]
Ints = npt.NDArray[np.int64]


def frozen_ints(values: npt.ArrayLike) -> Ints:
    """Return a read-only whole-number copy of `values` (any shape)."""
    array = np.array(values, dtype=np.int64)
    array.setflags(write=False)
    return array


@dataclass(frozen=True, eq=False)
class Escape:
    """Gap under the tips, run by run.

    Parameters
    ----------
    names : (r,)
    length : (..., r) [m]  of the mean tip line
    discharge : (..., r)  Cd on the loss-free jet speed
    lift : (..., r) [m]  how much higher than the common gap the tips of this run hang (negative: lower)
    roughness : broadcasts against (..., r) [m]  rms height of the ground; 0 is smooth
    """

    names: tuple[str, ...]
    length: Floats
    discharge: Floats
    lift: Floats
    roughness: Floats


@dataclass(frozen=True, eq=False)
class Leak:
    """A fixed opening to the outside.

    Parameters
    ----------
    name : str
    area : (...) [m2]  all openings of this name together
    discharge : (...)  Cd
    place : "loop" (upstream of the feed holes: a loop that is closed but for them) or "cushion" (all that is past them)
    """

    name: str
    area: Floats
    discharge: Floats
    place: LeakPlace


@dataclass(frozen=True, eq=False)
class Loss:
    """One line of the loss budget: drop = factor rho/2 (share flow/area)^2.

    Parameters
    ----------
    name : str
    place : "intake", "supply" or "feed"
        Which flow it takes: all the fan's air; the lift air up to the feed holes; what goes on into the cushion. The
        sections have one pressure in loop and segments, so the loop is open below and feed holes blow into both.
    area : (...) [m2]
    factor, factor_low, factor_high : (...)  K on that area, and its band
    share : (...)  share of that flow which takes this way
    source : str
    """

    name: str
    place: LossPlace
    area: Floats
    factor: Floats
    factor_low: Floats
    factor_high: Floats
    share: Floats
    source: str


@dataclass(frozen=True, eq=False)
class LiftSystem:
    """Everything the fan has to feed.

    Parameters
    ----------
    area : (...) [m2]  inside the mean tip line
    density : (...) [kg/m3]
    escape : Escape
    leaks : tuple of Leak
    losses : tuple of Loss
    lift_share : (...)  lift air over all air of the fan; 1 for a fan of its own
    drive_efficiency : (...)  belt or gearbox
    """

    area: Floats
    density: Floats
    escape: Escape
    leaks: tuple[Leak, ...]
    losses: tuple[Loss, ...]
    lift_share: Floats
    drive_efficiency: Floats


@dataclass(frozen=True, eq=False)
class AirState:
    """Pressures and flows on the way from fan to gap; all (...).

    Parameters
    ----------
    cushion_pressure, loop_pressure, fan_pressure : [Pa]  gauge; the last is the fan's total pressure rise
    gap_flow, cushion_flow, lift_flow, fan_flow : [m3/s]
        Under the tips; into the cushion (gap and its leaks); into the loop (and its leaks); through the fan.
    """

    cushion_pressure: Floats
    loop_pressure: Floats
    fan_pressure: Floats
    gap_flow: Floats
    cushion_flow: Floats
    lift_flow: Floats
    fan_flow: Floats


@dataclass(frozen=True, eq=False)
class OperatingPoints:
    """Where fan and craft meet, one value per case (...); nan where they do not.

    Parameters
    ----------
    mass : [kg]
    gap : [m]  common gap; with rough ground above the mean plane of the ground
    speed : [rad/s]
    tip_speed : [m/s]
    air : AirState
    air_power, shaft_power, engine_power : [W]  of the air through the fan, into the fan, into belt or gearbox
    efficiency : of the fan at the point
    slope : [Pa s/m3]  of fan pressure over flow; above zero the fan is stalled
    stable_by : [Pa s/m3]  slope of the system at this mass less that of the fan; not above zero: flow and gap run away
    stall_margin : flow over the flow where stall begins, less 1; inf where the curve only falls
    pressure_reserve : highest fan pressure at this speed over the pressure at the point, less 1
    crossings : (...) int  intersections of fan and system; above 1 the fan can hang at a lower flow
    failure : (...) int  0 where there is a point, else 1 + place in FAILURES
    margin : how far it fails, in the unit of its failure (see FAILURES); nan where there is a point
    estimated : bool  the curve is a parabola through free flow and shut-off pressure
    """

    mass: Floats
    gap: Floats
    speed: Floats
    tip_speed: Floats
    air: AirState
    air_power: Floats
    shaft_power: Floats
    engine_power: Floats
    efficiency: Floats
    slope: Floats
    stable_by: Floats
    stall_margin: Floats
    pressure_reserve: Floats
    crossings: Ints
    failure: Ints
    margin: Floats
    estimated: bool


@dataclass(frozen=True)
class Failed:
    """A case of a sweep that has no answer.

    Parameters
    ----------
    case : tuple of int  its place in the batch
    name : FailureName
    margin : float  negative: how much is missing; positive: by how much the curve's end is overshot
    unit : str
    why : str
    change : str
    """

    case: tuple[int, ...]
    name: FailureName
    margin: float
    unit: str
    why: str
    change: str


@dataclass(frozen=True)
class Assumption:
    """A number that nobody has measured for this craft, with its band.

    Parameters
    ----------
    name : str
    low, best, high : float
    meaning : str
    source : str
    """

    name: str
    low: float
    best: float
    high: float
    meaning: str
    source: str
