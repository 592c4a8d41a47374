"""The thread that solves and draws: the newest text first, then what somebody is looking at."""

from __future__ import annotations

import threading
import time
import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from skirtloft.desk.answer import Refused, Solved, answer_data, cut, refusal_data, solve
from skirtloft.desk.drawings import drawing_data, needs_pieces
from skirtloft.desk.surface import surface_block
from skirtloft.errors import SkirtloftError

Json = dict[str, Any]
SOLID = "solid"
REST = 0.25  # s without an edit after which the pieces are cut
KEPT = "kept:"  # before the name of a drawing: the same drawing of the kept variant


@dataclass(frozen=True, eq=False)
class Made:
    """Something for pages: its slot (a newer one replaces it), the text or bytes, the revision it belongs to."""

    slot: str
    data: Json | bytes
    revision: int

    @property
    def is_refusal(self) -> bool:
        """True where it says that no skirt comes of the text."""
        return not isinstance(self.data, bytes) and self.data["type"] == "refused"


class _PutOffError(Exception):
    """A new text came while the pieces were cut."""


class Bench:
    """Solves the newest text and draws what is wanted, in a thread of its own.

    Parameters
    ----------
    report : callable
        Gets every `Made`, in the bench's thread.
    """

    def __init__(self, report: Callable[[Made], None]) -> None:
        self._report = report
        self._turn = threading.Condition()
        self._asked: tuple[int, str] | None = None
        self._wanted: tuple[str, ...] = ()
        self._drawn: set[str] = set()
        self._open = True
        self._is_uncut, self._cut_at = False, 0.0
        self.solved: Solved | None = None
        self.whole: Solved | None = None  # the newest with its pieces
        self.kept: Solved | None = None
        self.answer: Made | None = None
        self.made: dict[str, Made] = {}
        self._thread = threading.Thread(target=self._work, name="bench", daemon=True)
        self._thread.start()

    def ask(self, revision: int, text: str) -> None:
        """Have a text solved; one that still waits is forgotten."""
        with self._turn:
            self._asked = (revision, text)
            self._turn.notify()

    def want(self, names: Iterable[str]) -> None:
        """Say which drawings are looked at, the most urgent first; others are not made."""
        with self._turn:
            self._wanted = tuple(dict.fromkeys(names))
            self._turn.notify()

    def keep(self, solved: Solved | None) -> None:
        """Keep a variant to compare with, or none."""
        with self._turn:
            self.kept = solved
            self._drawn = {name for name in self._drawn if not name.startswith(KEPT)}
            self._turn.notify()

    def close(self) -> None:
        """End the thread after what it is doing."""
        with self._turn:
            self._open = False
            self._turn.notify()
        self._thread.join(timeout=10.0)

    # ------------------------------------------------------------------------------------------------- the thread

    def _work(self) -> None:
        while (turn := self._wait()) is not None:
            asked, name = turn
            if asked is not None:
                self._solve(*asked)
            elif name is not None:
                self._draw(name)
            else:
                self._cut()

    def _wait(self) -> tuple[tuple[int, str] | None, str | None] | None:
        """Wait for something to do: a text, then a drawing, then, when no text has come for a while, the pieces."""
        with self._turn:
            while self._open:
                if self._asked is not None:
                    asked, self._asked = self._asked, None
                    return asked, None
                if (name := self._next()) is not None:
                    return None, name
                left = self._cut_at - time.monotonic() if self._is_uncut else None
                if left is not None and left <= 0.0:
                    return None, None
                self._turn.wait(left)
        return None

    def _next(self) -> str | None:
        """Return the first drawing that is wanted and can be made of what is solved now."""
        for name in self._wanted:
            source = self.kept if name.startswith(KEPT) else self.solved
            if source is None or name in self._drawn:
                continue
            if source.is_whole or not needs_pieces(name.removeprefix(KEPT)):
                return name
        return None

    def _solve(self, revision: int, text: str) -> None:
        self._take(self._tried(lambda: solve(revision, text), revision))

    def _cut(self) -> None:
        """Cut the pieces; a new text puts that off."""
        self._is_uncut = False
        solved = self.solved
        if solved is None:
            return
        try:
            found = self._tried(lambda: cut(solved, self._give_way), solved.revision)
        except _PutOffError:
            self._is_uncut = True
            return
        self._take(found)

    def _give_way(self) -> None:
        if self._asked is not None:
            raise _PutOffError

    def _tried(self, work: Callable[[], Solved | Refused], revision: int) -> Solved | Refused | Json:
        """Return what work makes; a fault of ours must not end the desk: the page says so, the text is still there."""
        try:
            return work()
        except _PutOffError:
            raise
        except Exception:
            traceback.print_exc()
            return _our_fault(revision)

    def _take(self, found: Solved | Refused | Json) -> None:
        """Keep what was found and report it."""
        if isinstance(found, Solved):
            with self._turn:
                if not found.is_whole:
                    self._drawn = {name for name in self._drawn if name.startswith(KEPT)}
                self._is_uncut, self._cut_at = not found.is_whole, time.monotonic() + REST
                self.solved = found
                self.whole = found if found.is_whole else self.whole
            self.answer = Made("answer", answer_data(found), found.revision)
        elif isinstance(found, Refused):
            self._is_uncut = False
            self.answer = Made("answer", refusal_data(found), found.revision)
        else:
            self._is_uncut = False
            self.answer = Made("answer", found, found["revision"])
        self._report(self.answer)

    def _draw(self, name: str) -> None:
        with self._turn:
            solved = self.kept if name.startswith(KEPT) else self.solved
            self._drawn.add(name)
        if solved is None:
            return
        plain = name.removeprefix(KEPT)
        data: Json | bytes
        try:
            if plain == SOLID:
                data = surface_block(solved.skirt, solved.revision, name)
            else:
                data = {**drawing_data(solved, plain), "name": name}
        except KeyError:
            data = {"type": "drawing", "name": name, "revision": solved.revision, "missing": True}
        except SkirtloftError as error:
            data = {"type": "drawing", "name": name, "revision": solved.revision, "missing": True, "why": str(error)}
        except Exception:
            traceback.print_exc()
            data = {"type": "drawing", "name": name, "revision": solved.revision, "missing": True}
        made = Made(f"drawing:{name}", data, solved.revision)
        self.made[name] = made
        self._report(made)


def _our_fault(revision: int) -> Json:
    return {
        "type": "refused",
        "revision": revision,
        "kind": "ours",
        "problems": [],
        "reason": "The program met something it did not expect: that is a fault in it, not in your design.",
        "would_do": "Go back one step; your text is kept.",
    }
