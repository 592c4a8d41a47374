"""What a page may say to the desk, checked before anything is done."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

LONGEST = 2000  # letters of a value that is typed; a whole design is far less
LARGEST = 65_536  # bytes of a message
MOST_LOOKS = 12


class BadMessageError(Exception):
    """A message that no page of ours sends; the text says why."""


@dataclass(frozen=True)
class Message:
    """One wish of a page: what it is called, its number at that page, and its fields."""

    name: str
    number: int
    fields: dict[str, Any]


# Name -> fields and their types. None in a tuple: the field may be null.
SHAPES: dict[str, dict[str, tuple[type | None, ...]]] = {
    "set": {"key": (str,), "value": (str, None)},
    "step": {"key": (str,), "count": (int,), "size": (str,)},
    "drag": {"key": (str,), "metres": (float, int), "fine": (bool,)},
    "move": {
        "key": (str,),
        "metres": (float, int),
        "also": (str, None),
        "metres_also": (float, int, None),
        "fine": (bool,),
        "gesture": (int,),
        "relative": (bool,),
    },
    "add": {"key": (str,)},
    "remove": {"key": (str,)},
    "undo": {},
    "redo": {},
    "save": {"over": (bool,)},
    "save_as": {"name": (str,)},
    "reload": {},
    "recover": {},
    "forget": {},
    "look": {"names": (list,)},
    "keep": {},
    "drop": {},
    "job": {"what": (str,), "accept": (list,)},
    "cancel": {"what": (str, None)},
    "start": {"name": (str,), "seats": (int,), "mass": (str,), "length": (str,), "beam": (str,), "ground": (str,)},
}
EDITS = (
    "set", "step", "drag", "move", "add", "remove", "undo", "redo", "save", "save_as", "reload", "recover", "forget",
    "start",
)  # fmt: skip


def read_message(text: str) -> Message:
    """Return the message in a text.

    Raises
    ------
    BadMessageError
        It is no JSON, has no such name, or a field is missing, of another type or too long.
    """
    if len(text) > LARGEST:
        raise BadMessageError("It is too long.")
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadMessageError("It is no JSON.") from error
    if not isinstance(raw, dict) or raw.get("name_of") not in SHAPES:
        raise BadMessageError("There is no such message.")
    name, number = raw["name_of"], raw.get("number", 0)
    if not isinstance(number, int):
        raise BadMessageError("Its number is no number.")
    fields = {key: _field(name, key, raw.get(key), types) for key, types in SHAPES[name].items()}
    return Message(name, number, fields)


def _field(name: str, key: str, value: Any, types: tuple[type | None, ...]) -> Any:
    if value is None and None in types:
        return None
    wanted = tuple(part for part in types if part is not None)
    if not isinstance(value, wanted) or (isinstance(value, bool) and bool not in wanted):
        raise BadMessageError(f"{name}: {key} is missing or of another type.")
    if isinstance(value, str) and len(value) > LONGEST:
        raise BadMessageError(f"{name}: {key} is longer than any value is.")
    if isinstance(value, list) and not _is_short_list(value):
        raise BadMessageError(f"{name}: {key} is no short list of names.")
    return value


def _is_short_list(value: list[Any]) -> bool:
    return len(value) <= MOST_LOOKS and all(isinstance(part, str) and len(part) < 80 for part in value)
