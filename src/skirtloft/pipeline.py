"""The whole flow on one screen: from a design to everything that is known of its skirt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.checks.behaviour_rules import behaviour_findings, corner_cloth_finding
from skirtloft.checks.check import check
from skirtloft.checks.finding import Finding
from skirtloft.checks.inflated_saved import as_inflated
from skirtloft.checks.service_rules import service_findings
from skirtloft.design.model import Design
from skirtloft.errors import SolveError
from skirtloft.inflate.saved import SavedInflation
from skirtloft.lift.match import match_air
from skirtloft.lift.system import mean_discharge, tip_runs
from skirtloft.lift.types import LiftAir
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import air_density
from skirtloft.physics.behaviour import SectionBehaviour, section_behaviour
from skirtloft.physics.cushion import support
from skirtloft.physics.design_case import rest_under, sections_of
from skirtloft.physics.diaphragm_case import hang_half, solve_with_margin
from skirtloft.physics.escape import opening_area
from skirtloft.physics.segment_cloth import segment_cloth
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import LoopCloth, SectionStatics, TurnedSections
from skirtloft.physics.types import Cushion, Sections
from skirtloft.pieces.corner_cloth import CornerCloth, corner_cloth
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.pieces.seams import face_allowance, hem_allowance
from skirtloft.pieces.types import CutPiece
from skirtloft.service.diaphragm import diaphragm_cut, diaphragm_result, pull_direction, slack_pressure
from skirtloft.service.in_service import InService, in_service
from skirtloft.shape.between import Places, places_along, station_places
from skirtloft.shape.develop import Development, develop
from skirtloft.shape.diaphragm_place import diaphragm_place
from skirtloft.shape.exact_panels import Progress, develop_exact, expected_deviation
from skirtloft.shape.flatten.cloth_fit import Weave
from skirtloft.shape.flatten.patch import SectionAt
from skirtloft.shape.flatten.row import Flattening
from skirtloft.shape.hull_lines import HullLines, hull_lines
from skirtloft.shape.loft import SectionArcs, arcs_by_inset
from skirtloft.shape.plan import lay_out
from skirtloft.shape.recut import as_cut, loop_changes, recut_arcs
from skirtloft.shape.types import Plan

NO_LOOP = "No loop between hull edge and joint carries this load; raise the hull edge or move the joint line there."


@dataclass(frozen=True, eq=False)
class Shaped:
    """The shape that follows from a design: enough to draw its sections and the whole skirt, and soon there.

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
    behaviour : SectionBehaviour
        What the sections do when something moves them.
    development : Development
        Loop panels unrolled flat.
    """

    design: Design
    plan: Plan
    cushions: tuple[Cushion, ...]
    statics: SectionStatics
    sections: Sections
    rests: TurnedSections
    behaviour: SectionBehaviour
    development: Development


@dataclass(frozen=True, eq=False)
class Skirt(Shaped):
    """Everything that follows from one design file.

    Parameters
    ----------
    air : LiftAir
        What each load asks for, and what the fan of the file makes of it.
    corner_cloth : CornerCloth
        Allowance at the hull edge of corner panels.
    pieces : tuple of CutPiece
    findings : tuple of Finding
    hull : HullLines
        What the hull must be.
    service : InService
        The cloth in use: diaphragm, pulls, mass, the craft at rest.
    inflated : SavedInflation, optional
        This skirt inflated as sewn, where that was done and still holds; see `with_inflated`.
    """

    air: LiftAir
    corner_cloth: CornerCloth
    pieces: tuple[CutPiece, ...]
    findings: tuple[Finding, ...]
    hull: HullLines
    service: InService
    inflated: SavedInflation | None = None


def shape(design: Design) -> Shaped:
    """Return the shape of the skirt of `design`, its loop panels unrolled quickly and nothing said of their cloth.

    Raises
    ------
    ShapeError, SolveError
        As `build`.
    """
    plan = lay_out(design)
    cushions = support_loads(design, plan)
    statics = equilibrium(design, plan, cushions[0].pressure)
    sections = sections_of(statics)
    diaphragm = diaphragm_result(design, plan, statics, diaphragm_place(design, plan))
    rests = rest_under(statics, [cushion.pressure for cushion in cushions], slack_pressure=slack_pressure(diaphragm))
    behaviour = section_behaviour(statics, rests, pull_direction(diaphragm))
    return Shaped(
        design, plan, cushions, statics, sections, rests, behaviour, develop(plan, as_cut(design, plan, sections))
    )


def build(design: Design, cut: bool = True, preview: bool = True, progress: Progress = lambda *_: None) -> Skirt:
    """Return the skirt of `design`.

    Parameters
    ----------
    design : Design
    cut : bool
        False leaves out the pieces and the rules on them: several times as fast, to look round with.
    preview : bool
        True unrolls the loop panels quickly whatever the file says; False makes them as ``making.loop.pattern`` says,
        as they are to be cut.
    progress : callable
        Told panels done, panels in all, and what is done next, while exact panels are made.

    Raises
    ------
    ShapeError
        The plan, a section or a panel cannot be made: where, why and what would do.
    SolveError
        A section has no equilibrium.
    DesignError
        The fan of the file cannot be.
    """
    return finished(shape(design), cut, preview, progress)


def finished(shaped: Shaped, cut: bool = True, preview: bool = True, progress: Progress = lambda *_: None) -> Skirt:
    """Return the skirt of which the shape is there already; all else as `build`."""
    design, plan, sections, statics = shaped.design, shaped.plan, shaped.sections, shaped.statics
    air = match_air(design, plan)
    development = _flat(shaped, preview or not cut, progress)
    cloth = corner_cloth(design, plan, statics, shaped.behaviour.quarter_rule)
    diaphragm = diaphragm_result(design, plan, statics, diaphragm_place(design, plan))
    strips = diaphragm_cut(diaphragm, plan)
    pieces = cut_pieces(design, plan, development.panels, cloth.cut, strips) if cut else ()
    skirt = Skirt(
        design=design,
        plan=plan,
        cushions=shaped.cushions,
        air=air,
        statics=statics,
        sections=sections,
        rests=shaped.rests,
        behaviour=shaped.behaviour,
        development=development,
        corner_cloth=cloth,
        pieces=pieces,
        findings=(),
        hull=hull_lines(design, plan, sections),
        service=in_service(design, plan, shaped.cushions, (statics, shaped.rests, pieces), diaphragm),
    )
    return replace(skirt, findings=_findings(skirt))


def with_pieces(skirt: Skirt, between: Callable[[], None] = lambda: None) -> Skirt:
    """Return a skirt that was built without its pieces with them, and with what follows from them.

    Parameters
    ----------
    skirt : Skirt
    between : callable
        Called before every piece or two; what it raises ends the work.

    Raises
    ------
    ShapeError
        A piece cannot be cut.
    """
    design, plan, diaphragm = skirt.design, skirt.plan, diaphragm_cut(skirt.service.diaphragm, skirt.plan)
    cut = cut_pieces(design, plan, skirt.development.panels, skirt.corner_cloth.cut, diaphragm, between)
    parts = (skirt.statics, skirt.rests, cut)
    service = in_service(skirt.design, skirt.plan, skirt.cushions, parts, skirt.service.diaphragm)
    whole = replace(skirt, pieces=cut, service=service)
    return replace(whole, findings=_findings(whole))


def as_inflated_alone(skirt: Skirt, away: Floats) -> Skirt:
    """Return a skirt whose loop panels' deviation (panels,) [m] was found by inflating them, edges held."""
    development = replace(skirt.development, deviation=frozen_array(away), deviation_by="inflated")
    changed = replace(skirt, development=development)
    return replace(changed, findings=_findings(changed))


def with_inflated(skirt: Skirt, saved: SavedInflation | None) -> Skirt:
    """Return a skirt with what inflating it has shown in its findings and its ways to give; unchanged without.

    `saved` is for the design of `skirt` (see `saved_inflation`); one that is not current is left out.
    """
    whole = replace(skirt, inflated=saved if saved is not None and saved.is_current else None)
    return replace(whole, findings=_findings(whole))


def _findings(skirt: Skirt) -> tuple[Finding, ...]:
    """Return every finding on what is there of a skirt."""
    design, plan, cushions = skirt.design, skirt.plan, skirt.cushions
    found = (
        *check(design, plan, cushions, skirt.air, skirt.sections, skirt.development, skirt.pieces),
        *behaviour_findings(design, plan, skirt.behaviour),
        corner_cloth_finding(skirt.corner_cloth),
        *service_findings(design, plan, cushions, skirt.service),
    )
    return found if skirt.inflated is None else as_inflated(found, skirt.inflated)


def flat_panels(
    design: Design, plan: Plan, sections: Sections, preview: bool, progress: Progress = lambda *_: None
) -> Development:
    """Return the loop panels made flat: quickly as a preview, else as the file says.

    Their expected deviation is in any case that of the pattern that the file says.
    """
    section_at, sections = surface_of(design, plan, sections.pressure), as_cut(design, plan, sections)
    if preview or design.making.loop.pattern == "quick":
        return _with_deviation(design, plan, develop(plan, sections), section_at)
    by = flattening_of(design)
    return develop_exact(plan, develop(plan, sections, by.rows), section_at, by, progress)


def _flat(shaped: Shaped, preview: bool, progress: Progress) -> Development:
    """Return the loop panels as `flat_panels`, of a shape whose quick ones are there."""
    design, plan, sections = shaped.design, shaped.plan, shaped.sections
    if preview or design.making.loop.pattern == "quick":
        section_at = surface_of(design, plan, sections.pressure)
        return _with_deviation(design, plan, shaped.development, section_at)
    return flat_panels(design, plan, sections, preview, progress)


def _with_deviation(design: Design, plan: Plan, made: Development, section_at: SectionAt) -> Development:
    return replace(made, deviation=expected_deviation(plan, made, section_at, design.making.loop.pattern))


def flattening_of(design: Design) -> Flattening:
    """Return how the file wants its loop panels flattened."""
    asked = design.making.loop
    weave = Weave(asked.weft, asked.shear, asked.contraction, way=design.cloth.loop.warp)
    return Flattening(weave=weave, corner_end="arc" if asked.corner_end == "section" else "mean")


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
    """Return the sections at every station for the design case, bulge of the faces, weight and diaphragm in.

    Every run and corner by its own fitted pitch; the station between two by the straight run's (see `own_pitch`).

    Raises
    ------
    SolveError
        A station has no equilibrium.
    """
    places = station_places(plan)
    return _possible(plan, solve_places(design, places, pressure, held_at(design, plan, plan.stations.at)))


def surface_of(design: Design, plan: Plan, pressure: float) -> SectionAt:
    """Return the loop of the design case as a surface: places along the joint line -> sections in equilibrium there.

    With loops cut longer or shorter where the file says so.
    """

    def section_at(at: Floats) -> SectionArcs:
        places = places_along(plan, at)
        statics = solve_places(design, places, pressure, held_at(design, plan, at))
        lost = np.isnan(statics.length)
        if lost.any():
            raise SolveError(f"section {np.abs(at[lost][0]):.3f} m along the joint line", float("nan"), NO_LOOP)
        inset = -statics.centre[..., 0]
        arcs = arcs_by_inset(places.joint, places.outward, places.offset, places.hull_z, places.depth, inset)
        return recut_arcs(places, arcs, loop_changes(design, plan, at))

    return section_at


def solve_places(
    design: Design, places: Places, pressure: float, held: tuple[Floats, Floats] | None = None
) -> SectionStatics:
    """Return the sections at `places` (k,) for the design case; nan where there is no equilibrium.

    `held`: margin of the loop over its balance and mass of the diaphragm [kg/m], both (k,); see `held_at`.
    """
    making, cloth = design.making, design.cloth
    shape = segment_shape(
        places.depth,
        places.face_angle,
        places.pitch,
        inboard=places.inboard,
        drop=places.drop,
        radius=places.radius,
    )
    offset, rise = places.offset, places.hull_z - places.depth
    segment, loop = None, None
    if design.skirt.weight:
        segment = segment_cloth(
            shape,
            areal_mass=cloth.segment.mass,
            seam=face_allowance(making),
            hem=hem_allowance(making),
            tip_trim=making.tip_trim,
            joint=making.joint,
        )
        loop = LoopCloth(frozen_array(cloth.loop.mass), frozen_array(making.joint))
    if held is None:
        return solve_statics(shape, offset, rise, pressure, segment=segment, loop=loop)
    margin, mass = held
    if segment is not None:
        segment = hang_half(segment, shape, mass)
    return solve_with_margin(shape, offset, rise, pressure, margin, segment=segment, loop=loop)


def held_at(design: Design, plan: Plan, at: Floats) -> tuple[Floats, Floats] | None:
    """Return margin of the loops and mass of the diaphragm [kg/m] at places along the joint line, each (k,).

    None where no loop is cut short. Both go evenly along the joint line from station to station; beyond a centre line
    they are the mirror image's.
    """
    place, wanted = diaphragm_place(design, plan), design.skirt.diaphragm
    if place is None or wanted is None or not place.margin.any():
        return None
    stations, end = plan.stations.at, float(plan.joint_line.breaks[-1])
    folded = np.abs(np.asarray(at, dtype=np.float64))
    port = np.where(folded > end, 2.0 * end - folded, folded)
    mass = np.where(place.margin > 0.0, wanted.cloth * place.span, 0.0)
    return frozen_array(np.interp(port, stations, place.margin)), frozen_array(np.interp(port, stations, mass))


def _possible(plan: Plan, statics: SectionStatics) -> SectionStatics:
    """Return the same sections; raises SolveError where a station has no equilibrium."""
    names = ", ".join(name for name, length in zip(plan.stations.ids, statics.length, strict=True) if length != length)
    if names:
        raise SolveError(
            f"section at {names}",
            float("nan"),
            NO_LOOP,
        )
    return statics
