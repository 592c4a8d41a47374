"""One change to a design as a TOML document: put a value, take a key out, add or remove an entry; comments kept."""

from __future__ import annotations

from typing import Any

import tomlkit
from tomlkit.items import AoT, Array

from skirtloft.design.fields import record_in, schema_paths
from skirtloft.design.quantity import shown
from skirtloft.design.write import change_document, steps_of
from skirtloft.desk.starters import starter
from skirtloft.errors import Problem

Toml = tomlkit.TOMLDocument
STATION_APART = 0.3  # m from a station to the next that is added after it


def plain(key: str) -> str:
    """Return a key without its indices: ``hull.edge[2].x`` -> ``hull.edge.x``."""
    return ".".join(step for step in steps_of(key) if isinstance(step, str))


def put(document: Toml, key: str, value: str | None) -> Problem | None:
    """Put a value at a key, or take the key out where the value is None; return what is wrong instead, if anything."""
    if value is not None:
        return change_document(document, key, value)
    holder, last = _holder(document, key)
    if holder is None or not isinstance(last, str) or last not in holder:
        return None  # it is out already
    del holder[last]
    return None


def add(document: Toml, key: str) -> Problem | None:
    """Add an entry to a list (``hull.edge[2]``: after that entry; ``craft.load``: at its end) or a table (``air.fan``).

    A new entry is a copy of the one before it, so that it can be read; the first entry is a starter.
    """
    path = plain(key)
    inner, many = record_in(schema_paths().get(path, str))
    if inner is None:
        return Problem(key, "(nothing)", "Nothing can be added here.", "Add a table or an entry of a list.")
    holder, last = _holder(document, path, create=True)
    if holder is None:
        return Problem(key, "(nothing)", "There is no place for it in the file.", "Add the table above it first.")
    if not many:
        if last not in holder:
            holder[last] = starter(path)
        return None
    entries = holder.get(last)
    if entries is None or len(entries) == 0:
        if entries is not None:
            del holder[last]
        holder[last] = starter(path)
        return None
    steps = steps_of(key)
    at = steps[-1] if isinstance(steps[-1], int) else len(entries) - 1
    if not 0 <= at < len(entries):
        return Problem(key, "(nothing)", "There is no such entry.", f"There are {len(entries)}, counted from 0.")
    _insert(entries, at + 1, _next_to(entries, at, path))
    return None


def remove(document: Toml, key: str) -> Problem | None:
    """Remove an entry of a list (``hull.edge[2]``) or a whole optional table (``air.fan``)."""
    holder, last = _holder(document, key)
    if holder is None or (isinstance(last, str) and last not in holder):
        return Problem(key, "(nothing)", "It is not there.", "Look at the file as it is now.")
    if isinstance(last, int) and not 0 <= last < len(holder):
        return Problem(key, "(nothing)", "There is no such entry.", f"There are {len(holder)}, counted from 0.")
    del holder[last]
    if isinstance(last, int) and len(holder) == 0:  # an empty list of tables cannot be written
        above, name = _holder(document, plain(key))
        if above is not None and name in above:
            del above[name]
    return None


def _holder(document: Toml, key: str, create: bool = False) -> tuple[Any, str | int]:
    """Return the table or list that holds the last step of a key, or None, and that step."""
    steps = steps_of(key)
    if not steps:
        return None, ""
    here: Any = document
    for step in steps[:-1]:
        if create and isinstance(step, str) and isinstance(here, dict) and step not in here:
            here[step] = tomlkit.table()
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None, steps[-1]
    return (here if isinstance(here, (dict, list)) else None), steps[-1]


def _next_to(entries: Any, at: int, path: str) -> dict[str, Any]:
    """Return the values of an entry to stand after entry `at`."""
    values = dict(entries[at].unwrap())
    if path in ("hull.edge", "skirt.joint_line"):
        values = _between(values, entries[at + 1].unwrap() if at + 1 < len(entries) else None)
    if path == "skirt.station":
        values = _further(values)
    if "name" in values:
        names = {entry.get("name") for entry in entries}
        stem = str(values["name"])[:54]
        values["name"] = next(name for k in range(2, 1000) if (name := f"{stem} {k}") not in names)
    return values


def _further(values: dict[str, Any]) -> dict[str, Any]:
    """Return a station a little nearer the stern: two at one place are one."""
    from skirtloft.design.units import parse_length
    from skirtloft.desk.steps import written_like
    from skirtloft.errors import DesignError

    try:
        at = str(values["at"])
        return {**values, "at": written_like(at, "length", parse_length(at) + STATION_APART)}
    except (DesignError, KeyError):
        return values


def _between(values: dict[str, Any], following: dict[str, Any] | None) -> dict[str, Any]:
    """Return a point of an outline half way to the next one."""
    from skirtloft.design.units import parse_length
    from skirtloft.desk.steps import written_like
    from skirtloft.errors import DesignError

    made = {key: value for key, value in values.items() if key not in ("radius", "through")}
    for axis in ("x", "y", "height"):
        try:
            if following is not None and axis in values:
                middle = (parse_length(values[axis]) + parse_length(following[axis])) / 2.0
                made[axis] = written_like(str(values[axis]), "length", middle)
        except (DesignError, KeyError):
            continue
    return made


def _insert(entries: Any, at: int, values: dict[str, Any]) -> None:
    if isinstance(entries, Array):
        inline = tomlkit.inline_table()
        inline.update(values)
        entries.insert(at, inline)
        return
    table = tomlkit.table()
    for key, value in values.items():
        table.add(key, value)
    table.add(tomlkit.nl())
    if isinstance(entries, AoT):
        entries.insert(at, table)


def given(text_tables: Any, key: str) -> Any:
    """Return the raw value at a key of a file as tomllib gives it, or None."""
    here = text_tables
    for step in steps_of(key):
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def as_text(value: Any) -> str:
    """Return a raw TOML value as a field shows it: text bare, numbers and lists as written."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ", ".join(shown(part) for part in value) + "]"
    return f"{value:g}" if isinstance(value, float) else str(value)
