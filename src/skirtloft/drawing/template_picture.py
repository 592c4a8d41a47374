"""A template as a picture to sew by, on a phone or tablet beside the machine: not at true size, and it says so."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skirtloft.drawing.lettering import wrap
from skirtloft.drawing.sheet import Sheet, Text

NOT_TRUE = "A picture to sew by, not at true size: cut from the template, its tiles or its card."
RULES = ("frame", "register")  # rules and frames that are only true on paper
LONG = (1280.0, 2000.0)  # pixels of the longer side: what a tablet shows, and the most
SHARP = 75.0  # dots per inch at which letters of 3.5 mm are 10 pixels high
LETTERS = (4.0, 8.0)  # of the words on top, least and largest [mm]


def template_picture(sheet: Sheet, code: str) -> Sheet:
    """Return a template or card under its words and the word that it is not at true size, without rules of its paper.

    Parameters
    ----------
    sheet : Sheet
    code : str
        Of the piece and hand that is shown; stands in place of the first word of its title.
    """
    size = float(np.clip(sheet.width / 45.0, *LETTERS))
    room = sheet.width - 2.0 * size
    title = f"{code} {sheet.title.split(maxsplit=1)[-1]}"
    lines = [(line, size, True) for line in wrap(title, size, 0.9 * room)]  # bold is wider
    lines += [(line, 0.8 * size, False) for line in wrap(NOT_TRUE, 0.8 * size, room)]
    high = size * (1.6 * len(lines) + 1.2)
    items = [item for item in sheet.items if sheet.kind != "template" or item.layer not in RULES]
    for k, (words, letters, is_bold) in enumerate(lines):
        y = sheet.height + high - size * (1.6 * k + 2.0)
        items.append(Text("text", size, y, words, letters, 0.0, "start", is_bold))
    return replace(sheet, height=sheet.height + high, items=tuple(items), kind="drawing")


def density(sheet: Sheet) -> float:
    """Return the dots per inch of a picture of `sheet`: letters legible, the longer side of 1280 to 2000 pixels."""
    long = max(sheet.width, sheet.height) / 25.4
    return min(max(SHARP, LONG[0] / long), LONG[1] / long)
