"""The seams of a skirt by letter and pieces, and the order in which the ring of the loop is closed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from skirtloft.pieces.types import CutPiece

COATED = 1200.0  # kg/m3 of coated cloth, to get its thickness from its mass (from memory)
LOOSE = 2.0  # a roll of cloth rolled by hand over one without air in it (our own choice)


@dataclass(frozen=True)
class Seam:
    """A seam between two pieces: its letter, the codes of both, its length [m] and how often it is sewn."""

    letter: str
    first: str
    second: str
    length: float
    count: int = 1


@dataclass(frozen=True)
class RingOrder:
    """The seams of the loop in the order of sewing: port half, starboard half, what joins them, and the last one."""

    port: tuple[Seam, ...]
    starboard: tuple[Seam, ...]
    joining: tuple[Seam, ...]
    closing: Seam | None


def loop_seams(pieces: Sequence[CutPiece]) -> tuple[Seam, ...]:
    """Return the seams between loop panels, each once, from the bow to the stern."""
    found: dict[tuple[str, frozenset[str]], Seam] = {}
    for piece in pieces:
        if piece.kind != "loop_panel":
            continue
        for edge in piece.edges:
            if edge.kind == "seam" and edge.letter and edge.joins:
                key = edge.letter, frozenset((piece.id, edge.joins))
                found.setdefault(key, Seam(edge.letter, piece.id, edge.joins, edge.length))
    return tuple(found.values())


def ring_order(pieces: Sequence[CutPiece]) -> RingOrder:
    """Return the order in which the loop is sewn.

    Notes
    -----
    Both halves are sewn flat from the bow to the stern, each to compare with the other. What lies across the centre
    line joins them, the stern first; the last seam closes the ring at the bow, where loops are shortest.
    """
    seams = loop_seams(pieces)
    port = tuple(s for s in seams if s.first.endswith("-P") and s.second.endswith("-P"))
    starboard = tuple(s for s in seams if s.first.endswith("-S") and s.second.endswith("-S"))
    across = [s for s in seams if s not in port and s not in starboard]
    across.reverse()  # stern before bow
    return RingOrder(port, starboard, tuple(across[:-1]), across[-1] if across else None)


def segment_seams(pieces: Sequence[CutPiece]) -> tuple[Seam, ...]:
    """Return the seams of every face with its webs; `count` is how many of that face there are."""
    return tuple(
        Seam(edge.letter, piece.id, edge.joins, edge.length, piece.quantity)
        for piece in pieces
        if piece.kind == "face"
        for edge in piece.edges
        if edge.kind == "seam" and edge.letter
    )


def roll_diameter(length: float, areal_mass: float) -> float:
    """Return the diameter [m] of `length` [m] of cloth of `areal_mass` [kg/m2], rolled up loosely by hand.

    Notes
    -----
    The area of the end of the roll is that of the cloth's edge times `LOOSE`: D = sqrt(4 LOOSE L t / pi), with the
    thickness t from the mass of the cloth.
    """
    thickness = areal_mass / COATED
    return math.sqrt(4.0 * LOOSE * length * thickness / math.pi)
