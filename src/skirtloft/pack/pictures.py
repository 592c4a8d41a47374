"""Pictures of the templates, for a phone or tablet beside the sewing machine."""

from __future__ import annotations

from skirtloft.drawing.sheet import Sheet
from skirtloft.drawing.template import template_sheet
from skirtloft.drawing.template_picture import density, template_picture
from skirtloft.export import pdf
from skirtloft.pack.templates import card
from skirtloft.pack.types import Made, Maker, PlannedPack, Template
from skirtloft.pieces.types import CutPiece


def picture_makers(planned: PlannedPack) -> Made:
    """Return a picture of every piece, each hand as its outside faces you; of a rectangle one of its card."""
    made: Made = []
    for template in planned.templates:
        base = template.piece.base
        if template.piece.is_rectangle:
            cards = card(planned, template)
            ends = [""] if len(cards) == 1 else [f"-{k}" for k in range(1, len(cards) + 1)]
            made += [(f"pictures/{base}{end}.png", _drawn(sheet, base)) for end, sheet in zip(ends, cards, strict=True)]
        else:
            made += [_of_hand(planned, template, hand) for hand in planned.skirt.pieces if hand.base == base]
    return made


def _of_hand(planned: PlannedPack, template: Template, hand: CutPiece) -> tuple[str, Maker]:
    def make() -> bytes:
        is_drawn = hand is template.piece
        sheet = template.sheet if is_drawn else template_sheet(hand, template.quantities, planned.stamp)
        return _drawn(sheet, hand.id)()

    return f"pictures/{hand.id}.png", make


def _drawn(sheet: Sheet, code: str) -> Maker:
    picture = template_picture(sheet, code)
    return lambda: pdf.render_png(picture, density(picture))
