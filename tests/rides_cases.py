"""Rides of the examples for tests, with changes; each solved once."""

from __future__ import annotations

from functools import cache

from skirtloft.design.read import load_design
from skirtloft.pipeline import Skirt, build
from skirtloft.rides.rides_of import rides_of
from skirtloft.rides.types import Rides
from tests.designs import EXAMPLES

NARROW = ("bounce.mouth_area", "1.2 m2")  # of the four-seat: margin below 1


@cache
def ride(name: str, *changes: tuple[str, str], load: int = 0) -> tuple[Skirt, Rides]:
    """Return an example's skirt without pieces, and its rides."""
    skirt = build(load_design(EXAMPLES / f"{name}.toml", changes), cut=False)
    return skirt, rides_of(skirt, load)
