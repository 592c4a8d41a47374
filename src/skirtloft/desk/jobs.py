"""Long work beside the page, one piece at a time: pack, layout, exact patterns, inflating; progress and cancel."""

from __future__ import annotations

import multiprocessing
import queue
import re
import shutil
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

from skirtloft.desk.answer import Solved
from skirtloft.desk.long_work import WORK, run_work
from skirtloft.desk.pack_job import make_pack

Json = dict[str, Any]
PATIENCE = 3.0  # s that a cancelled job gets before it is ended


class Job:
    """One run of a piece of work; reports as data, in a thread of its own.

    Parameters
    ----------
    of : str
        "pack" or a name of `WORK`.
    solved : Solved
    accept : rules that fail and are accepted by name
    report : callable
        Gets ``{type: job, of, state: running|done|failed|cancelled, done, total, what, why}``, and studies.
    kept : str
        What the work goes on from: the text of the layout that is kept.
    ended : callable
        Gets what there is to keep when the work is done.
    """

    def __init__(
        self,
        of: str,
        solved: Solved,
        accept: tuple[str, ...],
        report: Callable[[Json], None],
        kept: str = "",
        ended: Callable[[str], None] = lambda _: None,
    ) -> None:
        context = multiprocessing.get_context("spawn")
        project = solved.skirt.design.project
        self.of, self.revision, self._ended = of, solved.revision, ended
        self.study: Json | None = None
        self.name = re.sub(r"[^A-Za-z0-9]+", "-", f"{project.name}-{project.revision}").strip("-").lower() or "craft"
        self.name += "-pack"
        self.zip: Path | None = None
        self.state: Json = self._state("running", 0, 0, "")
        self._report = report
        self._place = Path(tempfile.mkdtemp(prefix="skirtloft-"))
        self._told: Any = context.Queue()
        self._stop = context.Event()
        if of == "pack":
            pack = (solved.text, str(self._place / self.name), accept, (kept, solved.inflation), self._told, self._stop)
            self._process: Any = context.Process(target=make_pack, args=pack)
        else:
            work = (of, solved.revision, solved.text, kept, self._told, self._stop)
            self._process = context.Process(target=run_work, args=work)  # no daemon: the layout has its own processes
        self._process.start()
        threading.Thread(target=self._watch, name="job", daemon=True).start()

    @property
    def is_running(self) -> bool:
        """True until it is done, failed or cancelled."""
        return bool(self.state["state"] == "running")

    def cancel(self) -> None:
        """Ask it to stop at the next file."""
        self._stop.set()

    def close(self) -> None:
        """Stop it and remove what it wrote."""
        self._stop.set()
        self._process.join(PATIENCE)
        if self._process.is_alive():
            self._process.terminate()
        shutil.rmtree(self._place, ignore_errors=True)

    def _watch(self) -> None:
        while True:
            try:
                told = self._told.get(timeout=0.5)
            except queue.Empty:
                if self._process.is_alive():
                    continue
                told = ("failed", "The work ended before it was done.")
            if told[0] == "progress":
                self._tell(self._state("running", told[1], told[2], told[3]))
                continue
            if told[0] == "best":
                self.study = told[1]
                self._report(told[1])
                continue
            if told[0] == "done":
                if self.of == "pack":
                    self.zip = Path(told[1])
                else:
                    self._ended(told[1])
            why = told[1] if told[0] == "failed" else ""
            self._tell({**self._state(told[0], 1, 1, ""), "why": why})
            return

    def _tell(self, state: Json) -> None:
        self.state = state
        self._report(state)

    def _state(self, state: str, done: int, total: int, what: str) -> Json:
        return {"type": "job", "of": self.of, "state": state, "done": done, "total": total, "what": what, "why": "",
                "revision": self.revision, "name": self.name}  # fmt: skip


JOBS = ("pack", *WORK)
