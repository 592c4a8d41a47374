"""One place for every default: the table and the records say the same, and nothing else has a default."""

from __future__ import annotations

from typing import Annotated, get_args, get_origin

import pytest

from skirtloft.design.defaults import DEFAULTS, WHEN_ABSENT
from skirtloft.design.fields import hints, join, record_in
from skirtloft.design.model import Cloth, Design, Item, Quantity, Record
from skirtloft.design.quantity import parse_quantity


def optional_keys(record: type[Record], path: str = "") -> dict[str, tuple[object, object]]:
    """Return path -> (default, annotation) of every key that may be left out."""
    found: dict[str, tuple[object, object]] = {}
    for key, hint in hints(record).items():
        inner, _ = record_in(hint)
        here = "cloth" if inner is Cloth else join(path, key)
        field = record.model_fields[key]
        if not field.is_required():
            found[here] = (field.get_default(), hint)
        if inner is not None:
            found.update(optional_keys(inner, here))
    return found


OPTIONAL = {**optional_keys(Design), **optional_keys(Item, "craft.load.items")}


def test_every_optional_key_is_explained_and_no_other() -> None:
    """A key without an entry has no default; an entry without a key is stale."""
    assert set(OPTIONAL) == set(DEFAULTS) | (set(WHEN_ABSENT) - {"craft.load.items"})
    assert not set(DEFAULTS) & set(WHEN_ABSENT)


@pytest.mark.parametrize("path", DEFAULTS)
def test_the_default_used_is_the_one_explained(path: str) -> None:
    """Same value after reading, with a sentence and a source."""
    used, hint = OPTIONAL[path]
    entry = DEFAULTS[path]
    mark = get_args(hint)[1] if get_origin(hint) is Annotated else None
    if isinstance(mark, Quantity):
        assert used == parse_quantity(mark.kind, entry.value, path)
        assert mark.low <= used <= mark.high
    else:
        assert used == entry.value
        assert type(used) is type(entry.value)
    assert entry.reason.endswith(".")
    assert entry.source
