"""Stations as `[[skirt.station]]` tables, put into a design file with its comments kept."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from typing import Any

from skirtloft.design.edge_text import exact_length
from skirtloft.design.read import syntax_problems
from skirtloft.errors import DesignError, Problem

_HEADER = re.compile(r"\[{1,2}\s*([A-Za-z_]+)")


def station_tables(places: Sequence[float], imperial: bool = False) -> str:
    """Return a table for each station to add [m], ending in a line break."""
    return "\n".join(f'[[skirt.station]]\nat = "{exact_length(at, imperial)}"\nwhat = "add"\n' for at in places)


def with_stations(text: str, places: Sequence[float], imperial: bool = False) -> str:
    """Return a design file's text with stations added at `places` [m], after its last table of the skirt.

    Raises
    ------
    DesignError
        The text is no TOML, or its skirt is written in a way that cannot be added to safely.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    plain = text.replace("\r\n", "\n")
    lines = plain.split("\n")
    at = end_of_skirt(lines)
    tables = station_tables(places, imperial)
    made = "\n".join([*lines[:at], "", *tables.rstrip("\n").split("\n"), *lines[at:]])
    try:
        is_safe = tomllib.loads(made) == _with(tomllib.loads(plain), tomllib.loads(tables)["skirt"]["station"])
    except (tomllib.TOMLDecodeError, TypeError, AttributeError):
        is_safe = False
    if not is_safe:
        wrong = "No station can be added here without touching other lines."
        raise DesignError([Problem("skirt.station", "the way it is written", wrong, "Write the tables by hand.")])
    return made.replace("\n", "\r\n") if "\r\n" in text else made


def end_of_skirt(lines: list[str]) -> int:
    """Return the number of lines up to the end of the last table of the skirt, comments on the next one left out."""
    last = following = None
    for i, line in enumerate(lines):
        header = _HEADER.match(line.strip())
        if header and header[1] == "skirt":
            last, following = i, None
        elif header and last is not None and following is None:
            following = i
    end = len(lines) if following is None else following
    while end > 0 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    return end


def _with(document: dict[str, Any], stations: list[dict[str, Any]]) -> dict[str, Any]:
    skirt = document["skirt"]
    return {**document, "skirt": {**skirt, "station": [*skirt.get("station", []), *stations]}}
