"""The cut list, one row per hand, and the figures of a piece as every list prints them, alike to the digit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from skirtloft.pieces.types import CutPiece

CUT_LIST = (
    "code", "name", "hand", "quantity", "spares", "cloth", "run", "stations", "length_mm", "width_mm",
    "joint_mm", "holes", "area_m2", "mass_kg", "total_mass_kg", "template", "card",
)  # fmt: skip


def size_mm(piece: CutPiece) -> tuple[str, str]:
    """Return length and width of the cut line [mm], to 0.1 mm."""
    length, width = 1000.0 * (piece.cut_line.max(axis=0) - piece.cut_line.min(axis=0))
    return f"{length:.1f}", f"{width:.1f}"


def area_m2(piece: CutPiece) -> str:
    """Return the area of one piece [m2], to 1 cm2."""
    return f"{piece.area:.4f}"


def mass_kg(piece: CutPiece) -> str:
    """Return the mass of one piece [kg], to 0.1 g."""
    return f"{piece.mass:.4f}"


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
        row = (
            piece.id, piece.name, piece.hand, piece.quantity, piece.spares, piece.cloth, piece.run, piece.stations,
            *size_mm(piece), f"{1000 * piece.joint_length:.1f}", len(piece.holes),
            area_m2(piece), mass_kg(piece), f"{piece.mass * piece.quantity:.3f}",
            piece.base, "yes" if piece.is_rectangle else "",
        )  # fmt: skip
        rows.append(dict(zip(CUT_LIST, row, strict=True)))
    return rows
