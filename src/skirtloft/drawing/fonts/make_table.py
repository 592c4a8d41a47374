"""Writes `advances.json`, the widths of every character of the two shipped fonts, read once so that measuring is quick.

Run ``python -m skirtloft.drawing.fonts.make_table`` after changing a font file (it needs fontTools); a test compares
table and fonts.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent
FILES = {"regular": "DejaVuSansCondensed.ttf", "bold": "DejaVuSansCondensed-Bold.ttf"}
PLAIN = "".join(map(chr, range(0x20, 0x7F))) + "°±×÷·–—−½¼¾²³µ‘’“”′″•…←→↑↓⊥"  # drawn without accents on capitals


def read_font(path: Path) -> dict[str, Any]:
    """Return the measures of one font file in font units; `advances` as runs of (first character, widths)."""
    from fontTools.ttLib import TTFont

    with TTFont(path, lazy=True) as font:
        names, metrics, outlines = font.getBestCmap(), font["hmtx"].metrics, font["glyf"]
        runs: list[tuple[int, list[int]]] = []
        for code in sorted(names):
            if not runs or code != runs[-1][0] + len(runs[-1][1]):
                runs.append((code, []))
            runs[-1][1].append(metrics[names[code]][0])
        plain = [outlines[names[ord(letter)]] for letter in PLAIN if outlines[names[ord(letter)]].numberOfContours]
        return {
            "units_per_em": font["head"].unitsPerEm,
            "cap_height": outlines[names[ord("H")]].yMax,
            "top": font["hhea"].ascent,
            "bottom": font["hhea"].descent,
            "plain_top": max(outline.yMax for outline in plain),
            "plain_bottom": min(outline.yMin for outline in plain),
            "advances": [[first, widths] for first, widths in runs],
        }


def table_text() -> str:
    """Return the text of `advances.json` as the font files give it."""
    table = {weight: read_font(FOLDER / name) for weight, name in FILES.items()}
    return json.dumps(table, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    (FOLDER / "advances.json").write_text(table_text(), encoding="utf-8", newline="\n")
