"""The figures of a piece as every list prints them: cut list, book, each from here and so alike to the digit."""

from __future__ import annotations

from skirtloft.pieces.types import CutPiece


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
