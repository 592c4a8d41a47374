"""The nouns of the air stage: the lift system of a design and what is known of it for every load."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.maths.frozen import Floats
from skirtloft.physics.air_reserve import MassLimits, SegmentsLost
from skirtloft.physics.air_types import AirState, LiftSystem, OperatingPoints
from skirtloft.physics.electric import Electric
from skirtloft.physics.fan import Fan
from skirtloft.physics.feed import FeedHoles
from skirtloft.physics.start_up import StartUp
from skirtloft.physics.watts import Choke, LossBudget, Watts


@dataclass(frozen=True, eq=False)
class FanMatch:
    """Fan and craft together; (l,) is one value per load.

    Parameters
    ----------
    fan : Fan
    speed : float [rad/s]  as the file sets it
    at_speed : OperatingPoints (l,)  gap at that speed
    for_gap : OperatingPoints (l,)  speed and power for the wanted gap
    watts : Watts (k, l)  where the engine's watts go at the set speed
    surplus : (l,) [Pa]  most that the fan gives over what is asked, at any flow of its curve
    surplus_first, surplus_last : (l,) [Pa]  the same at the first and last point of the curve
    gap_flow : (l,) [m3/s]  left for the gap at the set speed; negative where leaks take more than there is
    highest_mass : (l,) [kg]  above which no gap is left at the set speed
    limits : MassLimits (5, l)
    segments_lost : SegmentsLost  of the first load
    start_up : StartUp (l,) or None without [air.water]
    electric : Electric (l,) or None without [air.battery]  at the wanted gap
    """

    fan: Fan
    speed: float
    at_speed: OperatingPoints
    for_gap: OperatingPoints
    watts: Watts
    surplus: Floats
    surplus_first: Floats
    surplus_last: Floats
    gap_flow: Floats
    highest_mass: Floats
    limits: MassLimits
    segments_lost: SegmentsLost
    start_up: StartUp | None
    electric: Electric | None


@dataclass(frozen=True, eq=False)
class LiftAir:
    """The air of a design, with a fan or without.

    Parameters
    ----------
    system : LiftSystem
    density : float [kg/m3]
    gap : float [m]  wanted
    mass : (l,) [kg]
    need : AirState (l,)  what the wanted gap asks for, whatever the fan
    need_watts : Watts (k, l)  where the air power goes at the wanted gap
    budget : LossBudget (k, l)  at the wanted gap
    choke : Choke or None  at the wanted gap
    runs : (r,)  of the tip line
    segments : (r,)  in each run, whole craft
    pitch : float [m]  mean fitted pitch
    feed : FeedHoles (l, r)  for the drop that the file allows in the feed holes
    match : FanMatch or None  without [air.fan]
    """

    system: LiftSystem
    density: float
    gap: float
    mass: Floats
    need: AirState
    need_watts: Watts
    budget: LossBudget
    choke: Choke | None
    runs: tuple[str, ...]
    segments: tuple[int, ...]
    pitch: float
    feed: FeedHoles
    match: FanMatch | None
