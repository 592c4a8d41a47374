"""The whole flow on one screen: from a design to everything that is known of its skirt."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.checks.check import check
from skirtloft.checks.finding import Finding
from skirtloft.design.model import Design
from skirtloft.errors import SolveError
from skirtloft.lift.match import match_air
from skirtloft.lift.system import tip_runs
from skirtloft.lift.types import LiftAir
from skirtloft.physics.air import air_density, contraction_coefficient
from skirtloft.physics.cloth import segment_weight
from skirtloft.physics.cushion import support
from skirtloft.physics.escape import opening_area
from skirtloft.physics.section import impossible, solve_sections
from skirtloft.physics.types import Cushion, Sections
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.develop import Development, develop
from skirtloft.shape.hull_lines import HullLines, hull_lines
from skirtloft.shape.plan import lay_out
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
    air : LiftAir
        What each load asks for, and what the fan of the file makes of it.
    sections : Sections
        In the design case, one per station of the port half.
    development : Development
        Loop panels unrolled flat.
    pieces : tuple of CutPiece
    findings : tuple of Finding
    hull : HullLines
        What the hull must be.
    """

    design: Design
    plan: Plan
    cushions: tuple[Cushion, ...]
    air: LiftAir
    sections: Sections
    development: Development
    pieces: tuple[CutPiece, ...]
    findings: tuple[Finding, ...]
    hull: HullLines


def build(design: Design) -> Skirt:
    """Return the skirt of `design`.

    Raises
    ------
    ShapeError
        The plan, a section or a panel cannot be made: where, why and what would do.
    SolveError
        A section has no equilibrium.
    DesignError
        The fan of the file cannot be.
    """
    plan = lay_out(design)
    cushions = support_loads(design, plan)
    air = match_air(design, plan)
    sections = equilibrium(design, plan, cushions[0].pressure)
    development = develop(plan, sections)
    pieces = cut_pieces(design, plan, development.panels)
    findings = check(design, plan, cushions, air, sections, development, pieces)
    hull = hull_lines(design, plan, sections)
    return Skirt(design, plan, cushions, air, sections, development, pieces, findings, hull)


def support_loads(design: Design, plan: Plan) -> tuple[Cushion, ...]:
    """Return pressure, escape flow and power for each load on the area inside the mean tip line.

    The flow is that through the gap only, with the runs' own gaps and rough ground in; leaks and losses are for
    `match_air`.
    """
    air, runs = design.air, tip_runs(design, plan)
    discharge = air.discharge if air.discharge is not None else contraction_coefficient(design.skirt.face_angle)
    return support(
        [(load.name, load.mass) for load in design.craft.load],
        area=plan.tip_area,
        perimeter=plan.tip_perimeter,
        gap=float(opening_area(runs, air.gap).sum()) / (discharge * plan.tip_perimeter),
        discharge=discharge,
        density=air_density(air.altitude, air.temperature),
        fan_efficiency=air.fan_efficiency,
        drive_efficiency=air.drive_efficiency,
        losses=air.losses,
        reserve=air.reserve,
    )


def equilibrium(design: Design, plan: Plan, pressure: float) -> Sections:
    """Return the sections at every station for the design case, cloth weight and bulge of the faces in.

    Raises
    ------
    SolveError
        Where a station has no equilibrium.
    """
    skirt, making = design.skirt, design.making
    segment = segment_weight(
        depth=skirt.depth,
        pitch=skirt.pitch,
        areal_mass=design.cloth.segment.mass,
        seam=making.seam,
        hem=making.hem,
        tip_trim=making.tip_trim,
        joint=making.joint,
    )
    stations = plan.stations
    sections = solve_sections(
        stations.offset,
        stations.hull_z - skirt.depth,
        depth=skirt.depth,
        pitch=skirt.pitch,
        pressure=pressure,
        segment=segment,
        loop_areal_mass=design.cloth.loop.mass,
        loop_joint_allowance=making.joint,
    )
    without = impossible(sections)
    if len(without):
        names = ", ".join(stations.ids[i] for i in without)
        raise SolveError(
            f"section at {names}",
            float("nan"),
            "No loop between hull edge and joint carries this load; raise the hull edge or move the joint line there.",
        )
    return sections
