"""The design file as a page shows it: groups of blocks of fields, each with its text as written or its default."""

from __future__ import annotations

import tomllib
from functools import cache, lru_cache
from typing import Annotated, Any, Literal, get_args, get_origin

from skirtloft.design.defaults import DEFAULTS, WHEN_ABSENT, Default
from skirtloft.design.fields import hints, join, record_in, schema_paths
from skirtloft.design.meanings import meaning
from skirtloft.design.model import Design, Number, Quantity, Record, Show, Words
from skirtloft.design.quantity import parse_quantity
from skirtloft.design.units import (
    format_area,
    format_areal_mass,
    format_flow,
    format_length,
    format_mass,
    format_power,
    format_pressure,
    format_temperature,
)
from skirtloft.desk.edits import as_text
from skirtloft.errors import DesignError

# The groups in the order a builder thinks, and the tables of the file that each holds.
GROUPS: dict[str, tuple[str, ...]] = {
    "craft": ("project", "craft"),
    "hull": ("hull",),
    "skirt": ("skirt",),
    "air": ("air", "bounce", "balance", "under_way"),
    "cloth": ("cloth",),
    "making": ("making", "materials", "prices", "layout"),
}
_FORMATTERS: dict[str, Any] = {
    "length": format_length,
    "mass": format_mass,
    "areal_mass": format_areal_mass,
    "area": format_area,
    "flow": format_flow,
    "pressure": format_pressure,
    "power": format_power,
    "temperature": format_temperature,
}
Json = dict[str, Any]


@cache
def leaf(path: str) -> Json:
    """Return what never changes of a field: its name, meaning, kind, range, choices, default and its source."""
    hint = schema_paths()[path]
    told = meaning(path)
    item = path.rpartition(".")[2].replace("_", " ").capitalize()
    found: Json = {"label": item if told.label == "Price" else told.label, "says": told.says, **_kind(hint)}
    default = _default(path)
    if default is not None:
        found |= {"default": as_text(default.value), "reason": default.reason, "source": default.source}
    if absent := WHEN_ABSENT.get(path):
        found["absent"] = absent
    return found


def _default(path: str) -> Default | None:
    shared = path.replace("cloth.loop.", "cloth.").replace("cloth.segment.", "cloth.")
    return DEFAULTS.get(path) or DEFAULTS.get(shared)


def _kind(hint: Any) -> Json:
    choices = [part for part in get_args(hint) if part is not type(None)] if get_origin(hint) not in (
        Annotated, Literal, tuple) and get_args(hint) else [hint]  # fmt: skip
    words = [word for part in choices if get_origin(part) is Literal for word in get_args(part)]
    rest = [part for part in choices if get_origin(part) is not Literal]
    if not rest:
        return {"kind": "choice", "choices": words}
    found = _plain_kind(rest[0])
    return {**found, "also": words} if words else found


def _plain_kind(hint: Any) -> Json:
    if hint is bool:
        return {"kind": "switch"}
    if get_origin(hint) is tuple:
        return {"kind": "list"}
    base, mark = get_args(hint)[:2] if get_origin(hint) is Annotated else (hint, None)
    if isinstance(mark, Quantity):
        return {"kind": "quantity", "of": mark.kind, "low": mark.low, "high": mark.high}
    if isinstance(mark, Number):
        return {"kind": "whole" if base is int else "number", "low": mark.low, "high": mark.high}
    return {"kind": "words", "longest": mark.longest if isinstance(mark, Words) else 60}


def static_fields() -> dict[str, Json]:
    """Return `leaf` of every key that is no table."""
    return {path: leaf(path) for path, hint in schema_paths().items() if path != "format" and not record_in(hint)[0]}


@lru_cache(maxsize=4)
def groups(text: str) -> list[Json]:
    """Return the file's fields as groups of blocks of rows, in the order of the schema.

    A row is ``{key, path, text, given, hint}``: the text as written, or that of the default where nothing is; `hint`
    is the value in the other system of units. A block says whether it can be removed; a group what can be added.
    """
    raw = tomllib.loads(text)
    project = raw.get("project")
    told = project.get("show") if isinstance(project, dict) else None
    show: Show = told if told in ("imperial", "both") else "metric"
    found = []
    for name, tables in GROUPS.items():
        blocks: list[Json] = []
        adds: list[Json] = []
        for table in tables:
            record, _ = record_in(hints(Design)[table])
            assert record is not None
            _walk(record, raw.get(table, {}), table, (blocks, adds, show), removable=False)
        found.append({"name": name, "blocks": [block for block in blocks if block["rows"] or block["removable"]],
                      "adds": adds})  # fmt: skip
    return found


def _walk(record: type[Record], raw: Any, key: str, into: tuple[list[Json], list[Json], Show], removable: bool) -> None:
    """Add the block of one table, then those of the tables in it."""
    blocks, adds, show = into
    table = raw if isinstance(raw, dict) else {}
    path = _bare(key)
    rows: list[Json] = []
    inner_tables: list[tuple[str, type[Record], bool]] = []
    for name, hint in hints(record).items():
        inner, many = record_in(hint)
        if inner is not None:
            inner_tables.append((name, inner, many))
        elif not (path == "craft.load" and "items" in table and name in ("mass", "x", "y", "z")):
            rows.append(_row(join(key, name), join(path, name), table.get(name), show))
    blocks.append({"key": key, "path": path, "rows": rows, "removable": removable})
    if path == "craft.load" and "items" in table:
        inner_tables.append(("items", record_in(schema_paths()["craft.load.items"])[0] or Record, True))
    for name, inner, many in inner_tables:
        here, inner_path = join(key, name), join(path, name)
        if many:
            entries = table.get(name)
            entries = entries if isinstance(entries, list) else []
            for index, entry in enumerate(entries):
                _walk(inner, entry, f"{here}[{index}]", into, removable=len(entries) > _least(inner_path))
            if path.count(".") < 3 and (entries or inner_path != "skirt.joint_line"):
                adds.append({"key": here, "path": inner_path, "count": len(entries)})
        elif _is_optional(record, name) and name not in table:
            adds.append({"key": here, "path": inner_path, "count": 0})
        else:
            _walk(inner, table.get(name, {}), here, into, removable=_is_optional(record, name))


def _least(path: str) -> int:
    """Return how many entries a list must keep."""
    return {"craft.load": 1, "hull.edge": 3}.get(path, 0)


def _is_optional(record: type[Record], name: str) -> bool:
    field = record.model_fields[name]
    return not field.is_required() and field.get_default() is None


def _bare(key: str) -> str:
    return "".join(part.partition("]")[2] if index else part for index, part in enumerate(key.split("[")))


def _row(key: str, path: str, value: Any, show: Show) -> Json:
    told = leaf(path)
    given = value is not None
    text = as_text(value) if given else told.get("default", "")
    row: Json = {"key": key, "path": path, "text": text, "given": given}
    if told["kind"] == "quantity" and text and (hint := in_other_units(told["of"], text, show)):
        row["hint"] = hint
    return row


def in_other_units(kind: str, text: str, show: Show) -> str:
    """Return a quantity in the units it is not written in, "" where there are none or it is no quantity."""
    if kind not in _FORMATTERS:
        return ""
    try:
        value = parse_quantity(kind, text, kind)  # type: ignore[arg-type]
    except DesignError:
        return ""
    is_imperial = any(unit in text for unit in ("in", "ft", "lb", "oz", "hp", "degF", "'", '"', "foot", "cfm", "psi"))
    other = "metric" if is_imperial else "imperial"
    return str(_FORMATTERS[kind](value, other)) if show == "both" or show == other else ""


def text_of(text: str, key: str) -> str:
    """Return what stands at a key of a design's text, or its default as a field shows it; "" where there is no row."""
    for group in groups(text):
        for block in group["blocks"]:
            for row in block["rows"]:
                if row["key"] == key:
                    return str(row["text"])
    return ""
