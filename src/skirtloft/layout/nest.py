"""Nesting by spyrrow: what it is told, and its answers made into layouts.

It needs guarding. A bad outline raises a `BaseException`, so outlines are checked first and everything is caught. The
distance it keeps between pieces it keeps to the edges of the strip as well, so the strip is told wider by as much. It
cannot be stopped while it works and Ctrl-C does not reach it: call it only in a process of its own, see
`skirtloft.layout.better`. What it finds depends on the clock, whatever the seed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from threading import Event, Thread
from typing import Any

import numpy as np
import shapely

from skirtloft.errors import SolveError
from skirtloft.layout.blanks import laid
from skirtloft.layout.closer import closer
from skirtloft.layout.types import Layout, Lie
from skirtloft.layout.verify import faults
from skirtloft.maths.frozen import Floats

MM = 1000.0
SLACK = 0.0002  # [m] added to an outline, and then as much taken away in detail: it never comes short of the true one
POLL = 0.2  # [s]
NAME = "nested"
Key = tuple[int, bool]  # number of the blank, flipped


def nest(
    base: Layout,
    seconds: int,
    found: Callable[[Layout], None],
    *,
    seed: int = 0,
    workers: int | None = 1,
    push: bool = True,
) -> None:
    """Nest the pieces that `base` puts on its last roll anew; every layout that comes of it is handed to `found`.

    Parameters
    ----------
    base : Layout
        A whole layout; what it puts on the rolls before the last stays there.
    seconds : int
        How long to work.
    found : callable
        Takes a layout, which is **not** verified yet.
    workers : int or None
        Threads; None for one on each core.
    push : bool
        Push the pieces together afterwards.

    Raises
    ------
    SolveError
        It refused or failed.
    """
    last = max(lie.roll for lie in base.lies)
    counts = Counter((lie.blank, lie.flipped) for lie in base.lies if lie.roll == last)
    outlines = {key: plain_outline(base, *key) for key in counts}
    try:
        import spyrrow

        instance = _instance(spyrrow, base, last, counts, outlines)
        config = spyrrow.StripPackingConfig(
            early_termination=False,
            min_items_separation=base.problem.gap * MM or None,
            total_computation_time=seconds,
            num_workers=workers,
            seed=seed,
        )
        _solve(spyrrow, instance, config, lambda placed: found(_layout(base, last, placed, push)))
    except (KeyboardInterrupt, SystemExit, GeneratorExit):
        raise
    except BaseException as error:  # its panics are no Exception
        raise SolveError("nesting", float("nan"), f"The nester gave up: {str(error)[:200]}") from None


def plain_outline(base: Layout, blank: int, flipped: bool) -> Floats:
    """Return a simple outline round a blank, with less detail and never short of it, (n, 2) [m].

    Raises
    ------
    SolveError
        The outline crosses itself.
    """
    polygon = shapely.Polygon(laid(base.problem.blanks[blank].outline, False, flipped))
    round_it = polygon.buffer(SLACK, join_style="mitre").simplify(SLACK / 2.0)
    if not polygon.is_valid or round_it.geom_type != "Polygon" or not round_it.contains(polygon):
        raise SolveError(
            "nesting",
            float("nan"),
            f"The outline of {base.problem.blanks[blank].code} crosses itself; see its template.",
        )
    return np.asarray(shapely.get_coordinates(round_it.exterior)[:-1])


def _instance(spyrrow: Any, base: Layout, last: int, counts: Counter[Key], outlines: dict[Key, Floats]) -> Any:
    problem = base.problem
    items = [
        spyrrow.Item(
            f"{blank}{'f' if flipped else ''}",
            [(float(x) * MM, float(y) * MM) for x, y in outlines[blank, flipped]],
            count,
            [180.0 * turned for turned in _turns(base, blank, flipped)],
        )
        for (blank, flipped), count in counts.items()
    ]
    height = problem.rolls[last].width - 2.0 * problem.margin + 2.0 * problem.gap + 2.0 * SLACK
    return spyrrow.StripPackingInstance(problem.cloth, height * MM, items)


def _turns(base: Layout, blank: int, flipped: bool) -> list[bool]:
    return [turned for turned, over in base.problem.blanks[blank].lies if over == flipped]


def _solve(spyrrow: Any, instance: Any, config: Any, found: Callable[[Sequence[Any]], None]) -> None:
    """Solve in a thread and hand over every feasible report as it comes."""
    queue, done, failed = spyrrow.ProgressQueue(), Event(), list[BaseException]()

    def work() -> None:
        try:
            instance.solve(config, queue)
        except BaseException as error:
            failed.append(error)
        finally:
            done.set()

    Thread(target=work, daemon=True).start()
    feasible = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas, spyrrow.ReportType.Final)
    finished = False
    while not finished:
        finished = done.wait(POLL)
        reports = [solution for kind, solution in queue.drain() if kind in feasible]
        if reports:
            found(min(reports, key=lambda solution: float(solution.width)).placed_items)
    if failed:
        raise failed[0]


def _layout(base: Layout, last: int, placed: Sequence[Any], push: bool) -> Layout:
    problem = base.problem
    aside = problem.margin - problem.gap - SLACK
    lies = [lie for lie in base.lies if lie.roll != last]
    for item in placed:
        flipped = item.id.endswith("f")
        x, y = (float(value) / MM + aside for value in item.translation)
        lies.append(Lie(int(item.id.removesuffix("f")), last, abs(item.rotation % 360.0 - 180.0) < 1.0, flipped, x, y))
    layout = Layout(problem, tuple(lies), NAME)
    pushed = closer(layout) if push else layout
    return layout if faults(pushed) else pushed
