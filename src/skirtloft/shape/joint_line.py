"""The joint line: where loop and segments meet, level at the depth of the segments.

Every bow, side and stern piece of the hull edge is moved outboard or inboard by its run's offset, and neighbours are
joined by an arc tangent to both; or the line is given outright (see `joint_given`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from skirtloft.errors import ShapeError
from skirtloft.maths.curves import (
    TOUCHING,
    ArcPiece,
    Path,
    Piece,
    RunName,
    end_direction,
    make_path,
    piece_end,
    piece_length,
    piece_start,
    start_direction,
)
from skirtloft.maths.fillets import FITS, end_for_end, turn_between
from skirtloft.shape.joint_supports import Support, moved_supports
from skirtloft.shape.outline import NEARLY_TANGENT
from skirtloft.shape.outline_fillets import half_at_centre, has_room, largest_at, margin_at, outline_size, round_whole
from skirtloft.shape.wording import at_least, at_most, millimetres, place_text

SHORTEST = 0.020  # m: shorter runs hold no panel, their stations would merge (see stations)
Radius = float | Literal["full"]


@dataclass(frozen=True, eq=False)
class JointLine:
    """The joint line of the port half.

    Parameters
    ----------
    path : Path
    names : tuple of RunName
        One per piece.
    break_names : tuple of RunName
        The run each break is counted with: the run beside an arc, also where that run has shrunk to nothing.
    crosses_bow, crosses_stern : bool
        The first, last piece goes on across the centre line as one run.
    """

    path: Path
    names: tuple[RunName, ...]
    break_names: tuple[RunName, ...]
    crosses_bow: bool
    crosses_stern: bool


def joint_line(
    drawn: Sequence[tuple[Piece, str]], offsets: Mapping[str, float], radii: Mapping[str, Radius]
) -> JointLine:
    """Return the joint line of a hull edge.

    Parameters
    ----------
    drawn : sequence of (Piece, label)
        Hull edge between its vertices, labels bow | side | stern | corner (see `HullEdge.drawn`); corners are ignored.
    offsets : label -> float [m]
        X of each run, J outboard of E positive.
    radii : "bow" | "side" | "stern" -> float [m] or "full"
        Radius of the arc at a corner of the joint line: bow between bow and side (and between two bow pieces), side
        between two side pieces, stern between side and stern (and between two stern pieces).

    Raises
    ------
    ShapeError
        A corner cannot be joined, arcs overlap, a run or an arc is too short to hold a panel.

    Notes
    -----
    Straight neighbours of one run that turn by less than 2 mrad are one run. A bow or stern met squarely by the centre
    line to the same tolerance is made square, and a bow arc that misses its straight neighbour's tangent by as little
    is drawn tangent: coordinates to the nearest millimetre draw no better. A pointed bow gets an arc across the centre
    line. Several "full" radii grow together; where two of them meet, both stop.
    """
    supports = moved_supports(drawn, offsets)
    corners = _corners(supports)
    wanted = [radii[corner.key] if corner.wants_arc else None for corner in corners]
    pieces = [support.piece for support in supports]
    numbers = _grown(pieces, wanted)
    whole = round_whole(pieces, numbers)
    if not has_room(whole):
        raise _misfit(pieces, corners, numbers)
    return _assembled(supports, corners, whole.pieces[1:-1], whole.arcs)


@dataclass(frozen=True)
class _Corner:
    """Where two supports meet: the key of its radius, the name of its arc, False where they are tangent already."""

    key: str
    name: RunName
    wants_arc: bool
    place: complex


def _corners(supports: Sequence[Support]) -> list[_Corner]:
    """Return the corners at the bow centre, between the supports, and at the stern centre."""
    found = [_centre_corner(supports[0].piece, "bow", "bow_corner")]
    for before, after in pairwise(supports):
        key, name = corner_key(before.label, after.label)
        end, start = piece_end(before.piece), piece_start(after.piece)
        kink = abs(turn_between(end_direction(before.piece), start_direction(after.piece)))
        meets = abs(end - start) < 1e-6 and kink < 1e-6
        found.append(_Corner(key, name, not meets, (end + start) / 2.0))
    last = _centre_corner(end_for_end(supports[-1].piece), "stern", "stern_corner")
    return [*found, _Corner(last.key, last.name, last.wants_arc, piece_end(supports[-1].piece))]


def _centre_corner(piece: Piece, key: str, name: RunName) -> _Corner:
    square = piece.centre[1] == 0.0 if isinstance(piece, ArcPiece) else start_direction(piece).real == 0.0
    return _Corner(key, name, not square, piece_start(piece))


def corner_key(before: str, after: str) -> tuple[str, RunName]:
    if before == "bow":
        return "bow", "bow_corner"
    return ("side", "side_corner") if after == "side" else ("stern", "stern_corner")


def _grown(pieces: Sequence[Piece], radii: Sequence[Radius | None]) -> list[float | None]:
    """Return the radii with every "full" one grown until a run beside it has shrunk to nothing.

    All grow together; those that are stopped stay, the others go on. Between two arcs only a range of radii may have
    an arc tangent to both, and nothing grows from nothing: the largest of such a corner alone is taken first.
    """
    growing = [k for k, radius in enumerate(radii) if radius == "full"]
    small = 1e-3 * outline_size(pieces)
    settled = [None if radius is None else small if isinstance(radius, str) else float(radius) for radius in radii]
    for k in [k for k in growing if margin_at(pieces, settled, [k]) == -math.inf]:
        settled[k] = largest_at(pieces, settled, [k]) or small
        growing.remove(k)
    while growing:
        largest = largest_at(pieces, settled, growing)
        if largest is None:
            break
        settled = [largest if k in growing else radius for k, radius in enumerate(settled)]
        larger = [None if radius is None else radius * (1.0 + 1e-6) for radius in settled]
        stopped = [k for k in growing if margin_at(pieces, [*settled[:k], larger[k], *settled[k + 1 :]], [k]) < -FITS]
        growing = [k for k in growing if k not in stopped] if stopped else []
    return settled


def _misfit(pieces: Sequence[Piece], corners: Sequence[_Corner], radii: Sequence[float | None]) -> ShapeError:
    """Return the error for corners that cannot be joined or overlap, with the largest radius that fits.

    Of several that could give way, the one that has least to give.
    """
    arcs = [k for k, radius in enumerate(radii) if radius is not None]
    best: tuple[float, ShapeError] | None = None
    for key in dict.fromkeys(corners[k].key for k in arcs):
        mine = [k for k in arcs if corners[k].key == key]
        given = radii[mine[0]]
        if given is None or margin_at(pieces, radii, mine) >= -FITS:
            continue
        largest = largest_at(pieces, radii, mine)
        if largest is not None and (best is None or abs(math.log(largest / given)) < best[0]):
            roomy = largest_at(pieces, radii, mine, SHORTEST)
            best = abs(math.log(largest / given)), _misfit_error(corners[mine[0]], given, largest, roomy)
    if best is not None:
        return best[1]
    for k in arcs:
        alone: list[float | None] = [1.0 if i == k else None for i in range(len(radii))]
        if largest_at(pieces, alone, [k]) is None:
            return _no_arc_error(corners[k])
    common = largest_at(pieces, radii, arcs)
    return ShapeError(
        "skirt.corner",
        "the corner arcs of the joint line overlap, or a corner has no arc tangent to both its pieces.",
        f"Use {at_most(common)} at every corner." if common else "Give skirt.joint_line outright.",
    )


def _no_arc_error(corner: _Corner) -> ShapeError:
    """Return the error for two pieces that no arc joins, whatever its radius."""
    return ShapeError(
        f"skirt.corner.{corner.key} ({corner.name.replace('_', ' ')} near {place_text(corner.place)})",
        "no arc is tangent to both pieces of the joint line there: on a hull without a corner they lie side by side.",
        "Move both by the same (the same tip_inside for both runs), let the pieces between them be a corner"
        ' (run = "corner"), or give skirt.joint_line outright.',
    )


def _misfit_error(corner: _Corner, given: float, largest: float, roomy: float | None) -> ShapeError:
    """Return the error for a radius that does not fit; `roomy` is the largest that leaves a panel beside the arc."""
    if given > largest:
        why, limit = "its tangent lengths overlap a neighbour or the centre line", "at most"
    else:
        why, limit = "no arc that small is tangent to both pieces", "up to"
    full = f'"full" ({millimetres(largest)}, the largest that fits: it leaves no run beside it)'
    return ShapeError(
        f"skirt.corner.{corner.key} ({corner.name.replace('_', ' ')} near {place_text(corner.place)})",
        f"a radius of {millimetres(given)} does not fit: {why}.",
        f"Use {full}." if roomy is None else f"Use {limit} {at_most(roomy)}, or {full}.",
    )


def _assembled(
    supports: Sequence[Support],
    corners: Sequence[_Corner],
    runs: Sequence[Piece],
    arcs: Sequence[ArcPiece | None],
) -> JointLine:
    """Return runs and arcs laid end to end; runs that have shrunk to nothing leave their name at the break."""
    parts: list[tuple[Piece, RunName]] = []
    vanished: dict[int, RunName] = {}
    for k, corner in enumerate(corners):
        arc = half_at_centre(arcs[k], first=k == 0, last=k == len(corners) - 1)
        if arc is not None:
            parts.append((arc, corner.name))
        if k < len(supports):
            if piece_length(runs[k]) > TOUCHING:
                parts.append((runs[k], supports[k].label))
            else:
                vanished[len(parts)] = supports[k].label
    crosses_bow, crosses_stern = 0 not in vanished, len(parts) not in vanished
    return checked(named(parts, vanished, crosses_bow, crosses_stern))


def named(
    parts: Sequence[tuple[Piece, RunName]], vanished: Mapping[int, RunName], crosses_bow: bool, crosses_stern: bool
) -> JointLine:
    names = tuple(name for _, name in parts)
    break_names = [
        vanished.get(k) or _beside(names[k - 1] if k else None, names[k] if k < len(names) else None)
        for k in range(len(names) + 1)
    ]
    return JointLine(make_path(piece for piece, _ in parts), names, tuple(break_names), crosses_bow, crosses_stern)


def _beside(before: RunName | None, after: RunName | None) -> RunName:
    """Return the run a break is counted with: not a corner where one of the two is none."""
    if before is None or (after is not None and before.endswith("corner")):
        assert after is not None
        return after
    return before


def checked(line: JointLine) -> JointLine:
    """Raise a ShapeError where a run or an arc is too short to hold a panel."""
    last = len(line.names) - 1
    for k, (piece, name) in enumerate(zip(line.path.pieces, line.names, strict=True)):
        across = (k == 0 and line.crosses_bow) or (k == last and line.crosses_stern)
        length = piece_length(piece) * (2.0 if across else 1.0)
        if length >= SHORTEST:
            continue
        where = f"{name.replace('_', ' ')} of the joint line, {place_text(piece_start(piece))}"
        why = f"it is {millimetres(length)} long; below {millimetres(SHORTEST)} it holds no panel."
        if isinstance(piece, ArcPiece):
            if piece.sweep < NEARLY_TANGENT:
                turn = math.degrees(piece.sweep)
                change = f"The pieces beside it turn by {turn:.2g} deg: draw them tangent there, or as one piece."
                raise ShapeError(where, why, change)
            radius = SHORTEST * piece.radius / length
            raise ShapeError(
                where, why, f"Use a radius of at least {at_least(radius)}, or draw its neighbours in one line."
            )
        raise ShapeError(
            where, why, 'Set the radius beside it to "full", so that the run vanishes, or make it smaller.'
        )
    return line
