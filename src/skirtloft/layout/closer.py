"""Pushing the pieces of a layout together towards the start of their rolls, each as far as those before it let it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from skirtloft.layout.blanks import laid, lies_at
from skirtloft.layout.rows import grown, rows
from skirtloft.layout.types import Layout, Lie

FINE = 0.001  # [m] height of a row: finer than for laying, since every piece is looked at once


def closer(layout: Layout, height: float = FINE) -> Layout:
    """Return a layout with every piece at the same distance from the selvedge and never further along its roll.

    Notes
    -----
    Pieces are taken in order of their near starts. In rows of `height` the reach of a piece is told a little too great
    and never too small; a piece that seems to lie too near already, as in the hollow of another, stays. Where a piece
    reaches back below one that begins before it, the result may be unsound: verify it.
    """
    problem = layout.problem
    blanks, moved = problem.blanks, dict[int, Lie]()
    starts = [float(lies_at(blanks[lie.blank], lie)[:, 0].min()) for lie in layout.lies]
    fronts = [
        np.full(int(np.ceil((roll.width + 2.0 * problem.gap) / height)) + 1, problem.margin - problem.gap / 2.0)
        for roll in problem.rolls
    ]
    for number in np.argsort(starts, kind="stable"):
        lie = layout.lies[number]
        outline = laid(blanks[lie.blank].outline, lie.turned, lie.flipped, lie.x, lie.y)
        low = float(grown(outline, problem.gap / 2.0)[:, 1].min()) + problem.gap  # from a line below the selvedge
        first = int(low // height)
        piece = rows(outline, problem.gap, height, raised=low - first * height)
        front = fronts[lie.roll][first : first + len(piece.left)]
        reach = piece.left[: len(front)] + piece.corner[0], piece.right[: len(front)] + piece.corner[0]
        by = min(0.0, float((front - reach[0]).max()))
        moved[int(number)] = replace(lie, x=lie.x + by)
        front[:] = np.maximum(front, reach[1] + by)
    return Layout(problem, tuple(moved[number] for number in range(len(layout.lies))), layout.made_by)
