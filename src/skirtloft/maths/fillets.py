"""Corners of convex outlines rounded by tangent arcs: line to line, line to arc, arc to arc.

Pieces turn left or not at all. A piece stands for the whole line or circle it lies on, so a tangent arc may start on
its extension. Points are complex numbers x + iy [m].
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from skirtloft.maths.curves import (
    ArcPiece,
    LinePiece,
    Piece,
    line_piece,
    piece_end,
    piece_start,
    plane_point,
    start_direction,
)

FITS = 1e-12  # m: a length above minus this is not negative


@dataclass(frozen=True, eq=False)
class Rounded:
    """Pieces trimmed by the arcs between them.

    Parameters
    ----------
    pieces : tuple of Piece
        Each piece from the end of the arc before it to the start of the arc after it.
    arcs : tuple of ArcPiece or None
        Between piece k and k + 1; None where they meet without an arc.
    lengths : tuple of float [m]
        Signed length of each trimmed piece: negative where two arcs overlap.
    missing : tuple of int
        Corners at which an arc is wanted and none is tangent to both pieces.
    """

    pieces: tuple[Piece, ...]
    arcs: tuple[ArcPiece | None, ...]
    lengths: tuple[float, ...]
    missing: tuple[int, ...]


def turn_between(before: complex, after: complex) -> float:
    """Return the turn from one direction to another [rad], left positive, -pi to pi."""
    return cmath.phase(after / before)


def tangent_arc(before: Piece, after: Piece, radius: float) -> ArcPiece | None:
    """Return the arc of `radius` [m] that leaves `before` and runs into `after`, tangent to both on the inside.

    Returns None where there is no such arc that turns left by less than half a circle.

    Notes
    -----
    Its centre lies `radius` to the left of a line, and |R - radius| from the centre of an arc of radius R. Of two
    possible centres, the one whose ends lie nearest to where the pieces end and start (derived).
    """
    best: tuple[float, ArcPiece] | None = None
    for centre in _centres(before, after, radius):
        first, last = _outward(before, centre, radius), _outward(after, centre, radius)
        if first is None or last is None:
            continue
        sweep = turn_between(first, last)
        if not 1e-12 < sweep < math.pi - 1e-9:
            continue
        away = abs(centre + radius * first - piece_end(before)) + abs(centre + radius * last - piece_start(after))
        if best is None or away < best[0]:
            best = away, ArcPiece(plane_point(centre), radius, cmath.phase(first), sweep)
    return None if best is None else best[1]


def _outward(piece: Piece, centre: complex, radius: float) -> complex | None:
    """Return the unit normal at which a circle about `centre` touches `piece`; None where they are the same circle."""
    if isinstance(piece, LinePiece):
        return -1j * start_direction(piece)
    away = (centre - complex(*piece.centre)) * math.copysign(1.0, piece.radius - radius)
    return away / abs(away) if abs(away) > FITS else None


def _centres(before: Piece, after: Piece, radius: float) -> list[complex]:
    if isinstance(before, LinePiece) and isinstance(after, LinePiece):
        u, v = start_direction(before), start_direction(after)
        sine = (u.conjugate() * v).imag
        if abs(sine) < 1e-12:
            return []
        gap = piece_start(after) + 1j * v * radius - piece_end(before) - 1j * u * radius
        return [piece_end(before) + 1j * u * radius + u * (gap.conjugate() * v).imag / sine]
    if isinstance(before, ArcPiece) and isinstance(after, ArcPiece):
        return _two_circles(before, after, radius)
    line, arc = (before, after) if isinstance(before, LinePiece) else (after, before)
    assert isinstance(line, LinePiece)
    assert isinstance(arc, ArcPiece)
    u = start_direction(line)
    turned = (complex(*arc.centre) - piece_start(line) - 1j * u * radius) / u
    inside = (arc.radius - radius) ** 2 - turned.imag**2
    if inside < 0.0:
        return []
    half = math.sqrt(inside)
    return [piece_start(line) + u * (1j * radius + turned.real + half * sign) for sign in (-1.0, 1.0)]


def _two_circles(before: ArcPiece, after: ArcPiece, radius: float) -> list[complex]:
    start, step = complex(*before.centre), complex(*after.centre) - complex(*before.centre)
    first, second, apart = abs(before.radius - radius), abs(after.radius - radius), abs(step)
    if apart < FITS:
        return []
    along = (apart**2 + first**2 - second**2) / (2.0 * apart)
    inside = first**2 - along**2
    if inside < 0.0:
        return []
    return [start + step / apart * complex(along, sign * math.sqrt(inside)) for sign in (-1.0, 1.0)]


def trim(piece: Piece, start: complex, end: complex) -> tuple[Piece, float]:
    """Return the part of the line or circle under `piece` from `start` to `end`, and its signed length [m]."""
    if isinstance(piece, LinePiece):
        return line_piece(start, end), ((end - start) / start_direction(piece)).real
    middle = cmath.rect(1.0, piece.start_angle + piece.sweep / 2.0)
    centre = complex(*piece.centre)
    first, last = (cmath.phase((place - centre) / middle) for place in (start, end))
    angle = piece.start_angle + piece.sweep / 2.0 + first
    return ArcPiece(piece.centre, piece.radius, angle, last - first), piece.radius * (last - first)


def round_corners(pieces: Sequence[Piece], radii: Sequence[float | None]) -> Rounded:
    """Return `pieces` with a tangent arc of `radii[k]` between piece k and k + 1.

    A radius of None leaves both pieces as they are at that corner.
    """
    arcs = [
        None if radius is None else tangent_arc(before, after, radius)
        for before, after, radius in zip(pieces[:-1], pieces[1:], radii, strict=True)
    ]
    missing = [k for k, (arc, radius) in enumerate(zip(arcs, radii, strict=True)) if arc is None and radius is not None]
    starts = [piece_start(pieces[0])] + [
        piece_start(piece) if arc is None else piece_end(arc) for arc, piece in zip(arcs, pieces[1:], strict=True)
    ]
    ends = [piece_end(piece) if arc is None else piece_start(arc) for arc, piece in zip(arcs, pieces[:-1], strict=True)]
    ends.append(piece_end(pieces[-1]))
    trimmed = [trim(piece, start, end) for piece, start, end in zip(pieces, starts, ends, strict=True)]
    lengths = tuple(length for _, length in trimmed)
    return Rounded(tuple(part for part, _ in trimmed), tuple(arcs), lengths, tuple(missing))


def largest_radius(margin: Callable[[float], float], size: float, step: float) -> float | None:
    """Return the largest radius [m] that fits, to the last digits; None where none does.

    Parameters
    ----------
    margin : callable
        Radius -> length left over [m]; below -1e-12 where it does not fit, ``-inf`` where there is no tangent arc.
    size : float [m]
        Of the whole outline; radii from a hundred times down to a thousandth of it are tried.
    step : float
        Ratio of the radii tried; 2 between straight lines, where every radius below the largest fits; finer with arcs,
        where only a range may.
    """
    too_large = 100.0 * size
    radius, over = too_large / step, margin(too_large)
    while (left := margin(radius)) < -FITS:
        too_large, over, radius = radius, left, radius / step
        if radius < 1e-3 * size:
            return None
    by_secant = True
    while left > 1e-3 * FITS:
        share = left / (left - over) if by_secant and math.isfinite(over) else 0.5
        middle = radius + share * (too_large - radius)
        if not radius < middle < too_large:
            break
        found = margin(middle)
        if found >= -FITS:
            radius, left = middle, found
        else:
            too_large, over = middle, found
        by_secant = not by_secant
    return radius


def mirrored(piece: Piece) -> Piece:
    """Return the piece mirrored in the centre line y = 0 and run backwards: what comes before a bow centre."""
    if isinstance(piece, LinePiece):
        return line_piece(piece_end(piece).conjugate(), piece_start(piece).conjugate())
    centre = complex(*piece.centre).conjugate()
    return ArcPiece(plane_point(centre), piece.radius, -(piece.start_angle + piece.sweep), piece.sweep)


def end_for_end(piece: Piece) -> Piece:
    """Return the piece mirrored in x = 0 and run backwards, so that bow and stern change places."""
    if isinstance(piece, LinePiece):
        return line_piece(-piece_end(piece).conjugate(), -piece_start(piece).conjugate())
    centre = -complex(*piece.centre).conjugate()
    return ArcPiece(plane_point(centre), piece.radius, math.pi - (piece.start_angle + piece.sweep), piece.sweep)
