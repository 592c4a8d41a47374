"""The [materials] and [prices] tables of the design file: how pieces are joined, what it costs."""

from __future__ import annotations

from typing import Annotated, Literal

from skirtloft.design.schema import Number, Quantity, Record, Words, default, length_default

Join = Literal["glued and sewn", "glued", "sewn", "welded"]
Stitching = Literal["301", "401"]
Price = Annotated[float, Number(0.0, 1_000_000.0)]


class Materials(Record):
    """What goes into the skirt besides its pieces.

    `glue` [kg/m2] is for all coats on both faces of a lap; `strip_mass` [kg/m]; `wear_height` [m] of a patch of wear
    cloth up from the tip of every face, none where it is left out; `spares` is a share of the segments.
    """

    join: Join = default("materials.join")
    stitch: Stitching = default("materials.stitch")
    stitch_rows: Annotated[int, Number(1, 4)] = default("materials.stitch_rows")
    thread_spare: Annotated[float, Number(1.0, 3.0)] = default("materials.thread_spare")
    glue: Annotated[float, Quantity("areal_mass", 0.03, 3.0)] = default("materials.glue", "areal_mass")
    wear_height: Annotated[float, Quantity("length", 0.01, 1.0)] | None = None
    wear_mass: Annotated[float, Quantity("areal_mass", 0.03, 5.0)] | None = None


class Prices(Record):
    """What things cost, in one currency; whatever is left out is shown as not priced.

    Cloth, strip and thread are priced by a length of `per` [m] off the roll, glue by a kilogram, the rest by the piece.
    """

    currency: Annotated[str, Words(8)] = default("prices.currency")
    per: Annotated[float, Quantity("length", 0.1, 100.0)] = length_default("prices.per")
    loop_cloth: Price | None = None
    segment_cloth: Price | None = None
    wear_cloth: Price | None = None
    thread: Price | None = None
    glue: Price | None = None
    strip: Price | None = None
    bolt: Price | None = None
    washer: Price | None = None
    eyelet: Price | None = None
    tie: Price | None = None
