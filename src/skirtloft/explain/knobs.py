"""Every number of a design that may be turned, and the design with one of them turned."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from skirtloft.design.fields import hints, record_in
from skirtloft.design.model import Design, Number, Quantity, Record
from skirtloft.explain.types import Knob

Path = tuple[str, ...]  # keys; "[]" stands for every entry of the list before it


def knobs(design: Design) -> tuple[Knob, ...]:
    """Return the numbers of a design in the order of the file; zeros and what is left out do not turn."""
    found: dict[Path, tuple[list[float], Any]] = {}
    for path, value, mark in _leaves(design, ()):
        found.setdefault(path, ([], mark))[0].append(value)
    return tuple(
        Knob(
            _text(path),
            tuple(values),
            mark.low,
            mark.high,
            whole=all(isinstance(value, int) for value in values),
            warmth=isinstance(mark, Quantity) and mark.kind == "temperature",
        )
        for path, (values, mark) in found.items()
        if any(values)
    )


def turned(design: Design, knob: Knob, factor: float) -> Design:
    """Return the design with every value of the knob times `factor`, kept inside the range of the key.

    A whole number moves by one at least; a temperature by 5 K.
    """
    made: Design = _scaled(design, tuple(knob.path.replace("[]", ".[]").split(".")), knob, factor)
    return made


def _leaves(record: Record, path: Path) -> Iterator[tuple[Path, float, Any]]:
    for key, hint in hints(type(record)).items():
        value, here = getattr(record, key), (*path, key)
        inner, many = record_in(hint)
        if isinstance(value, Record):
            yield from _leaves(value, here)
        elif many and inner is not None and value:
            for entry in value:
                yield from _leaves(entry, (*here, "[]"))
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            mark = range_in(hint)
            if mark is not None:
                yield here, value, mark


def range_in(hint: Any) -> Quantity | Number | None:
    """Return the range in an annotation, unions opened."""
    for part in get_args(hint):
        found = part if isinstance(part, (Quantity, Number)) else range_in(part)
        if found is not None:
            return found
    return None


def _text(path: Path) -> str:
    return ".".join(path).replace(".[]", "[]")


def _scaled(here: Any, path: Path, knob: Knob, factor: float) -> Any:
    if not path:
        return _turned_value(here, knob, factor)
    if path[0] == "[]":
        return tuple(_scaled(entry, path[1:], knob, factor) for entry in here)
    value = getattr(here, path[0])
    if value is None or isinstance(value, str):
        return here
    return here.model_copy(update={path[0]: _scaled(value, path[1:], knob, factor)})


def _turned_value(value: float, knob: Knob, factor: float) -> float:
    new = value * factor if not knob.warmth else value + (5.0 if factor > 1.0 else -5.0)
    if knob.whole:
        way = 1 if factor > 1.0 else -1
        new = way * max(round(way * new), way * value + 1)
    return type(value)(min(max(new, knob.low), knob.high))
