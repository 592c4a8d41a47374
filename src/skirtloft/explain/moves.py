"""What moves a number most: every knob of the file turned by 5 %, the whole flow run again each time."""

from __future__ import annotations

import math
from collections.abc import Callable

from skirtloft.design.model import Design
from skirtloft.errors import SkirtloftError
from skirtloft.explain.knobs import knobs, turned
from skirtloft.explain.types import Knob, Move

TURN = 0.05
WORTH_TELLING = 1e-4  # of the number itself: what moves it less is left out
Progress = Callable[[int, int, str], None]


def moves(
    design: Design,
    value_of: Callable[[Design], float],
    most: int = 6,
    progress: Progress = lambda done, total, what: None,
) -> tuple[Move, ...]:
    """Return what moves a number, the strongest first.

    Parameters
    ----------
    design : Design
    value_of : callable
        The number of a design; a SkirtloftError means that it cannot be built.
    most : int
        How many to return.
    progress : callable
        Called before each try with (done, total, what); whatever it raises stops the search.

    Notes
    -----
    All knobs are first turned up; those that then move it most are turned down too. A knob that cannot be turned
    without breaking the design comes after them: the number ends there.
    """
    now, all_knobs = value_of(design), knobs(design)
    up: list[tuple[float, Knob, float]] = []
    for done, knob in enumerate(all_knobs):
        progress(done, len(all_knobs) + most, knob.path)
        value = _value(design, value_of, knob, 1.0 + TURN)
        strength = math.inf if math.isnan(value) and not math.isnan(now) else abs(value - now)
        if strength > WORTH_TELLING * max(abs(now), 1e-9):
            up.append((strength, knob, value))
    up.sort(key=lambda entry: (math.isinf(entry[0]), -entry[0]))
    found = []
    for done, (_, knob, value) in enumerate(up[:most]):
        progress(len(all_knobs) + done, len(all_knobs) + most, knob.path)
        found.append(Move(knob, _value(design, value_of, knob, 1.0 - TURN), value))
    return tuple(found)


def _value(design: Design, value_of: Callable[[Design], float], knob: Knob, factor: float) -> float:
    try:
        return value_of(turned(design, knob, factor))
    except SkirtloftError:
        return math.nan
