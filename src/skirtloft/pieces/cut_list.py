"""The cut list: every piece with its quantity, spares, size and mass, one row per hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from skirtloft.pieces.types import CutPiece

CUT_LIST = (
    "code", "name", "hand", "quantity", "spares", "cloth", "run", "stations", "length_mm", "width_mm",
    "joint_mm", "holes", "area_m2", "mass_kg", "total_mass_kg", "template", "card",
)  # fmt: skip


def merged_hands(pieces: Sequence[CutPiece]) -> list[CutPiece]:
    """Return the pieces with both hands as one where neither side of their cloth must face out."""
    found: dict[str, CutPiece] = {}
    for piece in pieces:
        alike = bool(piece.hand) and not piece.face_side
        key = piece.base if alike else piece.id
        known = found.get(key)
        if known is not None:
            both = (known.quantity + piece.quantity, known.spares + piece.spares)
            found[key] = replace(known, quantity=both[0], spares=both[1])
        else:
            found[key] = replace(piece, id=piece.base, hand="") if alike else piece
    return list(found.values())


def cut_list_rows(pieces: Sequence[CutPiece]) -> list[dict[str, str | int]]:
    """Return the rows of the cut list by the columns `CUT_LIST`; total mass is that on the craft, without spares."""
    rows: list[dict[str, str | int]] = []
    for piece in merged_hands(pieces):
        size = 1000.0 * (piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0))
        row = (
            piece.id, piece.name, piece.hand, piece.quantity, piece.spares, piece.cloth, piece.run, piece.stations,
            f"{size[0]:.1f}", f"{size[1]:.1f}", f"{1000 * piece.joint_length:.1f}", len(piece.holes),
            f"{piece.area:.4f}", f"{piece.mass:.4f}", f"{piece.mass * piece.quantity:.3f}",
            piece.base, "yes" if piece.is_rectangle else "",
        )  # fmt: skip
        rows.append(dict(zip(CUT_LIST, row, strict=True)))
    return rows
