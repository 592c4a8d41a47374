"""The whole flow on one screen: from a design to everything that is known of its skirt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from skirtloft.checks.check import check
from skirtloft.checks.finding import Finding
from skirtloft.checks.making_rules import making_findings
from skirtloft.design.model import Design
from skirtloft.errors import SolveError
from skirtloft.lift.match import match_air
from skirtloft.lift.system import mean_discharge, tip_runs
from skirtloft.lift.types import LiftAir
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.air import air_density
from skirtloft.physics.cushion import support
from skirtloft.physics.design_case import rest_under, sections_of
from skirtloft.physics.escape import opening_area
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, TurnedSections
from skirtloft.physics.types import Cushion, Sections
from skirtloft.pieces.cut_pieces import each_piece
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.develop import Development, develop
from skirtloft.shape.hull_lines import HullLines, hull_lines
from skirtloft.shape.own_pitch import station_pitches
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
    hull : HullLines
        What the hull must be.
    """

    design: Design
    plan: Plan
    cushions: tuple[Cushion, ...]
    air: LiftAir
    statics: SectionStatics
    sections: Sections
    rests: TurnedSections
    development: Development
    pieces: tuple[CutPiece, ...]
    findings: tuple[Finding, ...]
    hull: HullLines


def build(design: Design, cut: bool = True) -> Skirt:
    """Return the skirt of `design`.

    Parameters
    ----------
    design : Design
    cut : bool
        False leaves out the pieces and the rules on them: several times as fast, to look round with.

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
    statics = equilibrium(design, plan, cushions[0].pressure)
    sections = sections_of(statics)
    rests = rest_under(statics, [cushion.pressure for cushion in cushions])
    development = develop(plan, sections)
    findings = check(design, plan, cushions, air, sections, development, ())
    hull = hull_lines(design, plan, sections)
    skirt = Skirt(design, plan, cushions, air, statics, sections, rests, development, (), findings, hull)
    return with_pieces(skirt) if cut else skirt


def with_pieces(skirt: Skirt, between: Callable[[], None] = lambda: None) -> Skirt:
    """Return a skirt that was built without its pieces with them, and with the rules on them.

    Parameters
    ----------
    skirt : Skirt
    between : callable
        Called after every piece; what it raises ends the work.

    Raises
    ------
    ShapeError
        A piece cannot be cut.
    """
    design, plan, development = skirt.design, skirt.plan, skirt.development
    pieces = []
    for piece in each_piece(design, plan, development.panels):
        pieces.append(piece)
        between()
    making = making_findings(design, development, tuple(pieces)) if pieces else []
    return replace(skirt, pieces=tuple(pieces), findings=(*skirt.findings, *making))


def support_loads(design: Design, plan: Plan) -> tuple[Cushion, ...]:
    """Return pressure, escape flow and power for each load on the area inside the mean tip line.

    The flow is that through the gap only, with the runs' own gaps and rough ground in; leaks and losses are for
    `match_air`.
    """
    air, runs = design.air, tip_runs(design, plan)
    discharge = mean_discharge(runs)
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


def equilibrium(design: Design, plan: Plan, pressure: float) -> SectionStatics:
    """Return the sections at every station for the design case, bulge of the faces and weight of the cloth in.

    Every run and corner by its own fitted pitch; the station between two by the straight run's (see `own_pitch`).

    Raises
    ------
    SolveError
        A station has no equilibrium.
    """
    making, cloth, stations = design.making, design.cloth, plan.stations
    pitch, radius = station_pitches(plan)
    shape = segment_shape(
        stations.depth, stations.face_angle, pitch, inboard=stations.inboard, drop=stations.drop, radius=radius
    )
    offset, rise = stations.offset, stations.hull_z - stations.depth
    if not design.skirt.weight:
        return _possible(plan, solve_statics(shape, offset, rise, pressure))
    segment = segment_cloth(
        shape,
        areal_mass=cloth.segment.mass,
        seam=making.seam,
        hem=making.hem,
        tip_trim=making.tip_trim,
        joint=making.joint,
    )
    loop = LoopCloth(frozen_array(cloth.loop.mass), frozen_array(making.joint))
    return _possible(plan, solve_statics(shape, offset, rise, pressure, segment=segment, loop=loop))


def _possible(plan: Plan, statics: SectionStatics) -> SectionStatics:
    """Return the same sections; raises SolveError where a station has no equilibrium."""
    names = ", ".join(name for name, length in zip(plan.stations.ids, statics.length, strict=True) if length != length)
    if names:
        raise SolveError(
            f"section at {names}",
            float("nan"),
            "No loop between hull edge and joint carries this load; raise the hull edge or move the joint line there.",
        )
    return statics
