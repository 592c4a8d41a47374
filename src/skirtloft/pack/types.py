"""A pack as planned: everything decided before a byte is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from skirtloft.drawing.mock_up import MockUpSize
from skirtloft.drawing.page import Stamp
from skirtloft.drawing.sheet import Sheet
from skirtloft.export import pdf
from skirtloft.export.tile_plan import TilePlan
from skirtloft.layout.types import Layout
from skirtloft.pack.since import Since
from skirtloft.pieces.hull_strip import HullStrip
from skirtloft.pieces.types import CutPiece
from skirtloft.pipeline import Skirt

PAPERS = ("A4", "Letter")  # tiles are made on these unless others are asked for
Maker = Callable[[], bytes]
Made = list[tuple[str, Maker]]  # names of files in the pack, each with what makes its bytes, in writing order


@dataclass(frozen=True, eq=False)
class Template:
    """One template: the piece it is drawn for, how many of each hand, its sheet, and its tiles by paper."""

    piece: CutPiece
    quantities: dict[str, int]
    sheet: Sheet
    tiles: dict[str, TilePlan]


@dataclass(frozen=True, eq=False)
class PlannedPack:
    """Everything decided before a byte is written."""

    skirt: Skirt
    digest: str
    stamp: Stamp
    templates: tuple[Template, ...]
    strips: tuple[HullStrip, ...]
    only: tuple[str, ...] = ()
    layouts: tuple[Layout, ...] = ()
    layout_note: str = ""
    since: Since | None = None
    papers: tuple[str, ...] = PAPERS
    mock_up: MockUpSize = field(default_factory=MockUpSize)

    def lines(self) -> list[str]:
        """Return what will be written and how many pages, in plain lines."""
        tiled = [template for template in self.templates if template.tiles]
        cards = [template.piece.base for template in self.templates if template.piece.is_rectangle]
        counts = {paper: sum(t.tiles[paper].page_count for t in tiled) for paper in self.papers}
        pages = ", or ".join(
            f"{count} {'' if k else 'pages '}of {paper}" for k, (paper, count) in enumerate(counts.items())
        )
        lines = [f"Pages     {len(tiled)} templates on tiles: {pages}, or one plotter page each"]
        if long := [t.piece.base for t in self.templates if max(t.sheet.width, t.sheet.height) > pdf.LONGEST_PAGE]:
            lines.append(f"Plotter   {', '.join(long)}: longer than a PDF page may be; tiles, DXF and SVG only")
        if cards:
            lines.append(f"Cards     mark out by hand, from a card each: {', '.join(cards)}")
        if self.layout_note:
            lines.append(f"Layout    {self.layout_note}")
        lines += self.since.lines() if self.since else []
        if self.only:
            lines.append(f"Only      {', '.join(self.only)}; everything else is left out of this pack")
        if self.stamp.banner:
            lines.append(f"Every sheet says: {self.stamp.banner}")
            lines.append(f"To cut all the same: --accept {' --accept '.join(self.stamp.failed)} (the sheets record it)")
        return lines
