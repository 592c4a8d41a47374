"""What gives first when mass is added or segments are lost, and how small a craft the fan can carry."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.cubics import cubic_values
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.air_types import Ints, LiftSystem, frozen_ints
from skirtloft.physics.escape import ORIFICE_DISCHARGE, leak, leak_area, opening_area
from skirtloft.physics.fan import Fan, fan_pressure, fan_scales, highest_pressure, stall_flow
from skirtloft.physics.lift_path import load_pressure, path_of
from skirtloft.physics.operating import gap_at_speed, mass_at_gap, speed_for_gap

OPEN_SHARE = 0.8  # of a lost segment's opening that its neighbours leave open; our own choice, editable
LEAST_GAP = 0.003  # m: below, tips drag on a good floor; our own choice, editable
_CLOSED = 10.0  # m: so far below the ground any gap is shut
_LOOKS = 64  # places on each piece of the fan's curve at which the carried pressure is looked at


def carried_pressure(
    fan: Fan, system: LiftSystem, fan_flow: npt.ArrayLike, speed: npt.ArrayLike
) -> tuple[Floats, Floats]:
    """Return the cushion pressure [Pa] the fan holds up at a flow [m3/s], and the flow [m3/s] left for the gap.

    Notes
    -----
    Inwards from the fan: p_loop = p_fan - R_intake Q_fan^2 - R_supply Q_lift^2, p = p_loop - R_feed Q_cushion^2. Both
    are nan off the curve and where nothing arrives.
    """
    path, flow = path_of(system), np.asarray(fan_flow, dtype=np.float64)
    lift_flow = system.lift_share * flow
    loop = fan_pressure(fan, flow, speed, system.density) - path.intake * flow**2 - path.supply * lift_flow**2
    with np.errstate(invalid="ignore"):
        cushion_flow = lift_flow - path.loop_leak * np.sqrt(loop)
        pressure = loop - path.feed * cushion_flow**2
        return pressure, cushion_flow - path.cushion_leak * np.sqrt(pressure)


@dataclass(frozen=True, eq=False)
class MassLimits:
    """Largest masses, (k, ...) [kg]; inf where a limit does not apply.

    Parameters
    ----------
    names : ("gap", "stall", "fan", "engine", "tips")
        Wanted gap at this speed; point on the stalled side; no pressure left at any gap; engine power at the wanted
        gap; tip speed at the wanted gap.
    mass : (k, ...) [kg]
    extra : (k, ...) [kg]  over the load
    first : (...) int  place in `names` of the one that gives first
    """

    names: tuple[str, ...]
    mass: Floats
    extra: Floats
    first: Ints


def mass_limits(
    fan: Fan,
    system: LiftSystem,
    mass: npt.ArrayLike,
    gap: npt.ArrayLike,
    speed: npt.ArrayLike,
    *,
    engine_power: npt.ArrayLike = np.inf,
    most_tip_speed: npt.ArrayLike = np.inf,
) -> MassLimits:
    """Return the mass at which each limit of the lift air is reached.

    Parameters
    ----------
    mass : (...) [kg]
    gap : (...) [m]
        The least gap one is content with.
    speed : (...) [rad/s]
    engine_power : (...) [W]
        Installed for lift, into belt or gearbox.
    most_tip_speed : (...) [m/s]

    Notes
    -----
    At a given gap p grows with m, speed with m^(1/2), power with m^(3/2), all at the same point of the fan's curve.
    """
    load = np.asarray(mass, dtype=np.float64)
    wanted = mass_at_gap(fan, system, gap, speed)
    needed = speed_for_gap(fan, system, mass, gap)
    q = fan_scales(fan, speed, system.density)[0]
    stall = stall_flow(fan)
    at_stall = carried_pressure(fan, system, q * stall, speed)[0] * system.area / GRAVITY
    limits = (
        wanted.mass,
        np.where(stall > 0.0, at_stall, np.inf),
        highest_mass(fan, system, speed),
        load * (np.asarray(engine_power) / needed.engine_power) ** (2.0 / 3.0),
        load * (np.asarray(most_tip_speed) / needed.tip_speed) ** 2,
    )
    table = np.stack(np.broadcast_arrays(*limits, load)[:-1])
    order = np.where(np.isnan(table), -np.inf, table)
    return MassLimits(
        ("gap", "stall", "fan", "engine", "tips"),
        frozen_array(table),
        frozen_array(table - load),
        frozen_ints(np.argmin(order, axis=0)),
    )


def highest_mass(fan: Fan, system: LiftSystem, speed: npt.ArrayLike) -> Floats:
    """Return the mass (...) [kg] above which the fan cannot hold the cushion at any gap at a speed (...) [rad/s].

    Notes
    -----
    The highest carried pressure: at a closed gap, where all air leaks, or at a peak, for which 64 places on each piece
    of the curve are looked at (at a flat top that is exact to about 1e-4).
    """
    knots = fan.pressure.knots
    share = np.arange(_LOOKS) / _LOOKS
    inner = (knots[..., :-1, None] + np.diff(knots)[..., None] * share).reshape(*knots.shape[:-1], -1)
    tested = np.moveaxis(np.concatenate([inner, knots[..., -1:]], axis=-1), -1, 0)
    q = np.asarray(fan_scales(fan, speed, system.density)[0])
    pressure_axes = np.broadcast_shapes(q.shape, np.shape(load_pressure(system, 1.0)), path_of(system).feed.shape)
    flow = q * tested.reshape(len(tested), *(1,) * (len(pressure_axes) - tested.ndim + 1), *tested.shape[1:])
    pressure, left = carried_pressure(fan, system, flow, speed)
    held = np.where(left >= -1e-12 * flow, pressure, np.nan)
    peak = np.where(np.isnan(held), 0.0, held).max(axis=0) * system.area / GRAVITY
    return np.asarray(np.fmax(peak, mass_at_gap(fan, system, -_CLOSED, speed).mass))


@dataclass(frozen=True, eq=False)
class SegmentsLost:
    """Gap with 0, 1, 2 ... segments gone.

    Parameters
    ----------
    gap : (n + 1, ...) [m]  nan where the fan no longer holds the craft up
    may_be_lost : (...) int  most segments with the gap still at least the least gap; -1: not even with all in place
    all_tried : bool array (...)  the largest number tried still flies
    """

    gap: Floats
    may_be_lost: Ints
    all_tried: npt.NDArray[np.bool_]


def segments_lost(
    fan: Fan,
    system: LiftSystem,
    mass: npt.ArrayLike,
    speed: npt.ArrayLike,
    *,
    pitch: float,
    depth: float,
    open_share: float = OPEN_SHARE,
    least_gap: float = LEAST_GAP,
    most: int = 24,
) -> SegmentsLost:
    """Return how many segments may be lost before the gap or the fan gives.

    Parameters
    ----------
    mass : (...) [kg]
    speed : (...) [rad/s]
    pitch, depth : float [m]
        Of a segment.
    open_share : float
        Each lost segment opens pitch times depth to the outside, of which its neighbours, bulging into the hole, leave
        this share open; discharge 0.6. Its feed hole is part of that opening, the cushion's area is not reduced.
    least_gap : float [m]
    most : int
        Largest number tried.
    """
    shape = np.broadcast_shapes(np.shape(mass), np.shape(speed), np.shape(path_of(system).feed), system.area.shape)
    count = np.arange(most + 1.0).reshape(-1, *(1,) * len(shape))
    hole = leak("lost segments", count * pitch * depth * open_share, discharge=ORIFICE_DISCHARGE)
    torn = replace(system, leaks=(*system.leaks, hole))
    gap = gap_at_speed(fan, torn, mass, speed).gap
    with np.errstate(invalid="ignore"):
        flies = gap >= least_gap
    in_a_row = np.logical_and.accumulate(flies, axis=0)
    return SegmentsLost(gap, frozen_ints(in_a_row.sum(axis=0) - 1), in_a_row[-1])


def smallest_scale(
    fan: Fan, system: LiftSystem, mass: npt.ArrayLike, gap: npt.ArrayLike, speed: npt.ArrayLike
) -> Floats:
    """Return the factor (...) on length and beam with which the fan just gives the gap; nan where none does.

    Parameters
    ----------
    mass : (...) [kg]
        Kept.
    gap : (...) [m]
    speed : (...) [rad/s]

    Notes
    -----
    p goes as 1/scale^2, the tip line and the leaks as scale, so the flow through gap and cushion leaks stays the same
    and only the pressure falls as the plan grows. Losses on the way keep their areas. Plans up to 5 times the size
    are tried.
    """
    path, whole = path_of(system), load_pressure(system, mass)
    jet = np.sqrt(2.0 / system.density)
    area = opening_area(system.escape, gap).sum(axis=-1) + leak_area(system.leaks, "cushion")
    cushion_flow = area * jet * np.sqrt(whole)
    q, p, _ = fan_scales(fan, speed, system.density)

    def excess(pressure: Floats) -> Floats:
        loop = pressure + path.feed * cushion_flow**2
        lift_flow = cushion_flow + path.loop_leak * np.sqrt(whole / pressure * loop)
        flow = lift_flow / system.lift_share
        given = p * cubic_values(fan.pressure, flow / q)
        return np.asarray(given - loop - path.supply * lift_flow**2 - path.intake * flow**2)

    low, high, _ = np.broadcast_arrays(0.04 * whole, p * highest_pressure(fan), cushion_flow)
    return np.asarray(np.sqrt(whole / bracketed_roots(excess, low, high)))
