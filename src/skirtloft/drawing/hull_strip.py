"""The strips to wrap along the hull: hull edge and inner-fixing line at true length, laid in rows on one template."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from skirtloft.drawing.lettering import text_width
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Circle, Item, Line, Sheet, Text
from skirtloft.maths.frozen import frozen_array
from skirtloft.pieces.hull_strip import HullMark, HullStrip

ROWS = 7  # as many as fit the height of one upright A4 or Letter tile
TALL = 30.0  # of a row [mm]
LINE = 15.0  # the line of the hull above the lower edge of its row [mm]
TAB = 26.0  # at the start of every row, to glue under the end of the one before [mm]
TAIL = 10.0  # beyond the stern centre [mm]
MARGIN = 10.0
WORDS = 2.5  # letter height [mm]
NAMES = 6.2  # baseline of station names above the line [mm]
LARGEST = 4.0  # radius of a circle drawn for a hole [mm]; its cross marks the centre
STEP = 100.0  # between written distances [mm]


def hull_strip_sheet(strips: Sequence[HullStrip], stamp: Stamp) -> Sheet:
    """Return the strips on one template at true size.

    Every row starts with a tab that is glued under the end of the row before. Ticks above the line are stations,
    ticks below are web ties; the written distance is measured from the bow centre.
    """
    pieces = [piece for strip in strips for piece in _cut(strip, _row_length(strips))]
    width = TAB + TAIL + max(end - start for _, _, start, end in pieces)
    items: list[Item] = []
    for number, (strip, code, start, end) in enumerate(pieces):
        y = MARGIN + TALL * (len(pieces) - 1 - number)
        items += _row(strip, code, start, end, y, stamp)
    words = stamp.banner or stamp.record
    if words:  # on the plotter's page; tiles say it in their footer
        items.append(Text("register", MARGIN, MARGIN + TALL * len(pieces) + 3.0, words, 4.0, bold=True))
    return Sheet(
        "hull-strips",
        f"Strips for the hull: {', '.join(f'{strip.code} {strip.name}' for strip in strips)}; port as printed, "
        "starboard turned over",
        width + 2 * MARGIN,
        TALL * len(pieces) + 2 * MARGIN,
        tuple(items),
        "template",
    )


def _row_length(strips: Sequence[HullStrip]) -> float:
    """Return the least length [mm] of a row with which the strips take `ROWS` rows."""
    lengths = [1000.0 * strip.length for strip in strips]
    counts = [1] * len(lengths)
    while sum(counts) < ROWS:
        longest = max(range(len(lengths)), key=lambda k: lengths[k] / counts[k])
        counts[longest] += 1
    return max(length / count for length, count in zip(lengths, counts, strict=True))


def _cut(strip: HullStrip, longest: float) -> list[tuple[HullStrip, str, float, float]]:
    """Return the rows of a strip: (strip, code, start, end [mm]), each cut half way between two marks."""
    total = 1000.0 * strip.length
    count = max(1, int(np.ceil(total / longest - 1e-6)))
    at = np.unique(np.round([1000.0 * mark.at for mark in strip.marks], 3))
    between, room = (at[:-1] + at[1:]) / 2.0, np.diff(at)
    between = between[room > 6.0] if (room > 6.0).any() else between
    ends = [0.0]
    for k in range(1, count):
        ends.append(float(between[np.argmin(np.abs(between - total * k / count))]))
    ends = sorted({*ends, total})
    return [(strip, f"{strip.code}{k}", a, b) for k, (a, b) in enumerate(pairwise(ends), start=1)]


def _row(strip: HullStrip, code: str, start: float, end: float, y: float, stamp: Stamp) -> list[Item]:
    left = MARGIN + TAB
    right = left + end - start
    is_last = end > 1000.0 * strip.length - 1e-6
    edge = right + TAIL if is_last else right
    box = [[MARGIN, y], [edge, y], [edge, y + TALL], [MARGIN, y + TALL]]
    line = y + LINE
    items: list[Item] = [
        Line("cut", frozen_array(box), True),
        Line("fold", frozen_array([[left, y], [left, y + TALL]])),
        Line("sew", frozen_array([[left, line], [right, line]])),
        Text("text", MARGIN + 2.0, y + 21.0, code, 5.0, 0.0, "start", True),
    ]
    if is_last:
        items.append(Line("fold", frozen_array([[right, y], [right, y + TALL]])))
    before = int(code[1:]) - 1
    words = [strip.name, f"glue under {strip.code}{before}" if before else "bow centre", stamp.project.revision]
    words[2] = f"revision {words[2]}"
    items += [Text("text", MARGIN + 2.0, y + 15.0 - 4.5 * k, text, 2.0) for k, text in enumerate(words)]
    mine = [mark for mark in strip.marks if start - 1e-6 <= 1000.0 * mark.at <= end + 1e-6]
    items += _stations(mine, left - start, right, line)
    for mark in mine:
        items += _mark(mark, strip, left - start + 1000.0 * mark.at, line, (left, right))
    items += _distances(mine, start, end, left, y)
    return items


def _stations(marks: Sequence[HullMark], origin: float, right: float, line: float) -> list[Item]:
    """A tick above the line at every station, its name level or upright beside it, wherever there is room."""
    items: list[Item] = []
    stations = [(origin + 1000.0 * mark.at, mark.text) for mark in marks if mark.kind == "station"]
    before = origin - 1e9
    for k, (x, words) in enumerate(stations):
        items.append(Line("mark", frozen_array([[x, line], [x, line + 13.0]])))
        after = stations[k + 1][0] if k + 1 < len(stations) else right
        width = text_width(words, WORDS)
        if x + width + 2.5 < after:
            items.append(Text("text", x + 1.0, line + NAMES, words, WORDS))
            before = x + 1.0 + width
        elif x - width - 2.0 > before:
            items.append(Text("text", x - 1.0 - width, line + NAMES, words, WORDS))
            before = x
        elif x + WORDS + 3.5 < after:
            code = words.split(",")[0]
            items.append(Text("text", x + 1.0 + WORDS, line + NAMES - 0.5, code, WORDS, 90.0))
            before = x + 1.0 + WORDS
        else:
            before = x
    return items


def _mark(mark: HullMark, strip: HullStrip, x: float, line: float, ends: tuple[float, float]) -> list[Item]:
    """A hole to drill, or the tie of two webs with the segments that meet there."""
    if mark.kind == "station":
        return []
    radius = min(500.0 * strip.hole, LARGEST)
    arm = radius + 1.0
    items: list[Item] = [
        Circle("holes", x, line, radius),
        Line("mark", frozen_array([[max(x - arm, ends[0]), line], [min(x + arm, ends[1]), line]])),
        Line("mark", frozen_array([[x, line - arm], [x, line + arm]])),
    ]
    if mark.kind == "web":
        half = text_width(mark.text, WORDS) / 2.0
        at = min(max(x, ends[0] + half + 1.0), ends[1] - half - 1.0)
        items.append(Text("text", at, line - arm - 4.2, mark.text, WORDS, 0.0, "middle"))
        if any(start < mark.at < end for start, end in strip.bends):
            items.append(Line("cut", frozen_array([[x, line - LINE], [x, line - arm - 5.2]])))
    return items


def _distances(marks: Sequence[HullMark], start: float, end: float, left: float, y: float) -> list[Item]:
    """Short ticks at the lower edge with the distance from the bow centre, clear of the slits."""
    slits = [1000.0 * mark.at for mark in marks if mark.kind == "web"]
    items: list[Item] = []
    for at in np.arange(np.ceil((start + 8.0) / STEP), (end - 8.0) / STEP) * STEP:
        x, words = left + at - start, f"{at:.0f}"
        half = text_width(words, 2.0) / 2.0
        if any(abs(at - slit) < half + 0.8 for slit in slits):
            continue
        items.append(Line("mark", frozen_array([[x, y], [x, y + 1.2]])))
        items.append(Text("text", float(x), y + 1.9, words, 2.0, 0.0, "middle"))
    return items
