"""The whole flow on one screen: from a design to everything that is known of its skirt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.checks.check import check
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design
from skirtloft.errors import SolveError
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.air import air_density, contraction_coefficient
from skirtloft.physics.cushion import cushion_pressure, support
from skirtloft.physics.design_case import rest_under, sections_of
from skirtloft.physics.section import impossible
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, TurnedSections
from skirtloft.physics.types import Cushion, Sections
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.develop import Development, develop
from skirtloft.shape.own_pitch import station_pitches
from skirtloft.shape.plan import lay_out
from skirtloft.shape.segment_field import line_points, tip_insets, values_at
from skirtloft.shape.types import Plan


@dataclass(frozen=True, eq=False)
class Skirt:
    """Everything that follows from one design file.

    Parameters
    ----------
    design : Design
    plan : Plan
    cushions : tuple of Cushion
        One per load, in the order of the file; the first is the design case.
    statics : SectionStatics
        Of loop and segments in the design case, one per station of the port half.
    sections : Sections
        The same measured from the hull edge.
    rests : TurnedSections, (loads, stations)
        Where the same cloth comes to rest under each load; the first does not move.
    development : Development
        Loop panels unrolled flat.
    pieces : tuple of CutPiece
    findings : tuple of Finding
    """

    design: Design
    plan: Plan
    cushions: tuple[Cushion, ...]
    statics: SectionStatics
    sections: Sections
    rests: TurnedSections
    development: Development
    pieces: tuple[CutPiece, ...]
    findings: tuple[Finding, ...]


def build(design: Design) -> Skirt:
    """Return the skirt of `design`.

    Raises
    ------
    ShapeError
        The plan, a section or a panel cannot be made: where, why and what would do.
    SolveError
        A section has no equilibrium.
    """
    plan = lay_out(design)
    cushions = support_loads(design, plan)
    statics = equilibrium(design, plan, cushions[0].pressure)
    sections = sections_of(statics)
    refuse_impossible(plan, sections)
    rests = rest_under(statics, [cushion.pressure for cushion in cushions])
    development = develop(plan, sections)
    pieces = cut_pieces(design, plan, development.panels)
    findings = check(design, plan, cushions, sections, development, pieces)
    return Skirt(design, plan, cushions, statics, sections, rests, development, pieces, findings)


def support_loads(design: Design, plan: Plan) -> tuple[Cushion, ...]:
    """Return pressure, escape flow and power for each load on the area inside the mean tip line."""
    air = design.air
    discharge = air.discharge if air.discharge is not None else mean_discharge(plan)
    return support(
        [(load.name, load.mass) for load in design.craft.load],
        area=plan.tip_area,
        perimeter=plan.tip_perimeter,
        gap=air.gap,
        discharge=discharge,
        density=air_density(air.altitude, air.temperature),
        fan_efficiency=air.fan_efficiency,
        drive_efficiency=air.drive_efficiency,
        losses=air.losses,
        reserve=air.reserve,
    )


def mean_discharge(plan: Plan) -> float:
    """Return the discharge coefficient of the escape under the tips, from the face angle, in the mean round the craft.

    Notes
    -----
    Weighted by length of the tip line; between 33 face angles by straight lines where faces differ.
    """
    faces = plan.segments.face_angle
    if bool(np.all(faces == faces[0])):
        return contraction_coefficient(float(faces[0]))
    table = np.linspace(float(faces.min()), float(faces.max()), 33)
    known = np.array([contraction_coefficient(float(face)) for face in table])
    at = np.linspace(0.0, float(plan.joint_line.breaks[-1]), 1001)
    tips = line_points(plan, tip_insets(plan.segments, plan.pitch, at), at)
    step = np.hypot(*np.diff(tips, axis=0).T)
    middle = values_at(plan.segments, (at[:-1] + at[1:]) / 2.0)[1]
    return float(np.average(np.interp(middle, table, known), weights=step))


def equilibrium(design: Design, plan: Plan, pressure: float) -> SectionStatics:
    """Return the sections at every station for the design case, bulge of the faces and weight of the cloth in.

    Every run and corner by its own fitted pitch; the station between two by the straight run's (see `own_pitch`).
    """
    making, cloth, stations = design.making, design.cloth, plan.stations
    pitch, radius = station_pitches(plan)
    shape = segment_shape(
        stations.depth, stations.face_angle, pitch, inboard=stations.inboard, drop=stations.drop, radius=radius
    )
    offset, rise = stations.offset, stations.hull_z - stations.depth
    if not design.skirt.weight:
        return solve_statics(shape, offset, rise, pressure)
    segment = segment_cloth(
        shape,
        areal_mass=cloth.segment.mass,
        seam=making.seam,
        hem=making.hem,
        tip_trim=making.tip_trim,
        joint=making.joint,
    )
    loop = LoopCloth(frozen_array(cloth.loop.mass), frozen_array(making.joint))
    return solve_statics(shape, offset, rise, pressure, segment=segment, loop=loop)


def refuse_impossible(plan: Plan, sections: Sections) -> None:
    """Raise a SolveError where a station has no equilibrium."""
    without = impossible(sections)
    if len(without):
        names = ", ".join(plan.stations.ids[i] for i in without)
        raise SolveError(
            f"section at {names}",
            float("nan"),
            "No loop between hull edge and joint carries this load; raise the hull edge or move the joint line there.",
        )


__all__ = ["Skirt", "build", "cushion_pressure", "equilibrium", "support_loads"]
