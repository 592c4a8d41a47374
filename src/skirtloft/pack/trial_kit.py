"""The trial kit of a pack: how to build the box, and templates of what goes into it."""

from __future__ import annotations

from skirtloft.answers.trial_kit import TrialKit, trial_kit
from skirtloft.drawing.card import measure_and_mark_card
from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.template import distinct, template_sheet
from skirtloft.drawing.trial_sheets import trial_sheets
from skirtloft.export import dxf, pdf
from skirtloft.pack.parts import belongs
from skirtloft.pack.true_size import plot_and_tiles
from skirtloft.pack.types import Made, PlannedPack
from skirtloft.pieces.types import CutPiece

FOLDER = "trial-kit/"


def trial_makers(planned: PlannedPack) -> Made:
    """Return the instructions and every template: to plot, to cut by machine, and on tiles or from a card.

    Nothing where no part of it is wanted, or where the straight side has no rest without a diaphragm.
    """
    kit = trial_kit(planned.skirt) if belongs(FOLDER, planned.only) else None
    return [] if kit is None else _makers(planned, kit)


def _makers(planned: PlannedPack, kit: TrialKit) -> Made:
    making, stamp = planned.skirt.design.making, planned.stamp
    makers: Made = [
        (f"{FOLDER}00-trial-kit.pdf", lambda: pdf.render(trial_sheets(kit, stamp, making.level, making.paper)))
    ]
    for piece, quantities in distinct(kit.pieces):
        sheet = template_sheet(piece, quantities, stamp)
        makers.append((f"{FOLDER}{piece.base}.dxf", lambda sheet=sheet: dxf.render(sheet).encode()))  # type: ignore[misc]
        if piece.is_rectangle:
            makers += _rectangle(planned, piece, quantities, sheet)
        else:
            makers += plot_and_tiles(planned, f"{FOLDER}{piece.base}", sheet)
    return makers


def _rectangle(planned: PlannedPack, piece: CutPiece, quantities: dict[str, int], sheet: Sheet) -> Made:
    """Return a rectangle to plot, and the card by which it is measured and marked."""
    stamp, paper = planned.stamp, planned.skirt.design.making.paper
    return [
        (f"{FOLDER}{piece.base}.pdf", lambda: pdf.render([sheet])),
        (f"{FOLDER}{piece.base}-card.pdf", lambda: pdf.render(measure_and_mark_card(piece, quantities, stamp, paper))),
    ]
