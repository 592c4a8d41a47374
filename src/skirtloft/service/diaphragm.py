"""The diaphragm of a design: pull, load at which it goes slack, vents, and the flat size of its strips run by run."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY, air_density, contraction_coefficient
from skirtloft.physics.diaphragm import Diaphragm, required_margin, size_diaphragm
from skirtloft.physics.diaphragm_case import balance_of
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.vents import (
    HOLE_SIZES,
    HolePattern,
    air_above,
    choose_holes,
    holes_area,
    vent_area_beside_path,
    vent_area_in_path,
)
from skirtloft.pieces.diaphragm import DiaphragmCut, Vents
from skirtloft.shape.diaphragm_place import DiaphragmPlace
from skirtloft.shape.own_pitch import station_pitches, station_runs
from skirtloft.shape.segment_field import tip_length
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.cloth_model import Diaphragm as Wanted
    from skirtloft.design.model import Design


@dataclass(frozen=True, eq=False)
class DiaphragmRun:
    """The diaphragm of one run of the joint line, both sides of the craft.

    Parameters
    ----------
    run : str
    strips : int  one between each pair of webs
    pitch, hull_pitch : float [m]  finished width of a strip at the joint and at the hull
    span_low, span_high : float [m]  finished length of a strip, joint to hull
    area : float [m2]  finished cloth of the run, vents not taken off
    tension, strip_pull : float [N/m, N]  largest in the run in the design case, and that on one strip at the joint
    corner_low, corner_high : float [N/m]  expected in a corner; nan on straight runs
    holes : HolePattern  vents of one strip; those of the file where it gives them
    vents : int  of the run
    have_room : bool  the vents that the file gives go into a strip
    """

    run: str
    strips: int
    pitch: float
    hull_pitch: float
    span_low: float
    span_high: float
    area: float
    tension: float
    strip_pull: float
    corner_low: float
    corner_high: float
    holes: HolePattern
    vents: int
    have_room: bool


@dataclass(frozen=True, eq=False)
class DiaphragmResult:
    """What is known of the diaphragm; arrays (n,) over the port stations, points in section axes.

    Parameters
    ----------
    place : DiaphragmPlace
    sized : Diaphragm
        With the loops as cut; its axes are those of the statics. Where `place` is impossible the loops are in balance.
    is_there : bool  a margin and a place
    required : [-]  least margin, see `required_margin`
    wanted_vents, given_vents : [m2 per metre of joint]
    vent_ratio : float  area of all vents over what is wanted all round; nan where there is no place
    slack_mass : [kg]  all-up mass at which it goes slack
    runs : tuple of DiaphragmRun  empty where there is no place
    mass : float [kg]  cloth, vents taken off
    """

    place: DiaphragmPlace
    sized: Diaphragm
    is_there: np.ndarray[tuple[int], np.dtype[np.bool_]]
    required: Floats
    wanted_vents: Floats
    given_vents: Floats
    vent_ratio: float
    slack_mass: Floats
    runs: tuple[DiaphragmRun, ...]
    mass: float


def diaphragm_result(
    design: Design, plan: Plan, statics: SectionStatics, place: DiaphragmPlace | None
) -> DiaphragmResult | None:
    """Return the diaphragm with the loops as solved; None where the file has none."""
    wanted = design.skirt.diaphragm
    if wanted is None or place is None:
        return None
    shape = statics.shape
    case, loop = balance_of(statics)
    point = place.attachment.point - np.column_stack([plan.stations.offset, np.zeros(len(plan.stations.ids))])
    with np.errstate(invalid="ignore", divide="ignore"):
        sized = size_diaphragm(case, loop, point, cloth_stiffness=wanted.stretch, least_steepness=wanted.steepness)
    required = required_margin(
        case,
        shape.tip[..., 0] - shape.inner[..., 0],
        heave=wanted.heave * GRAVITY,
        pressure_share=wanted.pressure_share,
        lip_suction=wanted.lip_suction,
        imperfection=wanted.imperfection,
    )
    is_there = place.margin > 0.0
    vents = _wanted_vents(design, wanted, plan, statics, place)
    runs = _runs(wanted, plan, place, sized, vents) if is_there.any() else ()
    given = np.full(len(is_there), np.nan)
    for run in runs:
        here = np.array([name == run.run for name in plan.stations.runs])
        given[here] = float(run.holes.area)
    return DiaphragmResult(
        place=place,
        sized=sized,
        is_there=is_there,
        required=frozen_array(required),
        wanted_vents=frozen_array(vents),
        given_vents=frozen_array(given),
        vent_ratio=_vent_ratio(runs),
        slack_mass=frozen_array(sized.slack_pressure * plan.tip_area / GRAVITY),
        runs=runs,
        mass=float(sum(run.area * (1.0 - float(run.holes.open_share)) for run in runs)) * wanted.cloth,
    )


def _vent_ratio(runs: tuple[DiaphragmRun, ...]) -> float:
    """Return the area of all vents over the area wanted all round."""
    if not runs:
        return float("nan")
    given = sum(run.strips * run.pitch * float(run.holes.area) for run in runs)
    return float(given / sum(run.strips * run.pitch * float(run.holes.wanted) for run in runs))


def slack_pressure(diaphragm: DiaphragmResult | None) -> Floats | None:
    """Return the pressure above which a diaphragm holds each section as cut, (n,) [Pa]; nan where there is none."""
    if diaphragm is None or not diaphragm.is_there.any():
        return None
    return np.where(diaphragm.is_there, diaphragm.sized.slack_pressure, np.nan)


def added_stiffness(diaphragm: DiaphragmResult | None, pressure: float) -> Floats | None:
    """Return what a taut diaphragm adds to each section against turning up, (n,) [N m/rad/m]; None without one.

    Notes
    -----
    The pull of its cloth as it stretches and of its tension as it turns; 0 at stations without one and where it is
    slack at `pressure` [Pa]. Against turning down it holds only until it is slack.
    """
    if diaphragm is None or not diaphragm.is_there.any():
        return None
    is_taut = np.nan_to_num(diaphragm.sized.slack_pressure, nan=np.inf) < pressure
    return frozen_array(np.where(is_taut, own_stiffness(diaphragm), 0.0))


def own_stiffness(diaphragm: DiaphragmResult) -> Floats:
    """Return what the diaphragm adds to each section while it is taut, (n,) [N m/rad/m]; 0 at stations without one."""
    own = np.nan_to_num(diaphragm.sized.stretch_stiffness + diaphragm.sized.turn_stiffness)
    return np.asarray(np.where(diaphragm.is_there, own, 0.0))


def pull_direction(diaphragm: DiaphragmResult | None) -> Floats | None:
    """Return the unit vectors from J to where the diaphragm is fixed, (n, 2); nan where there is none."""
    if diaphragm is None or not diaphragm.is_there.any():
        return None
    towards = diaphragm.place.attachment.point - diaphragm.place.points.joint
    length = np.linalg.norm(towards, axis=-1, keepdims=True)
    return np.where(diaphragm.is_there[:, None], towards / length, np.nan)


def _wanted_vents(design: Design, wanted: Wanted, plan: Plan, statics: SectionStatics, place: DiaphragmPlace) -> Floats:
    """Return the least area of vents at every station, (n,) [m2 per metre of joint]."""
    air = design.air
    if wanted.feed == "through":
        faces, back = np.unique(plan.stations.face_angle, return_inverse=True)
        own = [contraction_coefficient(float(face)) for face in faces]
        jet = np.asarray(own)[back] if air.discharge is None else np.full(len(back), air.discharge)
        return vent_area_in_path(jet, air.gap, over_pressure=wanted.over_pressure) * _tip_share(plan)
    points = place.points
    corners = [points.hull, points.joint, place.attachment.point]
    inboard = place.attachment.point[:, :1] < points.inner[:, :1]
    corners.append(np.where(inboard, points.inner, place.attachment.point))
    room = air_above(statics.radius, statics.angle, np.stack(corners, axis=-2))
    return vent_area_beside_path(
        room,
        2.0 * np.pi * wanted.frequency,
        statics.pressure,
        air_density(air.altitude, air.temperature),
        swing_share=wanted.swing,
        lag=wanted.lag,
    )


def _tip_share(plan: Plan) -> Floats:
    """Return the tip line's length over the joint's in the run of every station, (n,): less than 1 in corners."""
    share = [tip_length(plan, r.start, r.end) / (r.end - r.start) if r.end > r.start else 1.0 for r in plan.runs]
    return np.asarray(share)[list(station_runs(plan))]


def _runs(
    wanted: Wanted, plan: Plan, place: DiaphragmPlace, sized: Diaphragm, vents: Floats
) -> tuple[DiaphragmRun, ...]:
    """Return the strips run by run, from the bow; a run takes its vents from the worst of its stations.

    Notes
    -----
    The loop is one room all round, so what a narrow corner has no room for, the other runs give.
    """
    rooms = _rooms(plan, place, vents)
    patterns = [_holes(wanted, room.least, room) for room in rooms]
    tight = [not bool(holes.fits) for holes in patterns]
    if any(tight) and not all(tight):
        lacking = sum(r.length * (r.least - float(h.area)) for r, h, t in zip(rooms, patterns, tight, strict=True) if t)
        rest = sum(room.length * room.least for room, t in zip(rooms, tight, strict=True) if not t)
        more = 1.0 + lacking / rest
        patterns = [
            h if t else _holes(wanted, more * r.least, r) for r, h, t in zip(rooms, patterns, tight, strict=True)
        ]
    is_given = wanted.vents_per_pitch is not None
    found = []
    for room, holes in zip(rooms, patterns, strict=True):
        enough = np.asarray(holes.area >= room.least - 1e-12)
        plain = replace(holes, wanted=frozen_array(room.least), fits=enough)
        found.append(_run(room, plain, sized, have_room=bool(holes.fits) or not is_given))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Room:
    """The strips of one run, and the least vents per metre of joint; `length` [m] of the joint, whole craft."""

    run: str
    here: np.ndarray[tuple[int], np.dtype[np.bool_]]
    strips: int
    pitch: float
    hull_pitch: float
    spans: Floats
    least: float

    @property
    def length(self) -> float:
        return self.strips * self.pitch


def _rooms(plan: Plan, place: DiaphragmPlace, vents: Floats) -> list[_Room]:
    stations = plan.stations
    pitch, radius = station_pitches(plan)
    reach = place.points.joint[:, 0] - place.attachment.point[:, 0]
    narrow = np.where(np.isfinite(radius), pitch * (1.0 - reach / np.where(np.isfinite(radius), radius, 1.0)), pitch)
    narrow = np.maximum(narrow, 1e-3)
    found = []
    for name in dict.fromkeys(stations.runs):
        here = np.array([run == name for run in stations.runs]) & (place.margin > 0.0)
        if here.any():
            count = sum(run.segments * (1 if run.crosses_centre else 2) for run in plan.runs if run.name == name)
            sizes = float(pitch[here].mean()), float(narrow[here].min())
            found.append(_Room(name, here, count, *sizes, place.span[here], float(vents[here].max())))
    return found


def _run(room: _Room, holes: HolePattern, sized: Diaphragm, have_room: bool) -> DiaphragmRun:
    tension = float(sized.tension[room.here].max())
    corner = sized.corner_tension[room.here].max(axis=0) if room.run.endswith("corner") else np.full(2, np.nan)
    return DiaphragmRun(
        run=room.run,
        strips=room.strips,
        pitch=room.pitch,
        hull_pitch=room.hull_pitch,
        span_low=float(room.spans.min()),
        span_high=float(room.spans.max()),
        area=room.strips * 0.5 * (room.pitch + room.hull_pitch) * float(room.spans.mean()),
        tension=tension,
        strip_pull=tension * room.pitch,
        corner_low=float(corner[0]),
        corner_high=float(corner[1]),
        holes=holes,
        vents=room.strips * int(holes.count),
        have_room=have_room,
    )


def _holes(wanted: Wanted, least: float, room: _Room) -> HolePattern:
    """Return the vents of a strip, their areas per metre of joint: of the file, or the fewest of a standard size.

    Notes
    -----
    A strip narrows evenly from `pitch` at the joint to `hull_pitch`; the holes stand in its outer part, as far in as
    its width there still takes them.
    """
    span = float(room.spans.min())
    sizes = HOLE_SIZES if wanted.vent_diameter is None else (wanted.vent_diameter,)
    tries = []
    for part in (1.0, 0.8, 0.6, 0.4):
        width = room.pitch - part * (room.pitch - room.hull_pitch)
        share = room.pitch / width
        holes = choose_holes(least * share, width, part * span, sizes=sizes)
        tries.append(replace(holes, area=frozen_array(holes.area / share), wanted=frozen_array(holes.wanted / share)))
        if bool(holes.fits):
            break
    best = max(tries, key=lambda holes: (bool(holes.fits), float(holes.area)))
    best = replace(best, open_share=frozen_array(float(best.area) * room.pitch / _strip_area(room)))
    return best if wanted.vents_per_pitch is None else _given_holes(wanted, best, least, room)


def _strip_area(room: _Room) -> float:
    return 0.5 * (room.pitch + room.hull_pitch) * float(room.spans.mean())


def _given_holes(wanted: Wanted, room_for: HolePattern, least: float, room: _Room) -> HolePattern:
    """Return the vents that the file gives, laid out as those of their size that there is room for."""
    assert wanted.vent_diameter is not None
    assert wanted.vents_per_pitch is not None
    count, columns = float(wanted.vents_per_pitch), max(float(room_for.columns), 1.0)
    rows = math.ceil(count / columns)
    area = float(holes_area(wanted.vent_diameter, count, room.pitch))
    most = choose_holes(np.inf, room.pitch, float(room.spans.min()), sizes=(wanted.vent_diameter,))
    return replace(
        room_for,
        count=frozen_array(count),
        rows=frozen_array(float(rows)),
        area=frozen_array(area),
        wanted=frozen_array(least),
        open_share=frozen_array(area * room.pitch / _strip_area(room)),
        fits=np.asarray(count <= float(most.count)),
    )


def diaphragm_cut(result: DiaphragmResult | None, plan: Plan) -> DiaphragmCut | None:
    """Return the diaphragm as it is to be cut; None where there is none, or no place for it."""
    if result is None or not result.runs or not result.place.is_possible:
        return None
    away = result.place.attachment.point - result.place.points.joint
    vents = {
        run.run: Vents(
            diameter=float(run.holes.diameter),
            count=int(run.holes.count),
            rows=int(run.holes.rows),
            columns=int(run.holes.columns),
            first=float(run.holes.rim_to_edge + run.holes.diameter / 2.0),
            row_step=float(run.holes.row_pitch) if run.holes.rows > 1.0 else 0.0,
            column_step=float(run.holes.column_pitch),
        )
        for run in result.runs
    }
    return DiaphragmCut(
        at=plan.stations.at,
        reach=frozen_array(-away[:, 0]),
        rise=frozen_array(away[:, 1]),
        there=np.asarray(result.is_there),
        vents=vents,
    )
