"""The swing test at home: from how fast one inflated segment stops swinging, how much loss its cloth has.

Block the craft up so that she cannot heave, blow the skirt up at working pressure, push one segment's tip out by a
hand's breadth, let go, film it against a scale from the side, and read off the largest travel of each swing from rest,
all to the same side. Mind the fan and its guard; nobody under a craft that only air holds up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.errors import DesignError, Problem
from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.free import section_frequency, slopes
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns

LEAST_SWINGS = 4
MOST_SCATTER = 0.25  # standard error over the loss factor: chosen
MOST_BEND = 2.0  # standard errors that the loss of large and small swings may differ by: common statistics
_T95 = {2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306, 9: 2.262, 10: 2.228}
_T95_LARGE = 1.96


@dataclass(frozen=True)
class SwingTest:
    """What the swings say.

    Parameters
    ----------
    loss_factor : float [-]  eta, of cloth and air together
    low, high : float [-]  95 % range of the mean, from the scatter about an even decay
    decrement : float [-]  mean of ln(swing/next swing) for a full swing
    swings : int
    doubts : tuple of str  what is odd about the numbers; empty if nothing is
    """

    loss_factor: float
    low: float
    high: float
    decrement: float
    swings: int
    doubts: tuple[str, ...]


def swing_loss(
    amplitudes: Sequence[float], *, swings_between: float = 1.0, reading: float = 0.0, path: str = "swing"
) -> SwingTest:
    """Return the loss factor from successive swings.

    Parameters
    ----------
    amplitudes : (k,)
        Largest travel from rest, one after the other, in any unit; to one side. Where both sides were read, give
        `swings_between` 0.5.
    swings_between : float
        Full swings from one amplitude to the next.
    reading : float
        Finest step that was read, same unit; 0: not known.
    path : str
        What to call the numbers in problems.

    Raises
    ------
    DesignError
        Every number that cannot be: too few, not positive, growing.

    Notes
    -----
    ln A falls by delta per swing, the slope of the line of least squares; zeta = delta/sqrt(4 pi^2 + delta^2), eta =
    2 zeta, as in c = eta K/omega. Range: Student's t on the standard error of the slope.

    References
    ----------
    Logarithmic decrement: Den Hartog, Mechanical Vibrations, 4th ed. 1956, ch. 2 (from memory).

    Examples
    --------
    >>> round(swing_loss([80.0, 58.4, 42.7, 31.2, 22.8]).loss_factor, 3)
    0.1
    """
    values = [float(value) for value in amplitudes]
    problems = _problems(values, path)
    if problems:
        raise DesignError(problems)
    count = np.asarray(np.arange(len(values)) * swings_between, dtype=np.float64)
    slope, error = _line(count, np.log(np.asarray(values, dtype=np.float64)))
    decrement = -slope
    reach = _T95.get(len(values) - 2, _T95_LARGE) * error
    low, middle, high = (_loss(decrement + way * reach) for way in (-1.0, 0.0, 1.0))
    return SwingTest(middle, low, high, decrement, len(values), _doubts(values, count, decrement, error, reading))


def _loss(decrement: float) -> float:
    return 2.0 * decrement / math.sqrt(4.0 * math.pi**2 + decrement**2)


def _problems(values: list[float], path: str) -> list[Problem]:
    found = []
    if len(values) < LEAST_SWINGS:
        found.append(
            Problem(path, f"{len(values)} swings", "Too few to see how they scatter.", f"Give {LEAST_SWINGS} or more.")
        )
    for k, value in enumerate(values):
        if not (math.isfinite(value) and value > 0.0):
            found.append(
                Problem(f"{path}[{k}]", f"{value:g}", "A swing has a size.", "Measure the travel from rest, positive.")
            )
        elif k and values[k - 1] > 0.0 and value >= values[k - 1]:
            found.append(
                Problem(
                    f"{path}[{k}]",
                    f"{value:g} after {values[k - 1]:g}",
                    "A swing left alone gets smaller.",
                    "Read it again; was the segment touched, the place of rest misread, or both sides given as one?",
                )
            )
    return found


def _line(x: Floats, y: Floats) -> tuple[float, float]:
    """Return slope and its standard error of the line of least squares."""
    dx = x - x.mean()
    spread = float((dx**2).sum())
    slope = float((dx * (y - y.mean())).sum()) / spread
    left = y - y.mean() - slope * dx
    return slope, math.sqrt(float((left**2).sum()) / max(1, x.size - 2) / spread)


def _doubts(values: list[float], count: Floats, decrement: float, error: float, reading: float) -> tuple[str, ...]:
    doubts = []
    if error > MOST_SCATTER * decrement:
        doubts.append(
            f"The swings scatter by {error / decrement:.0%} of their loss: repeat the test and give more of them."
        )
    if reading > 0.0 and values[-1] < 3.0 * reading:
        doubts.append("The last swings are about as small as the scale can be read: leave them off.")
    if len(values) >= 6:
        half = len(values) // 2
        (early, e1), (late, e2) = (
            _line(count[part], np.log(np.asarray(values, dtype=np.float64))[part])
            for part in (slice(half + 1), slice(half, None))
        )
        scatter = math.hypot(e1, e2)
        if abs(early - late) > max(MOST_BEND * scatter, 0.2 * decrement):
            if late < early:
                doubts.append(
                    "Small swings die away faster than large ones: something rubs. Free it; rubbing may not be there"
                    " under way."
                )
            else:
                doubts.append(
                    "Large swings lose more than small ones, or the place of rest is off: a bounce starts small, so go"
                    " by the small swings."
                )
    if _loss(decrement) > 0.6:
        doubts.append("So much loss in cloth is unusual: does the tip touch the ground or its neighbours?")
    return tuple(doubts)


def fed_at_constant_pressure(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return the loss factor (..., n) that the air under the tips takes away while cushion pressure stays the same.

    Notes
    -----
    g H l omega/(P K), omega = sqrt(K/I): a swing test with air escaping under the tips, craft blocked up, sees the
    cloth's loss less this; add it to what was measured. 45 deg, square tip: (Cc/2 theta) sqrt(2 rho d^4/(I k)),
    k = K/(p d^2), whatever pressure and size.

    References
    ----------
    Derived.
    """
    flow = slopes(craft, runs).gap_flow / runs.length
    return np.asarray(runs.tip_flow * flow * runs.tip_out * section_frequency(runs) / runs.stiffness)
