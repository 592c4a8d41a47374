"""From a skirt and one of its loads to craft and runs at rest in hover, one section for each run of the tip line."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from skirtloft.design.model import Design
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import standard_pressure
from skirtloft.physics.bounce.at_rest import runs_at_rest
from skirtloft.physics.bounce.hover import heave_craft, hover_flow, over_pressure_of
from skirtloft.physics.bounce.inertia import section_inertia, segment_inertia
from skirtloft.physics.bounce.section_motion import TurningSection, from_statics
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.pipeline import Skirt
from skirtloft.rides.cushion_air import cushion_volume, duct_inertance, goes_beside, mouth_of
from skirtloft.rides.types import Assumed, Hover, Mouth, WorkingPoint
from skirtloft.rides.working_point import working_point
from skirtloft.service.diaphragm import own_stiffness
from skirtloft.shape.own_pitch import station_runs
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    import numpy.typing as npt

_Record = TypeVar("_Record")


def hover_of(skirt: Skirt, load: int = 0) -> Hover:
    """Return a load of a skirt at rest in hover.

    Parameters
    ----------
    load : int
        Its place in the file.

    Notes
    -----
    The over-pressure of the loop is first left out, then put in from the lift air that the gaps take: the flow does
    not depend on it.

    Raises
    ------
    SolveError
        Where a segment comes to rest nowhere.
    """
    point = working_point(skirt, load)
    at = middle_stations(skirt.plan, skirt.air.runs)
    statics: SectionStatics = at_stations(skirt.statics, at)
    section, length = from_statics(statics), skirt.air.system.escape.length
    mouth, of_mouth = mouth_of(skirt, length, statics.shape.upper_edge)
    held = diaphragm_stiffness(skirt, at)
    craft, assumed = _craft(skirt, point, load, at)
    swings, cloth = section_inertia(statics, _segment_inertia(skirt.design, statics), skirt.air.density)
    share = 0.0 if goes_beside(skirt) else skirt.design.bounce.flow_share
    runs, turn, over = _at_rest(skirt, craft, section, statics, swings, point, mouth, held, share)
    return Hover(
        load=load,
        craft=craft,
        runs=runs,
        section=section,
        turn=turn,
        names=tuple(name.replace("_", " ") for name in skirt.air.runs),
        stations=tuple(skirt.plan.stations.ids[k] for k in at),
        statics=statics,
        cloth_inertia=frozen_array(cloth),
        point=point,
        mouth=mouth,
        flow_share=share,
        over_pressure=over,
        assumed=(*point.assumed, *([of_mouth] if of_mouth else []), *assumed, *_of_the_cloth(skirt.design)),
    )


def _craft(
    skirt: Skirt, point: WorkingPoint, load: int, at: npt.NDArray[np.intp]
) -> tuple[HeaveCraft, tuple[Assumed, ...]]:
    cushion, air = skirt.cushions[load], skirt.air
    volume, of_volume = cushion_volume(skirt, air.system.escape.length, at, point.gap)
    inertance, of_duct = duct_inertance(skirt, point.lift_flow)
    jet = np.sqrt(2.0 * cushion.pressure / air.density)
    craft = heave_craft(
        mass=cushion.mass,
        area=skirt.plan.tip_area,
        pressure=cushion.pressure,
        density=air.density,
        atmosphere=standard_pressure(skirt.design.air.altitude),
        volume=volume,
        steepness=point.steepness,
        inertance=inertance,
        leak_area=max(0.0, (point.lift_flow - point.gap_flow) / jet),
    )
    return craft, tuple(one for one in (of_volume, of_duct) if one is not None)


def _segment_inertia(design: Design, statics: SectionStatics) -> Floats:
    making = design.making
    return segment_inertia(
        statics.shape,
        areal_mass=design.cloth.segment.mass,
        seam=making.seam,
        hem=making.hem,
        tip_trim=making.tip_trim,
        joint=making.joint,
    )


def _at_rest(
    skirt: Skirt,
    craft: HeaveCraft,
    section: TurningSection,
    statics: SectionStatics,
    swings: Floats,
    point: WorkingPoint,
    mouth: Mouth,
    held: Floats,
    share: float,
) -> tuple[SkirtRuns, Floats, float]:
    """Return the runs at rest, their turn, and the loop's over-pressure."""
    escape, told = skirt.air.system.escape, skirt.design.bounce

    def rest(over: float) -> tuple[SkirtRuns, Floats]:
        return runs_at_rest(
            craft,
            section,
            length=escape.length,
            gap=point.gap + escape.lift,
            contraction=escape.discharge,
            roughness=escape.roughness,
            inertia=swings,
            face_angle=statics.shape.face_angle,
            over_pressure=over,
            loss_factor=loss_factor_of(skirt.design),
            lip_strength=told.lip_strength,
            lip_length=told.lip_length,
            diaphragm_stiffness=held,
        )

    bare, _ = rest(0.0)
    over = float(over_pressure_of(craft, hover_flow(craft, bare), mouth.area, flow_share=share))
    runs, turn = rest(over)
    return runs, turn, over


def rest_with(hover: Hover, over_pressure: float) -> SkirtRuns:
    """Return the runs of a hover with another over-pressure in the loop, turned to their new rest.

    Raises
    ------
    SolveError
        Where a segment comes to rest nowhere.
    """
    runs = hover.runs
    return runs_at_rest(
        hover.craft,
        hover.section,
        length=runs.length,
        gap=runs.gap,
        contraction=runs.contraction,
        roughness=runs.roughness,
        inertia=runs.inertia,
        face_angle=hover.statics.shape.face_angle,
        over_pressure=over_pressure,
        loss_factor=runs.loss_factor,
        lip_strength=runs.lip_strength,
        lip_length=runs.lip_length,
        diaphragm_stiffness=runs.diaphragm_stiffness,
    )[0]


def diaphragm_stiffness(skirt: Skirt, at: npt.NDArray[np.intp]) -> Floats:
    """Return what the diaphragm of the file adds to each section, (n,) [N m/rad/m]; 0 where there is none.

    The loops are cut for it already; where it would be slack in hover, `runs_at_rest` leaves it out.
    """
    found = skirt.service.diaphragm
    if found is None:
        return np.zeros(len(at))
    return np.asarray(own_stiffness(found)[at])


def loss_factor_of(design: Design) -> float:
    """Return the loss factor of the cloth: of the file, else what is assumed."""
    told = design.bounce.loss_factor
    return BOUNCE_DEFAULTS["loss_factor"].value if told is None else told


def _of_the_cloth(design: Design) -> tuple[Assumed, ...]:
    if design.bounce.loss_factor is not None:
        return ()
    words = f"{loss_factor_of(design):g}, the low end of 0.05 to 0.15"
    return (Assumed("loss in the cloth", words, "bounce.loss_factor, from `swing`"),)


def middle_stations(plan: Plan, names: tuple[str, ...]) -> npt.NDArray[np.intp]:
    """Return for each run of the tip line the station nearest the middle of its longest piece, (n,)."""
    own, at = np.array(station_runs(plan)), plan.stations.at
    found = []
    for name in names:
        pieces = [k for k, run in enumerate(plan.runs) if run.name == name]
        k = max(pieces, key=lambda piece: plan.runs[piece].fitted_length)
        run = plan.runs[k]
        middle = run.start if run.crosses_centre and run.start == 0.0 else (run.start + run.end) / 2.0
        mine = np.flatnonzero(own == k)
        mine = mine if mine.size else np.arange(len(at))
        found.append(int(mine[np.argmin(np.abs(at[mine] - middle))]))
    return np.array(found, dtype=np.intp)


def at_stations(record: _Record, at: npt.NDArray[np.intp]) -> _Record:
    """Return a record of stations, records in it as well, at some of them; numbers for all stations stay."""
    changed: dict[str, Any] = {}
    for field in fields(record):  # type: ignore[arg-type]
        value = getattr(record, field.name)
        if is_dataclass(value):
            changed[field.name] = at_stations(value, at)
        elif isinstance(value, np.ndarray) and value.ndim:
            changed[field.name] = frozen_array(value[at])
    return replace(record, **changed)  # type: ignore[type-var]
