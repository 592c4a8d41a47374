"""The thread that solves and draws, the newest text first.

Of a new text first the shape is made, then what is looked at and needs no more, then everything else that is said of
the skirt, then the other drawings and, after a rest, the pieces. Whatever is behind a newer text is left out.
"""

from __future__ import annotations

import threading
import time
import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, TypeVar

from skirtloft.desk.answer import Refused, Sketched, Solved, answer_data, cut, finish, refusal_data, sketch
from skirtloft.desk.drawings import can_be_sketched, drawing_data, needs_pieces, sketch_data
from skirtloft.desk.surface import surface_block
from skirtloft.errors import SkirtloftError

Json = dict[str, Any]
Found = TypeVar("Found")
SOLID = "solid"
SOON = 0.04  # s without an edit after which more than the shape is worked out
LATEST = 0.5  # s after which it is worked out though edits go on: a long drag must not leave the verdict behind
REST = 0.3  # s without an edit after which the pieces are cut
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
        self._asked: tuple[int, str, str] | None = None
        self._wanted: tuple[str, ...] = ()
        self._drawn: set[str] = set()
        self._open = True
        self._sketched: Sketched | None = None  # until it is finished
        self._sketches: set[str] = set()  # drawn of it
        self._finish_at, self._finished_at = 0.0, 0.0
        self._is_uncut, self._cut_at = False, 0.0
        self.solved: Solved | None = None
        self.whole: Solved | None = None  # the newest with its pieces
        self.kept: Solved | None = None
        self.answer: Made | None = None
        self.made: dict[str, Made] = {}
        self._thread = threading.Thread(target=self._work, name="bench", daemon=True)
        self._thread.start()

    def ask(self, revision: int, text: str, inflation: str = "") -> None:
        """Have a text solved, with the inflation saved beside it; one that still waits is forgotten."""
        with self._turn:
            self._asked = (revision, text, inflation)
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

    def revisions(self, name: str) -> tuple[int, ...]:
        """Return the revisions of which a drawing of that name is not outdated."""
        sources = (self.kept,) if name.startswith(KEPT) else (self.solved, self._sketched)
        return tuple(source.revision for source in sources if source is not None)

    def close(self) -> None:
        """End the thread after what it is doing."""
        with self._turn:
            self._open = False
            self._turn.notify()
        self._thread.join(timeout=10.0)

    # ------------------------------------------------------------------------------------------------- the thread

    def _work(self) -> None:
        while (turn := self._wait()) is not None:
            turn()

    def _wait(self) -> Callable[[], None] | None:
        """Wait for something to do, the most urgent first; None when the desk is closed."""
        with self._turn:
            while self._open:
                left: float | None = None
                if self._asked is not None:
                    asked, self._asked = self._asked, None
                    return partial(self._sketch, *asked)
                if (sketched := self._sketched) is not None:
                    if (name := self._next_sketch()) is not None:
                        return partial(self._draw_sketch, sketched, name)
                    left = self._finish_at - time.monotonic()
                    if left <= 0.0:
                        return partial(self._finish, sketched)
                elif (name := self._next()) is not None:
                    return partial(self._draw, name)
                elif self._is_uncut:
                    left = self._cut_at - time.monotonic()
                    if left <= 0.0:
                        return self._cut
                self._turn.wait(left)
        return None

    def _next_sketch(self) -> str | None:
        """Return the first drawing that is wanted, needs no more than the shape and is not made of it.

        A section with a diaphragm waits: where it is held and whether it is taut are not known yet.
        """
        sketched = self._sketched
        is_plain = sketched is not None and sketched.skirt.design.skirt.diaphragm is None
        for name in self._wanted:
            if name not in self._sketches and (name == SOLID or (is_plain and can_be_sketched(name))):
                return name
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

    def _sketch(self, revision: int, text: str, inflation: str) -> None:
        failed = self.solved.stamp.failed if self.solved else ()
        found = self._tried(lambda: sketch(revision, text, failed, inflation), revision)
        self._sketches = set()
        self._is_uncut = False
        if isinstance(found, Sketched):
            now = time.monotonic()
            self._sketched, self._finish_at = found, min(now + SOON, max(now, self._finished_at + LATEST))
        else:
            self._sketched = None
            self._take(found)

    def _draw_sketch(self, sketched: Sketched, name: str) -> None:
        self._sketches.add(name)
        self._put(name, sketched, lambda: surface_block(sketched.skirt, sketched.revision) if name == SOLID
                  else sketch_data(sketched, name))  # fmt: skip

    def _finish(self, sketched: Sketched) -> None:
        self._sketched = None
        self._take(self._tried(lambda: finish(sketched), sketched.revision), sketched)
        self._finished_at = time.monotonic()

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

    def _tried(self, work: Callable[[], Found], revision: int) -> Found | Json:
        """Return what work makes; a fault of ours must not end the desk: the page says so, the text is still there."""
        try:
            return work()
        except _PutOffError:
            raise
        except Exception:
            traceback.print_exc()
            return _our_fault(revision)

    def _take(self, found: Solved | Refused | Json, sketched: Sketched | None = None) -> None:
        """Keep what was found and report it; what was drawn of its shape is drawn."""
        if isinstance(found, Solved):
            with self._turn:
                if not found.is_whole:
                    is_same = sketched is not None and sketched.failed == found.stamp.failed
                    drawn = self._sketches if is_same else self._sketches & {SOLID}
                    self._drawn = drawn | {name for name in self._drawn if name.startswith(KEPT)}
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
        self._put(name, solved, lambda: surface_block(solved.skirt, solved.revision, name) if plain == SOLID
                  else {**drawing_data(solved, plain), "name": name})  # fmt: skip

    def _put(self, name: str, source: Solved | Sketched, make: Callable[[], Json | bytes]) -> None:
        """Make a drawing and report it; where it cannot be made, that is what is reported."""
        missing: Json = {"type": "drawing", "name": name, "revision": source.revision, "missing": True}
        data: Json | bytes
        try:
            data = make()
        except KeyError:
            data = missing
        except SkirtloftError as error:
            data = {**missing, "why": str(error)}
        except Exception:
            traceback.print_exc()
            data = missing
        made = Made(f"drawing:{name}", data, source.revision)
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
