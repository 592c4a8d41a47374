"""Every assumption behind the numbers: what the file says, what was taken by default and why, and where limits are from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.book.subject import Subject
from skirtloft.book.types import Block, Chapter, Heading, Table, Text
from skirtloft.design.defaults import DEFAULTS, Default
from skirtloft.design.fields import hints, record_in
from skirtloft.design.model import Quantity, Record
from skirtloft.design.quantity import parse_quantity
from skirtloft.explain.knobs import range_in, knobs
from skirtloft.explain.ranges import knob_text
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
    defaults = {path for path, _ in taken}
    given = [
        (knob.path, knob_text(knob, subject.show))
        for knob in knobs(design)
        if knob.path.replace("[]", "") not in defaults and not _of_cloth(knob.path, defaults)
    ]
    blocks: list[Block] = [
        Text(
            "Sections, pieces and air are computed from the design file alone. What is not in it is assumed; here is all of"
            " it. Cloth is taken as thin and inextensible, air as calm, ground as smooth where the file says nothing else."
            " Nothing here was measured on this craft: what you measure is worth more, so write it down beside."
        ),
        *([Text(f"Changed for this book, not in the file: {', '.join(stamp.changes)}.", bold=True)] if stamp.changes else []),
        *([Text(f"{stamp.record}.", bold=True)] if stamp.record else []),
        *([Text(f"sha256 of the design: {digest}")] if digest else []),
        Heading("Taken by default"),
        Text("The value of the key is the one that the program takes where the file is silent."),
        Table(
            ("Key", "Value", "Why", "Source"),
            tuple((path, str(default.value), default.reason, default.source) for path, default in taken),
            (2.5, 1.3, 4.4, 2.4),
        ),
        Heading("From the file"),
        Table(("Key", "Value"), tuple(given), (3.0, 3.0)),
        Heading("Numbers of the list of materials"),
        Table(("What", "Value", "Source"), OWN, (4.0, 1.2, 3.0)),
        Heading("Where the limits of the rules are from"),
        Table(("Source", "Rules"), tuple(_by_source(subject)), (3.4, 5.6)),
    ]
    return Chapter("Assumptions and sources", tuple(blocks))


def _by_source(subject: Subject) -> Iterator[tuple[str, str]]:
    found: dict[str, list[str]] = {}
    for finding in subject.skirt.findings:
        found.setdefault(finding.source, []).append(finding.rule)
    for source, rules in found.items():
        yield source, ", ".join(dict.fromkeys(rules))


def _of_cloth(path: str, defaults: set[str]) -> bool:
    """Tell whether a key of one cloth is among the defaults that both cloths share."""
    return path.startswith("cloth.") and path in defaults


def _taken(design: Record) -> Iterator[tuple[str, Default]]:
    """Yield every key of the design that has the value of its default, tables in the order of the file."""
    seen = set[str]()
    for path, value, hint in _leaves(design, ()):
        default = DEFAULTS.get(".".join(path)) or DEFAULTS.get(_shared(path))
        if default is None or ".".join(path) in seen or not _same(value, default, hint, ".".join(path)):
            continue
        seen.add(".".join(path))
        yield ".".join(path), default


def _shared(path: tuple[str, ...]) -> str:
    """Return the path under which the default of a key stands that occurs in both cloths."""
    return f"cloth.{path[2]}" if len(path) == 3 and path[0] == "cloth" else ".".join(path)


def _same(value: Any, default: Default, hint: Any, path: str) -> bool:
    mark = range_in(hint)
    if isinstance(mark, Quantity) and isinstance(default.value, str):
        return value is not None and abs(float(value) - float(parse_quantity(mark.kind, default.value, path))) < 1e-9
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
