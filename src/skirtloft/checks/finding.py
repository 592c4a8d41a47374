"""A finding: one rule applied to one design, with the number, the limit and what to change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "warn", "fail", "note"]


@dataclass(frozen=True)
class Finding:
    """What a rule says of a design.

    Parameters
    ----------
    rule : str
        Stable name, as `--accept` takes it.
    title : str
        The rule in a few words.
    verdict : "pass", "warn", "fail" or "note"
    value : float
        In `unit`.
    unit : str
        SI unit of `value` and of the limits: "m", "Pa", "rad", "N m/rad/m", "1".
    low, high : float or None
        The limits that the rule asks for; None where open.
    where : str
        The place of the worst value: station, run, piece or load.
    why : str
        What goes wrong outside the limits.
    change : str
        What to change, with the value that would do where one can be told.
    source : str
        Where the limit comes from.
    """

    rule: str
    title: str
    verdict: Verdict
    value: float
    unit: str
    low: float | None
    high: float | None
    where: str
    why: str
    change: str
    source: str


TRADE = "common practice, no source"


def grade(value: float, low: float | None, high: float | None, outside: Verdict) -> Verdict:
    """Return "pass" inside [low, high], else `outside`; a value that is no number never passes."""
    inside = (low is None or value >= low) and (high is None or value <= high)
    return "pass" if inside else outside


def as_sentence(words: str) -> str:
    """Return words with a capital at the start and one full stop at the end."""
    return f"{words[0].upper()}{words[1:].removesuffix('.')}."
