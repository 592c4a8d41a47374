"""Designs for tests of the whole flow: the examples, changed where a test needs it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from skirtloft.design.read import load_design
from skirtloft.pipeline import Skirt, build

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = ("one-seat", "four-seat", "ten-seat")


@cache
def as_cut(name: str, *changes: tuple[str, str]) -> Skirt:
    """Return the same with its loop patterns as the file says, exact unless it asks for quick ones."""
    return build(load_design(EXAMPLES / f"{name}.toml", changes), preview=False)


@cache
def skirt_of(name: str, *changes: tuple[str, str]) -> Skirt:
    """Return the skirt of an example with `changes` ("skirt.depth", "270 mm") applied."""
    return build(load_design(EXAMPLES / f"{name}.toml", changes))
