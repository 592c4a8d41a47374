"""Better layouts for as long as there is time: two ways of looking for them, each in a process of its own.

One goes on from the quick layout (`skirtloft.layout.search`), the other nests from nothing (`skirtloft.layout.nest`);
each is good where the other is not. Both report every layout that is shorter; it is verified here before it counts, and
the best one stands whatever happens to the processes: time runs out, somebody cancels, or one of them fails.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.queues import Queue
from queue import Empty
from typing import Any

from skirtloft.errors import SkirtloftError
from skirtloft.layout.front import Step, strips, to_layout
from skirtloft.layout.nest import nest
from skirtloft.layout.search import QUICK_NAME, quick_steps, search
from skirtloft.layout.types import Layout, Problem
from skirtloft.layout.verify import faults, in_order, length_used

POLL = 0.1  # [s]
GRACE = 2.0  # [s] that a process gets to end before it is ended
LAST = 0.3  # [s] kept for handing over: nesting gains most at its end, so it must not be cut off
FEW = 60  # up to so many pieces nesting gains more than searching, so it may use every core
SHORT_SEARCH = 0.1  # of the time that searching gets then: what it finds at once, and the cores are free for nesting
NICE = 5
Told = tuple[str, Layout | None, str]
Progress = Callable[[float, Layout], None]


@dataclass(frozen=True, eq=False)
class Improved:
    """The best layout found.

    Parameters
    ----------
    layout : Layout
        Verified.
    quick : Layout
        What it started from.
    seconds : float [s]
        How long was looked.
    cancelled : bool
    troubles : tuple of str
        What went wrong on the way, as sentences; the layout is sound all the same.
    """

    layout: Layout
    quick: Layout
    seconds: float
    cancelled: bool
    troubles: tuple[str, ...]


def improve(
    problem: Problem,
    seconds: float,
    progress: Progress = lambda spent, best: None,
    cancelled: Callable[[], bool] = lambda: False,
    *,
    start: Layout | None = None,
    seed: int = 0,
) -> Improved:
    """Return the best layout found within some seconds.

    Parameters
    ----------
    problem : Problem
    seconds : float [s]
        0 gives the quick layout.
    progress : callable
        Called about ten times a second with the seconds spent and the best layout so far.
    cancelled : callable
        True ends the work; so does Ctrl-C. The best layout so far is returned.
    start : Layout or None
        A layout of the same problem to beat, such as a saved one.
    seed : int

    Raises
    ------
    ShapeError
        A piece does not fit on any roll.
    """
    began = time.monotonic()
    inside = strips(problem)
    steps = quick_steps(inside)
    quick = in_order(to_layout(inside, steps, QUICK_NAME))
    best = quick
    if start is not None and not faults(start) and length_used(start) < length_used(best):
        best = start
    if seconds <= 0.0:
        return Improved(best, quick, time.monotonic() - began, False, ())
    troubles: list[str] = []
    stopped = False
    with _deaf():
        queue, workers = _start(quick, steps, seconds - (time.monotonic() - began), seed)
    try:
        while time.monotonic() - began < seconds and any(worker.is_alive() for worker in workers):
            best = _take(queue, best, troubles)
            progress(time.monotonic() - began, best)
            if cancelled():
                stopped = True
                break
    except KeyboardInterrupt:
        stopped = True
    finally:
        best = _drain(queue, best, troubles)
        _end(workers)
    return Improved(best, quick, time.monotonic() - began, stopped, tuple(dict.fromkeys(troubles)))


def _start(quick: Layout, steps: tuple[Step, ...], seconds: float, seed: int) -> tuple[Any, list[Any]]:
    """Start both processes; each is new, so that nothing of this one is copied into it."""
    context = multiprocessing.get_context("spawn")
    queue: Any = context.Queue()
    parent = os.getpid()
    workers: list[Any] = [
        context.Process(target=_search, args=(queue, parent, quick.problem, steps, seconds, seed), daemon=True),
        context.Process(target=_nest, args=(queue, parent, quick, time.time() + seconds, seed), daemon=True),
    ]
    for worker in workers:
        worker.start()
    return queue, workers


@contextmanager
def _deaf() -> Iterator[None]:
    """Keep Ctrl-C from the processes that are started here: that it is ignored they inherit, from the first moment."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _take(queue: Any, best: Layout, troubles: list[str]) -> Layout:
    try:
        told: Told = queue.get(timeout=POLL)
    except Empty:
        return best
    return _better_of(told, best, troubles)


def _drain(queue: Any, best: Layout, troubles: list[str]) -> Layout:
    while True:
        try:
            told: Told = queue.get(timeout=0.02)
        except (Empty, EOFError, OSError):
            return best
        best = _better_of(told, best, troubles)


def _better_of(told: Told, best: Layout, troubles: list[str]) -> Layout:
    name, layout, trouble = told
    if layout is None:
        troubles.append(f"{name}: {trouble}")
        return best
    if length_used(layout) >= length_used(best):
        return best
    wrong = faults(layout)
    if wrong:
        troubles.append(f"{name}: a layout was not sound and is not used. {wrong[0]}")
        return best
    return in_order(layout)


def _end(workers: list[Any]) -> None:
    for worker in workers:
        worker.terminate()
    until = time.monotonic() + GRACE
    for worker in workers:
        worker.join(max(0.0, until - time.monotonic()))
        if worker.is_alive():
            worker.kill()
            worker.join()


# ----------------------------------------------------------------------------------------------- in the new processes


def _search(
    queue: Queue[Told], parent: int, problem: Problem, steps: tuple[Step, ...], seconds: float, seed: int
) -> None:
    _be_humble()
    until = time.monotonic() + (SHORT_SEARCH * seconds if problem.count <= FEW else seconds)
    try:
        search(
            problem,
            lambda layout: queue.put(("search", layout, "")),
            lambda: time.monotonic() < until and os.getppid() == parent,
            seed,
            steps,
        )
    except SkirtloftError as error:
        queue.put(("search", None, str(error)))


def _nest(queue: Queue[Told], parent: int, quick: Layout, until: float, seed: int) -> None:
    """Nest till the clock says `until`: how long this process took to begin, longer on a busy machine, is off that."""
    _be_humble()
    best = [length_used(quick)]

    def found(layout: Layout) -> None:
        if os.getppid() != parent:
            os._exit(1)
        length = length_used(layout)
        if length < best[0]:
            best[0] = length
            queue.put(("nesting", layout, ""))

    try:
        threads = None if quick.problem.count <= FEW else 1
        nest(quick, max(1, int(until - time.time() - LAST)), found, seed=seed, workers=threads)
    except SkirtloftError as error:
        queue.put(("nesting", None, str(error)))


def _be_humble() -> None:
    """Leave Ctrl-C to the process that started this one, and the machine to whoever sits at it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(NICE)
