"""The nouns of laying out: rolls of cloth, blanks to cut from them, and where each one lies.

Frame of a roll: metres, outside of the cloth facing you, x along the roll from its end, y across it from the selvedge
nearest to you. The warp runs along x.
"""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.maths.frozen import Floats


@dataclass(frozen=True)
class Roll:
    """A length of cloth to cut from.

    Parameters
    ----------
    name : str
    width : float [m]
    length : float [m]
        ``inf`` for a roll to buy from: as long as it takes.
    """

    name: str
    width: float
    length: float = float("inf")


@dataclass(frozen=True, eq=False)
class Blank:
    """One outline to cut some number of times, its warp along x.

    Parameters
    ----------
    code : str
        What is written on the cloth: the piece's code, or its code without the hand where both hands may be cut from
        one outline.
    name : str
    quantity : int
    outline : (n, 2) [m]
        Cut line with the outside of the cloth facing you, closed, first point not repeated.
    area : float [m2]
    lies : tuple of (turned, flipped)
        How it may lie: turned by half a turn, flipped over (only cloth without a face side).
    corners : (int, int)
        Indices of the two outline points that lie furthest apart: a piece is set out by them.
    """

    code: str
    name: str
    quantity: int
    outline: Floats
    area: float
    lies: tuple[tuple[bool, bool], ...]
    corners: tuple[int, int]


@dataclass(frozen=True)
class Problem:
    """What is to be laid out on one kind of cloth.

    Parameters
    ----------
    cloth : str
        "loop" or "segment".
    blanks : tuple of Blank
    rolls : tuple of Roll
        Used in this order; the last is endless.
    gap : float [m]
        Least distance between two pieces.
    margin : float [m]
        Least distance from a piece to a selvedge or an end of the roll.
    """

    cloth: str
    blanks: tuple[Blank, ...]
    rolls: tuple[Roll, ...]
    gap: float
    margin: float

    @property
    def area(self) -> float:
        """Area of all pieces [m2]."""
        return sum(blank.area * blank.quantity for blank in self.blanks)

    @property
    def count(self) -> int:
        """Number of pieces."""
        return sum(blank.quantity for blank in self.blanks)


@dataclass(frozen=True)
class Lie:
    """Where one piece lies: its outline is flipped (x to -x), then turned by half a turn, then moved by (x, y) [m]."""

    blank: int
    roll: int
    turned: bool
    flipped: bool
    x: float
    y: float


@dataclass(frozen=True, eq=False)
class Layout:
    """Every piece of a problem with its place.

    Parameters
    ----------
    problem : Problem
    lies : tuple of Lie
        By roll, then along it.
    made_by : str
        Which way of laying out found it.
    """

    problem: Problem
    lies: tuple[Lie, ...]
    made_by: str
