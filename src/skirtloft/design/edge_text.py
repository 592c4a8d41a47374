"""A hull edge as `[[hull.edge]]` tables, and such tables put into a design file with its comments kept."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from typing import Any

import tomlkit
from tomlkit.items import AoT, Comment, Whitespace

from skirtloft.design.model import HullPoint
from skirtloft.design.quantity import INCH, parse_length
from skirtloft.design.read import syntax_problems
from skirtloft.errors import DesignError, Problem

METRES, INCHES = 10, 8  # decimals: a tenth of a thousandth of a thousandth of a millimetre


def exact_length(value: float, imperial: bool = False) -> str:
    """Return a length [m] as text that reads back within 1.5e-10 m: ``446.7 mm``, ``4.405 m`` or ``15.5 in``."""
    if imperial:
        return f"{_plain(value / INCH, INCHES)} in"
    if 0.0 < abs(round(value, METRES)) < 1.0:
        return f"{_plain(1000.0 * value, METRES - 3)} mm"
    return f"{_plain(value, METRES)} m"


def as_written(value: float, imperial: bool = False) -> float:
    """Return the length [m] that `exact_length` writes for `value`."""
    return parse_length(exact_length(value, imperial))


def _plain(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def edge_tables(points: Sequence[HullPoint], comments: Sequence[str], imperial: bool = False) -> str:
    """Return the points as TOML, ending in a line break.

    Parameters
    ----------
    points : sequence of HullPoint
    comments : sequence of str
        What to say of the piece that starts at each point; "" for nothing.
    imperial : bool
        Inches in place of metres.
    """
    return "\n".join(_table(point, comment, imperial) for point, comment in zip(points, comments, strict=True))


def _table(point: HullPoint, comment: str, imperial: bool) -> str:
    lines = ["[[hull.edge]]"]
    lines += [f'{key} = "{exact_length(getattr(point, key), imperial)}"' for key in ("x", "y", "height")]
    if point.radius is not None:
        lines.append(f'radius = "{exact_length(point.radius, imperial)}"')
    if point.through is not None:
        x, y = (exact_length(value, imperial) for value in point.through)
        lines.append(f'through = ["{x}", "{y}"]')
    if point.run is not None:
        lines.append(f'run = "{point.run}"')
    if comment:
        lines[-1] = f"{lines[-1]:<38}# {' '.join(comment.split())}"
    return "\n".join(lines) + "\n"


def with_edge(text: str, tables: str) -> str:
    """Return a design file's text with its hull edge replaced by `tables`, comments elsewhere kept.

    Comments between the last old point and the table after it stay where they are; those inside the old points go
    with them.

    Raises
    ------
    DesignError
        The text is no TOML, or its hull is written in a way that cannot be replaced safely.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    windows = "\r\n" in text
    plain = text.replace("\r\n", "\n")
    try:
        made = _replaced(plain, tables)
        is_safe = _but_edge(made) == _but_edge(plain) and tomllib.loads(made)["hull"]["edge"]
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, tomlkit.exceptions.TOMLKitError):
        is_safe = False
    if not is_safe or tomllib.loads(made)["hull"]["edge"] != tomllib.loads(tables)["hull"]["edge"]:
        wrong = "The hull edge cannot be replaced here without touching other lines."
        would_do = "Write the points to a file of their own with -o, and paste them in place of the old ones."
        raise DesignError([Problem("hull.edge", "the way it is written", wrong, would_do)])
    return made.replace("\n", "\r\n") if windows else made


def _but_edge(text: str) -> dict[str, Any]:
    """Return what the text says, without the hull edge."""
    found = tomllib.loads(text)
    hull = {key: value for key, value in found.get("hull", {}).items() if key != "edge"}
    return {**found, "hull": hull}


def _replaced(text: str, tables: str) -> str:
    document = tomlkit.parse(text)
    fresh = tomlkit.parse(tables)["hull"]["edge"]
    assert isinstance(fresh, AoT)
    if "hull" not in document:
        return text.rstrip("\n") + "\n\n" + tables
    hull: Any = document["hull"]
    old = hull.get("edge")
    last = fresh[-1].value
    if isinstance(old, AoT):
        for item in _after_last_key(old[-1].value.body):
            last.append(None, item)
    else:
        last.append(None, Whitespace("\n"))
    hull["edge"] = fresh
    return tomlkit.dumps(document)


def _after_last_key(body: Sequence[tuple[Any, Any]]) -> list[Any]:
    """Return the comments and empty lines at the end of a table: they speak of the table after it."""
    found: list[Any] = []
    for key, item in reversed(body):
        if key is not None or not isinstance(item, (Comment, Whitespace)):
            break
        found.insert(0, item)
    return found
