"""The [materials] and [prices] tables of the design file: thread and glue to buy, what it costs."""

from __future__ import annotations

from typing import Annotated

from skirtloft.design.schema import Number, Quantity, Record, Words, default, length_default

Price = Annotated[float, Number(0.0, 1_000_000.0)]


class Materials(Record):
    """What goes into the skirt besides its pieces.

    `glue` [kg/m2] is for all coats on both faces of a lap, wet. How seams are joined and sewn stands in [making].
    """

    thread_spare: Annotated[float, Number(1.0, 3.0)] = default("materials.thread_spare")
    glue: Annotated[float, Quantity("areal_mass", 0.03, 3.0)] = default("materials.glue", "areal_mass")


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
