"""Stations: where sections are placed along the joint line, and where each section meets the hull edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.maths.crossings import Crossings, crossings, feet
from skirtloft.maths.curves import (
    ArcPiece,
    Path,
    Piece,
    RunName,
    outward_at,
    piece_index,
    points_at,
    radii_at,
    tangents_at,
)
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.hull_edge import HullEdge, hull_height
from skirtloft.shape.joint_line import JointLine
from skirtloft.shape.segment_field import inboard_at, values_at
from skirtloft.shape.types import JointRun, SegmentField, Stations
from skirtloft.shape.wording import millimetres

MERGE = 0.020  # m: stations nearer than this are one
LEAST_ANGLE = math.radians(30.0)  # between a section plane and the hull edge
SHARP = 0.05  # rad: a hull break below this is off by less than 1 mm at the merging distance; our own choice
TOUCH = 2e-5  # m: the ends of a straight run this much alike have one section
SAME = 1e-7  # m: two crossings nearer than this are one
GENTLE = 4.0  # an arc with a radius above the half hull edge over this is as good as straight; our own choice


@dataclass(frozen=True)
class Mark:
    """A station that must be: its length along the joint line [m], and the break of the joint line it stands for.

    `stays`: the builder cannot leave it out.
    """

    at: float
    stands_for: int | None
    stays: bool = True


@dataclass(frozen=True, eq=False)
class Marks:
    """Where the stations stand.

    Parameters
    ----------
    at : (n,) [m]
        Length along the joint line.
    stands_for : station index -> break index of the joint line
        The stations that end a run.
    break_at : (k,) [m]
        For every break of the joint line, where the station that stands for it is.
    even_at : (m,) [m]
        The stations before any was added or left out.
    held_at : (h,) [m]
        Those of them that stay: the centre lines, the ends of runs and arcs, corners of the hull edge, and the first
        in every arc, up to which the loop goes over from the run's segments to the arc's.
    """

    at: Floats
    stands_for: dict[int, int]
    break_at: Floats
    even_at: Floats
    held_at: Floats


def place_stations(hull: HullEdge, joint: JointLine, *, stations_per_corner: int, field: SegmentField) -> Stations:
    """Return the stations of the port half: `place_marks`, then `sections_at`."""
    return sections_at(hull, joint, place_marks(hull, joint, stations_per_corner), field)


def place_marks(
    hull: HullEdge,
    joint: JointLine,
    stations_per_corner: int,
    pinned: Sequence[float] = (),
    longest: float = math.inf,
    needed: Sequence[float] = (),
) -> Marks:
    """Return where the stations of the port half stand.

    Parameters
    ----------
    hull : HullEdge
    joint : JointLine
    stations_per_corner : int
        N, per quarter turn, both ends counted.
    pinned : sequence of float [m]
        Places along the joint line where the builder wants one; the others share what lies between.
    longest : float [m]
        Of the panels of a straight run.
    needed : sequence of float [m]
        Places on straight runs where one must stand: where webs beside a tight corner change.

    Notes
    -----
    Stations that must be: bow and stern centre, both ends of every run and arc, the foot of every hull vertex and
    fillet end (the height's slope changes nowhere else). Nearer than 20 mm they are one. The centre lines always stay.
    A hull vertex that breaks plan or height by more than 50 mrad wins over the end of an arc and stands for it: the
    joint line has no kink there, the hull edge has one, and inside a panel it would show. Where the hull edge runs on
    smoothly (the end of a fillet) the arc's end wins, so that the run beside it stays a rectangle; the hull edge is
    then off by less than 1 mm. A vertex stands for one end only, so every run keeps a panel. Between these, in arcs
    only, equal steps in every interval, none longer than q / ceil((N - 1) q / 90 deg) for an arc of angle q, none
    shorter than 20 mm.
    """
    marks = forced_marks(hull, joint, pinned, needed)
    at: list[float] = []
    stands_for: dict[int, int] = {}
    held: list[float] = []
    for mark, following in zip(marks, [*marks[1:], None], strict=True):
        if mark.stands_for is not None:
            stands_for[len(at)] = mark.stands_for
        at.append(mark.at)
        held += [mark.at] if mark.stays else []
        if following is not None:
            inner = _between(joint, mark.at, following.at, stations_per_corner, longest)
            at += inner
            if inner and isinstance(_piece(joint, mark.at, following.at), ArcPiece):
                held += [inner[0]] if mark.stands_for is not None else []
                held += [inner[-1]] if following.stands_for is not None else []
    places = np.array(at)
    break_at = np.array([float(place) for place in joint.path.breaks])
    for i, k in stands_for.items():
        break_at[k] = places[i]
    even = frozen_array(places)
    return Marks(even, stands_for, frozen_array(break_at), even, frozen_array(np.unique(held)))


def forced_marks(
    hull: HullEdge, joint: JointLine, pinned: Sequence[float] = (), needed: Sequence[float] = ()
) -> list[Mark]:
    """Return the stations that must be, merged, in order from bow centre (see `place_marks`)."""
    breaks = [float(at) for at in joint.path.breaks]
    kept = [Mark(breaks[0], 0), Mark(breaks[-1], len(breaks) - 1)]
    ends = dict(enumerate(breaks[1:-1], start=1))
    at_hull, sharpness = hull_breaks(hull)
    smooth = []
    for at, sharp in zip(_feet(hull, joint, at_hull), sharpness, strict=True):
        if any(_near(at, mark.at) for mark in kept):
            continue
        if sharp < SHARP:
            smooth.append(at)
            continue
        close = [k for k, end in ends.items() if _near(at, end)]
        nearest = min(close, key=lambda k: abs(ends[k] - at), default=None)
        if nearest is not None:
            del ends[nearest]
        kept.append(Mark(at, nearest))
    kept += [Mark(end, k) for k, end in ends.items()]
    for stays, places in ((True, needed), (False, (*pinned, *smooth))):
        for at in places:
            if not any(_near(at, mark.at) for mark in kept):
                kept.append(Mark(at, None, stays))
    return sorted(kept, key=lambda mark: mark.at)


def _near(one: float, other: float) -> bool:
    return abs(one - other) < MERGE - 1e-9


def hull_breaks(hull: HullEdge) -> tuple[Floats, Floats]:
    """Return the inner breaks of the hull edge and how sharp each is, the sharpest first, both (m,).

    Returns
    -------
    at : [m]
        Length along the hull edge.
    sharpness : [rad]
        Turn in plan plus change of the height's slope.
    """
    inner = hull.path.breaks[1:-1]
    before, after = tangents_at(hull.path, inner, "before"), tangents_at(hull.path, inner, "after")
    sine = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    slope = np.diff(hull.heights) / np.diff(hull.path.breaks)
    sharpness = np.abs(np.arctan2(sine, (before * after).sum(axis=1))) + np.abs(np.diff(slope))
    order = np.argsort(-np.round(sharpness, 9), kind="stable")
    return inner[order], sharpness[order]


def _feet(hull: HullEdge, joint: JointLine, at_hull: Floats) -> list[float]:
    """Return the foot on the joint line [m] of each place `at_hull` [m] on the hull edge: its nearest point.

    The nearest point of a convex line has the place in its section, at less than the radius. (A line given outright
    may have kinks of 2 mrad; a place seen only from within one belongs to the kink.)
    """
    found = []
    for place in points_at(hull.path, at_hull):
        square = feet(joint.path, complex(*place))
        if square:
            found.append(square[0][0])
        else:
            away = np.hypot(*(points_at(joint.path, joint.path.breaks) - place).T)
            found.append(float(joint.path.breaks[np.argmin(away)]))
    return found


def _radius_at(joint: JointLine, at: float) -> float:
    return float(min(radii_at(joint.path, [at], "before")[0], radii_at(joint.path, [at], "after")[0]))


def _piece(joint: JointLine, start: float, end: float) -> Piece:
    return joint.path.pieces[int(piece_index(joint.path, [(start + end) / 2.0])[0])]


def _between(joint: JointLine, start: float, end: float, stations_per_corner: int, longest: float) -> list[float]:
    """Return the places of the stations between two that must be: equal steps.

    A straight run's first (last) panel goes on across the centre line: it begins (ends) with half a step there.
    """
    piece, length = _piece(joint, start, end), end - start
    if isinstance(piece, ArcPiece):
        count = _steps(joint, start, end, stations_per_corner)
        return [start + length * i / count for i in range(1, count)]
    at_bow = joint.crosses_bow and start <= joint.path.breaks[0]
    at_stern = joint.crosses_stern and end >= joint.path.breaks[-1]
    halves = 0.5 * at_bow + 0.5 * at_stern
    count = max(1, math.ceil(length / longest + halves - 1e-9))
    step = length / (count - halves)
    first = start + step * (0.5 if at_bow else 1.0)
    return [first + step * i for i in range(count - 1)]


def _steps(joint: JointLine, start: float, end: float, stations_per_corner: int) -> int:
    """Return the number of equal steps on an arc between two stations that must be."""
    index = int(piece_index(joint.path, [(start + end) / 2.0])[0])
    piece, last = joint.path.pieces[index], len(joint.path.pieces) - 1
    if not isinstance(piece, ArcPiece):
        return 1
    across = (index == 0 and joint.crosses_bow) or (index == last and joint.crosses_stern)
    angle = abs(piece.sweep) * (2.0 if across else 1.0)
    wanted = angle / math.ceil((stations_per_corner - 1) * angle / (math.pi / 2.0) - 1e-9)
    count = math.ceil((end - start) / (piece.radius * wanted) - 1e-6)
    return max(1, min(count, math.floor((end - start) / MERGE)))


def sections_at(hull: HullEdge, joint: JointLine, marks: Marks, field: SegmentField) -> Stations:
    """Return the stations at `marks`, with the segments' depth, angles and inner fixing there.

    Raises
    ------
    ShapeError
        A section has no single hull edge, meets it at less than 30 deg, or its joint is not below the hull edge.
    """
    at, stands_for = marks.at, marks.stands_for
    depth, face_angle, tip_angle, drop = values_at(field, at)
    ids = tuple(f"P{i:02d}" for i in range(len(at)))
    joint_points, outward = points_at(joint.path, at), outward_at(joint.path, at, "before")
    radius = np.minimum(radii_at(joint.path, at, "before"), radii_at(joint.path, at, "after"))
    for i, k in stands_for.items():
        radius[i] = _radius_at(joint, float(joint.path.breaks[k]))
    offset, hull_at = meet_hull(hull.path, joint_points, outward, radius, ids)
    offset = _level_out(offset, joint.path, at)
    hull_points = joint_points - offset[:, None] * outward
    hull_points[[0, -1], 1] = joint_points[[0, -1], 1] = 0.0
    hull_z = hull_height(hull, hull_at)
    _check_angle(hull, hull_at, outward, joint_points, ids)
    _check_rise(hull_z, depth, joint_points, ids)
    index = piece_index(joint.path, at)
    runs: list[RunName] = [
        joint.break_names[stands_for[i]] if i in stands_for else joint.names[index[i]] for i in range(len(at))
    ]
    return Stations(
        ids,
        tuple(runs),
        frozen_array(at),
        frozen_array(joint_points),
        frozen_array(outward),
        frozen_array(hull_points),
        frozen_array(hull_at),
        frozen_array(hull_z),
        frozen_array(offset),
        frozen_array(radius),
        frozen_array(depth),
        frozen_array(face_angle),
        frozen_array(tip_angle),
        frozen_array(drop),
        frozen_array(inboard_at(field, at)),
    )


def meet_hull(hull: Path, joint: Floats, outward: Floats, radius: Floats, ids: Sequence[str]) -> tuple[Floats, Floats]:
    """Return X (n,) and the length along the hull edge (n,) [m] at which each section meets it; `ids` for messages.

    Notes
    -----
    The nearest crossing with |X| below the radius. Another one within the radius, or on a run that is straight or
    gently curved less than twice as far away, leaves it open to which of the two the loop belongs: within the radius of
    a gentle curve lies the other side of the craft.
    """
    found = _both_sides(hull, joint, outward)
    away = np.abs(found.distance)
    away = np.where(away < radius[:, None], away, np.inf)  # nan counts as out of reach
    rows, on_port = np.arange(len(joint)), 2 * len(hull.pieces)
    nearest = np.argmin(away[:, :on_port], axis=1)
    x = found.distance[rows, nearest]
    missing = np.isinf(away[rows, nearest])
    others = np.where(np.abs(found.distance - x[:, None]) > SAME, away, np.inf).min(axis=1)
    is_gentle = radius > float(hull.breaks[-1]) / GENTLE
    double = ~missing & (others < np.where(is_gentle, 2.0 * np.abs(x), radius))
    if (missing | double).any():
        i = int(np.argmax(missing | double))
        reach = "" if math.isinf(radius[i]) else f" within the arc's radius of {millimetres(float(radius[i]))}"
        raise ShapeError(
            _where(i, joint, ids),
            f"the section meets no hull edge{reach}."
            if missing[i]
            else f"the section meets the hull edge {millimetres(abs(float(x[i])))} and again "
            f"{millimetres(float(others[i]))} away, so it is not clear where the loop belongs.",
            "Bring the joint line nearer to the hull edge there.",
        )
    at = found.at[rows, nearest]
    close = np.abs(hull.breaks[None, :] - at[:, None])
    snapped = hull.breaks[np.argmin(close, axis=1)]
    return -x, np.where(close.min(axis=1) < 1e-9, snapped, at)


def _level_out(offset: Floats, joint: Path, at: Floats) -> Floats:
    """Return X with the two ends of a straight run made equal where they differ by less than `TOUCH`.

    Notes
    -----
    A hull corner that is rounded to the joint line's arc, but written in round numbers, begins its rounding a fraction
    of a millimetre inside the straight run. The section there would differ by micrometres, and the run's panel would
    not be a rectangle.
    """
    straight = np.isinf(radii_at(joint, (at[:-1] + at[1:]) / 2.0))
    level = offset.copy()
    for i in np.flatnonzero(straight & (np.abs(np.diff(offset)) < TOUCH)):
        further_out = max(level[i], level[i + 1])
        level[i] = level[i + 1] = further_out
    return level


def _both_sides(hull: Path, joint: Floats, outward: Floats) -> Crossings:
    """Return the crossings with the port half, then with the starboard half (by mirroring the lines)."""
    mirror = np.array([1.0, -1.0])
    port, starboard = crossings(hull, joint, outward), crossings(hull, joint * mirror, outward * mirror)
    return Crossings(
        np.concatenate([port.distance, starboard.distance], axis=1), np.concatenate([port.at, starboard.at], axis=1)
    )


def _where(i: int, joint: Floats, ids: Sequence[str]) -> str:
    return f"station {ids[i]} (x {joint[i, 0]:.3f} m, y {joint[i, 1]:.3f} m)"


def _check_angle(hull: HullEdge, hull_at: Floats, outward: Floats, joint: Floats, ids: tuple[str, ...]) -> None:
    angles = []
    for tangent in (tangents_at(hull.path, hull_at, "before"), tangents_at(hull.path, hull_at, "after")):
        sine = np.abs(outward[:, 0] * tangent[:, 1] - outward[:, 1] * tangent[:, 0])
        angles.append(np.arcsin(np.minimum(sine, 1.0)))
    angle = np.minimum(*angles)
    worst = int(np.argmin(angle))
    if angle[worst] < LEAST_ANGLE - 1e-9:
        raise ShapeError(
            _where(worst, joint, ids),
            f"the hull edge makes only {math.degrees(angle[worst]):.1f} deg with the section; 30 deg is the least.",
            "Round or chamfer the hull edge there, or change the corner radius so that the joint line follows it.",
        )


def _check_rise(hull_z: Floats, depth: Floats, joint: Floats, ids: tuple[str, ...]) -> None:
    worst = int(np.argmin(hull_z - depth))
    rise = float(hull_z[worst] - depth[worst])
    if rise <= 0.0:
        raise ShapeError(
            _where(worst, joint, ids),
            f"the hull edge is {millimetres(float(hull_z[worst]))} above the tip plane, not above the joint at "
            f"{millimetres(float(depth[worst]))}.",
            f"Raise the hull edge there by more than {millimetres(max(0.0, -rise))}, or make the segments less deep.",
        )


def panel_runs(stations: Stations, runs: tuple[JointRun, ...]) -> tuple[int, ...]:
    """Return for every panel (station i to i + 1) the index of the run it belongs to: the one at its middle."""
    middle = (stations.at[:-1] + stations.at[1:]) / 2.0
    ends = np.array([run.end for run in runs])
    return tuple(int(k) for k in np.minimum(np.searchsorted(ends, middle), len(runs) - 1))
