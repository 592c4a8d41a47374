"""One answer in words: the sentence first, the numbers after it, and what has to be said with them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from skirtloft.answers.table import prose


@dataclass(frozen=True)
class Told:
    """An answer.

    Parameters
    ----------
    sentence : str
        For somebody on the craft.
    numbers : str
        The same with every bound and unit.
    caution : str
        What the numbers do not say; "" where nothing.
    """

    sentence: str
    numbers: str
    caution: str = ""


def told_lines(answers: Sequence[Told]) -> list[str]:
    """Return sentences and numbers line by line, each caution once, at the end."""
    cautions = dict.fromkeys(told.caution for told in answers if told.caution)
    lines: list[str] = []
    for told in answers:
        lines += [*prose(told.sentence), *prose(told.numbers)]
    for caution in cautions:
        lines += prose(f"{caution[0].upper()}{caution[1:]}.")
    return lines


def degrees(angle: float) -> str:
    """Return an angle [rad] as ``1.4 degrees``, without a sign."""
    size = round(abs(math.degrees(angle)), 1 if abs(angle) >= math.radians(0.1) else 2)
    return f"{size:g} degree{'' if size == 1.0 else 's'}"
