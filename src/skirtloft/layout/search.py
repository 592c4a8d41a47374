"""A quick layout at once, and better ones for as long as there is time.

A taste is four numbers that nobody can know beforehand. So the quick layout tries a fixed handful of them, the same
every time, and the search goes on from the best: it keeps the first part of a layout, lays the rest by another taste
near one that did well, and keeps what is shorter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from skirtloft.errors import ShapeError
from skirtloft.layout.front import Step, Strips, Taste, lay, strips, to_layout, used
from skirtloft.layout.types import Layout, Problem

# Lost, touch, near, open: between them the best for three examples and their two cloths of some hundred drawn at random
# (benchmarks/layout_tastes.py).
QUICK = (
    (0.562, 0.094, 0.112, 2),
    (0.863, 1.792, 4.527, 9),
    (0.204, 0.599, 4.603, 2),
    (0.297, 0.475, 3.772, 9),
    (0.751, 1.966, 4.65, 2),
    (0.244, 0.059, 0.18, 9),
)
OPEN = (1, 2, 9)
QUICK_NAME, SEARCH_NAME = "quick", "searched"

Found = Callable[[Layout], None]


def quick_layout(problem: Problem) -> Layout:
    """Return a layout at once, the same for the same pieces.

    Raises
    ------
    ShapeError
        A piece is wider than every roll, or longer than it.
    """
    inside = strips(problem)
    return to_layout(inside, quick_steps(inside), QUICK_NAME)


def search(
    problem: Problem,
    found: Found,
    going: Callable[[], bool],
    seed: int = 0,
    start: tuple[Step, ...] | None = None,
) -> None:
    """Look for layouts better than the quick one until told to stop; each that beats all before goes to `found`.

    Parameters
    ----------
    found : callable
        Takes a layout.
    going : callable
        False when it is time to stop; asked before every try.
    seed : int
        The same seed tries the same layouts in the same order.
    start : tuple of Step or None
        The quick layout, where it has been made already.

    Raises
    ------
    ShapeError
        As `quick_layout`.
    """
    inside = strips(problem)
    best = quick_steps(inside) if start is None else start
    random = np.random.default_rng(seed)
    tries = _tries(inside, best, random)
    while going():
        steps = next(tries)
        if steps is not None:
            found(to_layout(inside, steps, SEARCH_NAME))


def quick_steps(inside: Strips) -> tuple[Step, ...]:
    """Return the steps of the quick layout.

    Raises
    ------
    ShapeError
        As `quick_layout`.
    """
    even = (1.0,) * len(inside.problem.blanks)
    laid = [lay(inside, Taste(lost, touch, near, even, shown)) for lost, touch, near, shown in QUICK]
    whole = [steps for steps in laid if steps is not None]
    if not whole:
        raise _too_large(inside)
    return min(whole, key=lambda steps: used(inside, steps))


def _too_large(inside: Strips) -> ShapeError:
    problem = inside.problem
    room = max(roll.width for roll in problem.rolls) - 2.0 * problem.margin
    least: dict[int, float] = {}
    for shape in inside.shapes:
        outline = problem.blanks[shape.blank].outline
        least[shape.blank] = float(np.ptp(outline[:, 1]))
    worst = max(least, key=lambda blank: least[blank])
    return ShapeError(
        f"piece {problem.blanks[worst].code} on the {problem.cloth} cloth",
        f"It is {1000 * least[worst]:.0f} mm across the warp; the roll has {1000 * room:.0f} mm between its margins.",
        "Choose a wider roll, turn the warp of this cloth, or divide the panel with another station.",
    )


def _tries(inside: Strips, best: tuple[Step, ...], random: np.random.Generator) -> Iterator[tuple[Step, ...] | None]:
    """Yield better steps, or None after a try that was no better."""
    count = len(inside.problem.blanks)
    now, near, shown = best, np.array(QUICK[0][:3]), QUICK[0][3]
    least = length = used(inside, best)
    heat = 0.01
    while True:
        if random.random() < 0.3:
            three, look = 10.0 ** random.uniform((-0.7, -2.0, -1.0), (0.8, 0.3, 0.7)), int(random.choice(OPEN))
        else:
            three, look = near * np.exp(0.3 * random.standard_normal(3)), shown
        spread = random.choice((0.0, 0.1, 0.4))
        taste = Taste(
            float(three[0]), float(three[1]), float(three[2]), tuple(1.0 + spread * random.standard_normal(count)), look
        )
        keep = int(len(now) * random.uniform(-0.3, 0.97))
        steps = lay(inside, taste, now[:keep] if keep > 0 else ())
        better = None
        if steps is not None:
            made = used(inside, steps)
            if made[0] < length[0] or (made[0] == length[0] and made[1] < length[1] * (1.0 + heat * random.random())):
                now, length = steps, made
                near, shown = np.array(three), look
            if made < least:
                best, least, better = steps, made, steps
        heat *= 0.995
        if random.random() < 0.02:
            now, length = best, least
        yield better
