"""Craft, segments and air as they move, nothing linearised: loop, fan, gap that shuts, tips that touch, diaphragm.

All segments of a run move together.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.bounce.free import section_damping
from skirtloft.physics.bounce.hover import hover_flow, jet_speed_of, lip_pull, tip_opening
from skirtloft.physics.bounce.section_motion import TurningSection, area_rate, turn_range, weight_moment_at
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns

Fan = Callable[[float], float]

_TABLE = 1201  # places between the taut limits; cubic between them
_WIDTH = BOUNCE_DEFAULTS["closing_width"].value
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
class LiftTable:
    """A' of n runs over their turns: cubics between evenly spaced places, so that one look costs microseconds."""

    low: Floats
    step: Floats
    cubics: Floats

    def __call__(self, phi: Floats) -> Floats:
        """Return A' (n,) [m2/rad] at turns (n,) [rad]; beyond the taut loop the last cubic goes on."""
        at = (phi - self.low) / self.step
        piece = np.clip(at, 0.0, self.cubics.shape[1] - 1.0).astype(np.intp)
        a, b, c, d = self.cubics[:, piece, np.arange(phi.size)]
        off = (at - piece) * self.step
        return np.asarray(((a * off + b) * off + c) * off + d)


@dataclass(frozen=True, eq=False)
class HeaveSystem:
    """One craft with its sections, ready to move; made by `heave_system`.

    Parameters
    ----------
    craft, runs, section : (), (n,), (n,)
    rest : (n,) [rad]  turn at rest from the shape as cut
    hold : (n,) [N m/m]  what the diaphragm carries at rest; 0 without one
    flow : float [m3/s]  at rest
    fan : flow -> pressure less losses [Pa]
    ground : Ground
    lift : LiftTable
    gravity : float [m/s2]
    """

    craft: HeaveCraft
    runs: SkirtRuns
    section: TurningSection
    rest: Floats
    hold: Floats
    flow: float
    fan: Fan
    ground: Ground
    lift: LiftTable
    gravity: float


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
    flow = float(hover_flow(craft, runs))
    curve = parabolic_fan(craft, flow) if fan is None else fan
    if abs(curve(flow) - float(craft.pressure)) > 1e-3 * float(craft.pressure):
        raise ValueError("the fan's curve does not go through the pressure and flow at rest")
    lift = _lift_table(section)
    p = float(craft.pressure)
    weight = gravity * weight_moment_at(section, turn)
    over = p * runs.over_pressure
    hold = (p + over) * lift(turn) + over * runs.lever - weight - p * runs.tip_out * lip_pull(runs)[0]
    hold = np.where(runs.diaphragm_stiffness > 0.0, hold, 0.0)
    return HeaveSystem(
        craft, runs, section, frozen_array(turn), frozen_array(hold), flow, curve, ground or Ground(), lift, gravity
    )


def _lift_table(section: TurningSection) -> LiftTable:
    from scipy.interpolate import CubicSpline

    low, high = turn_range(section)
    at = low + (high - low) * np.linspace(0.0, 1.0, _TABLE)[:, None]
    values = area_rate(section, at)
    cubics = [CubicSpline(at[:, k], values[:, k]).c for k in range(low.size)]
    return LiftTable(frozen_array(low), frozen_array((high - low) / (_TABLE - 1)), frozen_array(np.stack(cubics, -1)))


def rates(system: HeaveSystem, state: Floats) -> Floats:
    """Return d/dt of (z, w, phi_1..n, om_1..n, p, Q); z from rest, phi from the shape as cut.

    Notes
    -----
    With x_G, z_G of the tip from I, h = h0 + z + z_G - z_G0, S_x = S + sum P (x_G - x_G0), q flow per metre:

    - m w' + sum P m_x om' = p S_x - p0 S + sum P N
    - m_x w' + I om' = p A' + Delta (A' + lever) - m_x g - c om + N x_G - F z_G - Fs x_G p + g q' - diaphragm
    - V/(gamma (pa + p)) p' = Q - Qe - S_x w - sum P (A' + heff e) om
    - If Q' = p_fan(Q) - p

    N = k w ln(1 + exp(-h/w)) (1 - c h') on the ground, F = -mu N sign(x_G'); diaphragm max(0, M0 + K_d (phi - phi0)).

    References
    ----------
    Derived.
    """
    return rates_of(system, fixed_numbers(system), state)


@dataclass(frozen=True, eq=False)
class FixedNumbers:
    """What does not change in a run, as plain numbers: a rate then costs no conversions."""

    p0: float
    area: float
    mass: float
    density: float
    atmosphere: float
    store: float
    leak: float
    inertance: float
    least_speed: float
    damping: Floats
    rest_push: Floats
    has_lip: bool
    is_rough: bool
    has_diaphragm: bool


def fixed_numbers(system: HeaveSystem) -> FixedNumbers:
    """Return the numbers of a system that a run does not change."""
    craft, runs = system.craft, system.runs
    return FixedNumbers(
        p0=float(craft.pressure),
        area=float(craft.area),
        mass=float(craft.mass),
        density=float(craft.density),
        atmosphere=float(craft.atmosphere),
        store=float(craft.volume) / BOUNCE_DEFAULTS["gamma"].value,
        leak=float(craft.leak_area),
        inertance=float(craft.inertance),
        least_speed=_LEAST_SPEED * float(jet_speed_of(craft)),
        damping=section_damping(runs),
        rest_push=_push(system.ground, runs.gap),
        has_lip=bool(np.any(runs.lip_strength > 0.0)),
        is_rough=bool(np.any(runs.roughness > 0.0)),
        has_diaphragm=bool(np.any(runs.diaphragm_stiffness > 0.0)),
    )


def rates_of(system: HeaveSystem, number: FixedNumbers, state: Floats) -> Floats:
    """Return `rates` with the fixed numbers at hand."""
    runs, section, n = system.runs, system.section, system.runs.length.size
    if not math.isfinite(float(state.sum())):
        return np.full_like(state, np.nan)  # broken down: `run_in_time` says so
    w, phi, om = float(state[1]), state[2 : 2 + n], state[2 + n : 2 + 2 * n]
    p, q_fan = float(state[-2]), float(state[-1])
    cosine, sine = np.cos(phi), np.sin(phi)
    x = section.tip[:, 0] * cosine - section.tip[:, 1] * sine
    up = section.tip[:, 1] * cosine + section.tip[:, 0] * sine
    moment_x = section.moment * cosine - section.height_moment * sine
    gap = runs.gap + (state[0] + up + runs.tip_down)
    closing = w + x * om
    lift = system.lift(phi)
    sx = number.area + float(runs.length @ (x - runs.tip_out))

    opening, slope = tip_opening(gap, runs.roughness) if number.is_rough else _smooth_opening(gap)
    speed = math.copysign(math.sqrt(2.0 * abs(p) / number.density), p)
    escape = (float(runs.length @ (runs.contraction * opening)) + number.leak) * speed
    swept = float(runs.length @ ((lift - opening * up) * om))
    p_rate = (q_fan - escape - sx * w - swept) * (number.atmosphere + p) / number.store
    by_pressure = p_rate / (number.density * max(abs(speed), number.least_speed))
    flow_rate = runs.contraction * (slope * closing * speed + opening * by_pressure)

    push = _push(system.ground, gap) - number.rest_push
    push = np.maximum(push * (1.0 - system.ground.damping * closing), -number.rest_push)
    over = number.p0 * runs.over_pressure * (q_fan / system.flow * abs(q_fan / system.flow))
    moments = (p + over) * lift + over * runs.lever - system.gravity * moment_x - number.damping * om
    moments = moments + push * x + runs.tip_flow * flow_rate
    if system.ground.friction > 0.0:
        moments = moments + system.ground.friction * push * np.tanh(-up * om / _FRICTION_SPEED) * up
    if number.has_lip:
        fade = np.maximum(gap, 0.0) / runs.lip_length
        moments = moments - runs.lip_strength * runs.lip_length * fade * np.exp(1.0 - fade) * p * x
    if number.has_diaphragm:
        held = np.maximum(0.0, system.hold + runs.diaphragm_stiffness * (phi - system.rest))
        moments = moments - np.where(runs.diaphragm_stiffness > 0.0, held, 0.0)

    force = p * sx - number.p0 * number.area + float(runs.length @ push)
    share = moment_x / runs.inertia
    w_rate = (force - float(runs.length @ (share * moments))) / (number.mass - float(runs.length @ (share * moment_x)))
    rate = np.empty_like(state)
    rate[0], rate[1], rate[2 : 2 + n] = w, w_rate, om
    rate[2 + n : 2 + 2 * n] = moments / runs.inertia - share * w_rate
    rate[-2], rate[-1] = p_rate, (system.fan(q_fan) - p) / number.inertance
    return rate


def _smooth_opening(gap: Floats) -> tuple[Floats, Floats]:
    """Return `tip_opening` on smooth ground."""
    at = gap / _WIDTH
    return _WIDTH * np.logaddexp(0.0, at), 0.5 + 0.5 * np.tanh(0.5 * at)


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
