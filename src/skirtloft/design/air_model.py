"""The [air] table of the design file: gap, day and surface, leaks, losses, fan, water, battery, skirt kinds.

Everything but the gap may be left out. Without [air.fan] the program says what a fan must give; with it, what it does.
"""

from __future__ import annotations

from typing import Annotated, Literal

from skirtloft.design.schema import Name, Number, Quantity, Record, default, length_default

LossKind = Literal[
    "guard", "inlet", "duct", "bend", "splitter", "frames", "holes", "mouth", "vents", "other"
]  # fmt: skip
Edge = Literal["bellmouth", "flush", "pipe end"]
BendKind = Literal["mitre", "mitre with vanes", "rounded"]
Place = Literal["intake", "supply", "feed"]
LeakPlace = Literal["loop", "cushion"]
Blades = Literal["plastic", "metal"]
PressureKind = Literal["total", "static"]
WaterKind = Literal["fresh", "salt"]

Area = Annotated[float, Quantity("area", 1e-6, 20.0)]
Diameter = Annotated[float, Quantity("length", 0.001, 4.0)]
Altitude = Annotated[float, Quantity("length", -450.0, 5000.0)]
Temperature = Annotated[float, Quantity("temperature", 220.0, 330.0)]
Gap = Annotated[float, Quantity("length", 0.0005, 0.1)]
Roughness = Annotated[float, Quantity("length", 0.0, 0.2)]
Lift = Annotated[float, Quantity("length", -0.05, 0.1)]
Flow = Annotated[float, Quantity("flow", 0.0, 100.0)]
Pressure = Annotated[float, Quantity("pressure", 0.0, 100_000.0)]
Power = Annotated[float, Quantity("power", 0.0, 1_000_000.0)]
Rotation = Annotated[float, Quantity("rotation", 1.0, 10_000.0)]
Efficiency = Annotated[float, Number(0.05, 1.0)]
Factor = Annotated[float, Number(0.0, 100.0)]
Share = Annotated[float, Number(0.01, 1.0)]
Count = Annotated[int, Number(1, 1000)]
Discharge = Annotated[float, Number(0.3, 1.0)]
ShareNumber = Annotated[float, Number(0.0, 20.0)]
RatioNumber = Annotated[float, Number(0.1, 20.0)]
BagNumber = Annotated[float, Number(1.0, 5.0)]
Band = tuple[ShareNumber, ShareNumber, ShareNumber]  # a loss over cushion pressure, or a loss factor
RatioBand = tuple[RatioNumber, RatioNumber, RatioNumber]  # of flows or areas
BagBand = tuple[BagNumber, BagNumber, BagNumber]  # a bag's pressure over the cushion's
EfficiencyBand = tuple[Efficiency, Efficiency, Efficiency]
DischargeBand = tuple[Discharge, Discharge, Discharge]


class GapByRun(Record):
    """How much higher than the common gap the tips of a run hang [m]; negative: lower. Corners take the mean."""

    bow: Lift = length_default("air.gap_by_run.bow")
    side: Lift = length_default("air.gap_by_run.side")
    stern: Lift = length_default("air.gap_by_run.stern")


class Day(Record):
    """A day to fly on: altitude [m] and temperature [K]."""

    name: Name
    altitude: Altitude
    temperature: Temperature


class Surface(Record):
    """A ground: the gap wanted on it [m], above its mean plane, and its rms height [m]."""

    name: Name
    gap: Gap
    roughness: Roughness = length_default("air.surface.roughness")


class Leak(Record):
    """Openings to the outside that do not close with the gap; `area` or `diameter` [m2, m] of one, and their count."""

    name: Name
    area: Area | None = None
    diameter: Diameter | None = None
    count: Count = default("air.leak.count")
    discharge: Discharge = default("air.leak.discharge")
    place: LeakPlace = default("air.leak.place")


class LossLine(Record):
    """One thing in the way of the air; which keys it takes depends on `kind` (see `design.air_keys`)."""

    kind: LossKind
    name: Name | None = None
    area: Area | None = None
    diameter: Diameter | None = None
    count: Count | None = None
    factor: Factor | None = None
    share: Share = default("air.loss.share")
    open_share: Share | None = None
    edge: Edge | None = None
    bend: BendKind | None = None
    length: Annotated[float, Quantity("length", 0.001, 30.0)] | None = None
    free_area: Area | None = None
    discharge: Discharge | None = None
    place: Place | None = None


class FanPoint(Record):
    """A tested point: flow [m3/s], pressure rise [Pa] and shaft power [W]."""

    flow: Flow
    pressure: Pressure
    power: Power | None = None


class Fan(Record):
    """The lift fan: its size and speed on this craft, and its curve as tested."""

    diameter: Annotated[float, Quantity("length", 0.05, 4.0)]
    speed: Rotation
    tested_diameter: Annotated[float, Quantity("length", 0.05, 4.0)] | None = None
    tested_speed: Rotation | None = None
    tested_density: Annotated[float, Quantity("density", 0.5, 2.0)] = default("air.fan.tested_density", "density")
    blades: Blades = default("air.fan.blades")
    pressure_kind: PressureKind = default("air.fan.pressure_kind")
    outlet_area: Area | None = None
    points: tuple[FanPoint, ...] = ()
    free_flow: Flow | None = None
    shut_off: Pressure | None = None


class Water(Record):
    """The craft at rest on water: area and length of its bottom [m2, m], and where its feed holes lie [m]."""

    float_area: Annotated[float, Quantity("area", 0.2, 200.0)]
    float_length: Annotated[float, Quantity("length", 0.5, 30.0)]
    hole_height: Annotated[float, Quantity("length", -0.5, 1.0)]
    aboard: Annotated[float, Quantity("mass", 0.0, 2000.0)] = default("air.water.aboard", "mass")
    kind: WaterKind = default("air.water.kind")


class Battery(Record):
    """Lift by battery: cells' voltage [V], capacity [A s], resistance [ohm], and the time wanted [s]."""

    voltage: Annotated[float, Quantity("voltage", 1.0, 2000.0)]
    capacity: Annotated[float, Quantity("charge", 360.0, 36_000_000.0)]
    usable: Share = default("air.battery.usable")
    resistance: Annotated[float, Quantity("resistance", 0.0, 10.0)] = default("air.battery.resistance", "resistance")
    motor_efficiency: Efficiency = default("air.battery.motor_efficiency")
    controller_efficiency: Efficiency = default("air.battery.controller_efficiency")
    duration: Annotated[float, Quantity("duration", 1.0, 360_000.0)] = default("air.battery.duration", "duration")


class LoopAndSegment(Record):
    """Assumptions of a kind, each [low, best, high]."""

    leakage: RatioBand | None = None
    mouth_ratio: RatioBand | None = None
    mouth_factor: Band | None = None
    duct_loss: Band | None = None
    fan_efficiency: EfficiencyBand | None = None
    drive_efficiency: EfficiencyBand | None = None


class Bag(Record):
    """Assumptions of a kind, each [low, best, high]; also for bag and segment."""

    leakage: RatioBand | None = None
    bag_ratio: BagBand | None = None
    duct_loss: Band | None = None
    fan_efficiency: EfficiencyBand | None = None
    drive_efficiency: EfficiencyBand | None = None


class FullSegment(Record):
    """Assumptions of a kind, each [low, best, high]."""

    leakage: RatioBand | None = None
    hole_ratio: RatioBand | None = None
    hole_discharge: DischargeBand | None = None
    plenum_loss: Band | None = None
    duct_loss: Band | None = None
    fan_efficiency: EfficiencyBand | None = None
    drive_efficiency: EfficiencyBand | None = None


class Kinds(Record):
    """What the comparison of skirt kinds assumes, where the builder knows better than the program."""

    loop_and_segment: LoopAndSegment = LoopAndSegment()
    bag: Bag = Bag()
    bag_and_segment: Bag = Bag()
    full_segment: FullSegment = FullSegment()


class Air(Record):
    """Gap [m], altitude [m], temperature [K], discharge (None = from theory), screening factors, and what follows."""

    gap: Gap = length_default("air.gap")
    altitude: Altitude = length_default("air.altitude")
    temperature: Temperature = default("air.temperature", "temperature")
    discharge: Discharge | None = None
    fan_efficiency: Efficiency = default("air.fan_efficiency")
    drive_efficiency: Efficiency = default("air.drive_efficiency")
    losses: Annotated[float, Number(1.0, 10.0)] = default("air.losses")
    reserve: Annotated[float, Number(1.0, 10.0)] = default("air.reserve")
    least_gap: Annotated[float, Quantity("length", 0.0, 0.1)] = length_default("air.least_gap")
    roughness: Roughness = length_default("air.roughness")
    lift_share: Share = default("air.lift_share")
    feed_drop: Annotated[float, Number(0.02, 3.0)] = default("air.feed_drop")
    engine_power: Annotated[float, Quantity("power", 10.0, 1_000_000.0)] | None = None
    gap_by_run: GapByRun = GapByRun()
    day: tuple[Day, ...] = ()
    surface: tuple[Surface, ...] = ()
    leak: tuple[Leak, ...] = ()
    loss: tuple[LossLine, ...] = ()
    fan: Fan | None = None
    water: Water | None = None
    battery: Battery | None = None
    kinds: Kinds = Kinds()
