"""Which segments to cut as spares: some of every face, corners first, the rest by their number on the craft."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.design.model import Design
from skirtloft.materials.list import spare_segments
from skirtloft.pieces.types import CutPiece


def spare_pieces(design: Design, pieces: Sequence[CutPiece]) -> dict[str, int]:
    """Return how many spares to cut of each face, by its code; each with a web of either hand.

    Notes
    -----
    One of every face while they last, those of the corners first, then one at a time of the face that has the most on
    the craft for each spare. Never more than there are on the craft.
    """
    counts: dict[str, int] = {}
    corner: dict[str, bool] = {}
    for piece in pieces:
        if piece.kind == "face":
            counts[piece.base] = counts.get(piece.base, 0) + piece.quantity
            corner[piece.base] = corner.get(piece.base, False) or piece.run.endswith("corner")
    spares = dict.fromkeys(counts, 0)
    left = min(spare_segments(design, pieces), sum(counts.values()))
    for base in sorted(counts, key=lambda base: (not corner[base], -counts[base], base)):
        if left and counts[base]:
            spares[base], left = 1, left - 1
    while left:
        open_ = [base for base in counts if spares[base] < counts[base]]
        most = max(open_, key=lambda base: counts[base] / (spares[base] + 1))
        spares[most], left = spares[most] + 1, left - 1
    return {base: count for base, count in spares.items() if count}
