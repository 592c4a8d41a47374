"""How much of the roll the pieces use: the quick layout, `improve`, and spyrrow alone for the same time, in one run.

    python benchmarks/layout_use.py [SECONDS] [EXAMPLE ...]

spyrrow alone gets the true width, every core, and as many seconds; `improve` gets two processes of one thread each and
the same seconds. Use is the area of the pieces over that of the cloth from the end of the roll to the last piece.
"""

from __future__ import annotations

import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from skirtloft.design.read import load_design
from skirtloft.layout.better import improve
from skirtloft.layout.blanks import problems
from skirtloft.layout.nest import nest
from skirtloft.layout.search import quick_layout
from skirtloft.layout.types import Layout, Problem
from skirtloft.layout.verify import faults, roll_uses
from skirtloft.pipeline import build

EXAMPLES = Path(__file__).parents[1] / "examples"


def use_of(layout: Layout) -> float:
    """Return the use of the last roll."""
    return roll_uses(layout)[-1].use


def nested_alone(problem: Problem, seconds: int) -> Layout:
    """Return the best sound layout of spyrrow alone, as it gives it."""
    best: list[Layout] = []

    def found(layout: Layout) -> None:
        if not faults(layout) and (not best or use_of(layout) > use_of(best[0])):
            best[:] = [layout]

    nest(quick_layout(problem), seconds, found, workers=None, push=False)
    return best[0]


def main(words: list[str]) -> None:
    """Print one line for each example and cloth."""
    seconds = int(words[0]) if words else 20
    print(f"{seconds} s each; use of the roll")
    for name in words[1:] or ["one-seat", "four-seat", "ten-seat"]:
        design = load_design(EXAMPLES / f"{name}.toml")
        for problem in problems(design, build(design).pieces):
            began = time.perf_counter()
            quick = quick_layout(problem)
            spent = time.perf_counter() - began
            with ProcessPoolExecutor(1, get_context("spawn"), os.nice, (5,)) as pool:  # as `improve` runs its own
                alone = pool.submit(nested_alone, problem, seconds).result()
            better = improve(problem, seconds)
            assert not faults(better.layout)
            print(
                f"{name:10} {problem.cloth:8} {problem.count:4} pieces  quick {use_of(quick):.4f} in {spent:.2f} s"
                f"  spyrrow alone {use_of(alone):.4f}  improved {use_of(better.layout):.4f} ({better.layout.made_by})"
                f"  {'; '.join(better.troubles)}",
                flush=True,
            )


if __name__ == "__main__":
    main(sys.argv[1:])
