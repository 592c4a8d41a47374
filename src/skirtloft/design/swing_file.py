"""The readings of a swing test, one TOML file: which segment, how far it swung each time, and how it was read.

`skirtloft swing` takes it; docs/rides.md says how to do the test and has a form.
"""

from __future__ import annotations

import math
import tomllib
from typing import Annotated, Any, Literal

from skirtloft.design.fields import NOTHING, read_record
from skirtloft.design.quantity import shown
from skirtloft.design.read import syntax_problems
from skirtloft.design.schema import Name, Number, Quantity, Record
from skirtloft.errors import DesignError, Problem

FORMAT = "skirtloft-swing/1"
Run = Literal["bow", "bow corner", "side", "side corner", "stern corner", "stern"]
_TRAVEL = "Write the travels from rest, one swing after the other: travel = [80, 58, 43, 31, 23]."


class SwingSet(Record):
    """One segment swung once; travels and `reading`, the finest step that was read, in any one unit.

    `gap` [m]: air escaped under its tip; None: it could not, the tip was clear of the ground or sealed.
    """

    name: Name
    run: Run
    sides: Literal["one", "both"] = "one"
    reading: Annotated[float, Number(0.0, 1000.0)] = 0.0
    gap: Annotated[float, Quantity("length", 0.0005, 0.3)] | None = None
    travel: tuple[float, ...] = ()


class _Told(Record):
    """The keys of a [[swing]] that read themselves."""

    name: Name
    run: Run
    sides: Literal["one", "both"] = "one"
    reading: Annotated[float, Number(0.0, 1000.0)] = 0.0
    gap: Annotated[float, Quantity("length", 0.0005, 0.3)] | None = None


def parse_swings(text: str) -> tuple[SwingSet, ...]:
    """Return the swings of a file's text.

    Raises
    ------
    DesignError
        With every problem of the file; whether the swings fade as swings do is looked at by `swing_loss`.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    raw = tomllib.loads(text)
    if raw.get("format") != FORMAT:
        given = shown(raw["format"]) if "format" in raw else NOTHING
        problems.append(
            Problem("format", given, "It does not say that it holds swings.", f'Write format = "{FORMAT}".')
        )
    for key in raw:
        if key not in ("format", "swing"):
            problems.append(Problem(key, shown(raw[key]), "No such key here.", "Write one [[swing]] for each segment."))
    rows = raw.get("swing")
    if not isinstance(rows, list) or not rows:
        given = NOTHING if rows is None else shown(rows)
        problems.append(Problem("swing", given, "There are no swings in it.", f"Write a [[swing]]. {_TRAVEL}"))
        rows = []
    found = [_swing(row, f"swing[{index}]", problems) for index, row in enumerate(rows)]
    if problems:
        raise DesignError(problems)
    return tuple(SwingSet.model_validate(values) for values in found)


def _swing(row: Any, path: str, problems: list[Problem]) -> dict[str, Any]:
    if not isinstance(row, dict):
        problems.append(Problem(path, shown(row), "A table belongs here.", "Write [[swing]] and its keys under it."))
        return {}
    values = read_record(_Told, {key: value for key, value in row.items() if key != "travel"}, path, problems)
    values["travel"] = _travel(row.get("travel"), f"{path}.travel", problems)
    return values


def _travel(given: Any, path: str, problems: list[Problem]) -> tuple[float, ...]:
    if not isinstance(given, list):
        words = NOTHING if given is None else shown(given)
        problems.append(Problem(path, words, "A list of numbers belongs here.", _TRAVEL))
        return ()
    read = []
    for index, value in enumerate(given):
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
            problems.append(Problem(f"{path}[{index}]", shown(value), "It is not a plain number.", _TRAVEL))
        else:
            read.append(float(value))
    return tuple(read)
