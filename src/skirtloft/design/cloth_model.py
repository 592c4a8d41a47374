"""The tables on cloth beyond its weight: diaphragm, skids, strength, how it is sewn, and what holds it to the hull."""

from __future__ import annotations

from typing import Annotated, Literal

from skirtloft.design.schema import Number, Quantity, Record, default, length_default

Feed = Literal["through", "beside"]
Join = Literal["glued and sewn", "glued", "sewn", "welded"]
Stitch = Literal["301", "401"]

Margin = Annotated[float, Number(0.0, 0.6)]
Strength = Annotated[float, Quantity("line_force", 500.0, 500_000.0)]
Tear = Annotated[float, Quantity("force", 1.0, 5000.0)]
Height = Annotated[float, Quantity("length", 0.0, 3.0)]
HullInside = Annotated[float, Quantity("length", 0.0, 5.0)]


class RunDiaphragm(Record):
    """The diaphragm of one run: its own margin, and where on the hull it is fixed [m].

    `height` is above the flat of the hull bottom; `inboard` is how far inside the hull edge, square to it in plan. Both
    or neither: left out, the program looks for the place.
    """

    margin: Margin | None = None
    height: Height | None = None
    inboard: HullInside | None = None


class Diaphragm(Record):
    """A light vented cloth from the joint inboard to the hull, held taut by a loop cut short.

    `margin` is what the loop lifts in excess, over the balance; `steepness` the least |u_z| (or the sine of the angle
    to the line from joint to inner fixing); `heave` [-] in g, `pressure_share`, `lip_suction` [m] and `imperfection`
    make the least margin; `over_pressure`, `lag`, `swing` and `frequency` [Hz] size the vents; `vent_diameter` [m] and
    `vents_per_pitch` are holes that are already chosen.
    """

    margin: Margin = default("skirt.diaphragm.margin")
    feed: Feed = default("skirt.diaphragm.feed")
    cloth: Annotated[float, Quantity("areal_mass", 0.03, 3.0)] = default("skirt.diaphragm.cloth", "areal_mass")
    stretch: Annotated[float, Quantity("line_force", 1000.0, 2e6)] = default("skirt.diaphragm.stretch", "line_force")
    steepness: Annotated[float, Number(0.05, 0.9)] = default("skirt.diaphragm.steepness")
    heave: Annotated[float, Number(0.0, 3.0)] = default("skirt.diaphragm.heave")
    pressure_share: Annotated[float, Number(0.1, 1.0)] = default("skirt.diaphragm.pressure_share")
    lip_suction: Annotated[float, Quantity("length", 0.0, 0.05)] = length_default("skirt.diaphragm.lip_suction")
    imperfection: Annotated[float, Number(0.0, 0.5)] = default("skirt.diaphragm.imperfection")
    over_pressure: Annotated[float, Number(0.001, 0.5)] = default("skirt.diaphragm.over_pressure")
    lag: Annotated[float, Number(0.001, 0.5)] = default("skirt.diaphragm.lag")
    swing: Annotated[float, Number(0.01, 2.0)] = default("skirt.diaphragm.swing")
    frequency: Annotated[float, Quantity("frequency", 0.5, 30.0)] = default("skirt.diaphragm.frequency", "frequency")
    vent_diameter: Annotated[float, Quantity("length", 0.005, 0.3)] | None = None
    vents_per_pitch: Annotated[int, Number(1, 200)] | None = None
    bow: RunDiaphragm = RunDiaphragm()
    side: RunDiaphragm = RunDiaphragm()
    stern: RunDiaphragm = RunDiaphragm()


class Skids(Record):
    """Skids under the flat of the bottom: how far they stand below it, and how far inside the hull edge [m]."""

    height: Annotated[float, Quantity("length", 0.0, 0.5)] = length_default("hull.skids.height")
    inboard: HullInside | None = None


class Fittings(Record):
    """Masses of what is no cloth: a bolt with nut and washers, a tie [kg], strip and thread [kg/m], glue [kg/m2]."""

    bolt: Annotated[float, Quantity("mass", 0.0, 0.5)] = default("making.fittings.bolt", "mass")
    tie: Annotated[float, Quantity("mass", 0.0, 0.5)] = default("making.fittings.tie", "mass")
    strip: Annotated[float, Quantity("line_mass", 0.0, 5.0)] = default("making.fittings.strip", "line_mass")
    thread: Annotated[float, Quantity("line_mass", 0.0, 0.01)] = default("making.fittings.thread", "line_mass")
    glue: Annotated[float, Quantity("areal_mass", 0.0, 3.0)] = default("making.fittings.glue", "areal_mass")
