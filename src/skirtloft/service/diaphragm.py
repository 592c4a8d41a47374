"""The diaphragm of a design: pull, load at which it goes slack, vents, and the flat size of its strips run by run."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY, air_density, contraction_coefficient
from skirtloft.physics.diaphragm import Diaphragm, required_margin, size_diaphragm
from skirtloft.physics.diaphragm_case import balance_of
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.vents import (
    HolePattern,
    air_above,
    choose_holes,
    holes_area,
    vent_area_beside_path,
    vent_area_in_path,
)
from skirtloft.shape.diaphragm_place import DiaphragmPlace
from skirtloft.shape.own_pitch import station_pitches
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
        sized = size_diaphragm(
            case, loop, point, cloth_stiffness=wanted.stretch, least_steepness=wanted.steepness
        )
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
        slack_mass=frozen_array(sized.slack_pressure * plan.tip_area / GRAVITY),
        runs=runs,
        mass=float(sum(run.area * (1.0 - float(run.holes.open_share)) for run in runs)) * wanted.cloth,
    )


def slack_pressure(diaphragm: DiaphragmResult | None) -> Floats | None:
    """Return the pressure above which a diaphragm holds each section as cut, (n,) [Pa]; nan where there is none."""
    if diaphragm is None or not diaphragm.is_there.any():
        return None
    return np.where(diaphragm.is_there, diaphragm.sized.slack_pressure, np.nan)


def _wanted_vents(
    design: Design, wanted: Wanted, plan: Plan, statics: SectionStatics, place: DiaphragmPlace
) -> Floats:
    """Return the least area of vents at every station, (n,) [m2 per metre of joint]."""
    air = design.air
    if wanted.feed == "through":
        faces, back = np.unique(plan.stations.face_angle, return_inverse=True)
        own = [contraction_coefficient(float(face)) for face in faces]
        jet = np.asarray(own)[back] if air.discharge is None else np.full(len(back), air.discharge)
        return vent_area_in_path(jet, air.gap, over_pressure=wanted.over_pressure)
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


def _runs(
    wanted: Wanted, plan: Plan, place: DiaphragmPlace, sized: Diaphragm, vents: Floats
) -> tuple[DiaphragmRun, ...]:
    """Return the strips run by run, from the bow; a run takes its vents from the worst of its stations."""
    stations = plan.stations
    pitch, radius = station_pitches(plan)
    reach = place.points.joint[:, 0] - place.attachment.point[:, 0]
    narrow = np.where(np.isfinite(radius), pitch * (1.0 - reach / np.where(np.isfinite(radius), radius, 1.0)), pitch)
    narrow = np.maximum(narrow, 1e-3)
    found = []
    for name in dict.fromkeys(stations.runs):
        here = np.array([run == name for run in stations.runs]) & (place.margin > 0.0)
        if not here.any():
            continue
        count = sum(run.segments * (1 if run.crosses_centre else 2) for run in plan.runs if run.name == name)
        at, slim = float(pitch[here].mean()), float(narrow[here].min())
        spans = place.span[here]
        holes = _holes(wanted, float(vents[here].max()), at, slim, float(spans.min()))
        tension = float(sized.tension[here].max())
        corner = sized.corner_tension[here].max(axis=0) if name.endswith("corner") else np.full(2, np.nan)
        found.append(
            DiaphragmRun(
                run=name,
                strips=count,
                pitch=at,
                hull_pitch=slim,
                span_low=float(spans.min()),
                span_high=float(spans.max()),
                area=count * 0.5 * (at + slim) * float(spans.mean()),
                tension=tension,
                strip_pull=tension * at,
                corner_low=float(corner[0]),
                corner_high=float(corner[1]),
                holes=holes,
                vents=count * int(holes.count),
            )
        )
    return tuple(found)


def _holes(wanted: Wanted, least: float, pitch: float, slim: float, span: float) -> HolePattern:
    """Return the vents of a strip, their areas per metre of joint: of the file, or the fewest of a standard size."""
    share = pitch / slim  # a strip is narrower at the hull, and the holes stand within that width
    if wanted.vent_diameter is None or wanted.vents_per_pitch is None:
        holes = choose_holes(least * share, slim, span)
        return _per_joint(holes, share)
    holes = choose_holes(least * share, slim, span, sizes=(wanted.vent_diameter,))
    area = float(holes_area(wanted.vent_diameter, wanted.vents_per_pitch, pitch))
    columns = max(1.0, min(float(wanted.vents_per_pitch), slim // (2.0 * wanted.vent_diameter)))
    rows = -(-wanted.vents_per_pitch // columns)
    return HolePattern(
        diameter=frozen_array(wanted.vent_diameter),
        count=frozen_array(float(wanted.vents_per_pitch)),
        rows=frozen_array(rows),
        columns=frozen_array(columns),
        column_pitch=frozen_array(slim / columns),
        row_pitch=frozen_array(span / (rows + 1.0) if rows > 1.0 else np.nan),
        rim_to_edge=holes.rim_to_edge,
        area=frozen_array(area),
        wanted=frozen_array(least),
        open_share=frozen_array(area / span),
        cloth_left=frozen_array(1.0 - wanted.vent_diameter * columns / slim),
        fits=np.asarray(area >= least and rows * 2.0 * wanted.vent_diameter <= span),
    )


def _per_joint(holes: HolePattern, share: float) -> HolePattern:
    """Return a pattern with its areas per metre of joint instead of per metre at the hull."""
    return replace(holes, area=frozen_array(holes.area / share), wanted=frozen_array(holes.wanted / share))
