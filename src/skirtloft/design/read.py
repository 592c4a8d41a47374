"""The design file -> `Design`, or every problem of the file at once."""

from __future__ import annotations

import hashlib
import re
import tomllib
from os import PathLike
from pathlib import Path

from skirtloft.design.fields import NOTHING, read_format, read_record
from skirtloft.design.model import Design
from skirtloft.design.rules import broken_rules
from skirtloft.design.write import Changes, change_text, split_changes
from skirtloft.errors import DesignError, Problem

__all__ = ["design_digest", "load_design", "parse_design", "read_text", "split_changes", "syntax_problems"]


def load_design(path: str | PathLike[str], changes: Changes = ()) -> Design:
    """Return the design in the file at `path`, with `changes` made as in `parse_design`.

    Raises
    ------
    DesignError
        The file is missing, is no UTF-8 text, or anything that `parse_design` refuses.
    """
    return parse_design(read_text(path), changes)


def read_text(path: str | PathLike[str]) -> str:
    """Return the text of a design file; raises DesignError where it cannot be read."""
    place = str(path)
    try:
        return Path(path).read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        wrong, would_do = (
            "There is no such file.",
            "Check the name, with .toml at its end, or make one with `new`.",
        )
    except IsADirectoryError:
        wrong, would_do = "This is a folder.", "Name the design file in it, for example one that ends in .toml."
    except UnicodeDecodeError as error:
        wrong, would_do = f"Byte {error.start} is not UTF-8 text.", "Save the file as UTF-8."
    except OSError as error:
        if Path(path).is_dir():
            wrong, would_do = "This is a folder.", "Name the design file in it, for example one that ends in .toml."
        else:
            wrong, would_do = f"It cannot be read ({error.strerror}).", "Check that you may read it."
    raise DesignError([Problem("file", place, wrong, would_do)])


def parse_design(text: str, changes: Changes = ()) -> Design:
    """Return the design that a file's text says.

    Parameters
    ----------
    text : str
        TOML.
    changes : mapping or sequence of (path, value)
        Values to put in place of those in the text, as ``--set`` gives them: ``{"skirt.depth": "270 mm",
        "hull.edge[2].x": "3.1 m"}``.

    Raises
    ------
    DesignError
        With every problem found.
    """
    problems = syntax_problems(text)
    if problems:
        raise DesignError(problems)
    if changes:
        text, refused = change_text(text, changes)
        problems.extend(refused)
    raw = tomllib.loads(text)
    read_format(raw, problems)
    body = {key: value for key, value in raw.items() if key != "format"}
    values = read_record(Design, body, "", problems)
    problems.extend(broken_rules(values, body))
    if problems:
        raise DesignError(problems)
    return Design.model_validate(values)


def syntax_problems(text: str) -> list[Problem]:
    """Return what makes the text no TOML, with its line and column: a list of none or one."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = re.search(r"\(at line (\d+), column (\d+)\)", str(error))
        lines = text.rstrip().split("\n")
        number, column = (int(found[1]), int(found[2])) if found else (len(lines), len(lines[-1]) + 1)
        line = lines[min(number, len(lines)) - 1].strip() or NOTHING
        reason = re.sub(r"\s*\(at .*\)$", "", str(error))
        return [
            Problem(
                f"line {number}, column {column}",
                line[:80],
                f"This is not TOML: {reason[:1].lower()}{reason[1:]}.",
                'Check quotes, brackets and the equals sign: key = "value", with quantities in quotes.',
            )
        ]
    return []


def design_digest(text: str, changes: Changes = ()) -> str:
    """Return the SHA-256 (hex) of a design's text, its line ends made one, after `changes`."""
    plain = text.replace("\r\n", "\n")
    if changes:
        plain, _ = change_text(plain, changes)
    return hashlib.sha256(plain.encode("utf-8")).hexdigest()
