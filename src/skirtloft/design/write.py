"""Changes to a design file's text, comments kept: the other way from `skirtloft.design.read`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.exceptions import ParseError
from tomlkit.items import AoT, Table

from skirtloft.design.fields import MOVED, is_written_bare, record_in, schema_paths
from skirtloft.design.quantity import shown
from skirtloft.errors import DesignError, Problem

Changes = Mapping[str, str] | Sequence[tuple[str, str]]

_STEP = re.compile(r"([A-Za-z_]+)((?:\[\d+\])*)")


def change_text(text: str, changes: Changes) -> tuple[str, list[Problem]]:
    """Return the text with the changes made, and the changes that could not be made.

    Parameters
    ----------
    text : str
        TOML that parses.
    changes : mapping or sequence of (path, value)
        A path as problems give it (``hull.edge[2].x``); a value as typed, quantities without quotes (``270 mm``).
    """
    document = tomlkit.parse(text)
    problems: list[Problem] = []
    for path, value in changes.items() if isinstance(changes, Mapping) else changes:
        problem = change_document(document, path, value)
        if problem is not None:
            problems.append(problem)
    return tomlkit.dumps(document), problems


def split_changes(texts: Sequence[str]) -> list[tuple[str, str]]:
    """Return ``skirt.depth=270 mm`` as (path, value), for each; raises DesignError for those without "="."""
    pairs = [text.partition("=") for text in texts]
    problems = [
        Problem(
            "--set", shown(path), "There is no = in it.", 'Write --set KEY="VALUE", for example skirt.depth="270 mm".'
        )
        for path, sign, _ in pairs
        if not sign
    ]
    if problems:
        raise DesignError(problems)
    return [(path.strip(), _bare(value.strip())) for path, _, value in pairs]


def _bare(value: str) -> str:
    """Return a value without the quotes of the file, which some shells leave on."""
    quoted = len(value) >= 2 and value[0] == value[-1] and value[0] in "\"'" and value.count(value[0]) == 2
    return value[1:-1] if quoted else value


def change_document(document: Any, path: str, value: str) -> Problem | None:
    """Change one value of a tomlkit document in place; return the problem where it cannot be made."""
    steps = steps_of(path)
    plain = ".".join(step for step in steps if isinstance(step, str))
    paths = schema_paths()
    if plain in MOVED:
        return Problem(path, shown(value), "No such key to set.", MOVED[plain])
    if not steps or plain not in paths:
        near = get_close_matches(plain, paths, n=1, cutoff=0.5)
        would_do = f'Perhaps "{near[0]}" was meant.' if near else "Give a path such as skirt.depth or hull.edge[2].x."
        return Problem(path, shown(value), "No such key to set.", would_do)
    if record_in(paths[plain])[0] is not None:
        return Problem(path, shown(value), "This is a table; only a key in it can be set.", f"Set {path}.KEY instead.")
    return _put(document, steps, _typed(paths[plain], value), path, value)


def steps_of(path: str) -> list[str | int]:
    """Return ``hull.edge[2].x`` as its steps, keys and indices; an empty list where it is no path."""
    steps: list[str | int] = []
    for part in path.split("."):
        match = _STEP.fullmatch(part.strip())
        if match is None:
            return []
        steps.append(match[1])
        steps.extend(int(index) for index in re.findall(r"\d+", match[2]))
    return steps


def _put(document: Any, steps: list[str | int], item: Any, path: str, value: str) -> Problem | None:
    here = document
    for step, following in pairwise(steps):
        if isinstance(here, dict) and isinstance(step, str) and step not in here and isinstance(following, str):
            here[step] = tomlkit.table()
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return Problem(path, shown(value), _not_there(here, step), "Count from 0, or add the entry to the file.")
        if not isinstance(here, (dict, list)):
            return Problem(
                path, shown(value), f'"{step}" holds a plain value here.', "Set the key itself, or mend the file."
            )
    last = steps[-1]
    fits = isinstance(here, dict) if isinstance(last, str) else isinstance(here, list) and last < len(here)
    if not fits:
        return Problem(path, shown(value), _not_there(here, last), "Count from 0 and name one entry: hull.edge[2].x.")
    here[last] = item
    return None


def _not_there(here: Any, step: str | int) -> str:
    if isinstance(here, (list, AoT)):
        return f"There are {len(here)} entries here, numbered from 0, and none is {step}."
    kind = "table" if isinstance(here, (dict, Table)) else "value"
    return f"The {kind} here has no {step}."


def _typed(hint: Any, value: str) -> Any:
    """Return the value as TOML: a number, true, false or a list where the schema has one, else text."""
    if is_written_bare(hint):
        try:
            return tomlkit.value(value)
        except ParseError:
            pass
    return value
