"""Text that flows down the columns of a page, and on to the next: paragraphs, bullets, headings, tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from skirtloft.drawing.page import Column, page_room
from skirtloft.drawing.sheet import Item

Block = Callable[[Column], None]
SIZE = 2.5  # mm, letters
HEADING = 3.8  # mm


def flowed(blocks: Iterable[Block], paper: str) -> list[list[Item]]:
    """Return blocks down a column, a new page where one does not fit."""
    room = page_room(paper, landscape=False)
    columns = [Column(room.left, room.top, room.width, room.bottom)]
    for block in blocks:
        trial = Column(room.left, columns[-1].top, room.width, room.bottom)
        block(trial)
        if trial.full:
            trial = Column(room.left, room.top, room.width, room.bottom)
            block(trial)
            columns.append(trial)
        else:
            columns[-1].items += trial.items
            columns[-1].top = trial.top
    return [column.items for column in columns]


def headed(title: str, then: Block) -> Block:
    """Return a heading that stays with what follows it."""

    def both(column: Column) -> None:
        column.heading(title, HEADING)
        then(column)

    return both


def said(words: str) -> Block:
    """Return a paragraph."""
    return lambda column: column.paragraph(words, SIZE)


def bullet(words: str) -> Block:
    """Return a paragraph with a dash before it."""
    return lambda column: column.bullet(words, SIZE)


def listed(title: str, lines: Sequence[str]) -> list[Block]:
    """Return bullets under a heading that stays with the first."""
    return [headed(title, bullet(lines[0])), *(bullet(line) for line in lines[1:])]


def table(title: str, head: Sequence[str], rows: Sequence[Sequence[str]], offsets: Sequence[float]) -> list[Block]:
    """Return a table under a heading that stays with its first row; `offsets` [mm] from the left of each cell."""

    def top(column: Column) -> None:
        column.row(head, offsets, SIZE - 0.2, bold=True)
        column.top -= 0.8
        column.row(rows[0], offsets, SIZE - 0.2)

    def line(cells: Sequence[str]) -> Block:
        return lambda column: column.row(cells, offsets, SIZE - 0.2)

    return [headed(title, top), *(line(row) for row in rows[1:])]
