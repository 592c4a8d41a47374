"""A template as a PDF of office-paper pages, true to size.

The template is compiled once as a page of its own; every tile shows that one page, clipped.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from skirtloft.drawing.sheet import Area, Item, Line, Sheet
from skirtloft.export import pdf
from skirtloft.export.printer_page import printer_test
from skirtloft.export.tile_page import fixed_items, footer_lines, key_page_items, tile_items
from skirtloft.export.tile_plan import PAPER_ONLY, Tile, TilePlan, tile_plan
from skirtloft.export.typst_items import PREAMBLE, items_code
from skirtloft.export.typst_job import compile_pdf, quote
from skirtloft.maths.frozen import frozen_array

STRIP = 4000.0  # longer templates are compiled in strips of this length [mm]: no PDF page may be longer than 5.08 m
OVERHANG = 600.0  # and each shows so much of the next, more than the window of any tile [mm]


def render_tiled(
    sheet: Sheet,
    paper: str,
    printer_x: float = 1.0,
    printer_y: float = 1.0,
    note: str = "",
    plan: TilePlan | None = None,
) -> bytes:
    """Return `sheet` cut into pages of `paper`, with frames, register marks, rules and codes.

    Parameters
    ----------
    sheet : Sheet
        A template at true size.
    paper, printer_x, printer_y
        As for `tile_plan`.
    note : str
        Words for every footer below the sheet's title: project, revision, a failed rule.
    plan : TilePlan or None
        The plan if it is at hand already.

    Raises
    ------
    ExportError
        As `tile_plan`, and where a coordinate is not a number.
    """
    plan = plan or tile_plan(sheet, paper, printer_x, printer_y)
    bare = replace(sheet, items=tuple(item for item in sheet.items if item.layer not in PAPER_ONLY))
    lines = footer_lines(plan, sheet.title, note)
    code = [f"#set document(title: {quote(sheet.title)})", PREAMBLE]
    code.append(f"#let fixed = [{items_code(fixed_items(plan), plan.page[1])}]")
    if plan.key == "page":
        code.append(_page(plan, items_code(key_page_items(plan, sheet, lines), plan.page[1])))
    for tile in plan.tiles:
        own = items_code(tile_items(plan, tile, lines), plan.page[1])
        code.append(_page(plan, f"{_view(plan, tile, bare)}\n#fixed\n{own}"))
    with tempfile.TemporaryDirectory(prefix="skirtloft-") as folder:
        for strip in sorted({_strip(tile) for tile in plan.tiles}):
            (Path(folder) / _strip_file(strip)).write_bytes(pdf.render([_cropped(bare, strip)]))
        return compile_pdf("\n".join(code), Path(folder))


def render_tiled_many(
    sheets: Sequence[Sheet], paper: str, printer_x: float = 1.0, printer_y: float = 1.0, note: str = ""
) -> Iterator[tuple[Sheet, int, bytes]]:
    """Yield each template with its page count and its tiled PDF, in order, so that a shell can show progress."""
    for sheet in sheets:
        plan = tile_plan(sheet, paper, printer_x, printer_y)
        yield sheet, plan.page_count, render_tiled(sheet, paper, note=note, plan=plan)


def _page(plan: TilePlan, body: str) -> str:
    """Return a page of the paper that draws `body`, which is in printed millimetres, in millimetres of the file."""
    width, height = (size * factor for size, factor in zip(plan.page, plan.scale, strict=True))
    across, up = plan.scale
    board = f"box(width: {plan.page[0]:.6f}mm, height: {plan.page[1]:.6f}mm)[\n{body}\n]"
    if plan.scale != (1.0, 1.0):
        board = f"scale(x: {100 * across:.8f}%, y: {100 * up:.8f}%, origin: top + left, {board})"
    return f"#page(width: {width:.6f}mm, height: {height:.6f}mm, margin: 0mm, place(top + left, {board}))"


def _view(plan: TilePlan, tile: Tile, sheet: Sheet) -> str:
    """Return typst code for the part of the template that `tile` shows."""
    left, bottom, width, height = plan.window
    strip = _strip(tile)
    x0, y0, wide, tall = _strip_box(sheet, strip)
    dx, dy = x0 - tile.x, height - (y0 + tall - tile.y)
    image = f'image({quote(_strip_file(strip))}, width: {wide:.6f}mm, height: {tall:.6f}mm, fit: "stretch")'
    inner = f"place(top + left, dx: {dx:.6f}mm, dy: {dy:.6f}mm, {image})"
    box = f"box(width: {width:.6f}mm, height: {height:.6f}mm, clip: true, {inner})"
    return f"#place(top + left, dx: {left:.6f}mm, dy: {plan.page[1] - bottom - height:.6f}mm, {box})"


def _strip(tile: Tile) -> tuple[int, int]:
    """Return the strip of the template that holds the whole window of `tile`, counted across and up."""
    return max(0, int(tile.x // STRIP)), max(0, int(tile.y // STRIP))


def _strip_file(strip: tuple[int, int]) -> str:
    return f"plot-{strip[0]}-{strip[1]}.pdf"


def _strip_box(sheet: Sheet, strip: tuple[int, int]) -> tuple[float, float, float, float]:
    """Return lower left corner, width and height of a strip [mm]."""
    x0, y0 = strip[0] * STRIP, strip[1] * STRIP
    return x0, y0, min(STRIP + OVERHANG, sheet.width - x0), min(STRIP + OVERHANG, sheet.height - y0)


def _cropped(sheet: Sheet, strip: tuple[int, int]) -> Sheet:
    """Return the part of `sheet` in a strip, as a sheet of its own; what sticks out of it is cut off by the page."""
    x0, y0, width, height = _strip_box(sheet, strip)
    return replace(sheet, items=tuple(_moved(item, -x0, -y0) for item in sheet.items), width=width, height=height)


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Line | Area):
        return replace(item, points=frozen_array(item.points + np.array([dx, dy])))
    return replace(item, x=item.x + dx, y=item.y + dy)


__all__ = ["TilePlan", "printer_test", "render_tiled", "render_tiled_many", "tile_plan"]
