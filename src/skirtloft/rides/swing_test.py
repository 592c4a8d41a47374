"""From the readings of swing tests to the loss factor of the cloth, and what that does to the bounce margin."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.design.swing_file import SwingSet
from skirtloft.errors import DesignError, Problem
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.bounce.swing_decay import SwingTest, fed_at_constant_pressure, swing_loss
from skirtloft.rides.types import Hover

_T95 = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306, 9: 2.262}  # Student
_T95_LARGE = 1.96


@dataclass(frozen=True)
class Swung:
    """One segment: its test, and what the air under the tip took away meanwhile (`fed`, 0 where none escaped)."""

    name: str
    run: str
    test: SwingTest
    fed: float

    @property
    def loss_factor(self) -> float:
        """Loss factor of the cloth [-], the air's part put back."""
        return self.test.loss_factor + self.fed


@dataclass(frozen=True)
class ClothLoss:
    """Loss factor of the cloth [-]: mean of all segments, and its 95 % range."""

    swung: tuple[Swung, ...]
    loss_factor: float
    low: float
    high: float


def cloth_loss(swings: tuple[SwingSet, ...], hover: Hover) -> ClothLoss:
    """Return the loss factor that swing tests give.

    Parameters
    ----------
    swings : tuple of SwingSet
    hover : Hover
        Of the design: its sections tell what air under a tip feeds.

    Notes
    -----
    Mean of the tests. Range: of one test its own; of several, the wider of what scatters between them (Student's t on
    their mean) and what scatters in them (root of the mean square of their half ranges, over the root of their count).

    Raises
    ------
    DesignError
        Every number that cannot be, of all tests.
    """
    problems: list[Problem] = []
    found: list[Swung] = []
    for index, swing in enumerate(swings):
        if swing.run not in hover.names:
            would_do = f"One of {', '.join(hover.names)}."
            problems.append(Problem(f"swing[{index}].run", f'"{swing.run}"', "This skirt has no such run.", would_do))
        try:
            test = swing_loss(
                swing.travel,
                swings_between=0.5 if swing.sides == "both" else 1.0,
                reading=swing.reading,
                path=f"swing[{index}].travel",
            )
        except DesignError as error:
            problems += error.problems
            continue
        if swing.run in hover.names:
            found.append(Swung(swing.name, swing.run, test, _fed(swing, hover)))
    if problems:
        raise DesignError(problems)
    losses = np.array([one.loss_factor for one in found])
    halves = np.array([(one.test.high - one.test.low) / 2.0 for one in found])
    mean, reach = float(losses.mean()), math.sqrt(float((halves**2).mean()) / len(found))
    if len(found) > 1:
        t = _T95.get(len(found) - 1, _T95_LARGE)
        reach = max(reach, t * float(losses.std(ddof=1)) / math.sqrt(len(found)))
    return ClothLoss(tuple(found), mean, max(0.0, mean - reach), mean + reach)


def _fed(swing: SwingSet, hover: Hover) -> float:
    if swing.gap is None:
        return 0.0
    runs = replace(hover.runs, gap=frozen_array(np.full_like(hover.runs.gap, swing.gap)))
    return float(fed_at_constant_pressure(hover.craft, runs)[hover.names.index(swing.run)])
