"""The design being worked on: its text with comments, undo and redo, a journal of what is not saved, and its file."""

from __future__ import annotations

import hashlib
import time
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import tomlkit

from skirtloft.design.read import read_text, syntax_problems
from skirtloft.desk import edits
from skirtloft.errors import DesignError, ExportError, Problem
from skirtloft.files import write_new, write_text

MERGE = 0.8  # s: edits to one key within this time are one step of undo, so that a drag is one
DEEPEST = 500  # steps of undo that are kept
Disk = Literal["same", "changed", "gone", "new"]


@dataclass(frozen=True)
class Step:
    """A text to go back to, what was done to it, and when it was last added to [s]."""

    text: str
    what: str
    at: float


class Document:
    """The text of one design and its history.

    Parameters
    ----------
    text : str
        TOML that parses.
    path : Path or None
        Its file; None where it has none yet.
    clock : callable
        Seconds that only go up.

    Notes
    -----
    The journal is a file beside the design, ``.NAME.unsaved``: the text after the last edit. It is written soon after
    every edit (`write_journal`), removed when the design is saved, and offered when a desk finds one that differs.
    """

    def __init__(self, text: str, path: Path | None, clock: Callable[[], float] = time.monotonic) -> None:
        self.path = path
        self.text = text
        self.saved = text if path is not None else None
        self.revision = 1
        self._toml = tomlkit.parse(text)
        self._undo: list[Step] = []
        self._redo: list[Step] = []
        self._clock = clock
        self._gesture = 0  # the drag that the last edit belongs to
        self._ours = _digest(text)  # of the file as we last read or wrote it
        self.recovery = self._found_journal()

    # ------------------------------------------------------------------------------------------------------ edits

    def put(self, key: str, value: str | None) -> Problem | None:
        """Put a value at a key (None: take it out); return what is wrong with that, if anything."""
        return self._edit(f"put {edits.plain(key)} {key}", lambda: edits.put(self._toml, key, value))

    def put_all(self, wanted: Sequence[tuple[str, str]], gesture: int = 0) -> Problem | None:
        """Put values at several keys as one step of undo, all or none; return what is wrong with the first that is.

        What comes with the same `gesture` (not 0) is one step however long it takes: a drag from press to release.
        """

        def change() -> Problem | None:
            return next((found for key, value in wanted if (found := edits.put(self._toml, key, value))), None)

        keys = [key for key, _ in wanted]
        return self._edit(f"put {', '.join(edits.plain(key) for key in keys)} {keys[0]}", change, gesture=gesture)

    def add(self, key: str) -> Problem | None:
        """Add an entry or a table; see `edits.add`."""
        return self._edit(f"add {key}", lambda: edits.add(self._toml, key), merges=False)

    def remove(self, key: str) -> Problem | None:
        """Remove an entry or a table; see `edits.remove`."""
        return self._edit(f"remove {key}", lambda: edits.remove(self._toml, key), merges=False)

    def replace(self, text: str, what: str) -> Problem | None:
        """Take another text in place of this one, as one step of undo."""
        problems = syntax_problems(text)
        if problems:
            return problems[0]
        self._went(what, text, merges=False)
        self._toml = tomlkit.parse(text)
        return None

    def undo(self) -> bool:
        """Go one step back; False where there is none."""
        return self._back(self._undo, self._redo)

    def redo(self) -> bool:
        """Go one step forward again; False where there is none."""
        return self._back(self._redo, self._undo)

    @property
    def can_undo(self) -> str:
        """What undo would take back; "" where there is nothing."""
        return self._undo[-1].what if self._undo else ""

    @property
    def can_redo(self) -> str:
        """What redo would do again; "" where there is nothing."""
        return self._redo[-1].what if self._redo else ""

    @property
    def is_dirty(self) -> bool:
        """True where the text is not what the file was when last read or written."""
        return self.text != self.saved

    def _edit(
        self, what: str, change: Callable[[], Problem | None], merges: bool = True, gesture: int = 0
    ) -> Problem | None:
        try:
            problem = change()
            text = tomlkit.dumps(self._toml)
            if problem is None:
                tomllib.loads(text)
        except (ValueError, TypeError, KeyError, IndexError, AttributeError, tomlkit.exceptions.TOMLKitError):
            wrong = "The way this is written in the file keeps the desk from changing it safely."
            problem = Problem(what.split()[-1], "(as written)", wrong, "Change it in a text editor; the desk notices.")
        if problem is not None:
            self._toml = tomlkit.parse(self.text)
            return problem
        self._went(what, text, merges, gesture)
        return None

    def _went(self, what: str, text: str, merges: bool, gesture: int = 0) -> None:
        if text == self.text:
            return
        now = self._clock()
        last = self._undo[-1] if self._undo else None
        is_fast = last is not None and (now - last.at < MERGE or 0 != gesture == self._gesture)
        self._gesture = gesture
        if merges and last is not None and last.what == what and is_fast and not self._redo:
            self._undo[-1] = Step(last.text, what, now)
        else:
            self._undo.append(Step(self.text, what, now))
            del self._undo[:-DEEPEST]
        self._redo.clear()
        self._now(text)

    def _back(self, source: list[Step], other: list[Step]) -> bool:
        if not source:
            return False
        step = source.pop()
        other.append(Step(self.text, step.what, float("-inf")))
        self._toml = tomlkit.parse(step.text)
        self._now(step.text)
        return True

    def _now(self, text: str) -> None:
        self.text = text
        self.revision += 1

    # ------------------------------------------------------------------------------------------------------- file

    def disk(self) -> Disk:
        """Tell how the file stands to what we last read or wrote."""
        if self.path is None:
            return "new"
        try:
            text = read_text(self.path)
        except DesignError:
            return "gone"
        return "same" if _digest(text) == self._ours else "changed"

    def save(self, over: bool = False) -> None:
        """Write the text to its file, whole or not at all.

        Parameters
        ----------
        over : bool
            Write also where another editor changed the file since.

        Raises
        ------
        ExportError
            It has no file, another editor changed the file, or it cannot be written.
        """
        if self.path is None:
            raise ExportError("The design has no file yet; give it a name.")
        if not over and self.disk() == "changed":
            raise ExportError(f"{self.path.name} was changed by another editor since it was read here.")
        write_text(self.path, self.text)
        self._kept()

    def save_as(self, path: Path) -> None:
        """Write the text to a new file and go on with that one.

        Raises
        ------
        ExportError
            Something of that name is there, or it cannot be written.
        """
        write_new(path, self.text)
        self._drop_journal()
        self.path = path
        self._kept()

    def reload(self) -> Problem | None:
        """Take up the file as another editor left it, as one step of undo."""
        if self.path is None:
            return None
        try:
            text = read_text(self.path)
        except DesignError as error:
            return error.problems[0]
        problem = self.replace(text, "reload")
        if problem is None:
            self._ours, self.saved = _digest(text), text
            self._drop_journal()
        return problem

    def recover(self) -> Problem | None:
        """Take up the journal that was found, as one step of undo."""
        text, self.recovery = self.recovery, None
        return None if text is None else self.replace(text, "recover")

    def forget_journal(self) -> None:
        """Drop the journal that was found."""
        self.recovery = None
        self._drop_journal()

    def _kept(self) -> None:
        self.saved, self._ours = self.text, _digest(self.text)
        self._drop_journal()

    @property
    def journal(self) -> Path | None:
        """Where the text after the last edit stands until it is saved."""
        return None if self.path is None else self.path.with_name(f".{self.path.name}.unsaved")

    def _found_journal(self) -> str | None:
        if self.journal is None or not self.journal.is_file():
            return None
        try:
            text = read_text(self.journal)
        except DesignError:
            return None
        return text if text != self.text and not syntax_problems(text) else None

    def write_journal(self) -> None:
        """Write the text after the last edit beside the file, or remove that where all is saved."""
        if self.journal is None or self.recovery is not None:
            return
        try:
            if self.is_dirty:
                write_text(self.journal, self.text)
            else:
                self._drop_journal()
        except ExportError:  # a folder that cannot be written: saving will say so
            return

    def _drop_journal(self) -> None:
        if self.journal is not None:
            try:
                self.journal.unlink(missing_ok=True)
            except OSError:
                return


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
