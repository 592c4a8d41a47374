"""The templates of a pack: to plot, to cut by machine, on tiles of office paper, and cards to mark out by hand."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.drawing.card import measure_and_mark_card
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.template import template_sheet
from skirtloft.export import dxf, pdf, svg
from skirtloft.export.printer_page import printer_test
from skirtloft.pack.true_size import tiled
from skirtloft.pack.types import Made, Maker, PlannedPack, Template


def printer_tests(papers: Sequence[str]) -> Made:
    """Return the page that shows whether a printer prints at true size, on each paper."""
    return [(f"tiles-{paper}/00-printer-test.pdf", _printer_test(paper)) for paper in papers]


def _printer_test(paper: str) -> Maker:
    return lambda: pdf.render([printer_test(paper)])


def template_makers(planned: PlannedPack, template: Template) -> Made:
    base, piece, sheet = template.piece.base, template.piece, template.sheet
    makers: Made = []
    if max(sheet.width, sheet.height) <= pdf.LONGEST_PAGE:
        makers.append((f"templates/{base}.pdf", lambda: pdf.render([sheet])))
    for hand in [mine for mine in planned.skirt.pieces if mine.base == base]:
        drawn = sheet if hand is piece else template_sheet(hand, template.quantities, planned.stamp)
        makers.append((f"templates/{hand.id}.dxf", lambda drawn=drawn: dxf.render(drawn).encode()))  # type: ignore[misc]
        makers.append((f"templates/{hand.id}.svg", lambda drawn=drawn: svg.render(drawn).encode()))  # type: ignore[misc]
    for paper in template.tiles:
        makers.append(
            (
                f"tiles-{paper}/{base}.pdf",
                tiled(planned, sheet, paper, template.tiles[paper]),
            )
        )
    if piece.is_rectangle:
        makers.append(
            (
                f"cards/{base}.pdf",
                lambda: pdf.render(card(planned, template)),
            )
        )
    return makers


def card(planned: PlannedPack, template: Template) -> list[Sheet]:
    """Return the card of a rectangle to measure and mark out by hand."""
    paper = planned.skirt.design.making.paper
    return measure_and_mark_card(template.piece, template.quantities, planned.stamp, paper)
