"""Designs for tests of the whole flow: the examples, changed where a test needs it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from skirtloft.design.read import load_design
from skirtloft.pipeline import Skirt, build

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = ("one-seat", "four-seat", "ten-seat")

PLACES = {"bow": "520 mm", "side": "290 mm", "stern": "290 mm"}
# The four-seat on a hull on which a diaphragm is possible: 100 mm of clearance, the inner fixing 30 mm below the joint,
# and a rail at the level of the flat of the bottom that reaches nearer to the joint than the inner fixing.
TAUT: tuple[tuple[str, str], ...] = (
    ("hull.clearance", "100 mm"),
    *((f"hull.edge[{i}].height", "490 mm") for i in range(5)),
    ("skirt.inner.drop", "30 mm"),
    ("skirt.diaphragm.margin", "0.2"),
    *((f"skirt.diaphragm.{run}.height", "0 mm") for run in PLACES),
    *((f"skirt.diaphragm.{run}.inboard", place) for run, place in PLACES.items()),
)


@cache
def skirt_of(name: str, *changes: tuple[str, str]) -> Skirt:
    """Return the skirt of an example with `changes` ("skirt.depth", "270 mm") applied."""
    return build(load_design(EXAMPLES / f"{name}.toml", changes))
