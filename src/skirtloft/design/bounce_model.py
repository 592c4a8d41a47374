"""The [bounce] table of the design file: what heave and skirt bounce depend on that no other table tells.

All of it may be left out; most of it is rarely measured, and every answer says what was assumed in its place.
"""

from __future__ import annotations

from typing import Annotated

from skirtloft.design.schema import Number, Quantity, Record, default, length_default

LossFactor = Annotated[float, Number(0.0, 1.0)]
OpenShare = Annotated[float, Number(0.001, 1.0)]


class Bounce(Record):
    """Loss in the cloth, the way from loop to cushion [m2], cushion air [m3], duct [m, m2], fan and tips.

    `fan_steepness` is -(flow/pressure) dp/dQ of the fan less losses; only used without [air.fan].
    """

    loss_factor: LossFactor | None = None
    flow_share: OpenShare = default("bounce.flow_share")
    mouth_area: Annotated[float, Quantity("area", 1e-4, 50.0)] | None = None
    mouth_open: OpenShare = default("bounce.mouth_open")
    mouth_discharge: Annotated[float, Number(0.3, 1.0)] = default("bounce.mouth_discharge")
    cushion_volume: Annotated[float, Quantity("volume", 0.05, 500.0)] | None = None
    duct_length: Annotated[float, Quantity("length", 0.02, 30.0)] | None = None
    duct_area: Annotated[float, Quantity("area", 0.001, 20.0)] | None = None
    fan_steepness: Annotated[float, Number(0.05, 50.0)] = default("bounce.fan_steepness")
    lip_strength: Annotated[float, Number(0.0, 5.0)] = default("bounce.lip_strength")
    lip_length: Annotated[float, Quantity("length", 0.001, 0.1)] = length_default("bounce.lip_length")
