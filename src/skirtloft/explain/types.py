"""The nouns of an explanation: what a number or a rule means, by which equation, and what moves it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from skirtloft.checks.finding import Finding
from skirtloft.pipeline import Skirt


@dataclass(frozen=True)
class Working:
    """How the value of a rule comes about.

    Parameters
    ----------
    equation : str
    filled : callable
        The same with the values of a skirt and its finding in it.
    cut : bool
        The value is known only once the pieces are cut.
    """

    equation: str
    filled: Callable[[Skirt, Finding], str]
    cut: bool = False


@dataclass(frozen=True)
class Topic:
    """A number that can be asked for.

    Parameters
    ----------
    name : str
        As typed: "loop-length".
    title, meaning, equation, source : str
    unit : str
        SI unit of the value, as in `Finding`.
    value : callable
        Skirt and station index -> value.
    filled : callable
        The equation with values in it.
    by_station : bool
        It differs from station to station.
    """

    name: str
    title: str
    meaning: str
    equation: str
    source: str
    unit: str
    value: Callable[[Skirt, int], float]
    filled: Callable[[Skirt, int], str]
    by_station: bool = False


@dataclass(frozen=True)
class Knob:
    """One key of the design file that holds a number, or the same key of every entry of a list.

    Parameters
    ----------
    path : str
        "skirt.depth"; "hull.edge[].x" is the x of every point.
    values : tuple of float
        SI, one or one per entry.
    low, high : float
        Where the reader of files draws the line.
    whole : bool
        Only whole numbers make sense.
    warmth : bool
        A temperature: 5 % of it means nothing.
    """

    path: str
    values: tuple[float, ...]
    low: float
    high: float
    whole: bool
    warmth: bool


@dataclass(frozen=True)
class Move:
    """What a number becomes when one knob is turned; nan where nothing can be built.

    Parameters
    ----------
    knob : Knob
    less, more : float
        The number with 5 % less and with 5 % more (5 K of a temperature, one of what is counted).
    """

    knob: Knob
    less: float
    more: float
