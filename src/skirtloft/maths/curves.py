"""Plane curves made of straight lines and circular arcs, measured by their own length.

A `Path` runs in one direction; ``left`` turns are positive. Everything is exact: lengths, areas and offsets come
from the closed forms of lines and arcs, never from sampled points.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class LinePiece:
    """A straight piece from `start` to `end`, both (2,) [m]."""

    start: Floats
    end: Floats


@dataclass(frozen=True, eq=False)
class ArcPiece:
    """A circular piece.

    Parameters
    ----------
    centre : (2,) [m]
    radius : float [m]
    start_angle : float [rad]
        Direction from the centre to the first point.
    sweep : float [rad]
        Signed turn; positive to the left.
    """

    centre: Floats
    radius: float
    start_angle: float
    sweep: float


Piece = LinePiece | ArcPiece
RunName = Literal["bow", "bow_corner", "side", "side_corner", "stern_corner", "stern"]


@dataclass(frozen=True, eq=False)
class Path:
    """Pieces laid end to end; `breaks` (k+1,) [m] are the lengths along the path at which pieces meet."""

    pieces: tuple[Piece, ...]
    breaks: Floats
