"""Pages with a frame and a title block, and text that flows down a column.

Drawing space and title block follow ISO 5457 and ISO 7200 in spirit (margins 20 mm at the filing edge, 10 mm
elsewhere; 180 mm wide block): from memory, no figure of theirs is copied.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from skirtloft.design.model import Project, Show
from skirtloft.design.units import format_length
from skirtloft.drawing.lettering import text_width, wrap
from skirtloft.drawing.sheet import Item, Line, Sheet, Text
from skirtloft.maths.frozen import frozen_array

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
FILING, MARGIN = 20.0, 10.0
BLOCK_WIDTH, BLOCK_HEIGHT = 180.0, 24.0


@dataclass(frozen=True)
class Room:
    """Free rectangle of a page above its title block [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height [mm]."""
        return self.top - self.bottom


@dataclass(frozen=True)
class Stamp:
    """What every sheet of a design says: project, failed rules, accepted rules."""

    project: Project
    failed: tuple[str, ...] = ()
    accepted: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()

    @property
    def revision(self) -> str:
        """The revision as title blocks say it; marked where values were changed for this run only."""
        return f"{self.project.revision}{' changed' if self.changes else ''}"

    @property
    def banner(self) -> str:
        """The refusal that every sheet carries while a rule fails; "" when none does."""
        return f"FAILS: {', '.join(self.failed)}. Do not cut" if self.failed else ""

    @property
    def record(self) -> str:
        """The record of rules that fail and were accepted by name; "" when none was."""
        return f"Accepted though it fails: {', '.join(self.accepted)}" if self.accepted else ""


def page_size(paper: str, landscape: bool) -> tuple[float, float]:
    """Return width and height of `paper` [mm]."""
    short, long = PAPERS[paper]
    return (long, short) if landscape else (short, long)


def page_room(paper: str, landscape: bool) -> Room:
    """Return the free rectangle inside the frame and above the title block."""
    width, height = page_size(paper, landscape)
    return Room(FILING + 4.0, MARGIN + BLOCK_HEIGHT + 4.0, width - MARGIN - 4.0, height - MARGIN - 4.0)


def page(
    name: str, title: str, items: Sequence[Item], stamp: Stamp, *, paper: str, landscape: bool, scale: str, number: str
) -> Sheet:
    """Return `items` on a framed page with its title block; a failed rule stands in a banner across the top."""
    width, height = page_size(paper, landscape)
    frame: list[Item] = [_box(FILING, MARGIN, width - MARGIN, height - MARGIN)]
    frame += _title_block(width - MARGIN, (name, title), stamp, scale, number)
    if stamp.banner:
        frame += _banner(stamp.banner, width, height - MARGIN + 2.0)
    elif stamp.record:
        frame.append(Text("text", width / 2.0, height - MARGIN + 2.5, stamp.record, 3.5, 0.0, "middle", True))
    return Sheet(name, title, width, height, (*items, *frame))


def _banner(words: str, width: float, base: float) -> list[Item]:
    size = 5.0
    while text_width(words, size, True) > width - 2 * MARGIN and size > 2.0:
        size -= 0.25
    return [Text("text", width / 2.0, base, words, size, 0.0, "middle", True)]


def _box(left: float, bottom: float, right: float, top: float) -> Line:
    return Line("frame", frozen_array([[left, bottom], [right, bottom], [right, top], [left, top]]), True)


def _title_block(right: float, names: tuple[str, str], stamp: Stamp, scale: str, number: str) -> list[Item]:
    """Return the title block at the lower right of the frame, its fields named after ISO 7200.

    Two of them are left empty, for a hand to sign.
    """
    left, bottom = right - BLOCK_WIDTH, MARGIN
    middle = bottom + BLOCK_HEIGHT / 2.0
    name, title = names
    project = stamp.project
    kind = "drawing" if scale.startswith("1") else "text, tables"
    rows = (
        (
            middle,
            (("title", title, 100.0), ("document type", kind, 26.0), ("made by", "", 27.0), ("approved by", "", 27.0)),
        ),
        (
            bottom,
            (
                ("craft", project.name, 60.0),
                ("number", name, 40.0),
                ("scale", scale, 18.0),
                ("revision", stamp.revision, 18.0),
                ("date of issue", project.date, 24.0),
                ("sheet", number, 20.0),
            ),
        ),
    )
    items: list[Item] = [_box(left, bottom, right, bottom + BLOCK_HEIGHT)]
    items.append(Line("register", frozen_array([[left, middle], [right, middle]])))
    for base, cells in rows:
        x = left
        for label, words, width in cells:
            if x > left:
                items.append(Line("register", frozen_array([[x, base], [x, base + BLOCK_HEIGHT / 2.0]])))
            items += _cell(x, base, width, label, words, 4.0 if label == "title" else 3.0)
            x += width
    return items


def _cell(left: float, bottom: float, width: float, label: str, words: str, size: float) -> list[Item]:
    while text_width(words, size, False) > width - 4.0 and size > 1.2:
        size -= 0.1
    return [
        Text("text", left + 2.0, bottom + BLOCK_HEIGHT / 2.0 - 3.2, label, 1.8),
        Text("text", left + 2.0, bottom + 2.2, words, size),
    ]


def drawn_length(value: float, show: Show) -> str:
    """Return a length [m] as dimensions carry it: in one unit, millimetres first; tables carry both where asked."""
    return format_length(float(value), "imperial" if show == "imperial" else "metric")


@dataclass
class Column:
    """Text that flows down a column; collects items as it goes."""

    left: float
    top: float
    width: float
    bottom: float
    items: list[Item] = field(default_factory=list)

    @property
    def full(self) -> bool:
        """True where the column has run below its bottom."""
        return self.top < self.bottom

    def heading(self, words: str, size: float = 4.5) -> None:
        """Add a bold line with room above."""
        self.top -= 1.9 * size
        self.items.append(Text("text", self.left, self.top, words, size, 0.0, "start", True))
        self.top -= 0.6 * size

    def paragraph(self, words: str, size: float = 3.0, indent: float = 0.0) -> None:
        """Add wrapped text."""
        for line in wrap(words, size, self.width - indent):
            self.top -= 1.75 * size
            self.items.append(Text("text", self.left + indent, self.top, line, size))
        self.top -= 0.5 * size

    def bullet(self, words: str, size: float = 3.0) -> None:
        """Add a wrapped paragraph with a dash before it."""
        self.items.append(Text("text", self.left, self.top - 1.75 * size, "–", size))
        self.paragraph(words, size, indent=4.0)

    def row(self, cells: Sequence[str], offsets: Sequence[float], size: float = 2.8, bold: bool = False) -> None:
        """Add one row of a table; `offsets` [mm] from the left of each cell."""
        self.top -= 1.75 * size
        for words, offset in zip(cells, offsets, strict=True):
            self.items.append(Text("text", self.left + offset, self.top, words, size, 0.0, "start", bold))
