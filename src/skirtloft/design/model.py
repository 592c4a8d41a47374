"""The typed design: one frozen record per table of the design file, SI floats and radians, names as the TOML keys.

The same records are the schema: the annotation of a field tells the reader what kind of text to expect and the range
that makes sense. Building a record by hand from floats checks types only; `skirtloft.design.read` checks the rest.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import model_validator

from skirtloft.design.air_model import Air
from skirtloft.design.bounce_model import Bounce
from skirtloft.design.cloth_model import Diaphragm, Fittings, Join, Skids, Stitch, Strength, Tear
from skirtloft.design.extras_model import Back, Covers, Drains, HullBand, LoopTies, Seams, Spares, SprayFlap, Wear
from skirtloft.design.material_model import Materials, Prices
from skirtloft.design.ride_model import Balance, UnderWay
from skirtloft.design.schema import (
    Allowance,
    Coordinate,
    Depth,
    Drop,
    FaceAngle,
    Inboard,
    Inset,
    Name,
    Number,
    Point,
    Quantity,
    Radius,
    Record,
    TipAngle,
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
    """Load cases; the first is the design case. `seats` picks the usual weight of cloth; left out, the mass does."""

    seats: Annotated[int, Number(1, 12)] | None = None
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


class FixingPlace(Record):
    """Where the inner fixings of a run are on a hull that exists [m].

    `height` is above the flat of the hull bottom; `inboard` is how far inside the hull edge, square to it in plan.
    """

    height: Annotated[float, Quantity("length", 0.0, 3.0)]
    inboard: Annotated[float, Quantity("length", 0.01, 5.0)]


class FixingPoint(Record):
    """A vertex of the inner-fixing line of a hull that exists, port half; fields as `HullPoint`, without a label."""

    x: Coordinate
    y: Coordinate
    height: Annotated[float, Quantity("length", 0.0, 3.0)]
    radius: Radius | None = None
    through: Point | None = None


class Fixing(Record):
    """The inner-fixing line of a hull that exists: by run (nothing is said of the corners), or as a line of points."""

    bow: FixingPlace | None = None
    side: FixingPlace | None = None
    stern: FixingPlace | None = None
    line: tuple[FixingPoint, ...] | None = None


class FlatBottom(Record):
    """How far the edge of the flat of the bottom lies inside the hull edge, square to it in plan, by run [m]."""

    bow: Annotated[float, Quantity("length", 0.02, 5.0)] | None = None
    side: Annotated[float, Quantity("length", 0.02, 5.0)] | None = None
    stern: Annotated[float, Quantity("length", 0.02, 5.0)] | None = None


class Hull(Record):
    """Clearance [m] of the flat bottom above the tip plane, and the edge that carries the skirt.

    A hull that exists may also say where its inner fixings and the edge of its flat bottom are, and its skids.
    """

    clearance: Annotated[float, Quantity("length", 0.03, 1.0)]
    edge: tuple[HullPoint, ...]
    fixing: Fixing | None = None
    bottom: FlatBottom | None = None
    skids: Skids = Skids()


class Inner(Record):
    """The inner fixing: how far below the joint it lies, and how far inboard of it [m].

    `inboard` not given follows from face and tip angle; given, the tip angle follows from it. `tight`: what becomes of
    webs that would cross in a tight corner.
    """

    drop: Drop = length_default("skirt.inner.drop")
    inboard: Inboard | None = None
    tight: Literal["shorten", "whole"] = default("skirt.inner.tight")


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


class StationWish(Record):
    """A station that the builder wants [m along the joint line from the bow centre]: pinned, added or left out.

    A pinned station takes part in the even division of its corner; one that is added or left out moves no other.
    `loop`: how much longer (or, below 0, shorter) the loop is cut there than its section asks for; evenly in between,
    the same beyond the first and the last. "recut" places no station and changes the loop only.
    """

    at: Annotated[float, Quantity("length", 0.0, 60.0)]
    what: Literal["pin", "add", "leave out", "recut"] = default("skirt.station.what")
    loop: Annotated[float, Quantity("length", -0.1, 0.1)] | None = None


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
    diaphragm: Diaphragm | None = None
    station: tuple[StationWish, ...] | None = None


class Cloth(Record):
    """Mass [kg/m2], width of the roll [m], way of the warp, whether one side must face out, whether it runs one way.

    `one_way` cloth has a pile, a print or a bow in its weave: no piece may be turned by half a turn. `strength` [N/m]
    of a strip and `tear` [N] from the maker's sheet; without them nothing is judged by strength.
    """

    mass: Annotated[float, Quantity("areal_mass", 0.03, 3.0)]
    roll_width: Annotated[float, Quantity("length", 0.3, 5.0)] = length_default("cloth.roll_width")
    warp: Warp = default("cloth.warp")
    face_side: bool = default("cloth.face_side")
    one_way: bool = default("cloth.one_way")
    strength: Strength | None = None
    tear: Tear | None = None


class Cloths(Record):
    """The two cloths; `along` is along the skirt, `around` is around the section (down the face)."""

    loop: Cloth
    segment: Cloth


class LoopPatterns(Record):
    """How loop panels are made flat, and when a panel is good enough.

    `thread_strain`: largest stretch along warp or weft; `deviation` [m]: how far a panel may stand off the drawn shape.
    `weft`, `shear`: stiffness across the warp and in shear, over that along the warp; `contraction`: Poisson's ratio.
    """

    pattern: Literal["exact", "quick"] = default("making.loop.pattern")
    thread_strain: Annotated[float, Number(0.002, 0.1)] = default("making.loop.thread_strain")
    deviation: Annotated[float, Quantity("length", 0.0005, 0.05)] = length_default("making.loop.deviation")
    corner_end: Literal["section", "mean"] = default("making.loop.corner_end")
    weft: Annotated[float, Number(0.1, 10.0)] = default("making.loop.weft")
    shear: Annotated[float, Number(0.002, 1.0)] = default("making.loop.shear")
    contraction: Annotated[float, Number(0.0, 0.45)] = default("making.loop.contraction")
    longest: Annotated[float, Quantity("length", 0.2, 20.0)] | None = None


class Making(Record):
    """Allowances and holes [m], how seams are joined, stitches and thread [m, N], shock factor, paper, printer.

    `hull_edge_corner` is the hull edge's allowance on corner panels.
    """

    seam: Allowance = length_default("making.seam")
    hull_edge: Allowance = length_default("making.hull_edge")
    hull_edge_corner: Allowance | None = None
    joint: Allowance = length_default("making.joint")
    hem: Allowance = length_default("making.hem")
    tip_trim: Allowance = length_default("making.tip_trim")
    tip_change: Annotated[float, Quantity("length", -0.05, 0.05)] = length_default("making.tip_change")
    level: Annotated[float, Quantity("length", 0.002, 0.1)] = length_default("making.level")
    hole: Annotated[float, Quantity("length", 0.001, 0.03)] = length_default("making.hole")
    hole_pitch: Annotated[float, Quantity("length", 0.01, 0.5)] = length_default("making.hole_pitch")
    hole_edge: Annotated[float, Quantity("length", 0.003, 0.1)] = length_default("making.hole_edge")
    join: Join = default("making.join")
    stitch: Stitch = default("making.stitch")
    stitch_length: Annotated[float, Quantity("length", 0.001, 0.02)] = length_default("making.stitch_length")
    rows: Annotated[int, Number(1, 6)] = default("making.rows")
    thread_strength: Annotated[float, Quantity("force", 1.0, 1000.0)] | None = None
    shock: Annotated[float, Number(1.0, 20.0)] = default("making.shock")
    fittings: Fittings = Fittings()
    patch: Allowance = length_default("making.patch")
    seams: Seams = Seams()
    spares: Spares = Spares()
    wear: Wear | None = None
    back: Back | None = None
    hull_band: HullBand | None = None
    spray_flap: SprayFlap | None = None
    drains: Drains | None = None
    loop_ties: LoopTies | None = None
    covers: Covers | None = None
    paper: Paper = default("making.paper")
    printer_x: Annotated[float, Number(0.9, 1.1)] = default("making.printer_x")
    printer_y: Annotated[float, Number(0.9, 1.1)] = default("making.printer_y")
    loop: LoopPatterns = LoopPatterns()

    @property
    def is_glued(self) -> bool:
        """Whether laps are glued."""
        return "glued" in self.join

    @property
    def is_sewn(self) -> bool:
        """Whether seams are sewn."""
        return "sewn" in self.join

    @property
    def sewn_rows(self) -> int:
        """Rows of stitches in a seam; 0 where none is sewn."""
        return self.rows if self.is_sewn else 0


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
    bounce: Bounce = Bounce()
    cloth: Cloths
    making: Making = Making()
    layout: Laying = Laying()
    materials: Materials = Materials()
    prices: Prices = Prices()
    balance: Balance = Balance()
    under_way: UnderWay = UnderWay()
