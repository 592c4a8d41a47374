"""What a book is about, with the one way in which its numbers are written."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.units import (
    format_areal_mass,
    format_force,
    format_length,
    format_line_load,
    format_mass,
    format_speed,
)
from skirtloft.drawing.page import Stamp
from skirtloft.explain.words import value_text
from skirtloft.layout.types import Layout
from skirtloft.materials.list import Bill
from skirtloft.pieces.types import CutPiece
from skirtloft.pipeline import Skirt

FORMATS = {
    "m": format_length,
    "kg/m2": format_areal_mass,
    "kg": format_mass,
    "N": format_force,
    "N/m": format_line_load,
    "m/s": format_speed,
}


@dataclass(frozen=True, eq=False)
class Subject:
    """A skirt with everything that a book tells of it.

    Parameters
    ----------
    skirt : Skirt
    stamp : Stamp
        Refused and accepted rules, changes of the run.
    layouts : tuple of Layout
        One for each cloth.
    bill : Bill
    paper : "A4" or "Letter"
    """

    skirt: Skirt
    stamp: Stamp
    layouts: tuple[Layout, ...]
    bill: Bill
    paper: str

    @property
    def show(self) -> Show:
        """Units of the design."""
        return self.skirt.design.project.show

    def length(self, value: float) -> str:
        """Return a length [m] in the units of the design."""
        return format_length(float(value), self.show)

    def span(self, values: Iterable[float]) -> str:
        """Return the least and the greatest of lengths [m], once where they are the same in print."""
        all_values = [float(value) for value in values]
        low, high = self.length(min(all_values)), self.length(max(all_values))
        return low if low == high else f"{low} to {high}"

    def finding(self, rule: str) -> Finding | None:
        """Return what a rule says; None where it has nothing to look at."""
        return next((finding for finding in self.skirt.findings if finding.rule == rule), None)

    def value(self, finding: Finding) -> str:
        """Return the value of a finding in the units of the design."""
        return self.number(finding.value, finding.unit)

    def number(self, value: float, unit: str) -> str:
        """Return a value in one of the SI units of findings in the units of the design."""
        if not math.isfinite(value):
            return "without end" if value > 0.0 else "none"
        if unit in FORMATS:
            return FORMATS[unit](value, self.show)
        return value_text(self.skirt, value, unit)

    def limits(self, finding: Finding) -> str:
        """Return what a rule wants, in words."""
        low, high = (None if end is None else self.number(end, finding.unit) for end in (finding.low, finding.high))
        if low is not None and high is not None:
            return f"{low} to {high}"
        if high is not None:
            return f"at most {high}"
        if low is None:
            return "no limit"
        return f"more than {low}" if finding.low == 0 else f"at least {low}"

    def pieces(self, *kinds: str) -> list[CutPiece]:
        """Return the pieces of some kinds."""
        return [piece for piece in self.skirt.pieces if piece.kind in kinds]


def run_words(run: str) -> str:
    """Return the name of a run as it is said: "bow corner"."""
    return run.replace("_", " ")


def listed(words: Iterable[str], last: str = "and") -> str:
    """Return words as a sentence lists them: "a, b and c"."""
    all_words = list(words)
    if len(all_words) < 2:
        return "".join(all_words)
    return f"{', '.join(all_words[:-1])} {last} {all_words[-1]}"


def codes(names: Iterable[str]) -> str:
    """Return codes in their order, three or more that follow each other as "L03 to L08".

    Examples
    --------
    >>> codes(["L01", "L03", "L04", "L05", "J2"])
    'L01, L03 to L05, J2'
    """
    rows: list[list[str]] = []
    for name in names:
        if rows and _follows(rows[-1][-1], name):
            rows[-1].append(name)
        else:
            rows.append([name])
    words = [[f"{row[0]} to {row[-1]}"] if len(row) > 2 else row for row in rows]
    return ", ".join(word for row in words for word in row)


def _follows(first: str, second: str) -> bool:
    letters = first.rstrip("0123456789")
    one, two = first[len(letters) :], second[len(letters) :]
    return second.startswith(letters) and one.isdigit() and two.isdigit() and int(two) == int(one) + 1


def printed(words: str) -> str:
    """Return words written for the command line as a page has them: names in quotes, not in backticks."""
    return re.sub(r"`([^`]*)`", "“\\1”", words)
