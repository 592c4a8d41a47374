"""Seam tapes at true length, packed in rows on one template: cut out, and laid along a sew line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from skirtloft.drawing.dimension import length_text
from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.tapes import SeamTape, TapeMark, tape_cuts

MARGIN = 10.0
TALL = 20.0  # of a tape [mm]; its lower edge is laid on the sew line
STEP = 24.0  # from row to row [mm]
HEAD = 24.0  # at the start of a tape, with its letter; glued under the part before where there is one [mm]
TAIL = 4.0
ROW = 1000.0  # of a row [mm]
APART = 4.0  # between tapes of a row [mm]
WORDS = 2.5
STROKES_APART = 3.0


@dataclass(frozen=True)
class _Part:
    """Part `number` of a tape, from `start` to `end` [mm]."""

    tape: SeamTape
    number: int
    start: float
    end: float

    @property
    def width(self) -> float:
        return HEAD + self.end - self.start + TAIL

    @property
    def is_last(self) -> bool:
        return self.end > 1000.0 * self.tape.length - 1e-6


def tape_sheet(tapes: Sequence[SeamTape], stamp: Stamp) -> Sheet:
    """Return all tapes on one template at true length, the longest parts first in rows of about a metre."""
    parts = [
        _Part(tape, number, 1000.0 * start, 1000.0 * end)
        for tape in tapes
        for number, (start, end) in enumerate(pairwise(tape_cuts(tape, (ROW - HEAD - TAIL) / 1000.0)))
    ]
    rows: list[list[_Part]] = []
    room: list[float] = []
    for part in sorted(parts, key=lambda part: -part.width):
        fitting = [k for k, left in enumerate(room) if part.width <= left]
        if fitting:
            rows[fitting[0]].append(part)
            room[fitting[0]] -= part.width + APART
        else:
            rows.append([part])
            room.append(ROW + 60.0 - part.width - APART)
    items: list[Item] = []
    widest = 0.0
    for number, row in enumerate(reversed(rows)):
        x, y = MARGIN, MARGIN + STEP * number
        for part in row:
            items += _part(part, x, y, stamp)
            x += part.width + APART
        widest = max(widest, x - APART)
    words = stamp.banner or stamp.record
    if words:
        items.append(Text("register", MARGIN, MARGIN + STEP * len(rows) + 3.0, words, 4.0, bold=True))
    title = (
        "Seam tapes: lay the lower edge on the sew line of either piece, a little at a time, and carry the marks over"
    )
    return Sheet("seam-tapes", title, widest + MARGIN, STEP * len(rows) + 2 * MARGIN, tuple(items), "template")


def _part(part: _Part, x: float, y: float, stamp: Stamp) -> list[Item]:
    left, tape = x + HEAD, part.tape
    right = left + part.end - part.start
    box = [[x, y], [right + TAIL, y], [right + TAIL, y + TALL], [x, y + TALL]]
    items: list[Item] = [
        Line("cut", frozen_array(box), True),
        Line("sew", frozen_array([[left, y], [left, y + TALL]])),
        Line("sew", frozen_array([[right, y], [right, y + TALL]])),
        Text("text", x + 1.5, y + 13.0, tape.code, 4.5, bold=True),
    ]
    show = "metric" if stamp.project.show == "both" else stamp.project.show
    words = [length_text(tape.length, show), f"revision {stamp.revision}"]
    if part.number:
        words[0] = f"glue under part {part.number}"
    for k, text in enumerate(words):
        size = 2.0 * min(1.0, (HEAD - 2.5) / text_width(text, 2.0))
        items.append(Text("text", x + 1.5, y + 7.2 - 3.6 * k, text, size))
    free = left + 1.0
    if not part.number:
        items.append(Text("text", left + 1.2, y + TALL - 3.6, tape.ends[0], WORDS))
        free = left + 2.0 + text_width(tape.ends[0], WORDS)
    if part.is_last:
        items.append(Text("text", right - 1.2, y + TALL - 3.6, tape.ends[1], WORDS, anchor="end"))
    for mark in tape.marks:
        at = 1000.0 * mark.at
        if part.start - 1e-6 <= at <= part.end + 1e-6:
            items += _mark(mark, tape, left + at - part.start, y, right)
    middle = f"{tape.name}: {tape.pieces}" + (f", part {part.number + 1}" if not part.is_last or part.number else "")
    items += _middle(middle, (free, right), y, part)
    return items


def _middle(words: str, ends: tuple[float, float], y: float, part: _Part) -> list[Item]:
    """The tape's name and pieces along its upper edge, as long as they fit between the names of the ends."""
    limit = ends[1] - (2.2 + text_width(part.tape.ends[1], WORDS) if part.is_last else 1.0)
    for text in (words, words.split(", ")[0], part.tape.name):
        wide = text_width(text, WORDS)
        if ends[0] + wide + 4.0 <= limit:
            return [Text("text", (ends[0] + limit) / 2.0, y + TALL - 3.6, text, WORDS, anchor="middle")]
    return []


def _mark(mark: TapeMark, tape: SeamTape, x: float, y: float, right: float) -> list[Item]:
    """Ticks from the lower edge: one or two strokes, a web line with its segments, or a hole; `right` is the end."""
    if mark.kind == "hole":
        centre, radius = y + 1000.0 * mark.out, 500.0 * tape.hole
        if centre + radius > y + TALL - 0.5:
            return [Line("mark", frozen_array([[x, y], [x, y + 4.0]]))]
        arm = radius + 0.8
        return [
            Circle("holes", x, centre, radius),
            Line("mark", frozen_array([[x - arm, centre], [x + arm, centre]])),
            Line("mark", frozen_array([[x, centre - arm], [x, centre + arm]])),
        ]
    aside = [0.0] if mark.strokes == 1 else [-STROKES_APART / 2.0, STROKES_APART / 2.0]
    items: list[Item] = [Line("mark", frozen_array([[x + dx, y], [x + dx, y + 8.0]])) for dx in aside]
    if mark.text:
        before = x + 1.0 + text_width(mark.text, 2.0) > right
        items.append(
            Text("text", x + (-1.0 if before else 1.0), y + 1.0, mark.text, 2.0, 0.0, "end" if before else "start")
        )
    return items
