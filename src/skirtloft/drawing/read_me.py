"""The first pages of a pack: what is here, what to print, what to mark out by hand, how lines read, and cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from skirtloft.design.model import Show
from skirtloft.drawing.dimension import inches
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Column, Stamp, page, page_room
from skirtloft.drawing.sheet import Item, Layer, Line, Sheet, Text
from skirtloft.drawing.together import STEPS, together
from skirtloft.maths.frozen import Floats, frozen_array

CAUTIONS = (
    "These templates come from a computation. No figure here is a promise: sew one segment and one panel first, and "
    "check them against the drawing before you cut the rest.",
    "Fans kill. Guards on, nobody near the fan plane, kill switch on a lanyard. First hover: tethered on four sides, "
    "empty, level ground, one person, power raised in steps; stop at once if it bounces, leans or scoops.",
    "Glue and solvent: fresh air, no flame or spark, gloves, and the maker's sheet. Sewing heavy cloth: eye "
    "protection, and the machine switched off to thread it.",
    "On water: lifejackets, a second boat, calm and shallow first, engine off to see how she floats. Local rules on "
    "craft, waterways and noise come first; have work that needs a licence done by someone who holds one.",
)

BEFORE = (
    "What is not named below is the same. Trim: lay the new template on the piece, all that sticks out comes off. "
    "Mark again: the cut edge stays. Cut again: it will not do, for the reason given. Pieces are compared as they were "
    "drawn: measure what you have already sewn or trimmed."
)

LEGEND: tuple[tuple[Layer, str], ...] = (
    ("cut", "cut here"),
    ("sew", "sew here: the two pieces meet on this line"),
    ("fold", "fold"),
    ("finished", "finished edge: trim to here at first hover"),
    ("mark", "mark: notch, pitch line, centre"),
    ("slit", "slit: cut here, from the edge as far as the line goes; a drain slot: cut its length"),
    ("place", "place line: another piece lies here"),
    ("zone", "row of stitches, or edge of the glue"),
)


@dataclass(frozen=True)
class PieceRow:
    """One template in the read-me's table; pages by paper, none where it is not tiled."""

    code: str
    name: str
    cut: str
    cloth: str
    size: str
    pages: Mapping[str, int]
    card: bool


@dataclass(frozen=True)
class Before:
    """What becomes of the pieces of an earlier pack: words on all of them; code, verdict and words of those to mend."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, str, str], ...]


def read_me_sheets(
    rows: Sequence[PieceRow],
    files: Sequence[tuple[str, str]],
    facts: Sequence[str],
    findings: Sequence[str],
    stamp: Stamp,
    paper: str,
    steps: Sequence[str] = STEPS,
    before: Before | None = None,
    tiled_on: Sequence[str] = ("A4", "Letter"),
) -> list[Sheet]:
    """Return the read-me: contents, templates, how it goes together, how to use the paper, cautions.

    Parameters
    ----------
    rows : the templates
    files : (name, what it is)
    facts : lines of a label (10 letters) and its words
    findings : failures and warnings with what to change
    steps : order of sewing and fitting
    before : what becomes of the pieces of an earlier pack
    tiled_on : papers that tiles are made on
    """
    bodies = [("Read me first", body) for body in _contents(rows, files, facts, paper, tiled_on)]
    if findings:
        bodies += [("What to change, and what to watch", body) for body in _findings(findings, paper)]
    if before:
        bodies += [("What you have cut before", body) for body in _before(before, paper)]
    bodies += [("Templates", body) for body in _piece_tables(rows, paper, tiled_on)]
    bodies += [("How it goes together", together(_column(paper), steps)), ("How to use the paper", _how_to(paper))]
    return [
        page(
            f"read-me-{k}", title, body, stamp, paper=paper, landscape=False, scale="-", number=f"{k} of {len(bodies)}"
        )
        for k, (title, body) in enumerate(bodies, start=1)
    ]


def _findings(findings: Sequence[str], paper: str) -> list[list[Item]]:
    """Break the findings into pages; a rule and what to change stay together."""
    columns = [_column(paper)]
    for line in findings:
        is_head = not line.startswith(" ")
        if is_head and columns[-1].top - 34.0 < columns[-1].bottom:
            columns.append(_column(paper))
        columns[-1].paragraph(line.strip(), 2.8, indent=0.0 if is_head else 6.0)
    return [column.items for column in columns]


def _before(before: Before, paper: str) -> list[list[Item]]:
    """Break what becomes of earlier pieces into pages."""
    column = _column(paper)
    column.heading("What becomes of the pieces you have", 4.5)
    for words in (*before.head, BEFORE):
        column.paragraph(words, 2.8)
    columns = [column]
    for code, verdict, words in before.rows:
        if columns[-1].top - 12.0 < columns[-1].bottom:
            columns.append(_column(paper))
        column = columns[-1]
        for at, cell in ((0.0, code), (22.0, verdict)):
            column.items.append(
                Text("text", column.left + at, column.top - 1.75 * 2.6, cell, 2.6, 0.0, "start", at > 0)
            )
        column.paragraph(words or " ", 2.6, indent=44.0)
    return [column.items for column in columns]


def _column(paper: str) -> Column:
    room = page_room(paper, landscape=False)
    return Column(room.left, room.top, room.width, room.bottom)


def _contents(
    rows: Sequence[PieceRow],
    files: Sequence[tuple[str, str]],
    facts: Sequence[str],
    paper: str,
    tiled_on: Sequence[str] = ("A4", "Letter"),
) -> list[list[Item]]:
    """Return the first page, and a second for the files where the first has no room for them."""
    column = _column(paper)
    column.paragraph(facts[0], 4.0)
    for line in facts[1:]:
        label, words = line[:10].strip(), line[10:].strip()
        if label:
            column.items.append(Text("text", column.left, column.top - 1.75 * 2.6, label, 2.6, 0.0, "start", True))
        column.paragraph(words, 2.6, indent=20.0)
    _what_to_print(column, rows, paper, tiled_on)
    trial = Column(column.left, column.top, column.width, column.bottom)
    _files(trial, files)
    if trial.top >= trial.bottom:
        return [[*column.items, *trial.items]]
    second = _column(paper)
    _files(second, files)
    return [column.items, second.items]


def _files(column: Column, files: Sequence[tuple[str, str]]) -> None:
    column.heading("Files")
    for name, what in files:
        column.row((name, what), (0.0, 42.0), 2.6)


def _what_to_print(column: Column, rows: Sequence[PieceRow], paper: str, tiled_on: Sequence[str]) -> None:
    tiled = [row for row in rows if not row.card]
    cards = [row.code for row in rows if row.card]
    counts = {name: sum(row.pages.get(name, 0) for row in rows) for name in tiled_on}
    pages = " or ".join(f"{count} {'' if k else 'pages '}of {name}" for k, (name, count) in enumerate(counts.items()))
    yours = f" ({counts[paper]} on your {paper})" if paper in counts and len(counts) > 1 else ""
    column.heading("What to print")
    column.bullet("Print at 100 %, never “fit to page”. Print the test page first and measure it.", 2.8)
    column.bullet(
        f"{len(tiled)} templates are tiled: {pages}{yours}. A copy shop can plot the files in templates/ on a roll "
        "instead.",
        2.8,
    )
    if cards:
        column.bullet(
            f"Mark out by hand, from the cards: {', '.join(cards)}. They are rectangles; rule, square and tape do it "
            "better than pages of tiles.",
            2.8,
        )
    column.paragraph(CAUTIONS[0], 2.8)
    column.paragraph(CAUTIONS[1], 2.8)
    column.paragraph("The last page has more to take care of, and how to use the paper.", 2.8)


def _piece_tables(rows: Sequence[PieceRow], paper: str, tiled_on: Sequence[str]) -> list[list[Item]]:
    """Break the table into pages of as many rows as fit."""
    size = 2.6 if len(tiled_on) <= 2 else 2.2  # mm, letters
    cells = [("code", "cut", "cloth", "size to cut"), *((row.code, row.cut, row.cloth, row.size) for row in rows)]
    widths = [max(text_width(words, size) for words in there) + 3.0 for there in zip(*cells, strict=True)]
    widths += [1.15 * max(text_width(words, size) for words in (name, "card")) + 2.0 for name in tiled_on]  # bold
    name_wide = _column(paper).width - sum(widths)
    widths.insert(1, name_wide)
    offsets = [0.0, *accumulate(widths[:-1])]
    pages: list[list[Item]] = []
    left = list(rows)
    while left:
        column = _column(paper)
        column.heading("Templates, and how many of each to cut", 4.5)
        column.row(("code", "piece", "cut", "cloth", "size to cut", *tiled_on), offsets, size, bold=True)
        column.top -= 1.0
        while left and column.top - 6.0 > column.bottom + 16.0:
            row = left.pop(0)
            counts = [f"{row.pages[name]}" if name in row.pages else "card" for name in tiled_on]
            column.row(
                (row.code, shortened(row.name, name_wide - 2.0, size), row.cut, row.cloth, row.size, *counts),
                offsets,
                size,
            )
        column.paragraph(" ")
        column.paragraph(
            "P is the port hand, S the starboard hand: the mirror image. One template serves both: as printed for P, "
            "turned over for S. Both hands are there as DXF and SVG for a cutter.",
            2.6,
        )
        pages.append(column.items)
    return pages


def shortened(words: str, width: float, size: float) -> str:
    """Return `words` cut at a comma, or else between words, with dots, where they are wider than `width` [mm]."""
    if text_width(words, size) <= width:
        return words
    for between in (", ", " "):
        parts = words.split(between)
        while len(parts) > 1 and text_width(between.join(parts) + " ...", size) > width:
            parts.pop()
        if text_width(short := between.join(parts) + " ...", size) <= width:
            break
    return short


def _how_to(paper: str) -> list[Item]:
    column = _column(paper)
    column.heading("How the lines read", 4.5)
    for layer, words in LEGEND:
        column.top -= 6.0
        column.items.append(
            Line(layer, frozen_array([[column.left, column.top + 1.0], [column.left + 30.0, column.top + 1.0]]))
        )
        column.items.append(Text("text", column.left + 34.0, column.top, words, 2.8))
    column.top -= 3.0
    column.paragraph(
        "One stroke across an allowance is a single notch, two strokes a double notch: like meets like.", 2.8
    )
    column.heading("Putting tiles together")
    for words in (
        "Print the test page first (00-printer-test.pdf, beside the tiles) and measure its rules both ways. If they "
        "are off by more than 0.2 mm, put what you measured, over 100, into printer_x and printer_y and "
        "make the pack again. The test page itself is never corrected; the tiles are, and say so.",
        "Each tile carries its row and column (B3; row A is the top) and, at each edge, the tile that joins there.",
        "Trim the left and the lower edge of each tile on its frame, and lay it on the dashed lines of its neighbours "
        "so that the half diamonds meet. Tape on the back, row by row, then rows together.",
        "A code that is missing is a blank tile, left out on purpose.",
        "Check one long dimension of the taped template against the table before cutting it out.",
    ):
        column.bullet(words, 2.8)
    column.heading("On the cloth")
    for words in (
        "OUTSIDE UP: the side of the cloth that will face the weather looks at you. The arrow marked WARP lies along "
        "the warp (the long threads, along the roll).",
        "Transfer every notch, hole centre, seam letter and code. Seams with the same letter meet.",
        "Cut the loop first, then the corner segments, then the runs. Cut one of each, try it, then cut the rest.",
    ):
        column.bullet(words, 2.8)
    column.heading("Take care")
    for words in CAUTIONS:
        column.bullet(words, 2.8)
    return column.items


def size_words(size: Floats, show: Show) -> str:
    """Return the size of a piece (2,) [m] in words: "459 × 425 mm"."""
    if show == "imperial":
        return f"{inches(float(size[0]), 8)} × {inches(float(size[1]), 8)}"
    return f"{1000 * size[0]:.0f} × {1000 * size[1]:.0f} mm"
