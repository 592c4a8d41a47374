"""Which segments are cut as spares, face by face."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.pieces.types import CutPiece


def spare_pieces(pieces: Sequence[CutPiece]) -> dict[str, int]:
    """Return how many spares are cut of each face, both hands together, by its code; each with a web of either hand."""
    found: dict[str, int] = {}
    for piece in pieces:
        if piece.kind == "face" and piece.spares:
            found[piece.base] = found.get(piece.base, 0) + piece.spares
    return found
