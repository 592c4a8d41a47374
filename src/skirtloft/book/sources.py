"""Every assumption behind the numbers: what the file says, what was taken by default, why and from where."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.book.subject import Subject
from skirtloft.book.types import Block, Chapter, Heading, Table, Text
from skirtloft.design.defaults import DEFAULTS, Default
from skirtloft.design.fields import hints, record_in
from skirtloft.design.model import Number, Quantity, Record
from skirtloft.design.quantity import parse_quantity
from skirtloft.explain.knobs import range_in
from skirtloft.explain.ranges import quantity_text
from skirtloft.materials.list import SPARE_TIES, THREAD_RATIO, WASHERS

OWN = (
    ("Washers for each bolt", str(WASHERS), "common practice, no source"),
    ("Ties carried as spares", str(SPARE_TIES), "common practice, no source"),
    ("Thread over the length of a seam, stitch 301", f"{THREAD_RATIO['301']:g}", "apparel practice, from memory"),
    ("Thread over the length of a seam, stitch 401", f"{THREAD_RATIO['401']:g}", "apparel practice, from memory"),
)


def sources(subject: Subject, digest: str) -> Chapter:
    """Return the assumptions: values of the file, defaults with reason and source, sources of the rules' limits.

    Parameters
    ----------
    digest : str
        sha256 of the design's text; "" where it is not known.
    """
    design, stamp = subject.skirt.design, subject.stamp
    taken = list(_taken(design))
    blocks: list[Block] = [
        Text(
            "Sections, pieces and air are computed from the design file alone. What is not in it is assumed; here is"
            " all of it. Cloth is taken as thin and inextensible, air as calm, ground as smooth where the file says"
            " nothing else. Nothing here was measured on this craft: what you measure is worth more, so write it down"
            " beside."
        ),
        *(
            [Text(f"Changed for this book, not in the file: {', '.join(stamp.changes)}.", bold=True)]
            if stamp.changes
            else []
        ),
        *([Text(f"{stamp.record}.", bold=True)] if stamp.record else []),
        *([Text(f"sha256 of the design: {digest}")] if digest else []),
        Heading("Taken by default"),
        Text("The value of the key is the one that the program takes where the file is silent."),
        Table(
            ("Key", "Value", "Why", "Source"),
            tuple(
                (path, _shown(value, mark, subject), default.reason, default.source)
                for path, value, mark, default in taken
            ),
            (2.5, 1.3, 4.4, 2.4),
        ),
        Heading("From the file"),
        Text("Of a list, every value in its order; “-” where a key is left out in one place."),
        Table(("Key", "Value"), tuple(_given(subject, {path for path, *_ in taken})), (2.4, 6.0)),
        Heading("Numbers of the list of materials"),
        Table(("What", "Value", "Source"), OWN, (4.0, 1.2, 3.0)),
        Text("Where the limit of every rule is from stands beside it in the chapter on findings."),
    ]
    return Chapter("Assumptions and sources", tuple(blocks))


def _given(subject: Subject, taken: set[str]) -> Iterator[tuple[str, str]]:
    """Yield every key that is not at its default, with all its values."""
    found: dict[str, list[str]] = {}
    for path, value, hint in _leaves(subject.skirt.design, ()):
        name = ".".join(path)
        if name not in taken:
            found.setdefault(name, []).append(_shown(value, range_in(hint), subject))
    for name, values in found.items():
        if any(words != "-" for words in values):
            yield name, "; ".join(values)


def _shown(value: Any, mark: Quantity | Number | None, subject: Subject) -> str:
    """Return a value of the file in the units of the book."""
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " by ".join(_shown(one, mark, subject) for one in value)
    if isinstance(value, (int, float)):
        return quantity_text(float(value), mark, subject.show)
    return str(value) or "none"


def _taken(design: Record) -> Iterator[tuple[str, Any, Quantity | Number | None, Default]]:
    """Yield every key of the design that has the value of its default everywhere, in the order of the file."""
    found: dict[str, tuple[Any, Quantity | Number | None, Default]] = {}
    other = set[str]()
    for path, value, hint in _leaves(design, ()):
        name, mark = ".".join(path), range_in(hint)
        default = DEFAULTS.get(name) or DEFAULTS.get(_shared(path))
        if default is None or not _same(value, default, mark, name):
            other.add(name)
        else:
            found.setdefault(name, (value, mark, default))
    for name, told in found.items():
        if name not in other:
            yield name, *told


def _shared(path: tuple[str, ...]) -> str:
    """Return the path under which the default of a key stands that occurs in both cloths."""
    return f"cloth.{path[2]}" if len(path) == 3 and path[0] == "cloth" else ".".join(path)


def _same(value: Any, default: Default, mark: Quantity | Number | None, path: str) -> bool:
    if isinstance(mark, Quantity) and isinstance(default.value, str):
        is_number = isinstance(value, (int, float))
        return is_number and abs(value - float(parse_quantity(mark.kind, default.value, path))) < 1e-9
    return bool(value == default.value)


def _leaves(record: Record, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any, Any]]:
    for key, hint in hints(type(record)).items():
        value, here = getattr(record, key), (*path, key)
        inner, many = record_in(hint)
        if isinstance(value, Record):
            yield from _leaves(value, here)
        elif many and inner is not None:
            for entry in value or ():
                yield from _leaves(entry, here)
        else:
            yield here, value, hint
