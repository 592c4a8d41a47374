"""The nouns of a book: chapters of blocks. Plain records that know no file format and nothing of a skirt."""

from __future__ import annotations

from dataclasses import dataclass, field

from skirtloft.drawing.sheet import Sheet


@dataclass(frozen=True)
class Text:
    """A paragraph; bold where it matters more than its neighbours."""

    words: str
    bold: bool = False


@dataclass(frozen=True)
class Heading:
    """A heading inside a chapter."""

    words: str


@dataclass(frozen=True)
class Caution:
    """What may hurt people or spoil work, set off from the text."""

    words: str


@dataclass(frozen=True)
class Steps:
    """Things to do: numbered in their order, or with a box to tick."""

    items: tuple[str, ...]
    boxes: bool = False


@dataclass(frozen=True)
class Figure:
    """A drawing, fitted into `width` by `height` [mm], with what it shows below it."""

    sheet: Sheet
    width: float
    height: float
    caption: str = ""


@dataclass(frozen=True)
class FullPage:
    """A drawing that is a page of its own, frame and title block included, at its own scale."""

    sheet: Sheet


@dataclass(frozen=True)
class Table:
    """Rows under a head; an empty cell of a form is ruled to write in.

    Parameters
    ----------
    head : tuple of str
    rows : tuple of tuples of str or Figure
        As many cells as `head`.
    widths : tuple of float
        Shares of the width of the page.
    right : tuple of int
        Columns whose words stand at the right, as numbers do.
    form : bool
        To be filled in by hand: ruled and with high rows.
    caption : str
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str | Figure, ...], ...]
    widths: tuple[float, ...]
    right: tuple[int, ...] = ()
    form: bool = False
    caption: str = ""


Block = Text | Heading | Caution | Steps | Figure | FullPage | Table


@dataclass(frozen=True)
class Chapter:
    """A chapter; it begins on a page of its own where `new_page`."""

    title: str
    blocks: tuple[Block, ...]
    new_page: bool = True


@dataclass(frozen=True)
class Cover:
    """The first page: picture, what it is, and the figures that one asks for first."""

    title: str
    subtitle: str
    picture: Figure
    facts: tuple[tuple[str, str], ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Book:
    """A book on A4 or Letter paper.

    Parameters
    ----------
    paper : str
    cover : Cover
    chapters : tuple of Chapter
    running : str
        Words at the head of every page: craft, revision, date.
    banner : str
        What every page must say besides; "" where nothing.
    """

    paper: str
    cover: Cover
    chapters: tuple[Chapter, ...] = field(default=())
    running: str = ""
    banner: str = ""
