"""Loops and tips changed by what an inflation shows, put into a design file with its comments kept."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from typing import Any

from skirtloft.design.edge_text import exact_length
from skirtloft.design.read import syntax_problems
from skirtloft.design.station_text import end_of_skirt
from skirtloft.errors import DesignError, Problem

_HEADER = re.compile(r"\s*\[")
_STATION = re.compile(r"\s*\[\[\s*skirt\.station\s*\]\]")
_RECUT = re.compile(r"""\s*what\s*=\s*["']recut["']""")
_MAKING = re.compile(r"\s*\[\s*making\s*\]")
_TIPS = re.compile(r"\s*tip_change\s*=")


def with_recut(text: str, loops: Sequence[tuple[float, float]], tips: float, imperial: bool = False) -> str:
    """Return a design file's text with loops and tips changed; "recut" stations that it has give way to the new ones.

    Parameters
    ----------
    text : str
    loops : sequence of (place along the joint line, how much longer) [m]
    tips : float [m]
        How much longer the tips are cut than drawn, in all.
    imperial : bool

    Raises
    ------
    DesignError
        The text is no TOML, or is written in a way that cannot be changed safely.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    plain = text.replace("\r\n", "\n")
    tables = "\n".join(
        f'[[skirt.station]]\nat = "{exact_length(at, imperial)}"\nwhat = "recut"\nloop = "{_length(by, imperial)}"\n'
        for at, by in loops
    )
    lines = _with_tips(_without_recut(plain.split("\n")), f'tip_change = "{_length(tips, imperial)}"')
    at = end_of_skirt(lines)
    added = ["", *tables.rstrip("\n").split("\n")] if tables else []
    made = "\n".join([*lines[:at], *added, *lines[at:]])
    try:
        is_safe = tomllib.loads(made) == _wanted(tomllib.loads(plain), tables, _length(tips, imperial))
    except (tomllib.TOMLDecodeError, TypeError, AttributeError):
        is_safe = False
    if not is_safe:
        wrong = "Loops and tips cannot be changed here without touching other lines."
        raise DesignError([Problem("skirt.station", "the way it is written", wrong, "Write the tables by hand.")])
    return made.replace("\n", "\r\n") if "\r\n" in text else made


def _length(value: float, imperial: bool) -> str:
    return f"{value / 0.0254:.3f} in" if imperial else f"{value * 1e3:.1f} mm"


def _without_recut(lines: list[str]) -> list[str]:
    """Return the lines without the tables that only change a loop, each up to the next table or empty line."""
    kept: list[str] = []
    i = 0
    while i < len(lines):
        end = i + 1
        if _STATION.match(lines[i]):
            while end < len(lines) and not _HEADER.match(lines[end]) and lines[end].strip():
                end += 1
            if any(_RECUT.match(line) for line in lines[i:end]):
                i = end + 1 if end < len(lines) and not lines[end].strip() else end
                continue
        kept += lines[i:end]
        i = end
    return kept


def _with_tips(lines: list[str], line: str) -> list[str]:
    header = next((i for i, own in enumerate(lines) if _MAKING.match(own)), None)
    if header is None:
        return [*lines, "[making]", line, ""]
    for i in range(header + 1, len(lines)):
        if _HEADER.match(lines[i]):
            break
        if _TIPS.match(lines[i]):
            _, mark, comment = lines[i].partition("#")
            return [*lines[:i], f"{line}  {mark}{comment}".rstrip(), *lines[i + 1 :]]
    return [*lines[: header + 1], line, *lines[header + 1 :]]


def _wanted(document: dict[str, Any], tables: str, tips: str) -> dict[str, Any]:
    skirt, making = dict(document["skirt"]), document.get("making", {})
    stations = [row for row in skirt.pop("station", []) if row.get("what") != "recut"]
    stations += tomllib.loads(tables)["skirt"]["station"] if tables else []
    own = {**skirt, "station": stations} if stations else skirt
    return {**document, "skirt": own, "making": {**making, "tip_change": tips}}
