"""A process of its own for what takes longer than a drawing: the newest text first, one study after the other.

In a thread it would take turns with the solver, and an edit would be painted later for it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
import traceback
from collections.abc import Callable, Iterable
from multiprocessing.connection import Connection
from typing import Any

from skirtloft.desk.studies import Asked, Worker

Json = dict[str, Any]
REST = 0.4  # s without another text after which studies are begun
PREFIX = "study-"  # before the name of a study among the looks of a page


class Backroom:
    """Works out the studies that are looked at, in a process that is started when the first is.

    Parameters
    ----------
    report : callable
        Gets every study as data, in a thread of this one.
    """

    def __init__(self, report: Callable[[Json], None]) -> None:
        self._report = report
        self._turn = threading.Condition()
        self._text: tuple[int, str, str, str] | None = None
        self._at = 0.0
        self._wanted: tuple[str, ...] = ()
        self._open = True
        self._process: Any = None
        self._pipe: Connection | None = None
        self.made: dict[str, Json] = {}
        self._thread = threading.Thread(target=self._work, name="backroom", daemon=True)
        self._thread.start()

    def ask(self, revision: int, text: str, layout: str, inflation: str = "") -> None:
        """Have a text studied, with layout and inflation kept beside it; the one before is forgotten."""
        with self._turn:
            self._text, self._at = (revision, text, layout, inflation), time.monotonic() + REST
            self._turn.notify()

    def want(self, names: Iterable[str]) -> None:
        """Say which studies are looked at; others are not made."""
        with self._turn:
            self._wanted = tuple(dict.fromkeys(names))
            self._turn.notify()

    def again(self, *names: str) -> None:
        """Have studies made anew though the text is the same; all of them where none is named."""
        with self._turn:
            for name in names or tuple(self.made):
                self.made.pop(name, None)
            self._turn.notify()

    def close(self) -> None:
        """End the process; what it is doing is lost."""
        with self._turn:
            self._open = False
            self._turn.notify()
        if self._process is not None:
            self._process.terminate()
        self._thread.join(5.0)

    # ------------------------------------------------------------------------------------------------- the thread

    def _work(self) -> None:
        while (asked := self._wait()) is not None:
            data = self._made(asked)
            if not self._open:
                return
            with self._turn:
                self.made[asked.name] = data
            self._report(data)

    def _wait(self) -> Asked | None:
        with self._turn:
            while self._open:
                asked = self._next()
                left = self._at - time.monotonic() if asked is not None else None
                if asked is not None and left is not None and left <= 0.0:
                    return asked
                self._turn.wait(left)
        return None

    def _next(self) -> Asked | None:
        if self._text is None:
            return None
        revision, text, layout, inflation = self._text
        for name in self._wanted:
            made = self.made.get(name)
            if made is None or made["revision"] != revision:
                return Asked(name, revision, text, layout, inflation)
        return None

    def _made(self, asked: Asked) -> Json:
        try:
            pipe = self._to_process()
            pipe.send(asked)
            data: Json = pipe.recv()
            return data
        except (EOFError, OSError):
            self._pipe = None
            why = "The process that works this out ended before it was done."
            return {"type": "study", "name": asked.name, "revision": asked.revision, "why": why}

    def _to_process(self) -> Connection:
        if self._pipe is None:
            context = multiprocessing.get_context("spawn")
            here, there = context.Pipe()
            self._process = context.Process(target=serve, args=(there,), name="studies", daemon=True)
            self._process.start()
            there.close()
            self._pipe = here
        return self._pipe


def serve(pipe: Connection) -> None:
    """Work out studies until the other end of the pipe is closed; what the process does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(10)
    worker = Worker()
    while True:
        try:
            asked: Asked = pipe.recv()
        except EOFError:
            return
        try:
            data = worker.data(asked)
        except Exception:
            traceback.print_exc()
            why = "The program met something it did not expect: that is a fault in it, not in your design."
            data = {"type": "study", "name": asked.name, "revision": asked.revision, "why": why}
        pipe.send(data)
