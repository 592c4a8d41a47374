"""What water does to each load: hump, thrust to spare, speed, hollow, and the bow under way.

Not part of the flow: half a second for a design, so it is computed when somebody asks.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import Assumption
from skirtloft.physics.attitude.restoring import RestoringCurve
from skirtloft.physics.attitude.tip_line import extent
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.turning import taut_limits
from skirtloft.physics.water.drag import (
    DRAG_FACTORS,
    LEVELS,
    Drag,
    Level,
    Thrust,
    UnderWay,
    drag,
    edited_factors,
    thrust_of_disc,
    thrust_through,
)
from skirtloft.physics.water.over_hump import LEAST_HUMP_FROUDE, OverHump, over_hump_levels
from skirtloft.physics.water.plough import BowHold, Heights, bow_down_offset, bow_hold, planing_lift, tuck_speed
from skirtloft.physics.water.wave_drag import FRESH_WATER, SEA_WATER, breaking_speed, hollow_depth
from skirtloft.pipeline import Skirt
from skirtloft.sits.sits import LoadSits, Sits, sits_of
from skirtloft.sits.tips import centre_height

ABOVE_EDGE = 0.6  # m of people and screen above the hull edge, where no frontal area is told; chosen
WET_TIP = 0.1  # of the depth: how much of a bow segment stands in the water for `tuck`; chosen
BEYOND = 1.5  # times the speed of the hump: fast, where no top speed is known
SPEEDS = 80  # points of the drag curve
ThrustState = Literal["under thrust", "with the thrust cut"]
STATES: tuple[ThrustState, ...] = ("under thrust", "with the thrust cut")


@dataclass(frozen=True, eq=False)
class LoadOnWater:
    """One load under way on calm, deep water.

    Parameters
    ----------
    name : str
    craft : UnderWay
    heights : Heights
    hollow : float [m]  pressed into the water at rest
    curves : Drag by level of the factors, (SPEEDS,) each
    push : (SPEEDS,) [N]  thrust at those speeds; nan without a thrust in the file or off its curve
    levels : OverHump by level; without a thrust that of no thrust: hump and drag there count, the rest does not
    fast : float [m/s]  top speed where known, else 1.5 times that of the hump
    bow : BowHold by thrust state, (2,): at the hump and fast
    planing : (2,) [N]  lift of the bow planing surface, touching at those speeds; nan outside the formula
    tuck : float [m/s]  at which water pulls bow tips under that are a tenth of their depth in it
    """

    name: str
    craft: UnderWay
    heights: Heights
    hollow: float
    curves: Mapping[Level, Drag]
    push: Floats
    levels: Mapping[Level, OverHump]
    fast: float
    bow: Mapping[ThrustState, BowHold]
    planing: Floats
    tuck: float


@dataclass(frozen=True, eq=False)
class OnWater:
    """What water does to each load, in the order of the file.

    Parameters
    ----------
    loads : tuple of LoadOnWater
    factors : tuple of Assumption  of the drag, those of the file in place of the program's
    has_thrust : bool  the file tells a thrust
    frontal_given : bool  the file tells the frontal area
    """

    loads: tuple[LoadOnWater, ...]
    factors: tuple[Assumption, ...]
    has_thrust: bool
    frontal_given: bool


def on_water(skirt: Skirt, sits: Sits | None = None, load: str | None = None) -> OnWater:
    """Return what water does to each load.

    Parameters
    ----------
    skirt : Skirt
        Pieces are not needed.
    sits : Sits, optional
        From `sits_of` for the same skirt, where it is there already.
    load : str, optional
        Only this load of the file.

    Raises
    ------
    DesignError
        There is no such load.
    """
    way = skirt.design.under_way
    named = {name: getattr(way, name) for name in ("wave", "air", "momentum", "skirt_friction", "wet_band")}
    factors = edited_factors({name: band for name, band in named.items() if band is not None}, DRAG_FACTORS)
    known = sits if sits is not None else sits_of(skirt, load)
    chosen = [entry for entry in known.loads if load is None or entry.name == load]
    thrust = thrust_of(skirt)
    loads = tuple(_load_on_water(skirt, entry, thrust, factors) for entry in chosen)
    return OnWater(loads, factors, thrust is not None, way.frontal_area is not None)


def thrust_of(skirt: Skirt) -> Thrust | None:
    """Return the thrust [N] over speed [m/s] that the file tells; None without."""
    way = skirt.design.under_way
    if way.thrust:
        return thrust_through([point.speed for point in way.thrust], [point.thrust for point in way.thrust])
    if way.static_thrust is None or way.disc is None:
        return None
    return thrust_of_disc(way.static_thrust, math.pi / 4.0 * way.disc**2, skirt.air.density)


def thrust_scaled(skirt: Skirt, standing: float) -> Thrust | None:
    """Return the thrust as if it were `standing` [N] standing still, points all by the same share; None without."""
    way = skirt.design.under_way
    if not standing > 0.0:
        return np.zeros_like
    if way.thrust:
        share = standing / way.thrust[0].thrust
        return thrust_through([point.speed for point in way.thrust], [point.thrust * share for point in way.thrust])
    if way.disc is None:
        return None
    return thrust_of_disc(standing, math.pi / 4.0 * way.disc**2, skirt.air.density)


def craft_under_way(skirt: Skirt, sits: LoadSits) -> UnderWay:
    """Return what of a load the drag asks for."""
    air, match, way = skirt.air, skirt.air.match, skirt.design.under_way
    state = air.need if match is None or not sits.flies else match.at_speed.air
    return UnderWay(
        mass=sits.mass,
        length=extent(sits.line, (1.0, 0.0)),
        area=skirt.plan.tip_area,
        perimeter=skirt.plan.tip_perimeter,
        flow=float(state.lift_flow[sits.index]),
        frontal_area=_frontal(skirt)[0],
        air_density=air.density,
        water_density=SEA_WATER if way.water == "salt" else FRESH_WATER,
    )


def heights_of(skirt: Skirt, load: int) -> Heights:
    """Return the heights above the tips [m], which stand at the water."""
    way, clearance = skirt.design.under_way, skirt.design.hull.clearance
    intake = way.thrust_height if way.intake_height is None else way.intake_height
    return Heights(
        centre=centre_height(skirt, load),
        thrust=clearance + way.thrust_height,
        air=_frontal(skirt)[1],
        intake=clearance + intake,
    )


def _frontal(skirt: Skirt) -> tuple[float, float]:
    """Return the frontal area [m2] and the height of its middle above the tips [m]."""
    way, clearance = skirt.design.under_way, skirt.design.hull.clearance
    tall = float(skirt.hull.hull_edge[:, 2].max()) + ABOVE_EDGE
    wide = 2.0 * float(skirt.hull.hull_edge[:, 1].max())
    area = tall * wide if way.frontal_area is None else way.frontal_area
    return area, tall / 2.0 if way.frontal_height is None else clearance + way.frontal_height


def _load_on_water(skirt: Skirt, sits: LoadSits, thrust: Thrust | None, factors: tuple[Assumption, ...]) -> LoadOnWater:
    craft, heights = craft_under_way(skirt, sits), heights_of(skirt, sits.index)
    push: Thrust = (lambda speed: np.zeros_like(speed)) if thrust is None else thrust
    levels = over_hump_levels(craft, push, factors)
    hump, fast = levels["best"].hump_speed, fast_of(levels["best"])
    most = max((found.top_speed for found in levels.values() if math.isfinite(found.top_speed)), default=fast)
    # where waves stand: slower they break, and linear theory says too much
    slowest = max(LEAST_HUMP_FROUDE * math.sqrt(GRAVITY * craft.length), float(breaking_speed(craft.pressure)))
    speeds = np.linspace(min(slowest, hump), max(1.1 * most, 1.8 * hump), SPEEDS)
    return LoadOnWater(
        name=sits.name,
        craft=craft,
        heights=heights,
        hollow=float(hollow_depth(craft.pressure, craft.water_density)),
        curves={level: drag(craft, speeds, level, factors) for level in LEVELS},
        push=frozen_array(np.full(SPEEDS, np.nan) if thrust is None else thrust(speeds)),
        levels=levels,
        fast=fast,
        bow=bow_holds(
            sits.curves["bow"]["likely"],
            float(sits.offset[0]),
            float(skirt.hull.slope[0]),
            craft,
            heights,
            (np.array([hump, fast]), thrust, factors),
        ),
        planing=_planing(skirt, sits, craft, np.array([hump, fast])),
        tuck=tuck_of(skirt.statics, craft),
    )


def fast_of(best: OverHump) -> float:
    """Return the top speed where it is known, else 1.5 times that of the hump [m/s]."""
    return best.top_speed if math.isfinite(best.top_speed) else BEYOND * best.hump_speed


def bow_holds(
    curve: RestoringCurve,
    ahead: float,
    slope: float,
    craft: UnderWay,
    heights: Heights,
    at: tuple[Floats, Thrust | None, tuple[Assumption, ...]],
) -> dict[ThrustState, BowHold]:
    """Return the hold on the bow; without a thrust told, under one that just keeps the speed.

    Parameters
    ----------
    curve : RestoringCurve
        Towards the bow.
    ahead : float [m]
        Centre of gravity ahead of the area's centre.
    slope : float [rad]
        Of the bow planing surface.
    craft, heights : UnderWay, Heights
    at : (k,) [m/s], thrust or None, factors of the drag
    """
    speeds, thrust, factors = at
    drags = drag(craft, speeds, "best", factors)
    pushed = drags.total if thrust is None else thrust(speeds)
    pushed = np.where(np.isnan(pushed), drags.total, pushed)
    return {
        state: bow_hold(curve, ahead, bow_down_offset(craft.mass, heights, drags, force), slope)
        for state, force in zip(STATES, (pushed, np.zeros_like(pushed)), strict=True)
    }


def _planing(skirt: Skirt, sits: LoadSits, craft: UnderWay, speeds: Floats) -> Floats:
    """Return the lift of the bow planing surface at its limit, wetted over its whole width in the section."""
    hull, curve = skirt.hull, sits.curves["bow"]["likely"]
    run = [i for i, name in enumerate(hull.runs) if name == hull.runs[0]]
    wide = 2.0 * float(hull.inner[run, 1].max())
    angle = float(hull.slope[0]) - curve.limit_angle
    return frozen_array(planing_lift(speeds, max(wide, 1e-3), float(hull.width[0]), angle, craft.water_density))


def tuck_of(statics: SectionStatics, craft: UnderWay) -> float:
    """Return the speed at which water pulls under the tips of the bow section, a tenth of their depth wet [m/s]."""
    held = float(taut_limits(statics).held_moment[0, 0])
    sink, drop = WET_TIP * float(statics.shape.depth[0]), float(statics.shape.inner[0, 1])
    return float(tuck_speed(held, sink, drop, water_density=craft.water_density))
