"""Craft and skirt at rest in hover: records from plain numbers, the air they let out, and its slopes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY, SEA_LEVEL_PRESSURE
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns
from skirtloft.physics.escape import rough_opening


def heave_craft(
    *,
    mass: npt.ArrayLike,
    area: npt.ArrayLike,
    density: npt.ArrayLike,
    volume: npt.ArrayLike,
    steepness: npt.ArrayLike,
    inertance: npt.ArrayLike = 0.0,
    leak_area: npt.ArrayLike = 0.0,
    pressure: npt.ArrayLike | None = None,
    atmosphere: npt.ArrayLike = SEA_LEVEL_PRESSURE,
) -> HeaveCraft:
    """Return the record of a craft in hover; arguments as `HeaveCraft`, `pressure` m g/S if not given.

    Raises
    ------
    ValueError
        Where a mass, area, density or volume is not positive: nothing can be said of such a craft.
    """
    m, s = np.asarray(mass, dtype=np.float64), np.asarray(area, dtype=np.float64)
    for name, value in (("mass", m), ("area", s), ("density", density), ("volume", volume)):
        if not np.all(np.asarray(value) > 0.0):
            raise ValueError(f"{name} must be positive")
    p = m * GRAVITY / s if pressure is None else pressure
    return HeaveCraft(
        *(frozen_array(v) for v in (m, s, p, density, atmosphere, volume, steepness, inertance, leak_area))
    )


def skirt_runs(
    *,
    length: npt.ArrayLike,
    gap: npt.ArrayLike,
    contraction: npt.ArrayLike,
    tip_out: npt.ArrayLike,
    tip_down: npt.ArrayLike,
    lever: npt.ArrayLike,
    moment: npt.ArrayLike,
    inertia: npt.ArrayLike,
    stiffness: npt.ArrayLike,
    area_rate: npt.ArrayLike,
    tip_flow: npt.ArrayLike,
    over_pressure: npt.ArrayLike,
    loss_factor: npt.ArrayLike = BOUNCE_DEFAULTS["loss_factor"].value,
    roughness: npt.ArrayLike = 0.0,
    diaphragm_stiffness: npt.ArrayLike = 0.0,
    lip_strength: npt.ArrayLike = BOUNCE_DEFAULTS["lip_strength"].value,
    lip_length: npt.ArrayLike = BOUNCE_DEFAULTS["lip_length"].value,
) -> SkirtRuns:
    """Return the record of runs given as plain numbers, made one shape; one number counts as one run."""
    given = {
        "length": length,
        "gap": gap,
        "contraction": contraction,
        "roughness": roughness,
        "tip_out": tip_out,
        "tip_down": tip_down,
        "lever": lever,
        "moment": moment,
        "inertia": inertia,
        "stiffness": stiffness,
        "area_rate": area_rate,
        "diaphragm_stiffness": diaphragm_stiffness,
        "tip_flow": tip_flow,
        "over_pressure": over_pressure,
        "lip_strength": lip_strength,
        "lip_length": lip_length,
        "loss_factor": loss_factor,
    }
    arrays = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in given.values()))
    return SkirtRuns(**{name: frozen_array(v) for name, v in zip(given, arrays, strict=True)})


def each_alone(craft: HeaveCraft, runs: SkirtRuns) -> tuple[HeaveCraft, SkirtRuns]:
    """Return n craft (..., n), each with one run's section all the way round: what that section would do by itself."""
    whole = np.broadcast_to(runs.length.sum(axis=-1, keepdims=True), runs.length.shape)
    one = {name: frozen_array(value[..., None]) for name, value in vars(replace(runs, length=whole)).items()}
    return HeaveCraft(**{name: frozen_array(v[..., None]) for name, v in vars(craft).items()}), SkirtRuns(**one)


def compliance(craft: HeaveCraft) -> Floats:
    """Return C = V/(gamma (pa + p0)) (...) [m3/Pa]: how much air the cushion stores per pressure, adiabatic."""
    return np.asarray(craft.volume / (BOUNCE_DEFAULTS["gamma"].value * (craft.atmosphere + craft.pressure)))


def jet_speed_of(craft: HeaveCraft) -> Floats:
    """Return v = sqrt(2 p0/rho) (...) [m/s]."""
    return np.asarray(np.sqrt(2.0 * craft.pressure / craft.density))


def tip_opening(gap: npt.ArrayLike, roughness: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return the daylight under a tip [m] and its slope with the gap [-].

    Parameters
    ----------
    gap, roughness : (...) [m]

    Notes
    -----
    Smooth ground: w ln(1 + exp(h/w)), w the closing width of 0.3 mm: real tips do not seal at once. Rough ground: the
    mean of max(0, h - ground) for normally distributed ground, h Phi(h/s) + s phi(h/s). Ground finer than the closing
    width counts as smooth.

    Examples
    --------
    >>> opening, slope = tip_opening([0.010, 0.0], 0.0)
    >>> opening.round(6).tolist(), slope.round(3).tolist()
    ([0.01, 0.000208], [1.0, 0.5])
    """
    h, rough = np.broadcast_arrays(np.asarray(gap, dtype=np.float64), np.asarray(roughness, dtype=np.float64))
    width = BOUNCE_DEFAULTS["closing_width"].value
    smooth = width * np.logaddexp(0.0, h / width)
    slope = 0.5 * (1.0 + np.tanh(0.5 * h / width))
    if not np.any(rough > width):
        return smooth, np.asarray(slope)
    opening, share = rough_opening(h, rough)
    return np.where(rough > width, opening, smooth), np.where(rough > width, share, slope)


def run_flow(craft: HeaveCraft, runs: SkirtRuns) -> tuple[Floats, Floats]:
    """Return the flow under each run's tips (..., n) [m3/s] and its growth with the gap, H (..., n) [m2/s].

    Notes
    -----
    Q = Cc P heff v, H = Cc P v dheff/dh.
    """
    opening, slope = tip_opening(runs.gap, runs.roughness)
    per_opening = runs.contraction * runs.length * jet_speed_of(craft)[..., None]
    return np.asarray(per_opening * opening), np.asarray(per_opening * slope)


def hover_flow(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return Q0 (...) [m3/s]: under all tips and through what does not change with the gap."""
    return np.asarray(run_flow(craft, runs)[0].sum(axis=-1) + craft.leak_area * jet_speed_of(craft))


def over_pressure_of(
    craft: HeaveCraft,
    flow: npt.ArrayLike,
    mouth_area: npt.ArrayLike,
    *,
    flow_share: npt.ArrayLike = BOUNCE_DEFAULTS["flow_share"].value,
) -> Floats:
    """Return eps (...) = (p_loop - p)/p, from the lift air that passes from the loop into the cushion.

    Parameters
    ----------
    flow : (...) [m3/s]
        All lift air.
    mouth_area : (...) [m2]
        Effective area (discharge times area) of the way from loop to cushion: the open lower side of the loop, less
        what webs, folds and a diaphragm block.
    flow_share : (...) [-]
        Of the lift air that takes this way.

    Notes
    -----
    eps = (f Q0/(B v))^2, v the jet speed: the whole dynamic head in the mouth is lost.

    References
    ----------
    Derived.
    """
    head = np.asarray(flow_share) * np.asarray(flow) / (np.asarray(mouth_area) * jet_speed_of(craft))
    return np.asarray(head**2)


def lip_pull(runs: SkirtRuns) -> tuple[Floats, Floats]:
    """Return the pull down on the tips over the pressure, Fs (..., n) [m], and its slope with the gap [-].

    Notes
    -----
    Fs = ks l x exp(1 - x), x = h/l: none at a shut tip, most at h = l. A shape of our own, not measured.
    """
    x = runs.gap / runs.lip_length
    fade = np.exp(1.0 - x)
    return np.asarray(runs.lip_strength * runs.lip_length * x * fade), np.asarray(runs.lip_strength * fade * (1.0 - x))


def rest_area_rate(
    pressure: npt.ArrayLike,
    lever: npt.ArrayLike,
    moment: npt.ArrayLike,
    over_pressure: npt.ArrayLike = 0.0,
    *,
    lip_moment: npt.ArrayLike = 0.0,
    gravity: float = GRAVITY,
) -> Floats:
    """Return A' (...) [m2/rad] of a segment at rest without diaphragm.

    Parameters
    ----------
    pressure, lever, moment, over_pressure : [Pa], [m2], [kg m/m], [-]
    lip_moment : [m2]
        Suction at the lip over the pressure times the tip's reach.

    Notes
    -----
    p A' + Delta (A' + lever) - m_x g - lip moment p = 0, Delta = eps p.
    """
    p = np.asarray(pressure, dtype=np.float64)
    over = np.asarray(over_pressure, dtype=np.float64)
    rest = np.asarray(moment) * gravity / p + np.asarray(lip_moment) - over * np.asarray(lever)
    return np.asarray(rest / (1.0 + over))


def diaphragm_hold(craft: HeaveCraft, runs: SkirtRuns, loop_lift: npt.ArrayLike, *, gravity: float = GRAVITY) -> Floats:
    """Return the moment a diaphragm carries at rest (..., n) [N m/m]; not positive: it is slack.

    Parameters
    ----------
    loop_lift : (..., n) [m2]
        A' of the loop as cut, beyond the face's pull: lever times the weightless margin of the loop.

    Notes
    -----
    M0 = p A' + Delta (A' + lever) - m_x g - p l Fs.
    """
    p, lift = craft.pressure[..., None], np.asarray(loop_lift, dtype=np.float64)
    over = p * runs.over_pressure * (lift + runs.lever)
    return np.asarray(p * (lift - runs.tip_out * lip_pull(runs)[0]) + over - runs.moment * gravity)


def with_diaphragm(
    craft: HeaveCraft,
    runs: SkirtRuns,
    loop_lift: npt.ArrayLike,
    diaphragm_stiffness: npt.ArrayLike,
    *,
    gravity: float = GRAVITY,
) -> SkirtRuns:
    """Return the runs with a diaphragm; where it would be slack, as they were.

    Parameters
    ----------
    loop_lift : (..., n) [m2]
        As in `diaphragm_hold`.
    diaphragm_stiffness : (..., n) [N m/rad/m]
    """
    taut = diaphragm_hold(craft, runs, loop_lift, gravity=gravity) > 0.0
    rate = np.where(taut, loop_lift, runs.area_rate)
    added = np.where(taut, diaphragm_stiffness, runs.diaphragm_stiffness)
    return replace(runs, area_rate=frozen_array(rate), diaphragm_stiffness=frozen_array(added))
