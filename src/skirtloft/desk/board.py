"""Long work: what is being done, what was shown of it last; one piece at a time, so that the page stays quick."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from skirtloft.desk.answer import Solved
from skirtloft.desk.jobs import JOBS, Job
from skirtloft.errors import Problem

Json = dict[str, Any]


class Board:
    """Begins and cancels long work.

    Parameters
    ----------
    report : callable
        Gets every state and study, in a thread of the work.
    layout : callable
        Returns the text of the layout that is kept.
    keep : callable
        Gets the name of the work and the text of what it found, in a thread of the work.
    """

    def __init__(
        self, report: Callable[[Json], None], layout: Callable[[], str], keep: Callable[[str, str], None]
    ) -> None:
        self._report, self._layout, self._keep = report, layout, keep
        self._jobs: dict[str, Job] = {}

    @property
    def pack(self) -> Job | None:
        """The pack that was asked for last."""
        return self._jobs.get("pack")

    def begin(self, what: str, solved: Solved | None, accept: tuple[str, ...]) -> Problem | None:
        """Begin a piece of work on a design; return why not."""
        if what not in JOBS:
            return Problem("", what, "There is no such work.", f"One of {', '.join(JOBS)}.")
        if any(job.is_running for job in self._jobs.values()):
            return Problem("", "", "Other work is being done already.", "Wait for it, or cancel it.")
        if solved is None:
            return Problem("", "", "The design as it stands does not solve.", "Mend it first, or go back a step.")
        if what in self._jobs:
            self._jobs.pop(what).close()
        self._jobs[what] = Job(what, solved, accept, self._report, self._layout(), partial(self._keep, what))
        self._report(self._jobs[what].state)
        return None

    def cancel(self) -> None:
        """Ask what is being done to stop; what it has found by then is shown."""
        for job in self._jobs.values():
            if job.is_running:
                job.cancel()

    def news(self) -> list[Json]:
        """Return every state and the last study of each, for a page that has just opened."""
        studies = [job.study for job in self._jobs.values() if job.study is not None and job.of != "layout"]
        return [*(job.state for job in self._jobs.values()), *studies]

    def close(self) -> None:
        """Stop everything and remove what it wrote."""
        for job in self._jobs.values():
            job.close()
