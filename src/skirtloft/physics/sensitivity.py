"""Which input moves a margin most: central differences of every margin to every input."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array

Margins = Callable[[Mapping[str, float]], Mapping[str, float]]

_PROBE = 0.05  # of the stated step: small enough for a slope, far above rounding


@dataclass(frozen=True, eq=False)
class Sensitivity:
    """How margins move with inputs.

    Parameters
    ----------
    margins, inputs : tuple of str
    value : (m,)  the margins as they are
    step : (n,)  what counts as an equal change of each input, in its unit
    slope : (m, n)  change of a margin per unit of an input
    bend : (m, n)  change of that slope over one step, as a share of it: above some 0.5 the slope says little
    """

    margins: tuple[str, ...]
    inputs: tuple[str, ...]
    value: Floats
    step: Floats
    slope: Floats
    bend: Floats


@dataclass(frozen=True)
class Mover:
    """One input and what it does to a margin.

    Parameters
    ----------
    name : str
    slope : float  per unit of the input
    change : float  for one step of the input upwards
    needed : float  change of the input that brings the margin to zero on a straight line; inf where it does nothing
    """

    name: str
    slope: float
    change: float
    needed: float


def sensitivity(
    margins: Margins, inputs: Mapping[str, float], steps: Mapping[str, float], *, probe: float = _PROBE
) -> Sensitivity:
    """Return the slopes of all margins.

    Parameters
    ----------
    margins : callable
        Takes every input and returns every margin; called twice per input and once more.
    inputs : mapping of name to value
    steps : mapping of name to step
        What a builder would call an equal change: 10 mm of width, 10 kg, 1 % of pressure. Every input needs one.
    probe : float
        Of the step: the distance of the two looks from the middle.

    Raises
    ------
    ValueError
        Where an input has no step, or one that is not positive.

    Notes
    -----
    (f(x + h) - f(x - h))/(2 h), h = probe times step; the bend is step (f(x + h) - 2 f(x) + f(x - h))/h^2 over that.

    Examples
    --------
    >>> found = sensitivity(lambda x: {"room": 3 * x["a"] - x["b"]}, {"a": 1.0, "b": 1.0}, {"a": 0.1, "b": 1.0})
    >>> [(mover.name, round(mover.change, 6)) for mover in movers(found, "room")]
    [('b', -1.0), ('a', 0.3)]
    """
    names = tuple(inputs)
    bad = [name for name in names if not steps.get(name, 0.0) > 0.0]
    if bad:
        raise ValueError(f"inputs without a positive step: {', '.join(bad)}")
    middle = margins(inputs)
    kinds = tuple(middle)
    base = np.array([middle[kind] for kind in kinds])
    slope, bend = np.empty((len(kinds), len(names))), np.empty((len(kinds), len(names)))
    for k, name in enumerate(names):
        h = probe * steps[name]
        up, down = (margins({**inputs, name: inputs[name] + way * h}) for way in (1.0, -1.0))
        high, low = (np.array([side[kind] for kind in kinds]) for side in (up, down))
        slope[:, k] = (high - low) / (2.0 * h)
        curve = steps[name] * (high - 2.0 * base + low) / h**2
        bend[:, k] = np.divide(curve, slope[:, k], out=np.zeros(len(kinds)), where=slope[:, k] != 0.0)
    return Sensitivity(
        kinds,
        names,
        frozen_array(base),
        frozen_array([steps[name] for name in names]),
        frozen_array(slope),
        frozen_array(bend),
    )


def movers(found: Sensitivity, margin: str) -> tuple[Mover, ...]:
    """Return the inputs by what one step of each does to a margin, the strongest first; nan ones left out."""
    row = found.margins.index(margin)
    rows = []
    for k, name in enumerate(found.inputs):
        slope = float(found.slope[row, k])
        needed = -float(found.value[row]) / slope if slope else float("inf")
        rows.append(Mover(name, slope, slope * float(found.step[k]), needed))
    known = [mover for mover in rows if not np.isnan(mover.change)]
    return tuple(sorted(known, key=lambda mover: -abs(mover.change)))
