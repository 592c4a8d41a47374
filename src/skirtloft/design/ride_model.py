"""The [balance] and [under_way] tables of the design file: what may be put or moved to sit level, thrust and drag.

Both may be left out: then the program says what a thrust would have to be, and what a sack of ballast would do.
"""

from __future__ import annotations

from typing import Annotated

from skirtloft.design.air_model import WaterKind
from skirtloft.design.schema import Coordinate, Name, Number, Quantity, Record, default, length_default

Force = Annotated[float, Quantity("force", 0.0, 50_000.0)]
Speed = Annotated[float, Quantity("speed", 0.0, 60.0)]
Height = Annotated[float, Quantity("length", -0.5, 5.0)]
FactorNumber = Annotated[float, Number(0.0, 10.0)]
WetBand = Annotated[float, Quantity("length", 0.0, 0.5)]
FactorBand = tuple[FactorNumber, FactorNumber, FactorNumber]
LengthBand = tuple[WetBand, WetBand, WetBand]


class Movable(Record):
    """Something aboard, in every load, that could stand elsewhere: its mass [kg] and where it is now [m]."""

    name: Name
    mass: Annotated[float, Quantity("mass", 0.1, 5000.0)]
    x: Coordinate
    y: Coordinate = length_default("balance.movable.y")


class Balance(Record):
    """Ballast still to be put in [kg], and what could be moved, to sit level."""

    ballast: Annotated[float, Quantity("mass", 0.1, 2000.0)] = default("balance.ballast", "mass")
    movable: tuple[Movable, ...] = ()


class ThrustPoint(Record):
    """A point of the thrust curve: speed through the air [m/s] and thrust [N]."""

    speed: Speed
    thrust: Force


class UnderWay(Record):
    """Under way on water: thrust by points or standing still [N], its disc [m], heights above the flat of the bottom
    [m], frontal area [m2], and drag factors [low, best, high].
    """

    static_thrust: Annotated[float, Quantity("force", 1.0, 50_000.0)] | None = None
    disc: Annotated[float, Quantity("length", 0.1, 5.0)] | None = None
    thrust: tuple[ThrustPoint, ...] = ()
    thrust_height: Height = length_default("under_way.thrust_height")
    intake_height: Height | None = None
    frontal_area: Annotated[float, Quantity("area", 0.05, 50.0)] | None = None
    frontal_height: Height | None = None
    water: WaterKind = default("under_way.water")
    wave: FactorBand | None = None
    air: FactorBand | None = None
    momentum: FactorBand | None = None
    skirt_friction: FactorBand | None = None
    wet_band: LengthBand | None = None
