"""Heave and bounce in time, nothing linearised: does a knock die away, or does she settle into a bounce that stays?

The loop's geometry, the fan, the gap that shuts, tips that touch and a diaphragm that goes slack are all in. All
segments of a run move together. Screening only, as everything here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.bounce.free import section_damping
from skirtloft.physics.bounce.hover import hover_flow, jet_speed_of, lip_pull, tip_opening
from skirtloft.physics.bounce.section_motion import TurningSection, area_rate, turn_range, weight_moment_at
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns

Fan = Callable[[float], float]
Progress = Callable[[float], bool]

SEALED = 0.0003  # m: a gap below this counts as shut
_TABLE = 1201  # places between the taut limits; cubic between them
_PIECES = 50  # of the run: progress and cancelling
_LEAST_SPEED = 0.02  # of the jet's speed at rest: below it the flow's growth with the pressure is held
_CONTACT_WIDTH = 0.0001  # m over which the contact sets in: a third of the closing width
_FRICTION_SPEED = 0.01  # m/s over which friction on the ground reverses


@dataclass(frozen=True)
class Ground:
    """What a tip meets: stiffness [N/m2 per metre], loss per closing speed [s/m], friction [-]."""

    stiffness: float = BOUNCE_DEFAULTS["contact_stiffness"].value
    damping: float = BOUNCE_DEFAULTS["contact_damping"].value
    friction: float = BOUNCE_DEFAULTS["ground_friction"].value


@dataclass(frozen=True, eq=False)
class HeaveSystem:
    """One craft with its sections, ready to move; made by `heave_system`."""

    craft: HeaveCraft
    runs: SkirtRuns
    section: TurningSection
    rest: Floats
    hold: Floats
    flow: float
    fan: Fan
    ground: Ground
    lift: Callable[[Floats], Floats]
    gravity: float


@dataclass(frozen=True, eq=False)
class Motion:
    """States in time.

    Parameters
    ----------
    time : (t,) [s]
    heave, speed : (t,) [m], [m/s]  of the craft from rest
    turn, rate : (t, n) [rad], [rad/s]  of the segments from the shape as cut
    gap : (t, n) [m]  negative: the tip is pressed into the ground
    pressure : (t,) [Pa]
    flow : (t,) [m3/s]  of the fan
    finished : bool  False: cancelled before its end
    """

    time: Floats
    heave: Floats
    speed: Floats
    turn: Floats
    rate: Floats
    gap: Floats
    pressure: Floats
    flow: Floats
    finished: bool


def parabolic_fan(craft: HeaveCraft, flow: float) -> Fan:
    """Return p(Q) [Pa] of a fan, less losses, that goes through the point at rest with the craft's steepness.

    Notes
    -----
    p = p0 (1 + tau/2) - (p0 tau/2) (Q/Q0)|Q/Q0|: more pressure where air is driven back.
    """
    p0, tau = float(craft.pressure), float(craft.steepness)
    return lambda q: p0 * (1.0 + tau / 2.0) - p0 * tau / 2.0 * (q / flow) * abs(q / flow)


def heave_system(
    craft: HeaveCraft,
    runs: SkirtRuns,
    section: TurningSection,
    turn: Floats,
    *,
    fan: Fan | None = None,
    ground: Ground | None = None,
    gravity: float = GRAVITY,
) -> HeaveSystem:
    """Return the system of one craft; runs and `turn` from `runs_at_rest`.

    Parameters
    ----------
    craft, runs, section : ()
        One state: (), (n,), (n,).
    turn : (n,) [rad]
    fan : flow [m3/s] -> pressure less losses [Pa], optional
        Must give the cushion's pressure at the flow at rest; `parabolic_fan` without it.

    Raises
    ------
    ValueError
        Where the fan's curve misses the point at rest by more than 0.1 %.
    """
    from scipy.interpolate import CubicSpline

    flow = float(hover_flow(craft, runs))
    curve = parabolic_fan(craft, flow) if fan is None else fan
    if abs(curve(flow) - float(craft.pressure)) > 1e-3 * float(craft.pressure):
        raise ValueError("the fan's curve does not go through the pressure and flow at rest")
    low, high = turn_range(section)
    share = np.linspace(0.0, 1.0, _TABLE)
    tables = []
    for k in range(runs.length.shape[-1]):
        at = low[k] + (high[k] - low[k]) * share
        one = TurningSection(**{name: value[k] for name, value in vars(section).items()})
        tables.append(CubicSpline(at, area_rate(one, at), extrapolate=True))

    def lift(phi: Floats) -> Floats:
        return np.array([table(value) for table, value in zip(tables, phi, strict=True)])

    p = float(craft.pressure)
    weight = gravity * weight_moment_at(section, turn)
    over = p * runs.over_pressure
    hold = (p + over) * lift(turn) + over * runs.lever - weight - p * runs.tip_out * lip_pull(runs)[0]
    hold = np.where(runs.diaphragm_stiffness > 0.0, hold, 0.0)
    return HeaveSystem(
        craft, runs, section, frozen_array(turn), frozen_array(hold), flow, curve, ground or Ground(), lift, gravity
    )


def rates(system: HeaveSystem, state: Floats) -> Floats:
    """Return d/dt of (z, w, phi_1..n, om_1..n, p, Q); z from rest, phi from the shape as cut.

    Notes
    -----
    With x_G, z_G of the tip from I, h = h0 + z + z_G - z_G0, S_x = S + sum P (x_G - x_G0), q flow per metre:

    - m w' + sum P m_x om' = p S_x - p0 S + sum P N
    - m_x w' + I om' = p A' + Delta (A' + lever) - m_x g - c om + N x_G + F_x z - Fs x_G p + g q' - diaphragm
    - V/(gamma (pa + p)) p' = Q - Qe - S_x w - sum P (A' + heff e) om
    - If Q' = p_fan(Q) - p

    N = k w ln(1 + exp(-h/w)) (1 - c h') on the ground; diaphragm max(0, M0 + K_d (phi - phi0)).

    References
    ----------
    Derived.
    """
    craft, runs, n = system.craft, system.runs, system.runs.length.size
    w, phi, om, p, q_fan = state[1], state[2 : 2 + n], state[2 + n : 2 + 2 * n], state[-2], state[-1]
    p0, area = float(craft.pressure), float(craft.area)
    x, z_up = _tip(system, phi)
    x0 = runs.tip_out
    gap = _gap(system, state[0], z_up)
    closing = w + x * om
    sx = area + float((runs.length * (x - x0)).sum())

    opening, slope = tip_opening(gap, runs.roughness)
    least = _LEAST_SPEED * float(jet_speed_of(craft))
    rho = float(craft.density)
    speed = np.sign(p) * np.sqrt(2.0 * abs(p) / rho)
    out = runs.contraction * opening * speed
    lift = system.lift(phi)
    swept = float((runs.length * (lift - opening * z_up) * om).sum())
    escape = float((runs.length * out).sum()) + float(craft.leak_area) * speed
    stored = float(craft.volume) / (BOUNCE_DEFAULTS["gamma"].value * (float(craft.atmosphere) + p))
    p_rate = (q_fan - escape - sx * w - swept) / stored
    flow_rate = runs.contraction * (slope * closing * speed + opening * p_rate / (rho * max(abs(speed), least)))

    ground = system.ground
    push = _push(ground, gap) - _rest_push(system)
    push = np.maximum(push * (1.0 - ground.damping * closing), -_rest_push(system))
    drag = -ground.friction * push * np.tanh(-z_up * om / _FRICTION_SPEED)

    over = p0 * runs.over_pressure * (q_fan / system.flow) * abs(q_fan / system.flow)
    fade = np.maximum(gap, 0.0) / runs.lip_length
    lip = runs.lip_strength * runs.lip_length * fade * np.exp(1.0 - fade) * p
    moment_x = weight_moment_at(system.section, phi)
    held = np.maximum(0.0, system.hold + runs.diaphragm_stiffness * (phi - system.rest))
    held = np.where(runs.diaphragm_stiffness > 0.0, held, 0.0)
    moments = (p + over) * lift + over * runs.lever - moment_x * system.gravity - section_damping(runs) * om
    moments = moments + push * x - drag * z_up - lip * x + runs.tip_flow * flow_rate - held
    force = p * sx - p0 * area + float((runs.length * push).sum())
    share = moment_x / runs.inertia
    w_rate = (force - float((runs.length * share * moments).sum())) / (
        float(craft.mass) - float((runs.length * share * moment_x).sum())
    )
    om_rate = moments / runs.inertia - share * w_rate
    q_rate = (system.fan(q_fan) - p) / float(craft.inertance)
    return np.concatenate([[w, w_rate], om, om_rate, [p_rate, q_rate]])


def _tip(system: HeaveSystem, phi: Floats) -> tuple[Floats, Floats]:
    tip = system.section.tip
    cosine, sine = np.cos(phi), np.sin(phi)
    return tip[..., 0] * cosine - tip[..., 1] * sine, tip[..., 1] * cosine + tip[..., 0] * sine


def _gap(system: HeaveSystem, heave: float, tip_up: Floats) -> Floats:
    return np.asarray(system.runs.gap + heave + tip_up + system.runs.tip_down)


def _rest_push(system: HeaveSystem) -> Floats:
    """Return what the softened contact would push at rest (n,) [N/m]: taken off, so that rest is rest."""
    return _push(system.ground, system.runs.gap)


def _push(ground: Ground, gap: Floats) -> Floats:
    return np.asarray(ground.stiffness * _CONTACT_WIDTH * np.logaddexp(0.0, -gap / _CONTACT_WIDTH))


def rest_state(system: HeaveSystem) -> Floats:
    """Return the state at rest (4 + 2 n,)."""
    n = system.runs.length.size
    return np.concatenate([[0.0, 0.0], system.rest, np.zeros(n), [float(system.craft.pressure), system.flow]])


def knocked(system: HeaveSystem, drop: float) -> Floats:
    """Return the state (4 + 2 n,) of a craft at rest but `drop` [m] too low, let go."""
    start = rest_state(system)
    start[0] = -drop
    return start


def run_in_time(
    system: HeaveSystem,
    start: Floats,
    duration: float,
    *,
    samples: int = 2000,
    progress: Progress | None = None,
    tolerance: float = 1e-7,
) -> Motion:
    """Return the motion from a start.

    Parameters
    ----------
    start : (4 + 2 n,)
        As `rates`; `rest_state` plus a knock.
    duration : float [s]
    samples : int
        Places in time to keep.
    progress : share done -> go on, optional
        Called some fifty times; where it says False the run stops and what there is comes back, `finished` False.
    tolerance : float
        Relative; absolute on each state's own scale.

    Raises
    ------
    SolveError
        Where the integration breaks down.
    """
    from scipy.integrate import solve_ivp

    n = system.runs.length.size
    depth = float(system.runs.tip_down.max())
    scale = np.concatenate([[depth, depth], np.ones(2 * n), [float(system.craft.pressure), system.flow]])
    times = np.linspace(0.0, duration, samples)
    kept, state, done, step = [np.asarray(start, dtype=np.float64)[:, None]], np.asarray(start), 0, None
    while done < samples - 1:
        last = min(samples - 1, done + max(1, samples // _PIECES))
        found = solve_ivp(
            lambda _, y: rates(system, y),
            (times[done], times[last]),
            state,
            method="LSODA",
            t_eval=times[done + 1 : last + 1],
            rtol=tolerance,
            atol=tolerance * 1e-3 * scale,
            first_step=step,
        )
        if not found.success or not np.all(np.isfinite(found.y)):
            raise SolveError("bounce in time", float(times[done]), f"It broke down after {times[done]:.3g} s.")
        kept.append(found.y)
        state, done = found.y[:, -1], last
        if progress is not None and not progress(done / (samples - 1)) and done < samples - 1:
            return _motion(system, times[: done + 1], np.concatenate(kept, axis=1), finished=False)
    return _motion(system, times, np.concatenate(kept, axis=1), finished=True)


def _motion(system: HeaveSystem, times: Floats, states: Floats, *, finished: bool) -> Motion:
    n = system.runs.length.size
    turn = states[2 : 2 + n].T
    up = _tip(system, turn)[1]
    gap = system.runs.gap + states[0][:, None] + up + system.runs.tip_down
    return Motion(
        time=frozen_array(times),
        heave=frozen_array(states[0]),
        speed=frozen_array(states[1]),
        turn=frozen_array(turn),
        rate=frozen_array(states[2 + n : 2 + 2 * n].T),
        gap=frozen_array(gap),
        pressure=frozen_array(states[-2]),
        flow=frozen_array(states[-1]),
        finished=finished,
    )
