"""What helps a margin most, and how much of it would do: found by solving again, never by a rule of thumb."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import Show
from skirtloft.errors import ShapeError, SolveError
from skirtloft.physics.sensitivity import Margins, Mover, movers, sensitivity
from skirtloft.sits.inputs import PHRASES, STEPS, helpful_way, input_text, most_of, tidy

SHOWN = 2  # inputs told
TRIED = 5  # of the strongest, until two of them would do
BEYOND, AWAY = 0.005, 0.02  # of the limit, of the way to it: past it by so much, for what a margin leaves out; chosen
PROBE = 0.2  # of a step: how far an input is turned to see what it does
_HALVINGS = 7


@dataclass(frozen=True)
class Margin:
    """A number that a rule compares, as a function of what can be turned.

    Parameters
    ----------
    inputs : mapping of name to value  as they are
    value : callable  mapping of inputs -> the number; the larger the better
    limit : float  at which the rule passes
    text : callable  size of a change of the number -> words
    falls : bool  the words are about its negative, which has to fall
    """

    inputs: Mapping[str, float]
    value: Callable[[Mapping[str, float]], float]
    limit: float
    text: Callable[[float], str]
    falls: bool = False


@dataclass(frozen=True)
class Help:
    """One input turned the way that helps.

    Parameters
    ----------
    name : str
    way : float  1.0: more of it, -1.0: less
    change : float  of the margin for one step; nan where it is not known
    amount : float  that brings the margin to its limit, always positive; nan: none within `most`
    most : float
    """

    name: str
    way: float
    change: float
    amount: float
    most: float


def margin_movers(margin: Margin) -> tuple[Mover, ...]:
    """Return what moves a margin, strongest first, each for one equal step."""
    value: Margins = lambda inputs: {"margin": _value(margin, inputs)}  # noqa: E731
    with np.errstate(invalid="ignore"):
        return movers(sensitivity(value, margin.inputs, {name: STEPS[name] for name in margin.inputs}), "margin")


def helps(margin: Margin) -> tuple[Help, ...]:
    """Return what helps most, at most two inputs, those that would do by themselves first.

    Notes
    -----
    Ordered by what an equal step of each does (`STEPS`). How much would do is looked for from the straight line on, the
    margin solved again each time. Where a margin has no slope (nothing holds the load at all) every input is tried the
    way that helps (`inputs.WAYS`), and the fewest steps come first.
    """
    now = _value(margin, margin.inputs)
    found: list[Help] = []
    changes = _changes(margin, now) if math.isfinite(now) else []
    if changes:
        for name, change in changes:
            found.append(_help(margin, name, math.copysign(1.0, change), now, abs(change)))
            if len(found) == TRIED or sum(math.isfinite(one.amount) for one in found) == SHOWN:
                break
        return tuple(sorted(found, key=lambda one: math.isnan(one.amount))[:SHOWN])
    tried = [_help(margin, name, helpful_way(name, value), now, math.nan) for name, value in margin.inputs.items()]
    good = sorted((one for one in tried if math.isfinite(one.amount)), key=lambda one: one.amount / STEPS[one.name])
    return tuple(good[:SHOWN])


def _changes(margin: Margin, now: float) -> list[tuple[str, float]]:
    """Return what a step of each input does to the margin, strongest first; those that do nothing left out."""
    found = []
    for name, own in margin.inputs.items():
        step = PROBE * STEPS[name]
        change = (_value(margin, {**margin.inputs, name: own + step}) - now) / PROBE
        if math.isfinite(change) and abs(change) > 1e-9 * max(abs(now), abs(margin.limit)):
            found.append((name, change))
    return sorted(found, key=lambda one: -abs(one[1]))


def help_words(margin: Margin, show: Show) -> str:
    """Return what helps most in words, with the amount that would do."""
    found = helps(margin)
    if not found:
        return "Nothing by itself would do, as far as each input is tried: change several of them, and ask again."
    whole = "; ".join(_one(margin, one, show) for one in found)
    if not any(math.isfinite(one.amount) for one in found):
        both = _together(margin, found) if len(found) == SHOWN else math.nan
        if math.isfinite(both):
            amounts = " and ".join(_turn(one, both * STEPS[one.name], show) for one in found)
            return f"{_capital(whole)}. {_capital(amounts)} would do (solved again)."
        return f"{_capital(whole)} (solved again)."
    return f"{_capital(whole)} (each by itself, solved again)."


def effect_words(margin: Margin, show: Show) -> str:
    """Return what a step of the two strongest inputs does, where there is no limit to reach."""
    first = [mover for mover in margin_movers(margin) if mover.change][:SHOWN]
    if not first:
        return "Nothing in the file is known to move it."
    parts = []
    for one in first:
        turn = Help(one.name, math.copysign(1.0, one.change), abs(one.change), math.nan, 0.0)
        parts.append(f"{_turn(turn, STEPS[one.name], show)}: {margin.text(turn.change)} more")
    return f"{'; '.join(parts)}."


def _one(margin: Margin, one: Help, show: Show) -> str:
    if math.isnan(one.change):
        return f"{_turn(one, one.amount, show)} would do"
    step = STEPS[one.name]
    words = f"{_turn(one, step, show)}: {margin.text(one.change)} {'less' if margin.falls else 'more'}"
    if math.isfinite(one.amount):
        return f"{words}, and {input_text(one.name, one.amount, show)} would do"
    return f"{words}, but not enough by itself up to {input_text(one.name, one.most, show)}"


def _turn(one: Help, amount: float, show: Show) -> str:
    return PHRASES[one.name][0 if one.way > 0.0 else 1].format(input_text(one.name, amount, show))


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]


def _help(margin: Margin, name: str, way: float, now: float, change: float) -> Help:
    most = most_of(name, margin.inputs[name], way)

    def value(amount: float) -> float:
        return _value(margin, {**margin.inputs, name: margin.inputs[name] + way * amount})

    def text(amount: float) -> float:
        return tidy(amount, name)

    return Help(
        name, way, change, _least(value, wanted(margin, now), now, change / STEPS[name], (most, text)), text(most)
    )


def _together(margin: Margin, found: tuple[Help, ...]) -> float:
    """Return how many steps of all of them at once would do; nan where they would not."""
    most = min(one.most / STEPS[one.name] for one in found)

    def value(steps: float) -> float:
        moved = {one.name: margin.inputs[one.name] + one.way * steps * STEPS[one.name] for one in found}
        return _value(margin, {**margin.inputs, **moved})

    slope, now = sum(one.change for one in found), _value(margin, margin.inputs)
    return _least(value, wanted(margin, now), now, slope, (most, math.ceil))


def _least(
    value: Callable[[float], float],
    limit: float,
    now: float,
    slope: float,
    ends: tuple[float, Callable[[float], float]],
) -> float:
    """Return an amount that brings the value to its limit and little more; nan where none is found up to the most.

    Parameters
    ----------
    value : callable  of the amount; `now` at 0, rising by `slope` there (nan: not known)
    ends : the most that is tried, and amount -> the amount that is told, rounded up
    """
    most, rounded = ends
    known = math.isfinite(now) and slope > 0.0
    low, below = 0.0, now
    high = min(most, (limit - now) / slope) if known else most / 16.0
    above = value(high)
    while not above >= limit:
        if high >= most:
            return math.nan
        rise = (above - below) / (high - low) if math.isfinite(below) else math.nan
        low, below = high, above
        ahead = low + 1.1 * (limit - below) / rise if rise > 0.0 else 2.0 * low
        high = min(most, max(1.05 * low, min(ahead, 2.0 * low)))
        above = value(high)
    for _ in range(_HALVINGS):
        if high - low <= 0.02 * high:
            break
        share = (limit - below) / (above - below) if math.isfinite(below) else 0.5
        middle = low + min(0.9, max(0.1, share + 0.02)) * (high - low)
        here = value(middle)
        if here >= limit:
            high, above = middle, here
        else:
            low, below = middle, here
    told = rounded(high)
    return told if value(told) >= limit else high


def wanted(margin: Margin, now: float) -> float:
    """Return the number to reach: a little past the limit, more where there is farther to go."""
    far = abs(margin.limit - now) if math.isfinite(now) else 0.0
    return margin.limit + max(BEYOND * abs(margin.limit), AWAY * far)


def _value(margin: Margin, inputs: Mapping[str, float]) -> float:
    """Return the number; minus infinity where it is none: nothing holds, or no such shape exists."""
    try:
        value = margin.value(inputs)
    except (ShapeError, SolveError):
        return -math.inf
    return -math.inf if math.isnan(value) else value
