"""The page on which a home printer is measured, before templates are printed on it."""

from __future__ import annotations

from skirtloft.drawing.lettering import wrap
from skirtloft.drawing.sheet import Item, Line, Sheet, Text
from skirtloft.export.tile_page import RULE, rule_items
from skirtloft.export.tile_plan import PRINTER_MARGIN, paper_size
from skirtloft.maths.frozen import frozen_array

INDENT = 10.0  # from the printer's margin to the words [mm]
SIZE = 3.0
HOW = (
    "1. Print this page at 100 %: no “fit to page”, no scaling. Use the printer and paper of the templates, upright.",
    "2. Measure the lower side of the square with a steel rule, from line to line, to a tenth of a millimetre.",
    "3. printer_x is that length divided by 100. 100.8 mm gives printer_x = 1.008; 99.4 mm gives printer_x = 0.994.",
    "4. Measure the left side in the same way: printer_y is its length divided by 100.",
    "5. Write both under [making] in the design file and make the pack again. Leave 1.0 where you are within 0.2 mm.",
    "6. Measure both diagonals (141.4 mm from a true printer). If they differ from each other "
    "by more than 0.5 mm the paper runs askew: reload it and print again.",
)
NEVER = "This page is never corrected itself. Tiles are, and say so; their rules then measure 100 mm."


def printer_test(paper: str) -> Sheet:
    """Return the page that tells how true a printer is: a square of 100 mm with rules both ways, and what to do.

    Raises
    ------
    ExportError
        The paper is not known.
    """
    width, height = paper_size(paper)
    left, room = PRINTER_MARGIN[paper] + INDENT, width - 2 * (PRINTER_MARGIN[paper] + INDENT)
    y = height - PRINTER_MARGIN[paper] - 10.0
    items: list[Item] = [Text("text", left, y, f"Printer test, {paper}", 6.0, bold=True)]
    y -= 6.0
    for paragraph in (*HOW, NEVER):
        for line in wrap(paragraph, SIZE, room):
            y -= 1.7 * SIZE
            items.append(Text("text", left, y, line, SIZE))
        y -= 0.5 * SIZE
    x, base = (width - RULE) / 2.0, y - 26.0 - RULE
    items.append(
        Line("mark", frozen_array([[x, base], [x + RULE, base], [x + RULE, base + RULE], [x, base + RULE]]), True)
    )
    items += [*rule_items(x, base - 8.0, level=True), *rule_items(x - 8.0, base, level=False)]
    items += _blanks(x, base)
    return Sheet(f"printer-test-{paper}", f"Printer test, {paper}", width, height, tuple(items))


def _blanks(x: float, base: float) -> list[Item]:
    """Lines to write the two lengths and the two factors on, inside the square."""
    items: list[Item] = []
    rows = (("lower side", "mm"), ("printer_x", ""), ("left side", "mm"), ("printer_y", ""))
    for place, (words, unit) in enumerate(rows):
        y = base + 76.0 - 16.0 * place
        items.append(Text("text", x + 14.0, y, words, 3.5))
        items.append(Line("dimension", frozen_array([[x + 42.0, y - 1.0], [x + 74.0, y - 1.0]])))
        items += [Text("text", x + 77.0, y, unit, 3.5)] if unit else []
    return items
