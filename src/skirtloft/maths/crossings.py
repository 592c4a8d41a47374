"""Where straight lines cross a path, and from where on a path a point is seen square to it."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.curves import (
    TOUCHING,
    ArcPiece,
    LinePiece,
    Path,
    piece_length,
    piece_start,
    start_direction,
)
from skirtloft.maths.frozen import Floats


@dataclass(frozen=True, eq=False)
class Crossings:
    """Where straight lines cross a path; both arrays (n, 2k) for n lines and k pieces, ``nan`` where there is none.

    Parameters
    ----------
    distance : [m]
        Signed, from the origin of the line along its direction.
    at : [m]
        Length along the path.
    """

    distance: Floats
    at: Floats


def crossings(path: Path, origin: Floats, direction: Floats) -> Crossings:
    """Return where n whole straight lines cross the path.

    Parameters
    ----------
    origin : (n, 2) [m]
    direction : (n, 2)
        Unit vectors.

    Notes
    -----
    A crossing within 1e-9 m of the end of a piece counts as on it, so at a break both pieces may report it.
    """
    count = len(path.pieces)
    distance, at = np.full((len(origin), 2 * count), np.nan), np.full((len(origin), 2 * count), np.nan)
    for k, piece in enumerate(path.pieces):
        if isinstance(piece, ArcPiece):
            along, reach = _cross_arc(piece, origin, direction)
        else:
            along, reach = _cross_line(piece, origin, direction)
        length = path.breaks[k + 1] - path.breaks[k]
        on = (along >= -TOUCHING) & (along <= length + TOUCHING)
        columns = slice(2 * k, 2 * k + along.shape[1])
        distance[:, columns] = np.where(on, reach, np.nan)
        at[:, columns] = np.where(on, path.breaks[k] + np.clip(along, 0.0, length), np.nan)
    return Crossings(distance, at)


def _cross_line(piece: LinePiece, origin: Floats, direction: Floats) -> tuple[Floats, Floats]:
    """Return the length along the piece and along the line, (n, 1) each, ``nan`` where they are parallel."""
    tangent = start_direction(piece)
    away = origin - piece.start
    sine = tangent.real * direction[:, 1] - tangent.imag * direction[:, 0]
    sine = np.where(np.abs(sine) > 1e-12, sine, np.nan)
    along = (away[:, 0] * direction[:, 1] - away[:, 1] * direction[:, 0]) / sine
    reach = (away[:, 0] * tangent.imag - away[:, 1] * tangent.real) / sine
    return along[:, None], reach[:, None]


def _cross_arc(piece: ArcPiece, origin: Floats, direction: Floats) -> tuple[Floats, Floats]:
    """Return the length along the piece and along the line, (n, 2) each, ``nan`` where the line misses the circle."""
    away = origin - piece.centre
    middle = -(away * direction).sum(axis=1)
    inside = piece.radius**2 - (away[:, 0] * direction[:, 1] - away[:, 1] * direction[:, 0]) ** 2
    half = np.sqrt(np.where(inside >= 0.0, inside, np.nan))
    reach = np.column_stack([middle - half, middle + half])
    x = away[:, :1] + reach * direction[:, :1]
    y = away[:, 1:] + reach * direction[:, 1:]
    sign = math.copysign(1.0, piece.sweep)
    turned = (sign * (np.arctan2(y, x) - piece.start_angle)) % (2.0 * math.pi)
    past_start = turned > 2.0 * math.pi - TOUCHING / max(piece.radius, TOUCHING)
    return piece.radius * np.where(past_start, turned - 2.0 * math.pi, turned), reach


def feet(path: Path, place: complex) -> list[tuple[float, float]]:
    """Return every (length along the path, signed distance) at which `place` (x + iy) is square off the path.

    The distance [m] is positive where the place lies to the right of the travel; sorted from the nearest.
    """
    found = []
    for start, piece in zip(path.breaks, path.pieces, strict=False):
        length = piece_length(piece)
        if isinstance(piece, ArcPiece):
            away = place - complex(*piece.centre)
            if abs(away) < TOUCHING:
                continue
            sign = math.copysign(1.0, piece.sweep)
            turned = (sign * (cmath.phase(away) - piece.start_angle)) % (2.0 * math.pi)
            back = turned - 2.0 * math.pi
            along = piece.radius * (back if abs(back) * piece.radius < TOUCHING else turned)
            off = sign * (abs(away) - piece.radius)
        else:
            turned_away = (place - piece_start(piece)) / start_direction(piece)
            along, off = turned_away.real, -turned_away.imag
        if -TOUCHING <= along <= length + TOUCHING:
            found.append((float(start) + min(max(along, 0.0), length), off))
    return sorted(found, key=lambda foot: abs(foot[1]))
