"""How a skirt rides: heave with the segments held, bounce with them free, margins, cure and what moves them most.

Computed only when it is asked for: `pipeline.build` knows nothing of it.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.at_rest import with_over_pressure
from skirtloft.physics.bounce.cure import diaphragm_cure
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.heave_system import heave_system, knocked
from skirtloft.physics.bounce.hover import hover_flow, over_pressure_of
from skirtloft.physics.bounce.outcome import outcome_of
from skirtloft.physics.bounce.rigid import least_gap_of, locked_modes
from skirtloft.physics.bounce.sensitivities import bounce_sensitivities
from skirtloft.physics.bounce.threshold import BounceMargins, bounce_margins, craft_loss_needed, margin_of_loss
from skirtloft.physics.bounce.time_run import Progress, run_in_time
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from skirtloft.physics.diaphragm_fixing import find_attachment
from skirtloft.pipeline import Skirt
from skirtloft.rides.cushion_air import has_feed_holes
from skirtloft.rides.hover import hover_of, rest_with
from skirtloft.rides.maps import MOST_OVER_PRESSURE
from skirtloft.rides.types import ClosedLoop, Cure, Fan, Hover, Knock, LoadRide, Rides

MOUTHS = np.geomspace(0.005, 2.0, 60)  # of the mouth there is: looked at for the least that keeps her quiet
MARGINS_LOOKED_AT = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35)  # of a diaphragm
DROP, DURATION = 0.010, 3.0  # m, s: of a time run where nothing else is asked; our own choice


def rides_of(skirt: Skirt, load: int = 0) -> Rides:
    """Return how a skirt rides under one of its loads, and in short under the others.

    Parameters
    ----------
    skirt : Skirt
    load : int
        Place of the load in the file.

    Raises
    ------
    SolveError
        Where a segment comes to rest nowhere in hover.
    """
    hover = hover_of(skirt, load)
    margins = bounce_margins(hover.craft, hover.runs)
    others = {k: hover if k == load else hover_of(skirt, k) for k in range(len(skirt.cushions))}
    names = [cushion.name for cushion in skirt.cushions]
    return Rides(
        hover=hover,
        held=locked_modes(hover.craft, hover.runs),
        free=free_modes(hover.craft, hover.runs),
        least_gap=float(least_gap_of(hover.craft)),
        margins=margins,
        sensitivities=bounce_sensitivities(
            hover.craft,
            hover.runs,
            cloth_inertia=hover.cloth_inertia,
            mouth_area=hover.mouth.area,
            flow_share=hover.flow_share,
        ),
        least_mouth=least_mouth(hover),
        closed_loop=_closed_loop(skirt, hover) if has_feed_holes(skirt) else None,
        cure=diaphragms(skirt, hover),
        loads=tuple(_in_short(names[k], one, margins if k == load else None) for k, one in others.items()),
    )


def least_mouth(hover: Hover) -> float:
    """Return the effective area [m2] from loop to cushion below which she bounces; 0: at none that was looked at.

    Notes
    -----
    The largest of 60 areas at which the free skirt grows, then 32 steps up to the next. The loss is each run's own.
    Areas at which the loop would stand more than half above the cushion are not looked at.
    """

    def grows(areas: Floats) -> Floats:
        eps = over_pressure_of(hover.craft, hover_flow(hover.craft, hover.runs), areas, flow_share=hover.flow_share)
        shape = (*areas.shape, hover.runs.length.size)
        many = SkirtRuns(**{name: np.broadcast_to(value, shape) for name, value in vars(hover.runs).items()})
        many = with_over_pressure(many, np.broadcast_to(eps[..., None], shape))
        one = HeaveCraft(**{name: np.broadcast_to(value, areas.shape) for name, value in vars(hover.craft).items()})
        return np.asarray(free_modes(one, many).growth >= 0.0)

    areas = hover.mouth.area * np.maximum(MOUTHS, math.sqrt(hover.over_pressure / MOST_OVER_PRESSURE))
    bad = np.flatnonzero(grows(areas))
    if not bad.size:
        return 0.0
    if bad[-1] == len(areas) - 1:
        return math.inf
    low, high = areas[bad[-1]], areas[bad[-1] + 1]
    fine = np.linspace(low, high, 33)
    worst = np.flatnonzero(grows(fine))
    return float(fine[min(int(worst[-1]) + 1, 32)])


def _closed_loop(skirt: Skirt, hover: Hover) -> ClosedLoop:
    """Return what follows where the file's feed holes are all that lets the air out of the loop."""
    pressure, flow = float(hover.craft.pressure), float(hover_flow(hover.craft, hover.runs))
    feed = sum(
        float(loss.factor) * (float(loss.share) / float(loss.area)) ** 2
        for loss in skirt.air.system.losses
        if loss.place == "feed"
    )
    over = feed * skirt.air.density / 2.0 * flow**2 / pressure
    try:
        runs = rest_with(hover, over)
    except SolveError:
        return ClosedLoop(over, math.nan)
    return ClosedLoop(over, _margin(hover.craft, runs)[0])


def _margin(craft: HeaveCraft, runs: SkirtRuns) -> tuple[float, float]:
    needed = craft_loss_needed(craft, runs)
    return float(margin_of_loss(runs.loss_factor.min(axis=-1), needed)), float(needed)


def _in_short(name: str, hover: Hover, known: BounceMargins | None) -> LoadRide:
    if known is None:
        margin, needed = _margin(hover.craft, hover.runs)
    else:
        margin, needed = float(known.craft_margin), float(known.craft_needed)
    return LoadRide(
        name=name,
        gap=hover.point.gap,
        least_gap=float(least_gap_of(hover.craft)),
        over_pressure=hover.over_pressure,
        margin=margin,
        needed=needed,
        free_growth=float(free_modes(hover.craft, hover.runs).growth),
        held_growth=float(locked_modes(hover.craft, hover.runs).growth),
    )


def diaphragms(skirt: Skirt, hover: Hover) -> Cure:
    """Return what diaphragms from the joint to the best place on the hull would do.

    Notes
    -----
    The hull in a section: from E straight to I, then to B, above the clearance.
    """
    there = skirt.service.diaphragm
    if there is not None and there.runs:
        held = hover.runs.diaphragm_stiffness > 0.0
        taut = tuple(name for name, one in zip(hover.names, held.tolist(), strict=True) if one)
        steep = tuple(bool(there.sized.is_steep[skirt.plan.stations.ids.index(name)]) for name in hover.stations)
        return Cure(steep, None, (), is_there=True, taut=taut)
    statics, at = hover.statics, [skirt.plan.stations.ids.index(name) for name in hover.stations]
    hull, inner = skirt.hull, statics.shape.inner
    back = np.column_stack([np.cos(hull.slope[at]), np.sin(hull.slope[at])]) * hull.width[at][:, None]
    line = np.stack([statics.hull_edge, inner, inner - back], axis=-2)
    place = find_attachment(statics.shape.joint, inner, line, skirt.design.hull.clearance)
    missing = tuple(name for name, point in zip(hover.names, place.point, strict=True) if np.isnan(point).any())
    if missing:
        return Cure(tuple(place.is_found.tolist()), None, missing)
    result = diaphragm_cure(
        hover.craft, hover.runs, hover.section, attachment=place.point - inner, margins=MARGINS_LOOKED_AT
    )
    return Cure(tuple(place.is_found.tolist()), result, ())


def knock_of(
    rides: Rides, *, drop: float = DROP, duration: float = DURATION, progress: Progress | None = None
) -> Knock:
    """Return what becomes of the craft let go `drop` [m] too low, nothing linearised.

    Notes
    -----
    The fan is that of the file less its losses; its curve is moved by what rounding leaves so that it goes through the
    point at rest.

    Raises
    ------
    SolveError
        Where the integration breaks down.
    """
    hover = rides.hover
    system = heave_system(hover.craft, hover.runs, hover.section, hover.turn, fan=_fan_through_rest(hover))
    motion = run_in_time(system, knocked(system, drop), duration, samples=800, progress=progress, tolerance=1e-5)
    return Knock(drop, motion, outcome_of(motion, system))


def _fan_through_rest(hover: Hover) -> Fan | None:
    fan, rest = hover.point.fan, float(hover_flow(hover.craft, hover.runs))
    if fan is None:
        return None
    off = float(hover.craft.pressure) - fan(rest)
    return lambda flow: fan(flow) + off


def with_loss(rides: Rides, loss_factor: float) -> tuple[float, Floats]:
    """Return the bounce margin of the craft and of its sections (n,) with another loss factor in all the cloth."""
    margins = rides.margins
    own = replace(rides.hover.runs, loss_factor=frozen_array(np.full_like(rides.hover.runs.length, loss_factor)))
    return (
        float(margin_of_loss(loss_factor, margins.craft_needed)),
        np.asarray(margin_of_loss(own.loss_factor, margins.needed)),
    )
