"""The typed design: one frozen record per table of the design file, SI floats and radians, names as the TOML keys.

The same records are the schema: the annotation of a field tells the reader what kind of text to expect and the range
that makes sense. Building a record by hand from floats checks types only; `skirtloft.design.read` checks the rest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from skirtloft.design.defaults import DEFAULTS
from skirtloft.design.quantity import Kind, parse_quantity
from skirtloft.design.segment_form import TIP_ANGLES

FORMAT = "skirtloft-design/1"

Show = Literal["metric", "imperial", "both"]
RunLabel = Literal["bow", "side", "stern", "corner"]
JointLabel = Literal["bow", "side", "stern", "corner"]
Warp = Literal["along", "around"]
Paper = Literal["A4", "Letter"]


@dataclass(frozen=True)
class Quantity:
    """A number written with its unit: its kind and the range [low, high] in SI that makes sense."""

    kind: Kind
    low: float
    high: float


@dataclass(frozen=True)
class Number:
    """A number written without a unit, and its range [low, high]."""

    low: float
    high: float


@dataclass(frozen=True)
class Words:
    """Printable text of 1 to `longest` letters."""

    longest: int


Name = Annotated[str, Words(60)]
Coordinate = Annotated[float, Quantity("length", -30.0, 30.0)]
Radius = Annotated[float, Quantity("length", 0.005, 30.0)]
Inset = Annotated[float, Quantity("length", -1.0, 1.0)]
Allowance = Annotated[float, Quantity("length", 0.0, 0.2)]
Point = tuple[Coordinate, Coordinate]
Depth = Annotated[float, Quantity("length", 0.05, 1.0)]
FaceAngle = Annotated[float, Quantity("angle", math.radians(30.0), math.radians(70.0))]
TipAngle = Annotated[float, Quantity("angle", *TIP_ANGLES)]
Drop = Annotated[float, Quantity("length", 0.0, 0.5)]
Inboard = Annotated[float, Quantity("length", 0.05, 3.0)]


def default(path: str, kind: Kind | None = None) -> Any:
    """Return a field whose default is the one that `DEFAULTS` gives for `path`."""
    value = DEFAULTS[path].value
    return Field(default=value if kind is None else parse_quantity(kind, value, path))


length_default = partial(default, kind="length")


class Record(BaseModel):
    """Base of every table: frozen, no unknown keys, finite numbers."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Project(Record):
    """Title block; no clock is read, so the same file gives the same pack."""

    name: Name
    revision: Annotated[str, Words(12)] = default("project.revision")
    date: str
    show: Show = default("project.show")


class Item(Record):
    """One thing on board [kg, m]; x forward of the stern, y to port, z above the flat of the hull bottom."""

    name: Name
    mass: Annotated[float, Quantity("mass", 0.01, 20_000.0)]
    x: Coordinate
    y: Coordinate = length_default("craft.load.items.y")
    z: Coordinate


class Load(Record):
    """All-up mass [kg] and its centre [m] for one case; axes as `Item`. Written outright or summed from items."""

    name: Name
    mass: Annotated[float, Quantity("mass", 20.0, 20_000.0)]
    x: Coordinate
    y: Coordinate = length_default("craft.load.y")
    z: Coordinate


class Craft(Record):
    """Load cases; the first is the design case."""

    load: tuple[Load, ...]


class HullPoint(Record):
    """A vertex of the half outline of the hull edge, port, from bow centre to stern centre.

    `height` [m] is above the flat of the hull bottom; `run` names the piece to the next point (None on the last);
    `radius` [m] rounds the vertex in plan; `through` (2,) [m] makes the piece to the next point an arc.
    """

    x: Coordinate
    y: Coordinate
    height: Annotated[float, Quantity("length", 0.02, 3.0)]
    run: RunLabel | None = None
    radius: Radius | None = None
    through: Point | None = None


class Hull(Record):
    """Clearance [m] of the flat bottom above the tip plane, and the edge that carries the skirt."""

    clearance: Annotated[float, Quantity("length", 0.03, 1.0)]
    edge: tuple[HullPoint, ...]


class Inner(Record):
    """The inner fixing: how far below the joint it lies, and how far inboard of it [m].

    `inboard` not given follows from face and tip angle; given, the tip angle follows from it.
    """

    drop: Drop = length_default("skirt.inner.drop")
    inboard: Inboard | None = None


class RunInner(Record):
    """The inner fixing of one run, fields as `Inner`; None is that of the whole skirt."""

    drop: Drop | None = None
    inboard: Inboard | None = None


class RunInset(Record):
    """One run: how far inside the hull edge its tip line, or else its joint line, lies [m], and its own segments.

    The reader sees to it that exactly one inset is given for every run of the hull edge, and none where the run does
    not occur or the joint line is given outright. Depth [m], angles [rad] and inner fixing are None where they are
    those of the whole skirt; through a corner they change evenly along the joint line.
    """

    tip_inside: Inset | None = None
    joint_inside: Inset | None = None
    depth: Depth | None = None
    face_angle: FaceAngle | None = None
    tip_angle: TipAngle | None = None
    inner: RunInner = RunInner()


class CornerRadii(Record):
    """Plan radius [m] of the joint line where bow meets side, side meets side and side meets stern, or "full".

    `side` not given is the bow radius. Not used where the joint line is given outright.
    """

    bow: Radius | Literal["full"] = "full"
    side: Radius | Literal["full"] = "full"
    stern: Radius | Literal["full"] = "full"

    @model_validator(mode="before")
    @classmethod
    def _side_as_bow(cls, given: Any) -> Any:
        if isinstance(given, dict) and "bow" in given and "side" not in given:
            return {**given, "side": given["bow"]}
        return given


class JointPoint(Record):
    """A vertex of the joint line given outright, port half; fields as `HullPoint`, each at its run's depth."""

    x: Coordinate
    y: Coordinate
    run: JointLabel | None = None
    radius: Radius | None = None
    through: Point | None = None


class Skirt(Record):
    """Depth [m] of the segments, their angles [rad] and inner fixing, the wanted pitch [m] and the joint line.

    `weight`: the weight of the cloth is in the balance of every section.
    """

    depth: Depth
    face_angle: FaceAngle = default("skirt.face_angle", "angle")
    tip_angle: TipAngle = default("skirt.tip_angle", "angle")
    inner: Inner = Inner()
    weight: bool = default("skirt.weight")
    pitch: Annotated[float, Quantity("length", 0.04, 0.6)]
    stations_per_corner: Annotated[int, Number(3, 31)] = default("skirt.stations_per_corner")
    bow: RunInset = RunInset()
    side: RunInset = RunInset()
    stern: RunInset = RunInset()
    corner: CornerRadii = CornerRadii()
    joint_line: tuple[JointPoint, ...] | None = None


class Air(Record):
    """Gap [m], altitude [m], temperature [K], discharge coefficient (None = from theory), screening factors."""

    gap: Annotated[float, Quantity("length", 0.0005, 0.1)] = length_default("air.gap")
    altitude: Annotated[float, Quantity("length", -450.0, 5000.0)] = length_default("air.altitude")
    temperature: Annotated[float, Quantity("temperature", 220.0, 330.0)] = default("air.temperature", "temperature")
    discharge: Annotated[float, Number(0.3, 1.0)] | None = None
    fan_efficiency: Annotated[float, Number(0.05, 1.0)] = default("air.fan_efficiency")
    drive_efficiency: Annotated[float, Number(0.05, 1.0)] = default("air.drive_efficiency")
    losses: Annotated[float, Number(1.0, 10.0)] = default("air.losses")
    reserve: Annotated[float, Number(1.0, 10.0)] = default("air.reserve")


class Cloth(Record):
    """Mass [kg/m2], width of the roll [m], way of the warp, and whether one side of the cloth must face out."""

    mass: Annotated[float, Quantity("areal_mass", 0.03, 3.0)]
    roll_width: Annotated[float, Quantity("length", 0.3, 5.0)] = length_default("cloth.roll_width")
    warp: Warp = default("cloth.warp")
    face_side: bool = default("cloth.face_side")


class Cloths(Record):
    """The two cloths; `along` is along the skirt, `around` is around the section (down the face)."""

    loop: Cloth
    segment: Cloth


class Making(Record):
    """Allowances and holes [m], paper and printer correction."""

    seam: Allowance = length_default("making.seam")
    hull_edge: Allowance = length_default("making.hull_edge")
    joint: Allowance = length_default("making.joint")
    hem: Allowance = length_default("making.hem")
    tip_trim: Allowance = length_default("making.tip_trim")
    hole: Annotated[float, Quantity("length", 0.001, 0.03)] = length_default("making.hole")
    hole_pitch: Annotated[float, Quantity("length", 0.01, 0.5)] = length_default("making.hole_pitch")
    hole_edge: Annotated[float, Quantity("length", 0.003, 0.1)] = length_default("making.hole_edge")
    paper: Paper = default("making.paper")
    printer_x: Annotated[float, Number(0.9, 1.1)] = default("making.printer_x")
    printer_y: Annotated[float, Number(0.9, 1.1)] = default("making.printer_y")


class Design(Record):
    """One craft and its skirt, as the design file says."""

    project: Project
    craft: Craft
    hull: Hull
    skirt: Skirt
    air: Air = Air()
    cloth: Cloths
    making: Making = Making()
