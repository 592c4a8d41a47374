"""What the records of a design file are made of: kinds and ranges of values, defaults, and the base record."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

from skirtloft.design.defaults import DEFAULTS
from skirtloft.design.quantity import Kind, parse_quantity
from skirtloft.design.segment_form import TIP_ANGLES


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
