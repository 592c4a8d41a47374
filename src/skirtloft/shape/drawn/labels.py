"""Labels for the pieces of a port half by the way they face: bow, side, stern, and corner for tight curves between."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from skirtloft.maths.curves import ArcPiece, end_direction, piece_length, start_direction
from skirtloft.maths.fillets import turn_between
from skirtloft.shape.drawn.arcs import RoundPiece
from skirtloft.shape.outline import NEARLY_TANGENT

LIMITS = (math.radians(45.0), math.radians(135.0))  # from forward: between bow and side, side and stern
BESIDE = ("bow", "stern")  # the run for whose sake an arc is cut at each limit
# Tight: a radius not above the half width. Short: between other pieces and not longer than half the half width. A group
# of such arcs that turns by less than this is no corner. Our own choices: the builder sees and corrects the labels.
LEAST_TURN = math.radians(10.0)
HALF_WIDTHS = 1.01
SHORT = 0.5
SLACK = 1e-6  # rad: facing nearer than this to a limit counts as on it

Labelled = tuple[RoundPiece, str]


def labelled(pieces: Sequence[RoundPiece]) -> list[Labelled]:
    """Return the pieces with their labels, arcs cut at 45 and 135 degrees where a limit between runs lies on them.

    Notes
    -----
    A piece is bow, side or stern by the direction of its outward normal at its middle: within 45 deg of forward, of
    port, of aft. Tight arcs that turn by 10 deg or more in all are a corner. Where that leaves a curve at the centre
    line a corner, its part that faces within 45 deg of forward (or aft) is bow (or stern): a round bow. Where it leaves
    no side, every piece is named by the way it faces, and the one that most faces port is a side in any case.
    """
    half_width = max(reach(one) for one in pieces)
    is_corner = _corners(pieces, half_width)
    found = [
        (one, "corner" if corner else facing_label(facing(one))) for one, corner in zip(pieces, is_corner, strict=True)
    ]
    if found[0][1] == "corner":
        found = _renamed(found, ("bow",))
    if found[-1][1] == "corner":
        found = _renamed(found, ("stern",))
    if all(label != "side" for _, label in found):
        found = _renamed(found, ("bow", "side", "stern"))
    if all(label != "side" for _, label in found) and len(found) > 1:
        k = min(range(len(found)), key=lambda k: abs(facing(found[k][0]) - math.pi / 2.0))
        found[k] = found[k][0], "side"
    return found


def reach(one: RoundPiece) -> float:
    """Return how far to port a piece reaches [m]."""
    arc = one.piece
    if not isinstance(arc, ArcPiece):
        return float(max(arc.start[1], arc.end[1]))
    turn = (math.pi / 2.0 - arc.start_angle) % (2.0 * math.pi)
    angles = [arc.start_angle, arc.start_angle + arc.sweep]
    if turn <= arc.sweep:
        angles.append(math.pi / 2.0)
    return float(arc.centre[1]) + arc.radius * max(math.sin(angle) for angle in angles)


def facing(one: RoundPiece) -> float:
    """Return the direction [rad] of the outward normal at the middle of a piece, from forward to port."""
    if isinstance(one.piece, ArcPiece):
        return _normal(start_direction(one.piece)) + one.piece.sweep / 2.0
    return _normal(start_direction(one.piece))


def _normal(direction: complex) -> float:
    angle = cmath.phase(-1j * direction)
    return angle if angle > -math.pi / 2.0 else angle + 2.0 * math.pi


def facing_label(angle: float) -> str:
    """Return "bow", "side" or "stern" for the direction of an outward normal [rad]."""
    if angle <= LIMITS[0] + SLACK:
        return "bow"
    return "side" if angle < LIMITS[1] - SLACK else "stern"


def _corners(pieces: Sequence[RoundPiece], half_width: float) -> list[bool]:
    """Return which pieces are arcs of a group, tangent to one another, that is tight or short and turns enough."""
    tight = [isinstance(one.piece, ArcPiece) and one.piece.radius <= HALF_WIDTHS * half_width for one in pieces]
    curved = [isinstance(one.piece, ArcPiece) for one in pieces]
    found = [False] * len(pieces)
    for first, last in _groups(pieces, tight):
        found[first:last] = [_turn(pieces[first:last]) >= LEAST_TURN] * (last - first)
    for first, last in _groups(pieces, curved):
        is_between = first > 0 and last < len(pieces)
        is_short = sum(piece_length(one.piece) for one in pieces[first:last]) <= SHORT * half_width
        if is_between and is_short and _turn(pieces[first:last]) >= LEAST_TURN:
            found[first:last] = [True] * (last - first)
    return found


def _groups(pieces: Sequence[RoundPiece], belongs: Sequence[bool]) -> list[tuple[int, int]]:
    """Return the first piece of each group that belongs and runs on without a kink, and the one after its last."""
    found: list[tuple[int, int]] = []
    for k, one in enumerate(belongs):
        if not one:
            continue
        if found and found[-1][1] == k and _runs_on(pieces, k):
            found[-1] = found[-1][0], k + 1
        else:
            found.append((k, k + 1))
    return found


def _turn(pieces: Sequence[RoundPiece]) -> float:
    return sum(one.piece.sweep for one in pieces if isinstance(one.piece, ArcPiece))


def _runs_on(pieces: Sequence[RoundPiece], k: int) -> bool:
    turn = turn_between(end_direction(pieces[k - 1].piece), start_direction(pieces[k].piece))
    return abs(turn) <= NEARLY_TANGENT


def _renamed(pieces: Sequence[Labelled], names: Sequence[str]) -> list[Labelled]:
    """Return corner arcs cut at the limits, the parts that face one of `names` called so."""
    found: list[Labelled] = []
    for one, label in pieces:
        if label != "corner":
            found.append((one, label))
            continue
        limits = [limit for limit, run in zip(LIMITS, BESIDE, strict=True) if run in names]
        for own in _cut_at(one, limits):
            faces = facing_label(facing(own))
            found.append((own, faces if faces in names else "corner"))
    return found


def _cut_at(one: RoundPiece, limits: Sequence[float]) -> list[RoundPiece]:
    """Return an arc cut where its normal has one of the directions."""
    arc = one.piece
    assert isinstance(arc, ArcPiece)
    first = _normal(start_direction(arc))
    shares = [(limit - first) / arc.sweep for limit in limits]
    bounds = [0.0, *(share for share in shares if SLACK < share * arc.sweep < arc.sweep - SLACK), 1.0]
    low, rise = one.heights[0], one.heights[1] - one.heights[0]
    return [
        replace(
            one,
            piece=ArcPiece(arc.centre, arc.radius, arc.start_angle + a * arc.sweep, (b - a) * arc.sweep),
            heights=(low + a * rise, low + b * rise),
        )
        for a, b in pairwise(bounds)
    ]
