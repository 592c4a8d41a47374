"""Which tastes lay out well: some hundred at random for every example and cloth, then the few that cover them best.

    python benchmarks/layout_tastes.py [SECONDS]

`skirtloft.layout.search.QUICK` is the first six that this printed.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from skirtloft.design.read import load_design
from skirtloft.layout.blanks import problems
from skirtloft.layout.front import Taste, lay, strips, used
from skirtloft.layout.search import OPEN
from skirtloft.pipeline import build

EXAMPLES = Path(__file__).parents[1] / "examples"


def main(words: list[str]) -> None:
    """Print the tastes that together do best, one after another, with the use of each roll so far."""
    seconds = float(words[0]) if words else 90.0
    designs = [load_design(EXAMPLES / f"{name}.toml") for name in ("one-seat", "four-seat", "ten-seat")]
    all_strips = [strips(one) for design in designs for one in problems(design, build(design).pieces)]
    random, tried, uses = np.random.default_rng(0), [], []
    began = time.monotonic()
    while time.monotonic() - began < seconds:
        three, shown = 10.0 ** random.uniform((-0.7, -2.0, -1.0), (0.8, 0.3, 0.7)), int(random.choice(OPEN))
        row = []
        for one in all_strips:
            even = (1.0,) * len(one.problem.blanks)
            steps = lay(one, Taste(float(three[0]), float(three[1]), float(three[2]), even, shown))
            assert steps is not None
            row.append(one.problem.area / one.problem.rolls[0].width / used(one, steps)[1])
        tried.append((three.round(3).tolist(), shown))
        uses.append(row)
    table, best = np.array(uses), np.zeros(len(all_strips))
    print(f"{len(tried)} tastes; the best of all for each: {table.max(axis=0).round(4)}")
    for _ in range(8):
        chosen = int(np.maximum(table, best).sum(axis=1).argmax())
        best = np.maximum(best, table[chosen])
        print(*tried[chosen], best.round(4))


if __name__ == "__main__":
    main(sys.argv[1:])
