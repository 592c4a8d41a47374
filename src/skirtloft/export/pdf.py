"""Sheets as PDF at true size, one page per sheet, text kept as text."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.drawing.sheet import Sheet
from skirtloft.errors import ExportError
from skirtloft.export import svg
from skirtloft.export.typst_job import compile_pdf, compile_png, quote, svg_image

LONGEST_PAGE = 5080.0  # mm, 14 400 units of 1/72 in; longer pages are scaled by readers (PDF 1.7 annex C, from memory)


def render(sheets: Sequence[Sheet]) -> bytes:
    """Return a PDF with one page per sheet, each page of exactly the sheet's size.

    Raises
    ------
    ExportError
        There is no sheet, one is longer than a PDF page may be, or one holds a coordinate that is not a number.
    """
    if not sheets:
        raise ExportError("There is no sheet to put into the PDF.")
    for sheet in sheets:
        check_length(sheet)
    title = f"#set document(title: {quote(sheets[0].title)})\n"
    return compile_pdf(title + "\n".join(_page(sheet) for sheet in sheets))


def render_png(sheet: Sheet, ppi: float = 100.0) -> bytes:
    """Return `sheet` as a PNG picture of `ppi` dots per inch of paper."""
    return compile_png(_page(sheet), ppi)


def check_length(sheet: Sheet) -> None:
    """Raise an ExportError if `sheet` is longer than a PDF page may be."""
    if max(sheet.width, sheet.height) > LONGEST_PAGE:
        raise ExportError(
            f"Sheet {sheet.name} is {max(sheet.width, sheet.height) / 1000:.2f} m long; a PDF page is true "
            f"to size up to {LONGEST_PAGE / 1000:.2f} m. Use its tiles, its SVG or its DXF, or split the piece."
        )


def _page(sheet: Sheet) -> str:
    size = f"width: {sheet.width:.6f}mm, height: {sheet.height:.6f}mm"
    image = svg_image(svg.render(sheet), sheet.width, sheet.height)
    return f"#page({size}, margin: 0mm, place(top + left, {image}))"
