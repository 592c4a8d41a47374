"""Whether a layout may be cut: every piece there, on its roll, clear of its neighbours. And how well it uses them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from skirtloft.layout.blanks import lies_at
from skirtloft.layout.types import Layout, Roll

WITHIN = 2e-5  # [m] a fiftieth of a millimetre: rounding in a saved file, nothing on cloth


@dataclass(frozen=True)
class RollUse:
    """One roll as a layout uses it.

    Parameters
    ----------
    roll : Roll
    number : int
        Its place in the problem.
    pieces : int
    length : float [m]
        From the end of the roll to where it can be cut off, margins in.
    area : float [m2]
        Of the pieces.
    """

    roll: Roll
    number: int
    pieces: int
    length: float
    area: float

    @property
    def use(self) -> float:
        """Area of the pieces over area of the cloth used."""
        return self.area / (self.length * self.roll.width)


def roll_uses(layout: Layout) -> tuple[RollUse, ...]:
    """Return how every roll that carries pieces is used, in order."""
    problem, found = layout.problem, []
    for number, roll in enumerate(problem.rolls):
        mine = [lie for lie in layout.lies if lie.roll == number]
        if mine:
            far = max(float(lies_at(problem.blanks[lie.blank], lie)[:, 0].max()) for lie in mine)
            area = sum(problem.blanks[lie.blank].area for lie in mine)
            found.append(RollUse(roll, number, len(mine), min(far + problem.margin, roll.length), area))
    return tuple(found)


def least_length(layout: Layout) -> float:
    """Return a length [m] of the last roll that no layout can be under: area left for it over its width, margins in.

    What the rolls before it carry is taken as it is.
    """
    uses = roll_uses(layout)
    return uses[-1].area / (uses[-1].roll.width - 2.0 * layout.problem.margin) + 2.0 * layout.problem.margin


def length_used(layout: Layout) -> tuple[int, float]:
    """Return the number of the last roll used and the length of it [m]: the smaller the better, in that order."""
    last = roll_uses(layout)[-1]
    return last.number, last.length


def faults(layout: Layout) -> list[str]:
    """Return what is wrong with a layout as sentences; an empty list where it may be cut."""
    problem = layout.problem
    counted = Counter(lie.blank for lie in layout.lies)
    found = [
        f"{blank.code}: {counted[number]} pieces are laid, {blank.quantity} are to be cut."
        for number, blank in enumerate(problem.blanks)
        if counted[number] != blank.quantity
    ]
    found += [
        f"{problem.blanks[lie.blank].code} lies as this cloth does not allow."
        for lie in dict.fromkeys(layout.lies)
        if not _allowed(layout, lie.blank, lie.turned, lie.flipped)
    ]
    for number, roll in enumerate(problem.rolls):
        mine = [lie for lie in layout.lies if lie.roll == number]
        codes = [problem.blanks[lie.blank].code for lie in mine]
        outlines = [shapely.Polygon(lies_at(problem.blanks[lie.blank], lie)) for lie in mine]
        found += _outside(roll, codes, outlines, problem.margin) + _too_near(codes, outlines, problem.gap)
    return found


def _allowed(layout: Layout, number: int, turned: bool, flipped: bool) -> bool:
    return (turned, flipped) in layout.problem.blanks[number].lies


def _outside(roll: Roll, codes: Sequence[str], outlines: Sequence[shapely.Polygon], margin: float) -> list[str]:
    found = []
    for code, outline in zip(codes, outlines, strict=True):
        left, low, right, high = outline.bounds
        over = max(margin - left, margin - low, right - (roll.length - margin), high - (roll.width - margin))
        if over > WITHIN:
            found.append(f"{code} lies {1000 * over:.1f} mm over the margin of {roll.name}.")
    return found


def _too_near(codes: Sequence[str], outlines: Sequence[shapely.Polygon], gap: float) -> list[str]:
    if len(outlines) < 2:
        return []
    one, other = shapely.STRtree(outlines).query(outlines, predicate="dwithin", distance=gap - WITHIN)
    found = []
    for first, second in zip(one[one < other], other[one < other], strict=True):
        distance = float(shapely.distance(outlines[first], outlines[second]))
        if _overlap(outlines[first], outlines[second]):
            found.append(f"{codes[first]} and {codes[second]} overlap.")
        elif distance < gap - WITHIN:
            found.append(
                f"{codes[first]} and {codes[second]} are {1000 * distance:.1f} mm apart, not {1000 * gap:.1f}."
            )
    return found


def _overlap(one: shapely.Polygon, other: shapely.Polygon) -> bool:
    """Tell whether two outlines lie over each other by more than `WITHIN`; pieces without a gap may touch."""
    if float(shapely.intersection(one, other).area) == 0.0:
        return False
    return bool(shapely.intersects(one.buffer(-WITHIN), other))


def in_order(layout: Layout) -> Layout:
    """Return a layout with its pieces in the order in which they come along the rolls."""
    blanks = layout.problem.blanks

    def place(number: int) -> tuple[int, float, float]:
        lie = layout.lies[number]
        low = np.asarray(lies_at(blanks[lie.blank], lie)).min(axis=0)
        return lie.roll, float(round(low[0], 4)), float(low[1])

    order = sorted(range(len(layout.lies)), key=place)
    return Layout(layout.problem, tuple(layout.lies[number] for number in order), layout.made_by)
