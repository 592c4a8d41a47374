"""From sections, gap and the loop's mouth to the runs of skirt at rest, and from one state to many."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.bounce.hover import (
    diaphragm_hold,
    jet_speed_of,
    lip_pull,
    over_pressure_of,
    rest_area_rate,
    run_flow,
    skirt_runs,
)
from skirtloft.physics.bounce.inertia import foot_of, tip_flow_inertia
from skirtloft.physics.bounce.section_motion import (
    TurningSection,
    area_rate,
    rest_turn,
    section_stiffness_at,
    turned_point,
    weight_moment_at,
)
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns

_LIP_ROUNDS = 12


def runs_at_rest(
    craft: HeaveCraft,
    section: TurningSection,
    *,
    length: npt.ArrayLike,
    gap: npt.ArrayLike,
    contraction: npt.ArrayLike,
    inertia: npt.ArrayLike,
    face_angle: npt.ArrayLike = np.pi / 4.0,
    over_pressure: npt.ArrayLike = 0.0,
    loss_factor: npt.ArrayLike = BOUNCE_DEFAULTS["loss_factor"].value,
    roughness: npt.ArrayLike = 0.0,
    lip_strength: npt.ArrayLike = BOUNCE_DEFAULTS["lip_strength"].value,
    lip_length: npt.ArrayLike = BOUNCE_DEFAULTS["lip_length"].value,
    diaphragm_stiffness: npt.ArrayLike = 0.0,
    gravity: float = GRAVITY,
) -> tuple[SkirtRuns, Floats]:
    """Return the runs at rest and the turn (..., n) [rad] from the shape as cut at which they rest.

    Parameters
    ----------
    craft : HeaveCraft
        (...)
    section : TurningSection
        (..., n)
    gap : (..., n) [m]
        At rest.
    inertia : (..., n) [kg m2/m]
        Segment, loop and air about I.
    over_pressure : (..., n) [-]
        Of the loop: `over_pressure_of`.
    diaphragm_stiffness : (..., n) [N m/rad/m]
        Above 0 there is a diaphragm, which holds the segment as cut where it is taut.

    Raises
    ------
    SolveError
        Where a section comes to rest nowhere.
    """
    p = craft.pressure[..., None]
    runs = skirt_runs(
        length=length,
        gap=gap,
        contraction=contraction,
        tip_out=section.tip[..., 0],
        tip_down=-section.tip[..., 1],
        lever=section.lever,
        moment=section.moment,
        inertia=inertia,
        stiffness=1.0,
        area_rate=area_rate(section, np.zeros_like(section.length)),
        tip_flow=BOUNCE_DEFAULTS["tip_flow_share"].value * _tip_flow(craft, section, face_angle),
        over_pressure=over_pressure,
        loss_factor=loss_factor,
        roughness=roughness,
        lip_strength=lip_strength,
        lip_length=lip_length,
        diaphragm_stiffness=diaphragm_stiffness,
    )
    hold = diaphragm_hold(craft, runs, runs.area_rate, gravity=gravity)
    taut = (runs.diaphragm_stiffness > 0.0) & (hold > 0.0)
    turn = np.where(taut, 0.0, _free_turn(craft, section, runs, gravity))
    if np.any(np.isnan(turn)):
        raise SolveError("segments at rest in hover", float(np.isnan(turn).sum()), "Check loop and over-pressure.")
    out, up = turned_point(section.tip, turn)
    at_rest = {
        "tip_out": out,
        "tip_down": -up,
        "moment": weight_moment_at(section, turn),
        "stiffness": section_stiffness_at(section, turn, p * (1.0 + runs.over_pressure), gravity=gravity),
        "area_rate": area_rate(section, turn),
        "diaphragm_stiffness": np.where(taut, runs.diaphragm_stiffness, 0.0),
    }
    shape = runs.length.shape
    found = {name: frozen_array(np.broadcast_to(value, shape)) for name, value in at_rest.items()}
    return replace(runs, **found), frozen_array(np.broadcast_to(turn, shape))


def _free_turn(craft: HeaveCraft, section: TurningSection, runs: SkirtRuns, gravity: float) -> Floats:
    """Return where segments without diaphragm rest [rad]; a lip's pull acts at the turned tip, so again and again."""
    pull, out = lip_pull(runs)[0], runs.tip_out
    for _ in range(_LIP_ROUNDS if np.any(runs.lip_strength > 0.0) else 1):
        turn = rest_turn(section, craft.pressure[..., None], runs.over_pressure, lip_moment=out * pull, gravity=gravity)
        out = turned_point(section.tip, turn)[0]
    return turn


def _tip_flow(craft: HeaveCraft, section: TurningSection, face_angle: npt.ArrayLike) -> Floats:
    length = np.hypot(*np.moveaxis(section.joint - section.tip, -1, 0))
    return tip_flow_inertia(craft.density[..., None], length, foot_of(section.tip, section.joint), face_angle)


def states(
    craft: HeaveCraft,
    runs: SkirtRuns,
    *,
    gap: npt.ArrayLike,
    flow: npt.ArrayLike | None = None,
    mouth_area: npt.ArrayLike | None = None,
    flow_share: npt.ArrayLike = BOUNCE_DEFAULTS["flow_share"].value,
) -> tuple[HeaveCraft, SkirtRuns]:
    """Return one craft at many gaps and lift flows, same weight and cloth.

    Parameters
    ----------
    craft, runs : HeaveCraft, SkirtRuns
        () and (n,): one state.
    gap : (...) [m]
        Under all runs.
    flow : (...) [m3/s], optional
        All lift air; what does not go under the tips leaves through openings that do not change with the gap. Without
        it, those openings stay as they are. nan where the gap alone asks for more.
    mouth_area : (...) [m2], optional
        Effective area from loop to cushion; without it the over-pressure stays as it is.

    Notes
    -----
    At the same weight a section's stiffness goes with the loop's pressure, and a free segment's A' follows the
    over-pressure (`rest_area_rate`); the small turn that goes with it is left out.
    """
    where = np.broadcast_arrays(*(np.asarray(v, dtype=np.float64) for v in (gap, 0.0 if flow is None else flow)))
    shape = where[0].shape
    n = runs.length.shape[-1]
    many = SkirtRuns(**{name: np.broadcast_to(value, (*shape, n)) for name, value in vars(runs).items()})
    many = replace(many, gap=frozen_array(np.broadcast_to(where[0][..., None], (*shape, n))))
    one = HeaveCraft(**{name: np.broadcast_to(value, shape) for name, value in vars(craft).items()})
    under = run_flow(one, many)[0].sum(axis=-1)
    speed = jet_speed_of(one)
    whole = under + one.leak_area * speed if flow is None else where[1]
    leak = (whole - under) / speed
    if flow is not None:
        leak = np.where(leak < -1e-12, np.nan, np.maximum(leak, 0.0))
    one = replace(one, leak_area=frozen_array(leak))
    if mouth_area is not None:
        eps = over_pressure_of(one, whole, mouth_area, flow_share=flow_share)[..., None]
        many = with_over_pressure(many, np.broadcast_to(eps, (*shape, n)))
    return one, many


def with_over_pressure(runs: SkirtRuns, over_pressure: Floats) -> SkirtRuns:
    """Return the runs at rest with another over-pressure in the loop (..., n); see `states`."""
    pull = runs.tip_out * lip_pull(runs)[0]
    load = runs.area_rate * (1.0 + runs.over_pressure) + runs.over_pressure * runs.lever - pull
    rate = rest_area_rate(1.0, runs.lever, load, over_pressure, lip_moment=pull, gravity=1.0)
    return replace(
        runs,
        over_pressure=frozen_array(over_pressure),
        stiffness=frozen_array(runs.stiffness * (1.0 + over_pressure) / (1.0 + runs.over_pressure)),
        area_rate=frozen_array(np.where(runs.diaphragm_stiffness > 0.0, runs.area_rate, rate)),
    )
