"""Keep what you cut: what each piece of a new pack can be made from of an old one.

Pieces are compared as cloth on a table: the new one is laid on the old one in every way that puts a pair of sew-line
corners, all of them, the holes or the middles on each other, and the best of these is told: where it is to trim,
the one with the least to cut along. Nothing is turned over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import shapely

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.lay import FINE, PAIRED, layings, snug
from skirtloft.pieces.record import PieceRecord

Verdict = Literal["same", "mark again", "trim", "cut again", "new", "gone"]
SAME = 0.5e-3  # m: nearer than cloth can be marked and cut, chosen
SHORT = 1e-3  # m: cloth missing from an allowance that seams bear; templates are cut to 1 or 2 mm: common practice
HOLE, NOTCH = 1e-3, 2e-3  # m: fixing holes (and slits) within a millimetre: common practice; notches: chosen
ANEW = 25e-3  # m: where more than this comes off, the old lines help nobody; chosen
WARP, MASS = np.radians(5.0), 0.02  # turned warp, other mass of cloth: chosen
ORDER: dict[str, int] = {"same": 0, "mark again": 1, "trim": 2, "cut again": 3}


@dataclass(frozen=True)
class PieceChange:
    """What becomes of one piece.

    Parameters
    ----------
    id, name : str
    verdict : str
    trim : float [m]
        The most that comes off, square to the new line; 0 where nothing does.
    where : str
        Edge at which that is, or at which cloth is missing.
    point : (float, float) [m]
        The place in the frame of the old piece; nan where there is none.
    why : str
        What is to be marked, or why it must be cut again.
    wanted : int
    there : int or None
        Pieces of the new pack and of the old one, spares in; None where the old one does not say.
    old : str
        Code of the old piece it is made from; "" where none is.
    """

    id: str
    name: str
    verdict: Verdict
    trim: float
    where: str
    point: tuple[float, float]
    why: str
    wanted: int
    there: int | None
    old: str


def compare(old: Sequence[PieceRecord], new: Sequence[PieceRecord]) -> tuple[PieceChange, ...]:
    """Return what becomes of every new piece in order, then the old ones that are not wanted any more.

    A new piece is made from the old one of its code; failing that, from one whose code is gone, of the same kind and
    hand, that will do.
    """
    by_code = {record.id: record for record in old}
    free = [record for record in old if record.id not in {piece.id for piece in new}]
    changes = []
    for piece in new:
        there = by_code.get(piece.id)
        change = _change(there, piece) if there else _new(piece)
        if change.verdict in ("cut again", "new"):
            others = [_change(other, piece) for other in free if _alike(other, piece)]
            usable = [other for other in others if other.verdict != "cut again"]
            if usable:
                change = min(usable, key=lambda other: (ORDER[other.verdict], other.trim))
                free = [record for record in free if record.id != change.old]
        changes.append(change)
    return (*changes, *(_gone(record) for record in free))


def count_words(changes: Sequence[PieceChange]) -> str:
    """Return how many pieces there are of each verdict: "42 same, 11 trim"."""
    count = {verdict: sum(change.verdict == verdict for change in changes) for verdict in (*ORDER, "new", "gone")}
    return ", ".join(f"{number} {verdict}" for verdict, number in count.items() if number)


def change_words(changes: Sequence[PieceChange]) -> list[tuple[str, str, str]]:
    """Return code, verdict and words of each piece that is not as it was; both hands in one where they agree."""
    told: dict[tuple[str, str, str], list[str]] = {}
    for change in changes:
        words = _words(change)
        if words or change.verdict != "same":
            base = change.id.removesuffix("-P").removesuffix("-S")
            told.setdefault((base, change.verdict, words), []).append(change.id)
    return [
        (codes[0] if len(codes) == 1 else f"{base} P, S", verdict, words)
        for (base, verdict, words), codes in told.items()
    ]


def _words(change: PieceChange) -> str:
    """Return what is to be done with a piece; "" where that is nothing."""
    trimmed = f"{1000.0 * change.trim:.1f} mm at most, at {change.where}" if change.verdict == "trim" else ""
    is_other = change.old and change.old.split("-")[0] != change.id.split("-")[0]
    return "; ".join(filter(None, (f"from the old {change.old}" if is_other else "", trimmed, change.why)))


def _alike(old: PieceRecord, new: PieceRecord) -> bool:
    return old.kind == new.kind and old.hand == new.hand


def _new(piece: PieceRecord) -> PieceChange:
    return PieceChange(
        piece.id, piece.name, "new", 0.0, "", (np.nan, np.nan), "no such piece in the old pack", piece.to_cut, 0, ""
    )


def _gone(piece: PieceRecord) -> PieceChange:
    words = "not in the new pack"
    return PieceChange(piece.id, piece.name, "gone", 0.0, "", (np.nan, np.nan), words, 0, piece.to_cut, piece.id)


def _change(old: PieceRecord, new: PieceRecord) -> PieceChange:
    """Return the best of all ways to lay the new piece on the old one."""
    is_known = len(old.cut) > 0
    if old.fingerprint and old.fingerprint == new.fingerprint and not (is_known and _cloth(old, new)):
        return _told(old, new, "same", 0.0, "", (np.nan, np.nan), [])
    if not is_known:
        why = ["differs, and the old pack has no results.json to measure it by"]
        return _told(old, new, "cut again", 0.0, "", (np.nan, np.nan), why)
    cloth = _cloth(old, new)
    ways = list(layings(old, new))
    tries = [_laid(old, new, *way, cloth) for way in ways]
    best = min(range(len(tries)), key=lambda k: _badness(tries[k]))
    if tries[best][1].verdict == "cut again" and not cloth:  # before cloth is given up: is there a place between?
        tries += [_laid(old, new, *snug(old, new, ways[best], SHORT, HOLE), cloth)]
    return min(tries, key=_badness)[1]


def _badness(tried: tuple[float, PieceChange]) -> tuple[int, float]:
    return ORDER[tried[1].verdict], tried[0]


def _told(
    old: PieceRecord, new: PieceRecord, verdict: Verdict, trim: float, where: str, point: Any, why: Sequence[str]
) -> PieceChange:
    at = (float(point[0]), float(point[1]))
    there = old.to_cut if len(old.cut) else None
    more = 0 if there is None or verdict == "cut again" else new.to_cut - there
    words = [*why, *([f"cut {more} more"] if more > 0 else [f"{-more} left over"] if more < 0 else [])]
    return PieceChange(new.id, new.name, verdict, trim, where, at, "; ".join(words), new.to_cut, there, old.id)


def _cloth(old: PieceRecord, new: PieceRecord) -> list[str]:
    """Return why the cloth itself is another."""
    why = []
    if old.cloth != new.cloth:
        why.append(f"cut from the {new.cloth} cloth, was from the {old.cloth} cloth")
    elif abs(new.areal_mass - old.areal_mass) > MASS * old.areal_mass:
        why.append(f"cloth of {1000 * new.areal_mass:.0f} g/m², was {1000 * old.areal_mass:.0f}")
    return why


def _laid(
    old: PieceRecord, new: PieceRecord, turn: Floats, shift: Floats, cloth: Sequence[str]
) -> tuple[float, PieceChange]:
    """Return how bad a way to lay it is, and what would have to be done."""

    def on_old(points: Floats) -> Floats:
        return frozen_array(points @ turn.T + shift)

    was, wanted = shapely.Polygon(old.cut), shapely.Polygon(on_old(new.cut))
    missing, lacks_at = _farthest(wanted, was)
    trim, trim_at = _farthest(was, wanted)
    why = [*cloth, *_warp(old, new, turn)]
    if missing > SHORT:
        why.append(f"{1000.0 * missing:.1f} mm of cloth missing at {_edge_at(new, on_old, lacks_at)}")
    openings, marks = _openings(old, new, on_old, wanted)
    why += openings
    marks += _lines(old, new, on_old)
    if trim > ANEW:
        marks = [f"mark it out anew on the old {old.id}"]
    notes = []
    if missing > SAME:
        notes.append(f"its allowance is {1000.0 * missing:.1f} mm short at {_edge_at(new, on_old, lacks_at)}")
    if why:
        place = lacks_at if missing > SHORT else (np.nan, np.nan)
        where = _edge_at(new, on_old, lacks_at) if missing > SHORT else ""
        return missing, _told(old, new, "cut again", 0.0, where, place, why)
    if trim > SAME:
        to_cut = wanted.exterior.difference(was.exterior.buffer(SAME)).length  # one long edge rather than two
        return to_cut, _told(old, new, "trim", trim, _edge_at(new, on_old, trim_at), trim_at, marks + notes)
    return trim, _told(old, new, "mark again" if marks else "same", 0.0, "", (np.nan, np.nan), marks + notes)


def _warp(old: PieceRecord, new: PieceRecord, turn: Floats) -> list[str]:
    if np.isnan(old.warp).any():
        return []
    ways = np.array([turn @ new.warp, old.warp])
    angle = float(np.arccos(min(1.0, abs(float(ways[0] @ ways[1])))))
    return [f"warp turned by {np.degrees(angle):.0f} degrees"] if angle > WARP else []


def _farthest(one: Any, other: Any) -> tuple[float, tuple[float, float]]:
    """Return how far `one` reaches beyond `other` [m], and where."""
    beyond = shapely.difference(shapely.segmentize(one, FINE), other)
    points = shapely.get_coordinates(beyond)
    if not len(points):
        return 0.0, (np.nan, np.nan)
    far = shapely.distance(shapely.points(points), other)
    k = int(np.argmax(far))
    return float(far[k]), (float(points[k, 0]), float(points[k, 1]))


def _edge_at(new: PieceRecord, on_old: Any, point: tuple[float, float]) -> str:
    """Return the name of the sew-line edge that is nearest to a place on the old piece."""
    place = shapely.Point(point)
    near = [(shapely.LineString(on_old(points)).distance(place), name) for name, points in new.edges]
    return min(near)[1] if near else ""


def _openings(old: PieceRecord, new: PieceRecord, on_old: Any, wanted: Any) -> tuple[list[str], list[str]]:
    """Return what stands in the way of the openings that are there, and what is to be opened besides."""
    why, marks = [], []
    for name, was, now in (("hole", old.holes, new.holes), ("vent", old.vents, new.vents)):
        mine = on_old(now) if len(now) else now
        left = [at for at in was if wanted.contains(shapely.Point(at)) and not _is_near(at, mine)]
        extra = [at for at in mine if not _is_near(at, was)]
        if left:
            far = max(float(np.hypot(*(mine - at).T).min()) if len(mine) else np.inf for at in left)
            how = f"off by up to {1000.0 * far:.1f} mm" if far < PAIRED else "where none is wanted"
            why.append(f"{len(left)} old {name}{'s' if len(left) > 1 else ''} {how}")
        elif extra:
            marks.append(f"{len(extra)} {name}{'s' if len(extra) > 1 else ''} to make")
    if len(new.vents) and new.vent_diameter < old.vent_diameter - SAME and len(old.vents):
        why.append("vents were larger")
    elif len(old.vents) and new.vent_diameter > old.vent_diameter + SAME:
        marks.append("vents to be cut larger")
    if old.slits is None:
        marks += [f"{len(new.slits)} slits to make where there are none yet"] if new.slits else []
        return why, marks
    wanted_slits = shapely.MultiLineString([on_old(line) for line in new.slits or ()]).buffer(HOLE)
    inside = [shapely.LineString(line).intersection(wanted) for line in old.slits]
    if any(line.difference(wanted_slits).length > HOLE for line in inside):
        why.append("slit where none is wanted")
    elif (more := len(new.slits or ()) - len(old.slits)) > 0:
        marks.append(f"{more} slit{'s' if more > 1 else ''} to make")
    return why, marks


def _is_near(at: Floats, points: Floats) -> bool:
    return bool(len(points)) and float(np.hypot(*(points - at).T).min()) <= HOLE


def _lines(old: PieceRecord, new: PieceRecord, on_old: Any) -> list[str]:
    """Return which lines are to be marked again."""
    marks = []
    rings = [shapely.segmentize(shapely.LinearRing(points), FINE) for points in (old.sew, on_old(new.sew))]
    moved = float(shapely.hausdorff_distance(*rings))
    if moved > SAME:
        marks.append(f"mark the sew line again, it moved by up to {1000.0 * moved:.1f} mm")
    if len(new.notches):
        now = on_old(new.notches)
        far = [float(np.hypot(*(old.notches - at).T).min()) if len(old.notches) else np.inf for at in now]
        if max(far) > NOTCH:
            marks.append("mark the notches again")
    return marks
