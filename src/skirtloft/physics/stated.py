"""A number this program assumes, with its reason and where it comes from; every one can be replaced by the caller."""

from __future__ import annotations

from dataclasses import dataclass

TRADE = "common practice, no source"
MEMORY = "from memory, not looked up"
OURS = "choice of this program"
DERIVED = "derived"


@dataclass(frozen=True)
class Stated:
    """A default in SI, why it is what it is, and its source."""

    value: float
    reason: str
    source: str
