"""A number of a table as text: ten significant digits, no trailing zeros; the same in a file and on paper."""

from __future__ import annotations

import math


def number_text(cell: str | int | float | bool | None) -> str:
    """Return a cell as text; None and what is no number are empty.

    Examples
    --------
    >>> number_text(12.50)
    '12.5'
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.10g}" if math.isfinite(cell) else ""
    return str(cell)
