"""The file of measured gaps -> `Measured`, or every problem of the file at once.

::

    format = "skirtloft-gaps/1"
    load = "full"           # which load of the design was aboard; the first where it is left out
    pressure = "612 Pa"     # in the cushion, where it was measured

    [[gap]]
    at = "port-bow"         # a place word, or a station: P04, S04
    gap = "12 mm"           # daylight under the tips there; 0 where they drag
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import numpy as np

from skirtloft.design.quantity import Kind, parse_quantity, shown
from skirtloft.design.read import syntax_problems
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.frozen import Floats, frozen_array

FORMAT = "skirtloft-gaps/1"
LEAST = 4  # a plane takes three; the fourth is the first that says how well it fits
MOST = 0.3  # [m] a gap beyond this is a slip of the pen
THIN = 0.05  # least over greatest spread of the places: below it they lie in a line


@dataclass(frozen=True, eq=False)
class Measured:
    """Gaps as measured.

    Parameters
    ----------
    places : tuple of str
    points : (n, 2) [m]
        Of the tip line in plan.
    gaps : (n,) [m]
    load : str
    pressure : float or None [Pa]
    """

    places: tuple[str, ...]
    points: Floats
    gaps: Floats
    load: str
    pressure: float | None


def read_gaps(text: str, known: Mapping[str, tuple[float, float]], loads: Sequence[str]) -> Measured:
    """Return the gaps that a file's text tells.

    Parameters
    ----------
    text : str
        TOML.
    known : mapping
        Places by name, from `skirtloft.trim.places.places`.
    loads : sequence of str
        Names of the loads of the design.

    Raises
    ------
    DesignError
        With every problem found.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    raw = tomllib.loads(text)
    if raw.get("format") != FORMAT:
        given = shown(raw["format"]) if "format" in raw else "(nothing)"
        problems.append(Problem("format", given, "It is no file of gaps.", f'Write format = "{FORMAT}".'))
    for key in raw:
        if key not in ("format", "load", "pressure", "gap"):
            problems.append(Problem(key, shown(raw[key]), "No such key.", "Keys here: format, load, pressure, gap."))
    load = raw.get("load", loads[0])
    if load not in loads:
        names = ", ".join(f'"{name}"' for name in loads)
        problems.append(Problem("load", shown(load), "The design has no such load.", f"One of {names}."))
    pressure = None
    if "pressure" in raw:
        pressure = _quantity("pressure", raw["pressure"], "pressure", problems)
        if pressure is not None and not 10.0 <= pressure <= 10_000.0:
            problems.append(
                Problem("pressure", shown(raw["pressure"]), "No cushion has it.", "From 10 Pa to 10 kPa would do.")
            )
    found = _gaps(raw.get("gap", []), known, problems)
    if problems:
        raise DesignError(problems)
    points = np.array([known[place] for place in found])
    _refuse_a_line(points)
    return Measured(tuple(found), frozen_array(points), frozen_array(list(found.values())), str(load), pressure)


def _gaps(raw: object, known: Mapping[str, tuple[float, float]], problems: list[Problem]) -> dict[str, float]:
    if not isinstance(raw, list):
        problems.append(Problem("gap", shown(raw), "A list of tables belongs here.", "Write one [[gap]] for each."))
        return {}
    if len(raw) < LEAST:
        wrong = "A plane takes three; only with more does it show how well it fits."
        problems.append(Problem("gap", f"{len(raw)} gaps", wrong, "Measure eight places round the craft, at least 4."))
    found: dict[str, float] = {}
    for index, entry in enumerate(raw):
        path = f"gap[{index}]"
        if not isinstance(entry, dict):
            problems.append(
                Problem(path, shown(entry), "A table belongs here.", "Write [[gap]] and its keys under it.")
            )
            continue
        for key in entry:
            if key not in ("at", "gap"):
                problems.append(Problem(f"{path}.{key}", shown(entry[key]), "No such key.", "Keys here: at, gap."))
        place = _place(entry, path, known, found, problems)
        value = _gap(entry, path, problems)
        if place is not None and value is not None:
            found[place] = value
    return found


def _place(
    entry: dict[str, Any],
    path: str,
    known: Mapping[str, tuple[float, float]],
    found: Mapping[str, float],
    problems: list[Problem],
) -> str | None:
    place = entry.get("at")
    if isinstance(place, str) and place in known and place not in found:
        return place
    if place is None:
        problems.append(Problem(f"{path}.at", "(nothing)", "It is missing.", 'Write at = "port-bow" or a station.'))
    elif place in found:
        problems.append(Problem(f"{path}.at", shown(place), "It is there already.", "Give each place once."))
    else:
        near = get_close_matches(str(place), list(known), n=1, cutoff=0.6)
        words = ", ".join(name for name in known if name[1:].isdigit() is False)
        would_do = f'Perhaps "{near[0]}" was meant.' if near else f"One of {words}, or a station such as P03 or S03."
        problems.append(Problem(f"{path}.at", shown(place), "No place has that name.", would_do))
    return None


def _gap(entry: dict[str, Any], path: str, problems: list[Problem]) -> float | None:
    if "gap" not in entry:
        problems.append(Problem(f"{path}.gap", "(nothing)", "It is missing.", 'Write gap = "12 mm".'))
        return None
    value = _quantity("length", entry["gap"], f"{path}.gap", problems)
    if value is not None and not 0.0 <= value <= MOST:
        wrong = "It is negative: tips that drag have a gap of 0." if value < 0.0 else "No skirt stands so high."
        problems.append(
            Problem(f"{path}.gap", shown(entry["gap"]), wrong, f"From 0 mm to {1000 * MOST:.0f} mm would do.")
        )
        return None
    return value


def _quantity(kind: Kind, value: object, path: str, problems: list[Problem]) -> float | None:
    try:
        return float(parse_quantity(kind, value, path))
    except DesignError as error:
        problems.extend(error.problems)
        return None


def _refuse_a_line(points: Floats) -> None:
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if spread[1] < THIN * spread[0]:
        raise DesignError(
            [Problem("gap", f"{len(points)} places", "They lie in a line: no plane follows.", "Measure all round.")]
        )
