"""The nouns of heave and bounce of a design: what was put in and assumed, and what came out. All of it screening."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.cure import DiaphragmCure
from skirtloft.physics.bounce.outcome import MotionOutcome
from skirtloft.physics.bounce.section_motion import TurningSection
from skirtloft.physics.bounce.sensitivities import Sensitivity
from skirtloft.physics.bounce.threshold import BounceMargins
from skirtloft.physics.bounce.time_run import Motion
from skirtloft.physics.bounce.types import HeaveCraft, Modes, SkirtRuns
from skirtloft.physics.statics_types import SectionStatics

Fan = Callable[[float], float]


@dataclass(frozen=True)
class Assumed:
    """Something the file does not tell: what it is, what was taken in its place, and the key that would tell it."""

    name: str
    taken: str
    key: str


@dataclass(frozen=True)
class WorkingPoint:
    """Where a load hovers.

    Parameters
    ----------
    gap : float [m]
    lift_flow, gap_flow : float [m3/s]  into the loop; under the tips
    steepness : float [-]  -(Q/p) dp/dQ of the fan less its losses
    fan : flow -> cushion pressure [Pa], or None where no fan is told
    assumed : tuple of Assumed
    """

    gap: float
    lift_flow: float
    gap_flow: float
    steepness: float
    fan: Fan | None
    assumed: tuple[Assumed, ...]


@dataclass(frozen=True)
class Mouth:
    """The way from loop to cushion.

    Parameters
    ----------
    area : float [m2]  effective: discharge in
    open_side : float [m2]  open lower side of the loop, no discharge in it
    told_by : str  where the area comes from
    """

    area: float
    open_side: float
    told_by: str


@dataclass(frozen=True, eq=False)
class Hover:
    """One load at rest in hover, with one section for each run of the tip line; (n,) is one per run.

    Parameters
    ----------
    load : int  its place in the file
    craft, runs : HeaveCraft, SkirtRuns  () and (n,)
    section : TurningSection (n,)
    turn : (n,) [rad]  at rest, from the shape as cut
    names, stations : (n,)  of the runs; where each section was taken
    statics : SectionStatics (n,)
    cloth_inertia : (n,) [kg m2/m]
    point : WorkingPoint
    mouth : Mouth
    flow_share, over_pressure : float [-]
    assumed : tuple of Assumed
    """

    load: int
    craft: HeaveCraft
    runs: SkirtRuns
    section: TurningSection
    turn: Floats
    names: tuple[str, ...]
    stations: tuple[str, ...]
    statics: SectionStatics
    cloth_inertia: Floats
    point: WorkingPoint
    mouth: Mouth
    flow_share: float
    over_pressure: float
    assumed: tuple[Assumed, ...]


@dataclass(frozen=True)
class ClosedLoop:
    """If the loop let its air out by the feed holes of the file only: over-pressure and bounce margin of the craft [-].

    `margin` is nan where the segments would not come to rest under that pressure.
    """

    over_pressure: float
    margin: float


@dataclass(frozen=True)
class LoadRide:
    """One load in short: gap and least gap [m], bounce margin [-], growth of the free and the held skirt [1/s]."""

    name: str
    gap: float
    least_gap: float
    over_pressure: float
    margin: float
    needed: float
    free_growth: float
    held_growth: float


@dataclass(frozen=True, eq=False)
class Cure:
    """Diaphragms from the joint to the best place on the hull.

    Parameters
    ----------
    found : (n,) bool  the hull has a place there that is steep enough
    result : DiaphragmCure or None  where some section has no place at all below the line from joint to inner fixing
    missing : (n,) of names  runs without any place
    is_there : bool  the file has a diaphragm and the loops are cut for it: nothing else is tried
    taut : (n,) of names  runs in which it is taut in hover
    """

    found: tuple[bool, ...]
    result: DiaphragmCure | None
    missing: tuple[str, ...]
    is_there: bool = False
    taut: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Rides:
    """How a design rides under one load, and in short under every other.

    Parameters
    ----------
    hover : Hover
    held, free : Modes  segments locked; segments free
    least_gap : float [m]  below which the cushion's air makes even a held skirt heave
    margins : BounceMargins  () and (n,)
    sensitivities : tuple of Sensitivity  of the least margin of the sections
    least_mouth : float [m2]  effective area from loop to cushion below which she bounces; 0 where none is looked at
    closed_loop : ClosedLoop or None  without feed holes in the file
    cure : Cure
    loads : tuple of LoadRide
    """

    hover: Hover
    held: Modes
    free: Modes
    least_gap: float
    margins: BounceMargins
    sensitivities: tuple[Sensitivity, ...]
    least_mouth: float
    closed_loop: ClosedLoop | None
    cure: Cure
    loads: tuple[LoadRide, ...]


@dataclass(frozen=True, eq=False)
class Knock:
    """What became of a craft let go `drop` [m] too low."""

    drop: float
    motion: Motion
    outcome: MotionOutcome
