"""Plane curves made of straight lines and circular arcs, measured by their own length.

A `Path` runs in one direction; ``left`` turns are positive. Everything is exact: lengths, areas and offsets come
from the closed forms of lines and arcs, never from sampled points.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array

TOUCHING = 1e-9  # m: two points nearer than this are one point


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
Side = Literal["before", "after"]


@dataclass(frozen=True, eq=False)
class Path:
    """Pieces laid end to end; `breaks` (k+1,) [m] are the lengths along the path at which pieces meet."""

    pieces: tuple[Piece, ...]
    breaks: Floats


def plane_point(place: complex) -> Floats:
    """Return x + iy as a read-only (2,) array [m]."""
    return frozen_array((place.real, place.imag))


def line_piece(start: complex, end: complex) -> LinePiece:
    """Return the straight piece between two points given as x + iy [m]."""
    return LinePiece(plane_point(start), plane_point(end))


def arc_through(start: complex, through: complex, end: complex) -> ArcPiece | None:
    """Return the arc from `start` by way of `through` to `end` (x + iy, [m]); None where the three lie in a line.

    Notes
    -----
    Centre = start - i (|u|^2 v - |v|^2 u) / (2 Im(conj(u) v)), u = through - start, v = end - start: where the
    perpendicular bisectors of both chords cross (derived).
    """
    u, v = through - start, end - start
    twice_area = (u.conjugate() * v).imag
    if abs(twice_area) <= 1e-9 * abs(u) * abs(v) or abs(v - u) < TOUCHING:
        return None
    centre = start - 1j * (abs(u) ** 2 * v - abs(v) ** 2 * u) / (2.0 * twice_area)
    first = cmath.phase(start - centre)
    turn = (cmath.phase(end - centre) - first) % (2.0 * math.pi)
    if twice_area < 0.0:
        turn -= 2.0 * math.pi
    return ArcPiece(plane_point(centre), abs(start - centre), first, turn)


def make_path(pieces: Iterable[Piece]) -> Path:
    """Return `pieces`, laid end to end, as a path with its breaks."""
    kept = tuple(pieces)
    return Path(kept, frozen_array(np.concatenate([[0.0], np.cumsum([piece_length(piece) for piece in kept])])))


def piece_length(piece: Piece) -> float:
    """Return the length of one piece [m]."""
    if isinstance(piece, ArcPiece):
        return piece.radius * abs(piece.sweep)
    return math.hypot(piece.end[0] - piece.start[0], piece.end[1] - piece.start[1])


def path_length(path: Path) -> float:
    """Return the length of the whole path [m]."""
    return float(path.breaks[-1])


def piece_start(piece: Piece) -> complex:
    """Return the first point as x + iy [m]."""
    if isinstance(piece, ArcPiece):
        return complex(*piece.centre) + cmath.rect(piece.radius, piece.start_angle)
    return complex(*piece.start)


def piece_end(piece: Piece) -> complex:
    """Return the last point as x + iy [m]."""
    if isinstance(piece, ArcPiece):
        return complex(*piece.centre) + cmath.rect(piece.radius, piece.start_angle + piece.sweep)
    return complex(*piece.end)


def start_direction(piece: Piece) -> complex:
    """Return the unit direction of travel at the first point, as x + iy."""
    return _direction(piece, 0.0)


def end_direction(piece: Piece) -> complex:
    """Return the unit direction of travel at the last point, as x + iy."""
    return _direction(piece, 1.0)


def _direction(piece: Piece, share: float) -> complex:
    if isinstance(piece, ArcPiece):
        quarter = math.copysign(math.pi / 2.0, piece.sweep)
        return cmath.rect(1.0, piece.start_angle + share * piece.sweep + quarter)
    step = complex(*piece.end) - complex(*piece.start)
    return step / abs(step)


def piece_index(path: Path, at: npt.ArrayLike, side: Side = "after") -> npt.NDArray[np.intp]:
    """Return which piece holds each length `at` [m]; at a break, the piece before or after it.

    Pieces of no length hold none. Lengths beyond the ends belong to the first and last piece.
    """
    where = np.asarray(at, dtype=np.float64)
    if side == "after":
        found = np.searchsorted(path.breaks, where, side="right") - 1
        last = int(np.searchsorted(path.breaks, path.breaks[-1], side="left")) - 1
        return np.clip(found, 0, max(0, last))
    found = np.searchsorted(path.breaks, where, side="left") - 1
    first = int(np.searchsorted(path.breaks, 0.0, side="right")) - 1
    return np.clip(found, min(first, len(path.pieces) - 1), len(path.pieces) - 1)


def points_at(path: Path, at: npt.ArrayLike) -> Floats:
    """Return the points (n, 2) [m] at the lengths `at` (n,) [m] along the path."""
    return _evaluate(path, at, "after")[0]


def tangents_at(path: Path, at: npt.ArrayLike, side: Side = "after") -> Floats:
    """Return the unit directions of travel (n, 2) at the lengths `at` (n,) [m]; at a kink, before or after it."""
    return _evaluate(path, at, side)[1]


def outward_at(path: Path, at: npt.ArrayLike, side: Side = "after") -> Floats:
    """Return the unit normals to the right of travel (n, 2).

    Outboard, for a path that runs from the bow centre by port to the stern centre.
    """
    tangent = tangents_at(path, at, side)
    return np.column_stack([tangent[:, 1], -tangent[:, 0]])


def radii_at(path: Path, at: npt.ArrayLike, side: Side = "after") -> Floats:
    """Return the radius (n,) [m] of the piece at each length, ``inf`` where it is straight."""
    radii = np.array([piece.radius if isinstance(piece, ArcPiece) else math.inf for piece in path.pieces])
    return np.asarray(radii[piece_index(path, at, side)])


def _evaluate(path: Path, at: npt.ArrayLike, side: Side) -> tuple[Floats, Floats]:
    where = np.atleast_1d(np.asarray(at, dtype=np.float64))
    index = piece_index(path, where, side)
    point, tangent = np.empty((len(where), 2)), np.empty((len(where), 2))
    for k in np.unique(index):
        piece, mine = path.pieces[k], index == k
        along = where[mine] - path.breaks[k]
        if isinstance(piece, ArcPiece):
            sign = math.copysign(1.0, piece.sweep)
            angle = piece.start_angle + (sign * along / piece.radius if piece.radius > 0.0 else 0.0 * along)
            normal = np.column_stack([np.cos(angle), np.sin(angle)])
            point[mine] = piece.centre + piece.radius * normal
            tangent[mine] = sign * np.column_stack([-normal[:, 1], normal[:, 0]])
        else:
            direction = start_direction(piece) if piece_length(piece) > 0.0 else complex(1.0)
            tangent[mine] = (direction.real, direction.imag)
            point[mine] = piece.start + along[:, None] * tangent[mine]
    return point, tangent


def area_to_axis(path: Path) -> float:
    """Return the area [m2] between a path and the x axis, positive where the path runs to the left round it.

    Notes
    -----
    Half the integral of x dy - y dx along the path: exact, circular segments included. The closing along y = 0 adds
    nothing, so both ends must lie on the axis.
    """
    total = 0.0
    for piece in path.pieces:
        start, end = piece_start(piece), piece_end(piece)
        if isinstance(piece, ArcPiece):
            centre = complex(*piece.centre)
            total += piece.radius**2 * piece.sweep + (centre.conjugate() * (end - start)).imag
        else:
            total += (start.conjugate() * end).imag
    return total / 2.0


def parallel(path: Path, outward: float) -> Path:
    """Return the path moved by `outward` [m] to the right of its travel; negative moves it to the left, inboard.

    The path must be tangent-continuous, otherwise its pieces come apart.

    Raises
    ------
    ValueError
        An arc that turns left is moved in by more than its radius.
    """
    return make_path(parallel_piece(piece, outward) for piece in path.pieces)


def parallel_piece(piece: Piece, outward: float) -> Piece:
    """Return one piece moved by `outward` [m] to the right of its travel (see `parallel`)."""
    if isinstance(piece, ArcPiece):
        radius = piece.radius + outward * math.copysign(1.0, piece.sweep)
        if radius < 0.0:
            raise ValueError(f"an arc of radius {piece.radius} m cannot be moved in by {abs(outward)} m")
        return ArcPiece(piece.centre, radius, piece.start_angle, piece.sweep)
    step = -1j * start_direction(piece) * outward
    return line_piece(piece_start(piece) + step, piece_end(piece) + step)


def path_points(path: Path, max_error: float) -> Floats:
    """Return points (n, 2) [m] whose chords stay within `max_error` [m] of the path; every break is one of them."""
    found: list[Floats] = []
    for piece in path.pieces:
        if isinstance(piece, ArcPiece):
            count = _chords(piece, max_error)
            angle = piece.start_angle + piece.sweep * np.arange(count) / count
            found.append(piece.centre + piece.radius * np.column_stack([np.cos(angle), np.sin(angle)]))
        else:
            found.append(piece.start[None, :])
    end = piece_end(path.pieces[-1])
    return np.concatenate([*found, np.array([[end.real, end.imag]])])


def _chords(arc: ArcPiece, max_error: float) -> int:
    """Return the number of chords: the sagitta radius (1 - cos(step/2)) stays within `max_error`."""
    if arc.radius <= max_error:
        return 1
    step = 2.0 * math.acos(1.0 - max_error / arc.radius)
    return max(1, math.ceil(abs(arc.sweep) / step))
