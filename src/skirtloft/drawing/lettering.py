"""How much room text takes in the font that every paper sheet is printed in.

Widths are the sums of the font's advance widths. Writers switch kerning off, so that is what is printed.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from skirtloft.drawing.sheet import Text
from skirtloft.maths.frozen import Floats, frozen_array

FONT_FOLDER = Path(__file__).parent / "fonts"
FONT_FAMILY = "DejaVu Sans Condensed"
_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True)
class FontMeasures:
    """One font, in heights of a capital letter.

    Parameters
    ----------
    em : float
        Font size.
    top, bottom : float
        Reach above and below (negative) the baseline of any letter, accents included.
    plain_top, plain_bottom : float
        The same for text of `plain` characters only.
    advances : dict of int to float
        Width of each character by its code.
    """

    em: float
    top: float
    bottom: float
    plain_top: float
    plain_bottom: float
    advances: dict[int, float]


@lru_cache(maxsize=2)
def font_measures(bold: bool = False) -> FontMeasures:
    """Return the measures of the regular or the bold font."""
    table = json.loads((FONT_FOLDER / "advances.json").read_text(encoding="utf-8"))["bold" if bold else "regular"]
    cap = table["cap_height"]
    return FontMeasures(
        em=table["units_per_em"] / cap,
        top=table["top"] / cap,
        bottom=table["bottom"] / cap,
        plain_top=table["plain_top"] / cap,
        plain_bottom=table["plain_bottom"] / cap,
        advances={first + i: wide / cap for first, widths in table["advances"] for i, wide in enumerate(widths)},
    )


@lru_cache(maxsize=16384)
def _relative_width(text: str, bold: bool) -> float:
    """Return the width in capital heights; a character the font lacks counts one em."""
    font = font_measures(bold)
    return sum(font.advances.get(ord(letter), font.em) for letter in text)


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Return the printed width of one line of `text` [mm]; `height` [mm] is that of a capital letter.

    Examples
    --------
    >>> round(text_width("OUTSIDE UP", 5.0), 3)
    37.726
    """
    return height * _relative_width(text, bold)


def font_size(height: float) -> float:
    """Return the font size (one em) [mm] whose capitals are `height` [mm] tall; both weights agree."""
    return height * font_measures().em


@lru_cache(maxsize=16384)
def _reach(text: str, bold: bool) -> tuple[float, float]:
    """Return the reach below (negative) and above the baseline in capital heights."""
    from skirtloft.drawing.fonts.make_table import PLAIN

    font = font_measures(bold)
    if all(letter in PLAIN for letter in text):
        return font.plain_bottom, font.plain_top
    return font.bottom, font.top


def ascender(text: str, height: float, bold: bool = False) -> float:
    """Return how far `text` may reach above the baseline [mm]; accented capitals count only where there are any."""
    return height * _reach(text, bold)[1]


def descender(text: str, height: float, bold: bool = False) -> float:
    """Return how far `text` may reach below the baseline [mm], positive down."""
    return -height * _reach(text, bold)[0]


def text_box(text: Text) -> Floats:
    """Return the corners (4, 2) [mm] of the box `text` fills, anticlockwise from its lower left as one reads it."""
    width = text_width(text.text, text.height, text.bold)
    left = -width * _SHIFT[text.anchor]
    low, high = (text.height * reach for reach in _reach(text.text, text.bold))
    if text.angle == 0.0:
        x0, x1, y0, y1 = text.x + left, text.x + (left + width), text.y + low, text.y + high
        return frozen_array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    angle = math.radians(text.angle)
    along, up = np.array([math.cos(angle), math.sin(angle)]), np.array([-math.sin(angle), math.cos(angle)])
    box = np.array([[left, low], [left + width, low], [left + width, high], [left, high]])
    return frozen_array(np.array([text.x, text.y]) + box @ np.array([along, up]))


def wrap(text: str, height: float, max_width: float, bold: bool = False) -> tuple[str, ...]:
    """Return `text` broken at spaces into lines up to `max_width` [mm]; a word that is too long stands alone."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}" if line else word
            if line and text_width(longer, height, bold) > max_width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)
