"""What became of a knock: died away, grew, or stayed as a bounce, and how large and fast."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.heave_system import HeaveSystem
from skirtloft.physics.bounce.time_run import SEALED, Motion

Outcome = Literal["dies away", "keeps bouncing", "grows", "cancelled"]

_GONE = 0.02  # of the gap at rest: a swing below it counts as died away
_NOISE = 1e-9  # m: a swing below it is the rounding of the run and no motion
_STEADY = 0.25  # 1/s of growth or decay that still counts as a bounce that stays


@dataclass(frozen=True)
class MotionOutcome:
    """What a time run showed, from its last quarter.

    Parameters
    ----------
    outcome : "dies away", "keeps bouncing", "grows" or "cancelled"
    heave : float [m]  half the swing of the craft
    gap : float [m]  half the swing of the gap that moves most
    frequency : float [rad/s]  strongest in that gap; 0 where nothing swings
    growth : float [1/s]  of the gap's swing, from the third to the last quarter
    sealed : float [-]  share of the time that tips are shut, mean over the runs
    lowest, highest : float [-]  cushion pressure over that at rest
    """

    outcome: Outcome
    heave: float
    gap: float
    frequency: float
    growth: float
    sealed: float
    lowest: float
    highest: float


def outcome_of(motion: Motion, system: HeaveSystem) -> MotionOutcome:
    """Return what became of the knock at the start of a time run of `system`.

    Notes
    -----
    Swing = half of largest less smallest in a quarter of the run. Died away: below 2 % of the gap at rest, or falling
    by more than 0.25 per s; grows: rising by more than that; else a bounce that stays. A run should cover some thirty
    swings for this.
    """
    quarters = np.array_split(np.arange(motion.time.size), 4)
    third, last = quarters[2], quarters[3]
    swings = _swing(motion.gap[last])
    lead = int(np.argmax(swings))
    before, now = float(_swing(motion.gap[third])[lead]), float(swings[lead])
    between = float(motion.time[last].mean() - motion.time[third].mean())
    growth = math.log(now / before) / between if now > 0.0 and before > 0.0 else -math.inf
    level, rest_gap = float(system.craft.pressure), float(system.runs.gap[lead])
    return MotionOutcome(
        outcome=_word(motion, now, growth, rest_gap),
        heave=float(_swing(motion.heave[last])),
        gap=now,
        frequency=_strongest(motion.time[last], motion.gap[last, lead]) if now > _NOISE else 0.0,
        growth=growth,
        sealed=float((motion.gap[last] < SEALED).mean()),
        lowest=float(motion.pressure[last].min()) / level,
        highest=float(motion.pressure[last].max()) / level,
    )


def _word(motion: Motion, now: float, growth: float, rest_gap: float) -> Outcome:
    if not motion.finished:
        return "cancelled"
    if now < _NOISE or (now < _GONE * rest_gap and growth <= 0.0) or growth < -_STEADY:
        return "dies away"
    return "grows" if growth > _STEADY else "keeps bouncing"


def _swing(values: Floats) -> Floats:
    return np.asarray((values.max(axis=0) - values.min(axis=0)) / 2.0)


def _strongest(time: Floats, values: Floats) -> float:
    """Return the strongest frequency [rad/s] of even samples: Hann window, parabola through the peak."""
    n = values.size
    spectrum = np.abs(np.fft.rfft((values - values.mean()) * np.hanning(n), 8 * n))
    peak = 1 + int(np.argmax(spectrum[1:-1]))
    left, middle, right = np.log(spectrum[peak - 1 : peak + 2] + 1e-300)
    bend = left - 2.0 * middle + right
    shift = 0.5 * (left - right) / bend if bend < 0.0 else 0.0
    step = float(time[1] - time[0])
    return float(2.0 * math.pi * (peak + shift) / (8 * n * step))
