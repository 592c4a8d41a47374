"""A book in feet and pounds: what a rule, a source or a name still says in metres gets its other value beside it."""

from __future__ import annotations

from dataclasses import replace

from skirtloft.book.types import Block, Book, Caution, Figure, Heading, Steps, Table, Text
from skirtloft.design.model import Show
from skirtloft.design.said_both import said_both


def in_both(book: Book, show: Show) -> Book:
    """Return the book with the imperial value behind every metric one that stands alone; in metres, the same book.

    Sizes of pieces stay as they are: they carry the millimetres of the cut list beside feet and inches already.
    """
    if show == "metric":
        return book

    def said(words: str) -> str:
        return said_both(words, show)

    def block_said(block: Block) -> Block:
        if isinstance(block, (Text, Heading, Caution)):
            return replace(block, words=said(block.words))
        if isinstance(block, Steps):
            return replace(block, items=tuple(said(item) for item in block.items))
        if isinstance(block, Table):
            rows = tuple(tuple(cell if isinstance(cell, Figure) else said(cell) for cell in row) for row in block.rows)
            return replace(block, rows=rows, caption=said(block.caption))
        return block

    cover = replace(
        book.cover,
        facts=tuple((name, said(value)) for name, value in book.cover.facts),
        notes=tuple(said(note) for note in book.cover.notes),
    )
    chapters = tuple(
        replace(chapter, blocks=tuple(block_said(block) for block in chapter.blocks)) for chapter in book.chapters
    )
    return replace(book, cover=cover, chapters=chapters)
