"""Heave and bounce in time: does a knock die away, or does she settle into a bounce that stays? Screening only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from skirtloft.errors import SolveError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.heave_system import HeaveSystem, fixed_numbers, rates_of
from skirtloft.physics.bounce.section_motion import turned_point

Progress = Callable[[float], bool]

SEALED = 0.0003  # m: a gap below this counts as shut
_ABSOLUTE = 0.01  # absolute over relative tolerance, of each state's scale
_PIECES = 50  # of the run: progress and cancelling


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


def run_in_time(
    system: HeaveSystem,
    start: Floats,
    duration: float,
    *,
    samples: int = 2000,
    progress: Progress | None = None,
    tolerance: float = 1e-6,
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
    number = fixed_numbers(system)
    scale = np.concatenate([[depth, depth], np.ones(2 * n), [float(system.craft.pressure), system.flow]])
    times = np.linspace(0.0, duration, samples)
    kept, state, done, step = [np.asarray(start, dtype=np.float64)[:, None]], np.asarray(start), 0, None
    while done < samples - 1:
        last = min(samples - 1, done + max(1, samples // _PIECES))
        found = solve_ivp(
            lambda _, y: rates_of(system, number, y),
            (times[done], times[last]),
            state,
            method="LSODA",
            t_eval=times[done + 1 : last + 1],
            rtol=tolerance,
            atol=tolerance * _ABSOLUTE * scale,
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
    up = turned_point(system.section.tip, turn)[1]
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
