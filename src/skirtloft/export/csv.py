"""Tables as CSV text: commas, a header row, numbers with a point, the same on every system."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from skirtloft.maths.number_text import number_text

Cell = str | int | float | bool | None
RISKY = ("=", "+", "-", "@")  # a spreadsheet takes text that begins so for a formula


def render(rows: Iterable[Mapping[str, Cell]], columns: Sequence[str] | Mapping[str, str]) -> str:
    """Return a CSV table with one line per row.

    Parameters
    ----------
    rows : mappings from column key to cell
        A missing key, None and nan leave the cell empty. Numbers keep 10 significant digits. Text that a spreadsheet
        would take for a formula gets an apostrophe before it.
    columns : keys in their order, or mapping from key to the heading to print

    Examples
    --------
    >>> print(render([{"code": "L01", "mass": 0.125}], {"code": "piece", "mass": "mass_kg"}), end="")
    piece,mass_kg
    L01,0.125
    """
    headings = columns if isinstance(columns, Mapping) else {key: key for key in columns}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([_words(heading) for heading in headings.values()])
    for row in rows:
        writer.writerow([_words(row.get(key)) for key in headings])
    return text.getvalue()


def _words(cell: Cell) -> str:
    if not isinstance(cell, str):
        return number_text(cell)
    text = cell.replace("\r\n", "\n").replace("\r", "\n")
    return f"'{text}" if text.startswith("\t") or text.lstrip().startswith(RISKY) else text
