"""The tables on what may be sewn besides loop, segments and strips, and on the kind of every seam."""

from __future__ import annotations

from typing import Annotated, Literal

from skirtloft.design.schema import Number, Quantity, Record, default, length_default

SeamClass = Literal["superimposed", "lapped", "bound"]
HemClass = Literal["turned", "bound"]
Width = Annotated[float, Quantity("length", 0.005, 0.5)]


class Seams(Record):
    """Kind of every seam, by the classes of ISO 4916: 1 superimposed, 2 lapped, 3 bound, 6 turned.

    `loop` between loop panels, `face` between face and web, `hem` of free edges, `hull` at the hull edge; `binding` is
    the finished width of a binding tape [m].
    """

    loop: SeamClass = default("making.seams.loop")
    face: SeamClass = default("making.seams.face")
    hem: HemClass = default("making.seams.hem")
    hull: HemClass = default("making.seams.hull")
    binding: Annotated[float, Quantity("length", 0.005, 0.05)] = length_default("making.seams.binding")


class Spares(Record):
    """Spare pieces: `share` of those on the craft, `least` segments in all, `corner` segments of every corner."""

    share: Annotated[float, Number(0.0, 2.0)] = default("making.spares.share")
    least: Annotated[int, Number(0, 200)] = default("making.spares.least")
    corner: Annotated[int, Number(0, 50)] = default("making.spares.corner")


class Wear(Record):
    """A wear panel over the tip of every face: `height` up it, `inset` from its seams [m], own cloth [kg/m2]."""

    height: Width = length_default("making.wear.height")
    inset: Annotated[float, Quantity("length", 0.0, 0.05)] = length_default("making.wear.inset")
    mass: Annotated[float, Quantity("areal_mass", 0.03, 3.0)] | None = None


class Back(Record):
    """What closes the mouth of the stern segments: a flap of `height` from the tip, or all up to an `opening` [m]."""

    form: Literal["flap", "closed"] = default("making.back.form")
    height: Width = length_default("making.back.height")
    opening: Annotated[float, Quantity("length", 0.0, 0.5)] = length_default("making.back.opening")
    corners: bool = default("making.back.corners")


class HullBand(Record):
    """A folded band sewn to the loop along the hull edge, of finished `width` [m]."""

    width: Width = length_default("making.hull_band.width")


class SprayFlap(Record):
    """An apron that hangs from the joint over the tops of the segments: `drop` down the face [m], and on which runs."""

    drop: Width = length_default("making.spray_flap.drop")
    runs: Literal["bow", "bow and sides", "all"] = default("making.spray_flap.runs")


class Drains(Record):
    """Slots low in the loop at the stern: `count` on the craft, `length` and height `above` the joint [m]."""

    count: Annotated[int, Number(1, 60)] = default("making.drains.count")
    length: Annotated[float, Quantity("length", 0.01, 0.2)] = length_default("making.drains.length")
    above: Annotated[float, Quantity("length", 0.01, 0.2)] = length_default("making.drains.above")


class LoopTies(Record):
    """Straps inside the loop from hull edge to joint, about `spacing` apart and of finished `width` [m]."""

    spacing: Annotated[float, Quantity("length", 0.1, 5.0)] = length_default("making.loop_ties.spacing")
    width: Width = length_default("making.loop_ties.width")


class Covers(Record):
    """Cover tapes of `width` [m] over the seams of the loop."""

    width: Width = length_default("making.covers.width")
