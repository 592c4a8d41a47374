"""TOML tables -> values by the schema in `skirtloft.design.model`, gathering every problem on the way.

`read_record` walks the raw table and the record side by side. What could be read is returned even when other keys are
wrong, so that `skirtloft.design.rules` can look at the rest in the same pass: a key that is wrong is left out, a key
that is absent carries its default.
"""

from __future__ import annotations

import math
import types
from difflib import get_close_matches
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from skirtloft.design.model import FORMAT, Design, Item, Load, Number, Quantity, Record, Words
from skirtloft.design.quantity import EXAMPLES, parse_quantity, shown
from skirtloft.errors import DesignError, Problem

# Keys that said a second time what another says; each with where it is said now.
MOVED = {
    "materials.join": "How seams are joined is said once, for patterns, mass and bill: write it as making.join.",
    "materials.stitch": "The stitch is said once: write it as making.stitch.",
    "materials.stitch_rows": "Rows of stitches are said once: write them as making.rows.",
    "making.glued": 'Say how seams are joined as making.join: "glued and sewn", "glued", "sewn" or "welded".',
    "materials.wear_height": "Wear panels are pieces of their own: write it as making.wear.height.",
    "materials.wear_mass": "Wear panels are pieces of their own: write it as making.wear.mass.",
}

NOTHING = "(nothing)"
Values = dict[str, Any]


class _Wrong:
    """Stands for a value that could not be read; its problems are already noted."""


WRONG = _Wrong()
FOLLOWS_ANOTHER_KEY = ("skirt.corner.side",)  # absent, its record fills it in from another key


def read_record(record: type[Record], raw: object, path: str, problems: list[Problem]) -> Values:
    """Return the values of one table, by key; notes what is wrong in `problems`.

    Parameters
    ----------
    record : type
        A record of `skirtloft.design.model`.
    raw : object
        The table as tomllib gives it.
    path : str
        Its path in the file; "" for the whole file.
    problems : list
        Grows.
    """
    if not isinstance(raw, dict):
        problems.append(Problem(path, shown(raw), "A table belongs here.", f"Write [{path}] and its keys under it."))
        return {}
    if record is Load and "items" in raw:
        return _read_load_of_items(raw, path, problems)
    _refuse_unknown_keys(record, raw, path, problems)
    values: Values = {}
    for key, hint in hints(record).items():
        value = _read_field(record, key, hint, raw, join(path, key), problems)
        if value is not WRONG:
            values[key] = value
    return values


@cache
def hints(record: type[Record]) -> dict[str, Any]:
    """Return the annotations of a record with their kinds and ranges, by key."""
    found = get_type_hints(record, include_extras=True)
    return {key: found[key] for key in record.model_fields}


def join(path: str, key: str) -> str:
    """Return the path of `key` in the table at `path`."""
    return f"{path}.{key}" if path else key


def record_in(hint: Any) -> tuple[type[Record] | None, bool]:
    """Return the record that an annotation holds, and whether it holds a list of them."""
    for choice in _choices(hint):
        if isinstance(choice, type) and issubclass(choice, Record):
            return choice, False
        if get_origin(choice) is tuple and get_args(choice)[-1] is Ellipsis:
            return get_args(choice)[0], True
    return None, False


@cache
def schema_paths() -> dict[str, Any]:
    """Return every key path of the file, lists without index (``hull.edge.radius``), with its annotation."""
    paths: dict[str, Any] = {"format": str}

    def walk(record: type[Record], path: str) -> None:
        for key, hint in hints(record).items():
            here = join(path, key)
            paths[here] = hint
            inner, _ = record_in(hint)
            if inner is not None:
                walk(inner, here)

    walk(Design, "")
    paths["craft.load.items"] = tuple[Item, ...]
    walk(Item, "craft.load.items")
    return paths


def is_written_bare(hint: Any) -> bool:
    """Return whether values of an annotation stand without quotes in the file: numbers, true or false, lists."""
    choice = _choices(hint)[0]
    if get_origin(choice) is Annotated:
        return isinstance(get_args(choice)[1], Number)
    return choice is bool or get_origin(choice) is tuple


def _choices(hint: Any) -> tuple[Any, ...]:
    if get_origin(hint) in (Union, types.UnionType):
        return tuple(choice for choice in get_args(hint) if choice is not type(None))
    return (hint,)


def _refuse_unknown_keys(record: type[Record], raw: dict[str, Any], path: str, problems: list[Problem]) -> None:
    known = [*hints(record), *(["items"] if record is Load else [])]
    for key, value in raw.items():
        if key in known:
            continue
        near = get_close_matches(key.lower(), known, n=1, cutoff=0.6)
        elsewhere = [place for place in schema_paths() if place.rpartition(".")[2] == key]
        if moved := MOVED.get(join(path, key)):
            would_do = moved
        elif near:
            would_do = f'Perhaps "{near[0]}" was meant.'
        elif elsewhere:
            would_do = f'That key belongs at "{elsewhere[0]}".'
        else:
            would_do = f"Keys here: {', '.join(known)}."
        problems.append(Problem(join(path, key), shown(value), "No such key.", would_do))


def _read_field(
    record: type[Record], key: str, hint: Any, raw: dict[str, Any], path: str, problems: list[Problem]
) -> Any:
    field = record.model_fields[key]
    inner, many = record_in(hint)
    if key not in raw:
        if field.is_required():
            problems.append(Problem(path, NOTHING, "It is missing.", _would_do_for_missing(path, hint, inner, many)))
            return WRONG
        if path in FOLLOWS_ANOTHER_KEY:
            return WRONG
        is_optional = many or field.get_default() is None  # a table that stays away, unlike one filled with defaults
        return field.get_default() if inner is None or is_optional else read_record(inner, {}, path, problems)
    if inner is None:
        return _read_value(hint, raw[key], path, problems)
    if not many:
        return read_record(inner, raw[key], path, problems)
    return _read_list(inner, raw[key], path, problems)


def _would_do_for_missing(path: str, hint: Any, inner: type[Record] | None, many: bool) -> str:
    if inner is None:
        return f"Write {path.rpartition('.')[2]} = {_example(hint)}."
    return f"Write {' and '.join(_tables(path, inner, many))}."


def _tables(path: str, record: type[Record], many: bool) -> list[str]:
    """Return each table that must be written for a record, with its required keys, in words."""
    needed = {key: record_in(hint) for key, hint in hints(record).items() if record.model_fields[key].is_required()}
    keys = ", ".join(key for key, (inner, _) in needed.items() if inner is None)
    below = [
        words
        for key, (inner, listed) in needed.items()
        if inner is not None
        for words in _tables(join(path, key), inner, listed)
    ]
    own = f"[[{path}]] with {keys}" if many else f"[{path}] with {keys}"
    return [own, *below] if keys else below


def _read_list(record: type[Record], raw: object, path: str, problems: list[Problem]) -> Any:
    if not isinstance(raw, list):
        problems.append(Problem(path, shown(raw), "A list of tables belongs here.", f"Write one [[{path}]] for each."))
        return WRONG
    return [read_record(record, entry, f"{path}[{index}]", problems) for index, entry in enumerate(raw)]


def _read_load_of_items(raw: dict[str, Any], path: str, problems: list[Problem]) -> Values:
    """Sum a load given as items: total mass, centre weighted by mass."""
    count = len(problems)
    outright = [key for key in ("mass", "x", "y", "z") if key in raw]
    if outright:
        wrong = f"A load gives either items or mass, x, y and z; here both ({', '.join(outright)})."
        problems.append(Problem(join(path, "items"), shown(raw["items"]), wrong, "Leave one of the two out."))
    named = {key: value for key, value in raw.items() if key not in ("items", "mass", "x", "y", "z")}
    _refuse_unknown_keys(Load, named, path, problems)
    name = _read_field(Load, "name", hints(Load)["name"], named, join(path, "name"), problems)
    items = _read_list(Item, raw["items"], join(path, "items"), problems)
    if items is not WRONG and not items:
        problems.append(Problem(join(path, "items"), "[]", "No item is listed.", "List at least one item."))
    values: Values = {} if name is WRONG else {"name": name}
    if len(problems) > count:
        return values
    mass = sum(item["mass"] for item in items)
    centre = {axis: sum(item["mass"] * item[axis] for item in items) / mass for axis in ("x", "y", "z")}
    quantity = get_args(hints(Load)["mass"])[1]
    if not quantity.low <= mass <= quantity.high:
        wrong = f"The items sum to {mass:g} kg."
        would_do = f"Between {quantity.low:g} and {quantity.high:g} kg would do."
        problems.append(Problem(join(path, "items"), shown(raw["items"]), wrong, would_do))
    return {**values, "mass": mass, **centre}


def _read_value(hint: Any, value: object, path: str, problems: list[Problem]) -> Any:
    choices = _choices(hint)
    literal = [choice for choice in choices if get_origin(choice) is Literal]
    if literal and isinstance(value, str) and value in get_args(literal[0]):
        return value
    rest = [choice for choice in choices if get_origin(choice) is not Literal]
    if not rest:
        names = ", ".join(f'"{name}"' for name in get_args(literal[0]))
        problems.append(Problem(path, shown(value), "It is not one of the words read here.", f"One of {names}."))
        return WRONG
    kind = rest[0]
    if get_origin(kind) is tuple:
        return _read_point(kind, value, path, problems)
    also = f' The word "{get_args(literal[0])[0]}" would do as well.' if literal else ""
    return _read_plain(kind, value, path, problems, also)


def _read_point(kind: Any, value: object, path: str, problems: list[Problem]) -> Any:
    """Read a list of fixed length: a point of two lengths, or a band of three numbers."""
    parts = get_args(kind)
    if not isinstance(value, list) or len(value) != len(parts):
        point = "A point is a list of two lengths, x and y.", 'Write, for example, ["4.4 m", "0.55 m"].'
        band = "A band is a list of three numbers: low, best, high.", "Write, for example, [1.0, 1.15, 1.3]."
        if isinstance(get_args(parts[0])[1], Quantity):
            band = "A band is a list of three: low, best, high.", 'Write, for example, ["0 mm", "20 mm", "40 mm"].'
        problems.append(Problem(path, shown(value), *(point if len(parts) == 2 else band)))
        return WRONG
    read = [
        _read_plain(part, entry, f"{path}[{index}]", problems, "")
        for index, (part, entry) in enumerate(zip(parts, value, strict=True))
    ]
    return WRONG if WRONG in read else tuple(read)


def _read_plain(kind: Any, value: object, path: str, problems: list[Problem], also: str) -> Any:
    base, mark = get_args(kind)[:2] if get_origin(kind) is Annotated else (kind, None)
    if isinstance(mark, Quantity):
        return _read_quantity(mark, value, path, problems, also)
    if isinstance(mark, Number):
        return _read_number(base, mark, value, path, problems)
    if base is bool:
        if isinstance(value, bool):
            return value
        problems.append(Problem(path, shown(value), "It is neither true nor false.", "Write true or false."))
        return WRONG
    longest = mark.longest if isinstance(mark, Words) else 60
    return _read_words(value, longest, path, problems)


def _read_quantity(mark: Quantity, value: object, path: str, problems: list[Problem], also: str) -> Any:
    try:
        number = parse_quantity(mark.kind, value, path)
    except DesignError as error:
        problems.extend(
            Problem(found.path, found.given, found.wrong, found.would_do + also) for found in error.problems
        )
        return WRONG
    if mark.low <= number <= mark.high:
        return number
    wrong = "It is not above zero." if mark.low > 0.0 >= number else "It is outside the range that makes sense."
    if mark.low == 0.0 > number:
        wrong = "It is negative."
    would_do = f"From {_in_words(mark, mark.low)} to {_in_words(mark, mark.high)} would do.{also}"
    problems.append(Problem(path, shown(value), wrong, would_do))
    return WRONG


# Units in which a range is told.
_TOLD_IN: dict[str, tuple[float, str]] = {
    "areal_mass": (1000.0, "g/m2"),
    "mass": (1.0, "kg"),
    "area": (1.0, "m2"),
    "volume": (1.0, "m3"),
    "flow": (1.0, "m3/s"),
    "pressure": (1.0, "Pa"),
    "power": (0.001, "kW"),
    "rotation": (30.0 / math.pi, "rpm"),
    "density": (1.0, "kg/m3"),
    "duration": (1.0 / 60.0, "min"),
    "voltage": (1.0, "V"),
    "charge": (1.0 / 3600.0, "Ah"),
    "resistance": (1.0, "ohm"),
    "force": (1.0, "N"),
    "line_force": (0.001, "kN/m"),
    "line_mass": (1000.0, "g/m"),
    "frequency": (1.0, "Hz"),
    "speed": (1.0, "m/s"),
}


def _in_words(mark: Quantity, value: float) -> str:
    if mark.kind == "length":
        return f"{value * 1000.0:.6g} mm" if abs(value) < 1.0 else f"{value:.6g} m"
    if mark.kind == "angle":
        return f"{math.degrees(value):.3g} deg"
    if mark.kind == "temperature":
        return f"{value - 273.15:.3g} degC"
    factor, unit = _TOLD_IN[mark.kind]
    return f"{value * factor:.6g} {unit}"


def _read_number(base: type, mark: Number, value: object, path: str, problems: list[Problem]) -> Any:
    what = "a whole number" if base is int else "a plain number"
    would_do = f"Write {what} from {mark.low:g} to {mark.high:g}, without quotes."
    is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if not is_number or (base is int and not isinstance(value, int)):
        problems.append(Problem(path, shown(value), f"It is not {what}.", would_do))
        return WRONG
    number = float(value)  # type: ignore[arg-type]
    if not mark.low <= number <= mark.high:
        wrong = "It is outside the range that makes sense." if math.isfinite(number) else "It is not a finite number."
        problems.append(Problem(path, shown(value), wrong, would_do))
        return WRONG
    return base(value)


def _read_words(value: object, longest: int, path: str, problems: list[Problem]) -> Any:
    would_do = f"Write 1 to {longest} printable letters in quotes."
    if not isinstance(value, str):
        problems.append(Problem(path, shown(value), "Text in quotes belongs here.", would_do))
        return WRONG
    text = value.strip()
    if not text:
        problems.append(Problem(path, shown(value), "It is empty.", would_do))
        return WRONG
    if len(text) > longest or not text.isprintable():
        wrong = "It is too long." if text.isprintable() else "It holds letters that cannot be printed."
        problems.append(Problem(path, shown(value), wrong, would_do))
        return WRONG
    return text


def _example(hint: Any) -> str:
    choice = _choices(hint)[0]
    if get_origin(choice) is Literal:
        return f'"{get_args(choice)[0]}"'
    mark = get_args(choice)[1] if get_origin(choice) is Annotated else None
    if isinstance(mark, Quantity):
        return EXAMPLES[mark.kind].split(",")[0].split(" or ")[0]
    if isinstance(mark, Number):
        return f"{mark.low:g}"
    return '"..."'


def read_format(raw: dict[str, Any], problems: list[Problem]) -> None:
    """Check the first line of the file, ``format = "skirtloft-design/1"``."""
    given = raw.get("format")
    if given != FORMAT:
        wrong = "The file does not say which format it is in." if given is None else "This format is not read here."
        problems.append(
            Problem("format", NOTHING if given is None else shown(given), wrong, f'Write format = "{FORMAT}".')
        )
