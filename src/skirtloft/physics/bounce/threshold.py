"""How much loss a skirt must have in its cloth not to bounce: eta_crit, and the margin eta/eta_crit.

Three mechanisms feed a bounce: the inertia of the air that flows to the tips, the loop's pressure over the cushion's
where lift air passes from one to the other, and suction under a rounded tip. Each can be left out to see what it does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.free import free_modes, section_frequency, slopes
from skirtloft.physics.bounce.hover import each_alone, lip_pull
from skirtloft.physics.bounce.types import Complexes, HeaveCraft, SkirtRuns

MOST_LOSS = 3.0  # loss factors looked at; cloth has 0.05 to 0.15
_ROUNDS = 60
_SETTLED = 1e-12
_BEYOND = 1e-3  # share of the threshold above which a state must be stable for the threshold to count
_LOOKS = 25
_HALVINGS = 40


@dataclass(frozen=True, eq=False)
class Threshold:
    """Where a skirt just swings without end; (...) each.

    Parameters
    ----------
    needed : [N m s/rad/m]  damping at which it neither grows nor fades; negative: the air itself damps
    frequency : [rad/s]  of that swing; nan where none was found
    """

    needed: Floats
    frequency: Floats


def _one_run(runs: SkirtRuns) -> None:
    if runs.length.shape[-1] != 1:
        raise ValueError("the closed form holds for one run: use each_alone, or craft_loss_needed for all together")


def air_moment(craft: HeaveCraft, runs: SkirtRuns, frequency: npt.ArrayLike, *, coupled: bool = True) -> Complexes:
    """Return the moment (...) [N m/rad/m] of air and craft on the one run that swings at a frequency.

    Parameters
    ----------
    frequency : (...) [rad/s]
    coupled : bool
        With the pull of the swinging cloth on the craft; the plain form leaves it out.

    Notes
    -----
    s = i omega, Gf = 1/(If s + Rf), zs = (S s + H)/(m s^2), T = p0 P e - P m_x s^2,
    F = dp/dphi = -[H l + P Av s + zs T]/[C s + Ge + Gf + zs S]; z1 = (S F + T)/(m s^2); q1 = [H (z1 + l) + Ge' F]/P;
    moment = (A' - l Fs) F - p0 l Fs' z1 + g s q1 - 2 Delta (A' + lever) Gf F/Q0 - m_x s^2 z1.

    References
    ----------
    Derived.
    """
    _one_run(runs)
    s, omega = slopes(craft, runs), np.asarray(frequency, dtype=np.float64)
    run = {name: value[..., 0] for name, value in vars(runs).items()}
    at = 1j * omega
    p0, length, h = craft.pressure, run["length"], s.gap_flow[..., 0]
    duct = 1.0 / (craft.inertance * at + s.duct_slope)
    heave = craft.mass * at**2
    pull = p0 * length * run["tip_down"] - (length * run["moment"] * at**2 if coupled else 0.0)
    sink = (craft.area * at + h) / heave
    below = s.compliance * at + s.all_pressure_flow + duct + sink * craft.area
    pressure = -(h * run["tip_out"] + length * s.displaced[..., 0] * at + sink * pull) / below
    rise = (craft.area * pressure + pull) / heave
    growth = at * (h * (rise + run["tip_out"]) + s.pressure_flow[..., 0] * pressure) / length
    return np.asarray(
        (run["area_rate"] - run["tip_out"] * s.pull[..., 0]) * pressure
        - p0 * run["tip_out"] * s.pull_slope[..., 0] * rise
        + run["tip_flow"] * growth
        - s.loop_flow[..., 0] * duct * pressure
        - run["moment"] * at**2 * rise
    )


def net_damping(craft: HeaveCraft, runs: SkirtRuns, frequency: npt.ArrayLike, *, coupled: bool = True) -> Floats:
    """Return cloth damping less what the air feeds (...) [N m s/rad/m]; negative: it bounces."""
    omega = np.asarray(frequency, dtype=np.float64)
    fed = air_moment(craft, runs, omega, coupled=coupled).imag / omega
    return np.asarray(slopes(craft, runs).damping[..., 0] - fed)


def neutral_swing(craft: HeaveCraft, runs: SkirtRuns) -> Threshold:
    """Return the damping at which one run's skirt neither grows nor fades, and its frequency; batched.

    Notes
    -----
    K - I omega^2 = Re M(i omega), c = Im M(i omega)/omega with M the `air_moment`: omega by repeated substitution from
    the section's own frequency, with half steps. Exact for the linear system.
    """
    _one_run(runs)
    stiffness, inertia = slopes(craft, runs).turn_stiffness[..., 0], runs.inertia[..., 0]
    square = np.maximum(stiffness, 0.0) / inertia
    done = np.zeros(square.shape, dtype=np.bool_)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for _ in range(_ROUNDS):
            following = (stiffness - air_moment(craft, runs, np.sqrt(square)).real) / inertia
            following = np.where(following > 0.0, following, np.nan)
            done = np.abs(following - square) <= _SETTLED * square
            square = np.where(done, square, 0.5 * (square + following))
            if np.all(done | np.isnan(square)):
                break
        omega = np.sqrt(np.where(np.abs(following - square) <= 1e-6 * square, square, np.nan))
        needed = air_moment(craft, runs, omega).imag / omega
    return Threshold(frozen_array(needed), frozen_array(omega))


def loss_needed(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return eta_crit (...) of one run's skirt: the loss factor above which it does not bounce.

    Returns
    -------
    (...) [-]
        0 where it does not bounce without any loss; inf where no loss up to 3 stops it (then look at the locked
        skirt); the closed form where the whole system is stable just above it, else by `craft_loss_needed`.

    Notes
    -----
    eta_crit = c_needed omega/K with omega = sqrt(K/I).
    """
    swing = neutral_swing(craft, runs)
    with np.errstate(invalid="ignore"):
        eta = swing.needed * section_frequency(runs)[..., 0] / runs.stiffness[..., 0]
    closed = np.where(np.isnan(eta), np.nan, np.maximum(eta, 0.0))
    trial = np.where(np.isnan(closed), 0.0, closed * (1.0 + _BEYOND) + 1e-6)
    unsure = np.isnan(closed) | (_growth_at(craft, runs, trial) >= 0.0)
    if not np.any(unsure):
        return closed
    shape = unsure.shape
    part_craft = HeaveCraft(**{k: np.broadcast_to(v, shape)[unsure] for k, v in vars(craft).items()})
    part_runs = SkirtRuns(**{k: np.broadcast_to(v, (*shape, 1))[unsure] for k, v in vars(runs).items()})
    closed[unsure] = craft_loss_needed(part_craft, part_runs)
    return closed


def _growth_at(craft: HeaveCraft, runs: SkirtRuns, eta: Floats) -> Floats:
    loss = frozen_array(np.broadcast_to(eta[..., None], np.broadcast_shapes(eta[..., None].shape, runs.length.shape)))
    return free_modes(craft, replace(runs, loss_factor=loss)).growth


def craft_loss_needed(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return eta_crit (...) of all runs together, one loss factor in all of them.

    Notes
    -----
    Largest loss factor up to 3 at which the eigenvalues still grow: the last of 25 looks, then halving. inf where it
    grows at 3, 0 where it never does.
    """
    looks = np.concatenate([[0.0], np.geomspace(1e-4, MOST_LOSS, _LOOKS - 1)])
    shape = np.broadcast_shapes(craft.mass.shape, runs.length.shape[:-1])
    grows = np.stack([_growth_at(craft, runs, np.full(shape, eta)) >= 0.0 for eta in looks])
    last = np.where(grows.any(axis=0), _LOOKS - 1 - np.argmax(grows[::-1], axis=0), -1)
    low, high = looks[np.maximum(last, 0)], looks[np.minimum(last + 1, _LOOKS - 1)]
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        up = _growth_at(craft, runs, middle) >= 0.0
        low, high = np.where(up, middle, low), np.where(up, high, middle)
    found = np.where(last == _LOOKS - 1, np.inf, 0.5 * (low + high))
    return np.where(last < 0, 0.0, found)


@dataclass(frozen=True, eq=False)
class BounceMargins:
    """Loss in the cloth over the loss needed; screening indicators. Sections (..., n), craft (...).

    Parameters
    ----------
    needed, margin : [-]  of each section as if it went all the way round; margin inf where none is needed
    craft_needed, craft_margin : [-]  of all runs together
    frequency : [rad/s]  of each section's swing at the threshold
    alone : mechanism -> (..., n) [-]  loss needed with that mechanism only; "none" without any
    without : mechanism -> (..., n) [-]  loss needed with that one left out
    drives : (..., n) str  the mechanism whose leaving out lowers the need most; "none" where nothing is needed
    """

    needed: Floats
    margin: Floats
    craft_needed: Floats
    craft_margin: Floats
    frequency: Floats
    alone: dict[str, Floats]
    without: dict[str, Floats]
    drives: npt.NDArray[np.str_]


MECHANISMS = ("tip flow", "loop over-pressure", "lip suction")
_FIELDS = {"tip flow": "tip_flow", "loop over-pressure": "over_pressure", "lip suction": "lip_strength"}


def with_mechanisms(runs: SkirtRuns, kept: tuple[str, ...]) -> SkirtRuns:
    """Return the runs with only the mechanisms `kept`, of "tip flow", "loop over-pressure" and "lip suction".

    Notes
    -----
    Without over-pressure or lip a free segment rests with another A': p A' + Delta (A' + lever) - p l Fs stays the
    same, m_x g. With a diaphragm A' is the loop's, and stays.
    """
    none = np.zeros_like(runs.length)
    gone = {_FIELDS[name]: frozen_array(none) for name in MECHANISMS if name not in kept}
    changed = replace(runs, **gone)
    pull = runs.tip_out * lip_pull(runs)[0]
    weight = runs.area_rate * (1.0 + runs.over_pressure) + runs.over_pressure * runs.lever - pull
    rate = weight + changed.tip_out * lip_pull(changed)[0] - changed.over_pressure * changed.lever
    rate = rate / (1.0 + changed.over_pressure)
    held = runs.diaphragm_stiffness > 0.0
    stiffness = runs.stiffness * (1.0 + changed.over_pressure) / (1.0 + runs.over_pressure)
    return replace(
        changed,
        area_rate=frozen_array(np.where(held, runs.area_rate, rate)),
        stiffness=frozen_array(stiffness),
    )


def bounce_margins(craft: HeaveCraft, runs: SkirtRuns) -> BounceMargins:
    """Return bounce margins of sections and craft, and what drives the bounce."""
    alone_craft, alone_runs = each_alone(craft, runs)

    def need(*kept: str) -> Floats:
        return loss_needed(alone_craft, with_mechanisms(alone_runs, kept))

    needed = loss_needed(alone_craft, alone_runs)
    alone = {name: frozen_array(need(name)) for name in MECHANISMS}
    without = {name: frozen_array(need(*(m for m in MECHANISMS if m != name))) for name in MECHANISMS}
    alone["none"] = frozen_array(need())
    together = craft_loss_needed(craft, runs)
    least_eta = runs.loss_factor.min(axis=-1)
    return BounceMargins(
        needed=frozen_array(needed),
        margin=frozen_array(margin_of_loss(runs.loss_factor, needed)),
        craft_needed=frozen_array(together),
        craft_margin=frozen_array(margin_of_loss(least_eta, together)),
        frequency=neutral_swing(alone_craft, alone_runs).frequency,
        alone=alone,
        without=without,
        drives=_drives(needed, without),
    )


def margin_of_loss(loss_factor: npt.ArrayLike, needed: npt.ArrayLike) -> Floats:
    """Return eta/eta_crit; inf where no loss is needed, 0 where none would do."""
    need = np.asarray(needed, dtype=np.float64)
    eta = np.broadcast_arrays(np.asarray(loss_factor, dtype=np.float64), need)[0]
    return np.asarray(np.divide(eta, need, out=np.full(need.shape, np.inf), where=need > 0.0))


def _drives(needed: Floats, without: dict[str, Floats]) -> npt.NDArray[np.str_]:
    left = np.stack([without[name] for name in MECHANISMS])
    names = np.array([*MECHANISMS, "none", "air spring"])
    best = np.argmin(left, axis=0)
    lowest = left.min(axis=0)
    with np.errstate(invalid="ignore"):
        helps = lowest < needed * (1.0 - 1e-9)
    best = np.where(needed <= 0.0, 3, np.where(helps, best, 4))
    return np.asarray(names[best])
