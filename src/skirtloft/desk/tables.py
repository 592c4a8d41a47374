"""The numbers of a drawing as rows of (name, words), for whoever does not see it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from skirtloft.design.units import format_flow, format_length, format_pressure
from skirtloft.desk.answer import facts
from skirtloft.pipeline import Skirt

Rows = tuple[tuple[str, str], ...]
_CELLS = re.compile(r"\s{2,}")
LABEL = 10  # letters of a line before its words, where the command line puts a label there
AIR = ("Pressure", "Air", "Fan")


def air_rows(skirt: Skirt) -> Rows:
    """Return what the command line says of the air; a line that goes on has the name of the one before."""
    found: list[tuple[str, str]] = []
    name = ""
    for label, words in facts(skirt):
        name = label or name
        if name in AIR:
            found.append((name, words))
    return tuple(found)


def air_summary(skirt: Skirt, title: str) -> str:
    """Return one sentence on a drawing of the air, with the figure of the design case."""
    need, load, show = skirt.air.need, skirt.design.craft.load[0].name, skirt.design.project.show
    gap, flow = format_length(skirt.air.gap, show), format_flow(float(need.fan_flow[0]), show)
    pressure = format_pressure(float(need.fan_pressure[0]), show)
    return f"{title} With {load!r} a gap of {gap} asks the fan for {flow} at {pressure}."


def hull_rows(skirt: Skirt) -> Rows:
    """Return hull edge, inner fixing and edge of the flat bottom at every station, heights above the tips."""
    hull, show = skirt.hull, skirt.design.project.show

    def place(point: Sequence[float]) -> str:
        return ", ".join(f"{axis} {format_length(float(v), show)}" for axis, v in zip("xyz", point, strict=True))

    return tuple(
        (
            name,
            f"hull edge {place(hull.hull_edge[i])}; inner fixing {place(hull.inner[i])};"
            f" flat bottom {place(hull.bottom_edge[i])}",
        )
        for i, name in enumerate(hull.ids)
    )


def line_rows(lines: Sequence[str]) -> Rows:
    """Return the aligned tables in the lines of an answer as rows; cells of a table get the names of their columns.

    A table is a row of heads and, below it, rows of as many cells; the words before it name it. Where there is none,
    every line is a row with its label.
    """
    found: list[tuple[str, str]] = []
    heads: list[str] = []
    subject = ""
    plain: list[tuple[str, str]] = []
    for line in (part for text in lines for part in text.split("\n")):
        if not line.strip():
            heads, subject = [], ""
            continue
        cells = _CELLS.split(line.strip())
        label = line[:LABEL].strip() or (plain[-1][0] if plain else "")
        if len(cells) == 2 and not line[:LABEL].isspace():
            plain.append((cells[0], cells[1]))
        elif line[LABEL - 2 : LABEL].isspace():
            plain.append((label, line[LABEL:].strip()))
        if len(cells) < 3:
            heads = []
            if match := re.match(r"(?:With )?('[^']+')", line.strip()):
                subject = match[1]
            elif line and not line.startswith(" ") and len(cells) == 1 and not line.strip().endswith("."):
                subject = line.strip() if len(line) < 40 else subject
            continue
        if len(heads) != len(cells):
            heads = cells
            continue
        name = f"{subject}, {cells[0]}" if subject else cells[0]
        words = ", ".join(f"{head} {cell}" for head, cell in zip(heads[1:], cells[1:], strict=True))
        found.append((name, words))
    return tuple(found or plain)
