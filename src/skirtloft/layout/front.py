"""Laying pieces one after another against a front that moves along the roll.

The roll is cut into rows along its length. The front is how far each row is filled; a piece slides towards the start
of the roll, its true outline row by row, until it touches the front. What lies between piece and front is lost, so the
next piece, its place and its turn are those that lose least: a right-angled web turned by half a turn slides into the
hollow that its neighbour left. Along the roll places are exact; across it they go by the height of a row.

Every piece that is laid costs one pass over the pieces left, so some hundred pieces take a fraction of a second.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from skirtloft.layout.blanks import laid
from skirtloft.layout.rows import Rows, rows
from skirtloft.layout.types import Layout, Lie, Problem
from skirtloft.maths.frozen import Floats

ROW = 0.004  # [m] height of a row: a fifth of a percent of a usual roll
SELVEDGE = 1e6  # [m] the selvedge as a neighbour: it goes on for ever
ALIKE = 0.08  # blanks of a family differ less than this in height and in how they fill their box
WHOLE = 1e-9  # [m] lengths that differ by less are equal


@dataclass(frozen=True)
class Taste:
    """What the next place is chosen by.

    Parameters
    ----------
    lost : float
        Weight of the cloth lost behind a piece [1/m2].
    touch : float
        Weight of the length that touches neighbours above and below [1/m].
    near : float
        Weight of the distance along the roll [1/m].
    liking : tuple of float
        Weight of the area of each blank [1/m2]: large ones go first.
    open : int
        How many blanks of a family, those liked best, are looked at for the next place.
    """

    lost: float
    touch: float
    near: float
    liking: tuple[float, ...]
    open: int = 1


@dataclass(frozen=True, eq=False)
class Shape:
    """One way for one blank to lie, in rows."""

    blank: int
    turned: bool
    flipped: bool
    rows: Rows
    area: float


@dataclass(frozen=True, eq=False)
class Strips:
    """A problem in rows: what `lay` needs of it, made once.

    Parameters
    ----------
    shapes : tuple of Shape
    counts : tuple of int
        Rows of each roll.
    families : tuple of tuple of int
        Blanks that are much alike, so that one stands for all when the next place is looked for.
    """

    problem: Problem
    shapes: tuple[Shape, ...]
    counts: tuple[int, ...]
    families: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Step:
    """One piece laid: which shape, on which roll, its lowest row, and the x [m] where its grown outline begins."""

    shape: int
    roll: int
    row: int
    x: float


@dataclass(eq=False)
class _Seen:
    """What is known of a shape on a roll: x where it touches and what it costs there, by its lowest row.

    `stale` is the span of rows of the front that have changed since.
    """

    x: Floats
    cost: Floats
    stale: tuple[int, int]


@dataclass(eq=False)
class _Roll:
    """The front on one roll while it is being filled; a row of selvedge below and above."""

    bordered: Floats
    length: float
    windows: dict[int, Floats] = field(default_factory=dict)
    seen: dict[int, _Seen] = field(default_factory=dict)

    @property
    def front(self) -> Floats:
        return self.bordered[1:-1]

    def window(self, count: int) -> Floats:
        """Return every run of `count` rows of the front, (places, count); a view that follows the front."""
        if count not in self.windows:
            self.windows[count] = sliding_window_view(self.front, count)
        return self.windows[count]


def strips(problem: Problem) -> Strips:
    """Return a problem in rows."""
    shapes = []
    for number, blank in enumerate(problem.blanks):
        for turned, flipped in blank.lies:
            outline = laid(blank.outline, turned, flipped)
            shapes.append(Shape(number, turned, flipped, rows(outline, problem.gap, ROW), blank.area))
    room = [roll.width - 2.0 * problem.margin + problem.gap for roll in problem.rolls]
    return Strips(problem, tuple(shapes), tuple(int(width / ROW + 1e-6) for width in room), _families(problem))


def _families(problem: Problem) -> tuple[tuple[int, ...], ...]:
    """Return the blanks sorted into those of nearly one height that fill nearly as much of their box."""
    found: list[tuple[Floats, list[int]]] = []
    for number, blank in enumerate(problem.blanks):
        length, height = np.ptp(blank.outline, axis=0)
        look = np.array([np.log(height) / ALIKE, blank.area / (length * height) / ALIKE])
        for other, members in found:
            if np.abs(look - other).max() < 1.0:
                members.append(number)
                break
        else:
            found.append((look, [number]))
    return tuple(tuple(members) for _, members in found)


def lay(strips: Strips, taste: Taste, start: Sequence[Step] = ()) -> tuple[Step, ...] | None:
    """Return every piece laid, one step each; None if a piece fits on no roll.

    Parameters
    ----------
    strips : Strips
    taste : Taste
    start : steps that stand already, in their order
    """
    left = [blank.quantity for blank in strips.problem.blanks]
    steps = list(start)
    for standing in start:
        left[strips.shapes[standing.shape].blank] -= 1
    families = [sorted(family, key=lambda blank: -taste.liking[blank]) for family in strips.families]
    first = steps[-1].roll if steps else 0
    for number in range(first, len(strips.counts)):
        roll = _roll(strips, number, steps)
        while any(left):
            seen = {blank for family in families for blank in [one for one in family if left[one]][: taste.open]}
            step = _next(strips, taste, roll, number, seen)
            if step is None and seen:  # what is liked best may be too long for what is left of the roll
                step = _next(strips, taste, roll, number, {blank for blank, count in enumerate(left) if count})
            if step is None:
                break
            _fill(roll, strips.shapes[step.shape].rows, step)
            left[strips.shapes[step.shape].blank] -= 1
            steps.append(step)
    return None if any(left) else tuple(steps)


def used(strips: Strips, steps: Sequence[Step]) -> tuple[int, float]:
    """Return the number of the last roll that steps use and how far it is used [m], margins not counted."""
    last = max(step.roll for step in steps)
    return last, max(step.x + strips.shapes[step.shape].rows.width for step in steps if step.roll == last)


def to_layout(strips: Strips, steps: Sequence[Step], made_by: str) -> Layout:
    """Return the layout that steps make."""
    problem, lies = strips.problem, []
    for step in steps:
        shape = strips.shapes[step.shape]
        origin = np.array([step.x, step.row * ROW]) + problem.margin - problem.gap / 2.0 - shape.rows.corner
        lies.append(Lie(shape.blank, step.roll, shape.turned, shape.flipped, float(origin[0]), float(origin[1])))
    return Layout(problem, tuple(lies), made_by)


# ------------------------------------------------------------------------------------------------------------ inside


def _roll(strips: Strips, number: int, steps: Sequence[Step]) -> _Roll:
    problem, count = strips.problem, strips.counts[number]
    bordered = np.zeros(count + 2)
    bordered[[0, -1]] = SELVEDGE
    roll = _Roll(bordered, problem.rolls[number].length - 2.0 * problem.margin + problem.gap + WHOLE)
    for step in steps:
        if step.roll == number:
            _fill(roll, strips.shapes[step.shape].rows, step)
    return roll


def _fill(roll: _Roll, piece: Rows, step: Step) -> None:
    """Move the front to the far side of a piece, and note for every shape which rows have changed."""
    low, high = step.row, step.row + len(piece.right)
    part = roll.front[low:high]
    np.maximum(part, step.x + piece.right, out=part)
    for seen in roll.seen.values():
        first, last = seen.stale
        seen.stale = (low, high) if last <= first else (min(first, low), max(last, high))


def _next(strips: Strips, taste: Taste, roll: _Roll, number: int, wanted: Collection[int]) -> Step | None:
    """Return the step that costs least, or None where nothing fits on the roll any more."""
    best, chosen = np.inf, None
    for index, shape in enumerate(strips.shapes):
        if shape.blank not in wanted or len(shape.rows.left) > len(roll.front):
            continue
        seen = _look(roll, index, shape.rows, taste)
        row = int(seen.cost.argmin())
        value = float(seen.cost[row]) - taste.liking[shape.blank] * shape.area
        if value < best:
            best, chosen = value, Step(index, number, row, float(seen.x[row]))
    return chosen


def _look(roll: _Roll, index: int, piece: Rows, taste: Taste) -> _Seen:
    """Return what is known of a shape, its stale places made anew."""
    window, count = roll.window(len(piece.left)), len(piece.left)
    if index not in roll.seen:
        roll.seen[index] = _Seen(np.empty(len(window)), np.empty(len(window)), (0, len(roll.front)))
    seen = roll.seen[index]
    low, high = seen.stale
    if high <= low:
        return seen
    first, last = max(0, low - count), min(len(window), high + 1)  # one more either way: neighbours count too
    part = window[first:last]
    x = np.max(part - piece.left, axis=1)
    lost = ROW * (count * x + piece.lefts - part.sum(axis=1))
    reach = x + piece.left[0], x + piece.left[-1]
    below = np.minimum(np.maximum(roll.bordered[first:last] - reach[0], 0.0), piece.ends[0])
    above = np.minimum(np.maximum(roll.bordered[first + count + 1 : last + count + 1] - reach[1], 0.0), piece.ends[1])
    cost = taste.lost * lost - taste.touch * (below + above) + taste.near * x
    cost[x + piece.width > roll.length] = np.inf
    seen.x[first:last], seen.cost[first:last], seen.stale = x, cost, (0, 0)
    return seen
