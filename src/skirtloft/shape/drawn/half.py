"""A chain -> its port half from bow centre to stern centre: centre line found, symmetry checked, x from the stern."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.errors import Problem
from skirtloft.maths.curves import LinePiece
from skirtloft.shape.drawn.chain import Chain, would_join
from skirtloft.shape.drawn.mirror import Asymmetry, best_centre
from skirtloft.shape.drawn.pieces import (
    DrawnPiece,
    crossing_shares,
    cut,
    extents,
    mirrored_about_centre,
    moved,
    place_at,
    reverse_all,
    shape_end,
    shape_length,
    shape_start,
    with_ends,
)
from skirtloft.shape.wording import place_text

_Tried = tuple[float, list[DrawnPiece], float, Asymmetry]  # bow, pieces with the bow to the right, centre, how good
OPEN = 0.2  # of the length: ends nearer than this are a gap in a whole outline, not the ends of a half
SLENDER = 1.2  # length over width: of two centre lines that would do, the one that makes the hull so long is it
SQUARE = 1e-3  # rad: how far the ends of a half may be out of line with an axis before it counts as none


@dataclass(frozen=True)
class Told:
    """What the builder says about the drawing; lengths [m] and angles [rad] of the drawing's own frame.

    Parameters
    ----------
    bow : float or None
        Direction of the bow, 0 along x and a right angle along y; None finds the centre line, with the bow towards
        rising x or y.
    centre : float or None
        y of the centre line once the drawing is turned bow to the right (the drawing's own y, or minus its x).
    symmetry : float
        How far port and starboard may differ.
    snap : float
    half : bool
        A closed outline is the half, closed along the centre line.
    """

    bow: float | None
    centre: float | None
    symmetry: float
    snap: float
    half: bool


@dataclass(frozen=True, eq=False)
class PortHalf:
    """The port half, bow centre to stern centre, x = 0 at the stern; how it was found.

    Parameters
    ----------
    pieces : tuple of DrawnPiece
    bow : float [rad]
    centre : float [m]
        See `Told.centre`.
    asymmetry : Asymmetry or None
        None where only a half was drawn.
    """

    pieces: tuple[DrawnPiece, ...]
    bow: float
    centre: float
    asymmetry: Asymmetry | None


def port_half(chain: Chain, told: Told) -> PortHalf | list[Problem]:
    """Return the port half of an outline, or why there is none: every reason."""
    if chain.closed and not told.half:
        return _from_whole(chain.pieces, told)
    if chain.closed:
        return _from_closed_half(chain.pieces, told)
    return _from_open_half(chain.pieces, told)


def turned(pieces: Sequence[DrawnPiece], bow: float) -> list[DrawnPiece]:
    """Return the pieces with the bow to the right; exact for quarter turns."""
    quarters = bow / (math.pi / 2.0)
    whole = round(quarters)
    factor = (1.0, -1j, -1.0, 1j)[whole % 4] if abs(quarters - whole) < 1e-9 else cmath.rect(1.0, -bow)
    return [moved(piece, factor) for piece in pieces]


def _bows(told: Told) -> list[float]:
    return [0.0, math.pi / 2.0] if told.bow is None else [told.bow]


def axis_words(bow: float, centre: float) -> str:
    """Return the centre line in the drawing's own frame, in words."""
    quarters = bow / (math.pi / 2.0)
    if abs(quarters - round(quarters)) < 1e-9:
        sign, name = ((1.0, "y"), (-1.0, "x"), (-1.0, "y"), (1.0, "x"))[round(quarters) % 4]
        return f"{name} = {round(1000.0 * sign * centre, 6) + 0.0:.6g} mm"
    return f"the line at {math.degrees(bow):.6g} deg, {1000.0 * centre + 0.0:.6g} mm to the left of the origin"


def _from_whole(pieces: Sequence[DrawnPiece], told: Told) -> PortHalf | list[Problem]:
    tried: list[_Tried] = []
    for bow in _bows(told):
        lying = turned(pieces, bow)
        centre, asymmetry = best_centre(lying, told.centre)
        tried.append((bow, lying, centre, asymmetry))
    fits = [entry for entry in tried if entry[3].worst <= told.symmetry]
    if not fits:
        return [_asymmetrical(tried, told)]
    long = [entry for entry in fits if _slenderness(entry[1], entire=True) > SLENDER]
    if len(fits) > 1 and len(long) != 1:
        lines = " and ".join(axis_words(bow, centre) for bow, _, centre, _ in fits)
        wrong = f"It is its own mirror image about {lines}, and about as wide as long: either could be the centre line."
        would_do = 'Say where the bow points: --bow "0 deg" (along x), "90 deg" (along y), "180 deg" or "270 deg".'
        return [Problem("outline", "two centre lines", wrong, would_do)]
    bow, lying, centre, asymmetry = (long if len(fits) > 1 else fits)[0]
    half = _cut_half([moved(piece, 1.0, -1j * centre) for piece in lying])
    if half is None:
        wrong = f"It crosses its centre line, {axis_words(bow, centre)}, more than twice."
        return [Problem("outline", "crossings", wrong, "Draw one closed outline that does not cross itself.")]
    return _placed(half, bow, centre, asymmetry)


def _slenderness(lying: Sequence[DrawnPiece], *, entire: bool) -> float:
    """Return length over width of an outline, or of the one that a half is half of."""
    low, high = extents(lying)
    return (high.real - low.real) / ((high.imag - low.imag) * (1.0 if entire else 2.0))


def _asymmetrical(tried: Sequence[_Tried], told: Told) -> Problem:
    """Return the problem of an outline without a centre line; of several tried, by the one that comes nearest."""
    bow, _, centre, asymmetry = min(tried, key=lambda entry: entry[3].worst)
    others = [entry for entry in tried if entry[0] != bow]
    if asymmetry.worst == math.inf:
        wrong = "The centre line told does not cross the outline."
    else:
        kind = " in height" if asymmetry.in_height else ""
        wrong = (
            f"About {axis_words(bow, centre)} port and starboard differ by {1000.0 * asymmetry.worst:.4g} mm{kind}, "
            f"more than {1000.0 * told.symmetry:g} mm"
            + "".join(f"; about {axis_words(one[0], one[2])} by {1000.0 * one[3].worst:.4g} mm" for one in others)
            + "."
        )
    where = place_text(asymmetry.where * cmath.rect(1.0, bow))
    would_do = "Mend the drawing, draw the port half only, or take its port half as it is with a larger --symmetry."
    if any(_flat_sides(one, told) and _slenderness(one, entire=False) > SLENDER for _, one, _, _ in tried):
        would_do = f"If this is the half outline closed along the centre line, say --half. Else: {would_do}"
    return Problem(asymmetry.source, f"{where} in the drawing", wrong, would_do)


def _cut_half(pieces: Sequence[DrawnPiece]) -> list[DrawnPiece] | None:
    """Return the part with y > 0 of a closed outline about y = 0, from bow to stern; None where it is in parts."""
    parts: list[DrawnPiece] = []
    for piece in pieces:
        shares = [
            share
            for share in crossing_shares(piece)
            if min(abs(place_at(piece, share) - end) for end in (shape_start(piece.shape), shape_end(piece.shape)))
            > 1e-9
            and _crosses(piece, share)
        ]
        parts += cut(piece, shares)
    if _area(parts) < 0.0:
        parts = reverse_all(parts)
    port = [place_at(piece, 0.5).imag > 0.0 for piece in parts]
    firsts = [k for k in range(len(parts)) if port[k] and not port[k - 1]]
    if len(firsts) != 1:
        return None
    ordered = [*parts[firsts[0] :], *parts[: firsts[0]]]
    return ordered[: sum(port)]


def _crosses(piece: DrawnPiece, share: float) -> bool:
    """Return whether a piece goes through y = 0 here and does not only touch it."""
    before, after = place_at(piece, share - 1e-6).imag, place_at(piece, share + 1e-6).imag
    return before * after < 0.0


def _area(pieces: Sequence[DrawnPiece]) -> float:
    """Return the area [m2] inside the pieces, roughly; positive where they run round it to the left."""
    places = np.array([place_at(piece, share) for piece in pieces for share in np.linspace(0.0, 1.0, 9)[:-1]])
    return float(np.sum((np.conj(places) * np.roll(places, -1)).imag)) / 2.0


def _from_open_half(pieces: Sequence[DrawnPiece], told: Told) -> PortHalf | list[Problem]:
    start, end = shape_start(pieces[0].shape), shape_end(pieces[-1].shape)
    gap = abs(end - start)
    places = f"{place_text(start)} and {place_text(end)}"
    if gap < OPEN * sum(shape_length(piece.shape) for piece in pieces):
        wrong = (
            f"The outline is open: its ends ({pieces[0].source}, {pieces[-1].source}) are {1000.0 * gap:.4g} mm apart."
        )
        return [Problem(pieces[0].source, places, wrong, would_join(gap))]
    bow = told.bow
    if bow is None:
        angle = cmath.phase(end - start) % math.pi
        bow = 0.0 if min(angle, math.pi - angle) < SQUARE else math.pi / 2.0
    lying = turned(pieces, bow)
    low, high = shape_start(lying[0].shape).imag, shape_end(lying[-1].shape).imag
    centre = (low + high) / 2.0 if told.centre is None else told.centre
    off = max(abs(low - centre), abs(high - centre))
    if off > told.snap:
        wrong = (
            f"The ends of the half outline ({pieces[0].source}, {pieces[-1].source}) do not lie on one centre line: "
            f"they are {1000.0 * off:.4g} mm off {axis_words(bow, centre)}."
        )
        would_do = "End both on the centre line, or say how the drawing lies with --bow and --centre."
        return [Problem("outline", places, wrong, would_do)]
    half = [moved(piece, 1.0, -1j * centre) for piece in lying]
    middle = np.mean([place_at(piece, share).imag for piece in half for share in (0.25, 0.5, 0.75)])
    if middle < 0.0:
        half = [mirrored_about_centre(piece) for piece in reversed(half)]
    if shape_start(half[0].shape).real < shape_end(half[-1].shape).real:
        half = reverse_all(half)
    return _placed(half, bow, centre, None)


def _flat_sides(lying: Sequence[DrawnPiece], told: Told) -> list[float]:
    """Return the heights y of straight sides as long as the whole outline: where a half may be closed."""
    low, high = extents(lying)
    found = []
    for side in (low.imag, high.imag):
        length = sum(shape_length(piece.shape) for piece in lying if _lies_on(piece, side, told.snap))
        is_told = told.centre is None or abs(side - told.centre) <= told.snap
        if length > 0.98 * (high.real - low.real) and is_told:
            found.append(side)
    return found


def _lies_on(piece: DrawnPiece, side: float, snap: float) -> bool:
    ends = (shape_start(piece.shape), shape_end(piece.shape))
    return isinstance(piece.shape, LinePiece) and all(abs(end.imag - side) <= snap for end in ends)


def _from_closed_half(pieces: Sequence[DrawnPiece], told: Told) -> PortHalf | list[Problem]:
    sides = [(bow, side) for bow in _bows(told) for side in _flat_sides(turned(pieces, bow), told)]
    if len(sides) > 1:
        sides = [entry for entry in sides if _slenderness(turned(pieces, entry[0]), entire=False) > SLENDER] or sides
    if len(sides) != 1:
        found = " and ".join(axis_words(bow, side) for bow, side in sides) or "none"
        wrong = "A half outline closed along the centre line has one straight side as long as itself."
        would_do = "Say which with --bow and --centre." if sides else "Draw the centre line straight, or leave it out."
        return [Problem("outline", f"straight sides: {found}", wrong, would_do)]
    bow, side = sides[0]
    lying = turned(pieces, bow)
    on_axis = [_lies_on(piece, side, told.snap) for piece in lying]
    first = next(k for k in range(len(lying)) if on_axis[k - 1] and not on_axis[k])
    ordered = [*pieces[first:], *pieces[:first]]
    kept = ordered[: len(lying) - sum(on_axis)]
    return _from_open_half(kept, Told(bow, side, told.symmetry, told.snap, False))


def _placed(half: Sequence[DrawnPiece], bow: float, centre: float, asymmetry: Asymmetry | None) -> PortHalf:
    """Return the half with its ends on y = 0 and the stern at x = 0."""
    stern = shape_end(half[-1].shape).real
    pieces = [moved(piece, 1.0, -stern) for piece in half]
    first, last = pieces[0], pieces[-1]
    pieces[0] = with_ends(first, complex(shape_start(first.shape).real, 0.0), shape_end(first.shape))
    last = pieces[-1]
    pieces[-1] = with_ends(last, shape_start(last.shape), 0j)
    return PortHalf(tuple(pieces), bow, centre, asymmetry)
