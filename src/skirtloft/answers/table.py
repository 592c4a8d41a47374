"""Tables in plain text: columns as wide as their longest cell, the first to the left, numbers to the right."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

WIDTH = 118


def table(head: Sequence[str], rows: Sequence[Sequence[str]], left: int = 1, *, words_last: bool = False) -> list[str]:
    """Return the lines of a table; the first `left` columns, and the last if it holds words, are set to the left."""
    wide = [max(len(row[k]) for row in (head, *rows)) for k in range(len(head))]
    lines = []
    for row in (head, *rows):
        to_left = [k < left or (words_last and k == len(head) - 1) for k in range(len(head))]
        cells = [cell.ljust(wide[k]) if to_left[k] else cell.rjust(wide[k]) for k, cell in enumerate(row)]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines


def prose(words: str) -> list[str]:
    """Return a paragraph broken into lines, all indented as its first."""
    body = words.lstrip(" ")
    indent = " " * (len(words) - len(body))
    return textwrap.wrap(
        body, WIDTH, initial_indent=indent, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
