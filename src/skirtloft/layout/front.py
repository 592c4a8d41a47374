"""Laying pieces one after another against a front that moves along the roll.

The roll is cut into rows along its length. The front is how far each row is filled; a piece slides towards the start
of the roll, its true outline row by row, until it touches the front. What lies between piece and front is lost, so the
next piece, its place and its turn are those that lose least: a right-angled web turned by half a turn slides into the
hollow that its neighbour left. Along the roll places are exact; across it they go by the height of a row.

Every piece that is laid costs one pass over the pieces left, so some hundred pieces take a fraction of a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from skirtloft.layout.blanks import laid
from skirtloft.layout.rows import Rows, rows
from skirtloft.layout.types import Layout, Lie, Problem
from skirtloft.maths.frozen import Floats

ROW = 0.004  # [m] height of a row: a fifth of a percent of a usual roll
EDGE = 10.0  # [m] the selvedge as a neighbour: longer than any piece
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
        Weight of the distance from the hindmost row [1/m].
    liking : tuple of float
        Weight of the area of each blank [1/m2]: large ones go first.
    """

    lost: float
    touch: float
    near: float
    liking: tuple[float, ...]


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
    """A problem in rows: what `lay` needs of it, made once."""

    problem: Problem
    shapes: tuple[Shape, ...]
    counts: tuple[int, ...]  # rows of each roll


@dataclass(frozen=True)
class Step:
    """One piece laid: which shape, on which roll, its lowest row, and the x [m] where its grown outline begins."""

    shape: int
    roll: int
    row: int
    x: float


@dataclass(eq=False)
class _Roll:
    """The front on one roll while it is being filled."""

    front: Floats
    length: float
    known: dict[int, tuple[Floats, Floats]] = field(default_factory=dict)


def strips(problem: Problem, height: float = ROW) -> Strips:
    """Return a problem in rows of `height` [m]."""
    shapes = []
    for number, blank in enumerate(problem.blanks):
        for turned, flipped in blank.lies:
            outline = laid(blank.outline, turned, flipped)
            shapes.append(Shape(number, turned, flipped, rows(outline, problem.gap, height), blank.area))
    room = [roll.width - 2.0 * problem.margin + problem.gap for roll in problem.rolls]
    return Strips(problem, tuple(shapes), tuple(int(width / height + 1e-6) for width in room))


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
    for step in start:
        left[strips.shapes[step.shape].blank] -= 1
    first = steps[-1].roll if steps else 0
    for number in range(first, len(strips.counts)):
        roll = _roll(strips, number, steps)
        while any(left):
            step = _next(strips, taste, roll, number, left)
            if step is None:
                break
            _fill(roll.front, strips.shapes[step.shape].rows, step)
            _forget(roll, strips, step)
            left[strips.shapes[step.shape].blank] -= 1
            steps.append(step)
    return None if any(left) else tuple(steps)


def used(strips: Strips, steps: Sequence[Step]) -> tuple[int, float]:
    """Return the number of the last roll that steps use and how far it is used [m], margins not counted."""
    last = max(step.roll for step in steps)
    return last, max(step.x + strips.shapes[step.shape].rows.width for step in steps if step.roll == last)


def to_layout(strips: Strips, steps: Sequence[Step], made_by: str, height: float = ROW) -> Layout:
    """Return the layout that steps make."""
    problem, lies = strips.problem, []
    for step in steps:
        shape = strips.shapes[step.shape]
        origin = np.array([step.x, step.row * height]) + problem.margin - problem.gap / 2.0 - shape.rows.corner
        lies.append(Lie(shape.blank, step.roll, shape.turned, shape.flipped, float(origin[0]), float(origin[1])))
    return Layout(problem, tuple(lies), made_by)


# ------------------------------------------------------------------------------------------------------------ inside


def _roll(strips: Strips, number: int, steps: Sequence[Step]) -> _Roll:
    problem = strips.problem
    roll = _Roll(
        np.zeros(strips.counts[number]), problem.rolls[number].length - 2.0 * problem.margin + problem.gap + WHOLE
    )
    for step in steps:
        if step.roll == number:
            _fill(roll.front, strips.shapes[step.shape].rows, step)
    return roll


def _fill(front: Floats, piece: Rows, step: Step) -> None:
    part = slice(step.row, step.row + len(piece.right))
    front[part] = np.maximum(front[part], step.x + piece.right)


def _next(strips: Strips, taste: Taste, roll: _Roll, number: int, left: Sequence[int]) -> Step | None:
    """Return the step that costs least, or None where nothing fits on the roll any more."""
    behind = float(roll.front.min())
    bordered = np.concatenate([[EDGE + behind], roll.front, [EDGE + behind]])
    total = np.concatenate([[0.0], np.cumsum(roll.front)])
    best: tuple[float, Step] | None = None
    for index, shape in enumerate(strips.shapes):
        rows_of, count = shape.rows, len(shape.rows.left)
        if not left[shape.blank] or count > len(roll.front):
            continue
        x = _touching(roll, index, rows_of)
        places = len(x)
        lost = ROW * (count * x + rows_of.left.sum() - (total[count:] - total[:-count]))
        below = np.clip(bordered[:places] - x - rows_of.left[0], 0.0, rows_of.right[0] - rows_of.left[0])
        above = np.clip(bordered[count + 1 :] - x - rows_of.left[-1], 0.0, rows_of.right[-1] - rows_of.left[-1])
        cost = taste.lost * lost - taste.touch * (below + above) + taste.near * (x - behind)
        cost[x + rows_of.width > roll.length] = np.inf
        row = int(cost.argmin())
        value = float(cost[row]) - taste.liking[shape.blank] * shape.area
        if np.isfinite(value) and (best is None or value < best[0]):
            best = value, Step(index, number, row, float(x[row]))
    return None if best is None else best[1]


def _touching(roll: _Roll, index: int, piece: Rows) -> Floats:
    """Return where a shape would touch the front for each of its lowest rows, [m]; only what changed is made anew."""
    window = sliding_window_view(roll.front, len(piece.left))
    if index not in roll.known:
        x = (window - piece.left).max(axis=1)
        roll.known[index] = x, np.array([0.0, 0.0])
        return np.asarray(x)
    x, changed = roll.known[index]
    low, high = int(changed[0]), int(changed[1])
    if high > low:
        first, last = max(0, low - len(piece.left) + 1), min(len(x), high)
        x[first:last] = (window[first:last] - piece.left).max(axis=1)
        changed[:] = 0.0
    return x


def _forget(roll: _Roll, strips: Strips, step: Step) -> None:
    """Note for every shape which rows of the front have changed since it was last looked at."""
    low, high = step.row, step.row + len(strips.shapes[step.shape].rows.left)
    for _, changed in roll.known.values():
        changed[0] = low if changed[1] <= changed[0] else min(changed[0], low)
        changed[1] = max(changed[1], high)
