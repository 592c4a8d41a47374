"""The nouns of the cutting table: flat pieces with their edges, marks and holes.

Frame of every piece: metres, outside of the cloth facing you, x towards the bow, y towards the hull. Port pieces are
drawn with x to the left (that is how the port side looks from outside); the numbers of both hands are the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from skirtloft.maths.frozen import Floats

EdgeKind = Literal["seam", "hull", "joint", "tip", "hem", "fold", "end"]
PieceKind = Literal["loop_panel", "face", "web", "joint_strip"]
Hand = Literal["P", "S", ""]


@dataclass(frozen=True, eq=False)
class Edge:
    """One edge of the sew line, from corner to corner, both ends included.

    Parameters
    ----------
    name : str
        What a builder calls it: "hull edge", "joint", "seam B", "tip".
    kind : EdgeKind
    points : (k, 2) [m]
    allowance : float [m]
        Cloth left outside this edge.
    letter : str
        Seam letter, the same on both pieces that meet here; "" where nothing is sewn on.
    joins : str
        Codes of the pieces that meet here, for the label; "" where nothing does.
    """

    name: str
    kind: EdgeKind
    points: Floats
    allowance: float
    letter: str = ""
    joins: str = ""

    @property
    def length(self) -> float:
        """Length along the edge [m]."""
        import numpy as np

        steps = np.diff(self.points, axis=0)
        return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


@dataclass(frozen=True, eq=False)
class Notch:
    """A mark on the sew line with its outward direction; `count` 1 or 2 strokes."""

    at: Floats
    outward: Floats
    count: int
    letter: str


@dataclass(frozen=True, eq=False)
class MarkLine:
    """A line that is drawn and not cut: fold, pitch, centre. `points` (k, 2) [m]."""

    points: Floats
    kind: Literal["fold", "pitch", "centre", "trim", "slit"]
    text: str = ""


@dataclass(frozen=True, eq=False)
class CutPiece:
    """One distinct piece to cut.

    Parameters
    ----------
    id : str
        Code printed on the cloth, e.g. "L03-P".
    base : str
        Code without the hand, the same for both hands: one template serves both.
    name, kind, hand, quantity : as in results
        `quantity` is for the whole craft.
    cloth : "loop" or "segment"
    edges : tuple of Edge
        Once round the sew line, anticlockwise in the piece frame (x right, y up).
    cut_line : (m, 2) [m]
        Closed outline to cut, first point not repeated.
    sew_line : (k, 2) [m]
        Closed outline of the edges, first point not repeated.
    holes : (h, 2) [m]
        Hole centres; `hole_diameter` [m].
    notches, marks : tuples
    warp : (2,)
        Unit direction of the warp in the piece frame.
    run : str
    stations : str
        "P03 to P04", "" for pieces that are not tied to stations.
    joint_length : float [m]
        Length of the joint edge.
    area : float [m2]
        Inside the cut line, one piece.
    mass : float [kg]
        One piece.
    is_rectangle : bool
        Cut line is a rectangle: it gets a measure-and-mark card.
    """

    id: str
    base: str
    name: str
    kind: PieceKind
    hand: Hand
    quantity: int
    cloth: Literal["loop", "segment"]
    edges: tuple[Edge, ...]
    sew_line: Floats
    cut_line: Floats
    holes: Floats
    hole_diameter: float
    notches: tuple[Notch, ...]
    marks: tuple[MarkLine, ...]
    warp: Floats
    run: str
    stations: str
    joint_length: float
    area: float
    mass: float
    is_rectangle: bool
