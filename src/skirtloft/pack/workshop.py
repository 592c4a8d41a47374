"""The build book, the roll to mark out, the layout itself, and what to buy."""

from __future__ import annotations

from collections.abc import Callable

from skirtloft.book.compose import build_book
from skirtloft.book.types import Book
from skirtloft.drawing.roll_sheets import roll_sheets
from skirtloft.export import book, csv, pdf
from skirtloft.layout.saved import to_text
from skirtloft.materials.list import bill_of_materials
from skirtloft.materials.table import COLUMNS as BILL_COLUMNS
from skirtloft.materials.table import rows as bill_rows
from skirtloft.pack.types import Made, PlannedPack
from skirtloft.sits.sits import Sits


def book_makers(planned: PlannedPack, sits: Callable[[], Sits]) -> Made:
    """Return the build book; `sits` gives how the skirt sits, which takes a while and other files want as well."""
    return [("build-book.pdf", lambda: book.render(_book(planned, sits())))]


def _book(planned: PlannedPack, sits: Sits) -> Book:
    return build_book(
        planned.skirt,
        planned.layouts,
        planned.stamp,
        digest=planned.digest,
        sits=sits,
    )


def roll_makers(planned: PlannedPack) -> Made:
    """Return the roll to mark out, the layout itself, and what to buy."""
    skirt, layouts, paper = planned.skirt, planned.layouts, planned.skirt.design.making.paper
    bill = bill_of_materials(skirt.design, skirt.pieces, layouts)
    makers: Made = [
        ("materials.csv", lambda: csv.render(bill_rows(bill, skirt.design.project.show), BILL_COLUMNS).encode())
    ]
    if layouts:
        makers.append(("drawings/roll.pdf", lambda: pdf.render(roll_sheets(layouts, planned.stamp, paper))))
        makers.append(("layout.json", lambda: to_text(layouts, skirt.design.project.name).encode()))
    return makers
