"""The typed design: one frozen record per table of the design file, SI floats and radians, names as the TOML keys.

The same records are the schema: the annotation of a field tells the reader what kind of text to expect and the range
that makes sense. Building a record by hand from floats checks types only; `skirtloft.design.read` checks the rest.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import model_validator

from skirtloft.design.air_model import Air
from skirtloft.design.material_model import Materials, Prices
from skirtloft.design.schema import (
    Allowance,
    Coordinate,
    Inset,
    Name,
    Number,
    Point,
    Quantity,
    Radius,
    Record,
    Words,
    default,
    length_default,
)

__all__ = [
    "FORMAT", "Air", "Cloth", "Cloths", "CornerRadii", "Craft", "CutRoll", "Design", "Hull", "HullPoint", "Item",
    "JointPoint", "Laying", "Load", "Making", "Materials", "Number", "Prices", "Project", "Quantity", "Record",
    "RunInset", "Show", "Skirt", "Words",
]  # fmt: skip

FORMAT = "skirtloft-design/1"

Show = Literal["metric", "imperial", "both"]
RunLabel = Literal["bow", "side", "stern", "corner"]
JointLabel = Literal["bow", "side", "stern", "corner"]
Warp = Literal["along", "around"]
Paper = Literal["A4", "Letter"]


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


class RunInset(Record):
    """How far inside the hull edge a run's tip line, or else its joint line, lies [m].

    The reader sees to it that exactly one is given for every run of the hull edge, and none where the run does not
    occur or the joint line is given outright.
    """

    tip_inside: Inset | None = None
    joint_inside: Inset | None = None


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
    """A vertex of the joint line given outright, port half; fields as `HullPoint`, all at the depth."""

    x: Coordinate
    y: Coordinate
    run: JointLabel | None = None
    radius: Radius | None = None
    through: Point | None = None


class Skirt(Record):
    """Depth [m] of the segments, their angles [rad], the wanted pitch [m] along the joint and the joint line."""

    depth: Annotated[float, Quantity("length", 0.05, 1.0)]
    face_angle: Annotated[float, Quantity("angle", 0.0, 3.15)] = default("skirt.face_angle", "angle")
    tip_angle: Annotated[float, Quantity("angle", 0.0, 3.15)] = default("skirt.tip_angle", "angle")
    pitch: Annotated[float, Quantity("length", 0.04, 0.6)]
    stations_per_corner: Annotated[int, Number(3, 31)] = default("skirt.stations_per_corner")
    bow: RunInset = RunInset()
    side: RunInset = RunInset()
    stern: RunInset = RunInset()
    corner: CornerRadii = CornerRadii()
    joint_line: tuple[JointPoint, ...] | None = None


class Cloth(Record):
    """Mass [kg/m2], width of the roll [m], way of the warp, whether one side must face out, whether it runs one way.

    `one_way` cloth has a pile, a print or a bow in its weave: no piece may be turned by half a turn.
    """

    mass: Annotated[float, Quantity("areal_mass", 0.03, 3.0)]
    roll_width: Annotated[float, Quantity("length", 0.3, 5.0)] = length_default("cloth.roll_width")
    warp: Warp = default("cloth.warp")
    face_side: bool = default("cloth.face_side")
    one_way: bool = default("cloth.one_way")


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


class CutRoll(Record):
    """A roll or a leftover to cut from [m]; without a length it is as long as it takes."""

    cloth: Literal["loop", "segment"]
    name: Name
    width: Annotated[float, Quantity("length", 0.3, 5.0)] | None = None
    length: Annotated[float, Quantity("length", 0.2, 1000.0)] | None = None


class Laying(Record):
    """How pieces are laid out on the cloth [m]: between two of them, from the edges, and the rolls in their order."""

    gap: Annotated[float, Quantity("length", 0.0, 0.1)] = length_default("layout.gap")
    margin: Annotated[float, Quantity("length", 0.0, 0.2)] = length_default("layout.margin")
    roll: tuple[CutRoll, ...] | None = None


class Design(Record):
    """One craft and its skirt, as the design file says."""

    project: Project
    craft: Craft
    hull: Hull
    skirt: Skirt
    air: Air = Air()
    cloth: Cloths
    making: Making = Making()
    layout: Laying = Laying()
    materials: Materials = Materials()
    prices: Prices = Prices()
