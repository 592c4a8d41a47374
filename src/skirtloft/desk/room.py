"""The document on the desk and who is looking at it; lives in the server's event loop."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

from skirtloft.desk import fields as rows
from skirtloft.desk.answer import Solved
from skirtloft.desk.backroom import PREFIX, Backroom
from skirtloft.desk.bench import Bench, Made
from skirtloft.desk.beside import KINDS, Beside
from skirtloft.desk.board import Board
from skirtloft.desk.compare import comparison
from skirtloft.desk.document import Document
from skirtloft.desk.messages import EDITS, Message
from skirtloft.desk.start import file_name, started
from skirtloft.desk.visitor import Visitor, can_be_looked_at
from skirtloft.desk.wishes import edit
from skirtloft.errors import DesignError, ExportError, Problem, SkirtloftError

Json = dict[str, Any]
JOURNAL = 0.3  # s after an edit the journal is written: not while the picture waits
REMEMBERED = 200  # numbers of edits that are known to be done, so that one sent twice is done once


class Room:
    """The document on the desk, the bench behind it and the pages before it.

    Parameters
    ----------
    document : Document or None
        None: the desk is empty, and a page asks the five questions.
    folder : Path
        Where a design without a file is saved.
    loop : the event loop that calls it; the bench reports into it.
    """

    def __init__(self, document: Document | None, folder: Path, loop: asyncio.AbstractEventLoop) -> None:
        self.document = document
        self.folder = folder
        self.visitors: set[Visitor] = set()
        self.beside = Beside()
        self.beside.is_inflated_anew(document.path if document is not None else None)  # from now on
        self.board = Board(self._from_job, self.kept_layout, self._from_work)
        self._loop = loop
        self._done: dict[tuple[str, int], Json] = {}
        self._disk = "same" if document is not None else "new"
        self._keeps = False
        self._journal: asyncio.TimerHandle | None = None
        self.warnings: tuple[str, ...] = ()
        self.bench = Bench(self._from_bench)
        self.backroom = Backroom(self._from_backroom)
        self._solve()

    # --------------------------------------------------------------------------------------------------- visitors

    def enter(self, visitor: Visitor) -> None:
        """Admit a page and bring it up to date."""
        self.visitors.add(visitor)
        static = {"type": "hello", "fields": rows.static_fields(), "may_edit": visitor.may_edit}
        visitor.send("hello", static)
        visitor.send("state", self.state())
        if self.bench.answer is not None and self.document is not None:
            visitor.send("answer", self.bench.answer.data)
        for data in self.board.news():
            visitor.send("job" if data["type"] == "job" else f"study:{data['name']}", data)
        visitor.send("comparison", self._comparison())

    def leave(self, visitor: Visitor) -> None:
        """Forget a page."""
        self.visitors.discard(visitor)
        self._want()

    def close(self) -> None:
        """End the bench and the job."""
        if self._journal is not None:
            self._journal.cancel()
            self._write_journal()
        self.bench.close()
        self.backroom.close()
        self.board.close()

    def state(self) -> Json:
        """Return what the document is now."""
        document = self.document
        if document is None:
            return {"type": "state", "empty": True, "revision": 0, "groups": []}
        return {
            "type": "state",
            "empty": False,
            "revision": document.revision,
            "groups": rows.groups(document.text),
            "undo": document.can_undo,
            "redo": document.can_redo,
            "dirty": document.is_dirty,
            "disk": self._disk,
            "file": document.path.name if document.path else "",
            "suggested": file_name(rows.text_of(document.text, "project.name") or "craft"),
            "recovery": document.recovery is not None,
            "kept": self.bench.kept.revision if self.bench.kept else None,
            "warnings": self.warnings,
        }

    # ----------------------------------------------------------------------------------------------------- wishes

    def hear(self, visitor: Visitor, message: Message) -> None:
        """Do what a page asks, once; answer with ``{type: done, number, problem}``."""
        seen = (visitor.page, message.number)
        if message.number and visitor.page and seen in self._done:
            visitor.send(f"done:{message.number}", self._done[seen])
            return
        if message.name in EDITS and not visitor.may_edit:
            problem: Problem | None = Problem("", "", "This device may look and not change.", "Change it at the desk.")
        else:
            problem = self._do(visitor, message)
        done: Json = {"type": "done", "number": message.number, "problem": None}
        if problem is not None:
            done["problem"] = {"key": problem.path, "wrong": problem.wrong, "would_do": problem.would_do}
        if message.number:
            self._done[seen] = done
            for old in list(self._done)[:-REMEMBERED]:
                del self._done[old]
            visitor.send(f"done:{message.number}", done)

    def _do(self, visitor: Visitor, message: Message) -> Problem | None:
        name, fields = message.name, message.fields
        if name == "look":
            visitor.looks = tuple(name for name in fields["names"] if can_be_looked_at(name))
            self._want()
            self._send_made(visitor)
            return None
        if name == "start":
            return self._start(fields)
        if self.document is None:
            return Problem("", "", "There is no design on the desk yet.", "Answer the five questions first.")
        if name in ("job", "cancel"):
            return self._job(name, fields)
        if name in ("keep", "drop"):
            self._keeps = name == "keep"
            self._keep(None)
            return None
        try:
            problem = edit(self.document, self.folder, name, fields)
            self._disk = self.document.disk()
        except ExportError as error:
            return Problem("file", "", str(error), "")
        self._changed()
        return problem

    def _start(self, fields: Json) -> Problem | None:
        try:
            text, self.warnings = started(fields)
        except DesignError as error:
            first = error.problems[0]
            return Problem(first.path, first.given, first.wrong, first.would_do)
        if self.document is None:
            self.document = Document(text, None)
            self._disk = "new"
            self._changed()
            return None
        return Problem("", "", "There is a design on the desk already.", "Start another desk without a design.")

    def _job(self, name: str, fields: Json) -> Problem | None:
        if name == "cancel":
            self.board.cancel()
            return None
        solved = self.bench.solved
        is_newest = solved is not None and self.document is not None and solved.revision == self.document.revision
        return self.board.begin(fields["what"], solved if is_newest else None, tuple(fields["accept"]))

    # ------------------------------------------------------------------------------------------------------ news

    def look_at_disk(self) -> None:
        """Notice what another editor did to the file, and say so once."""
        if self.document is None:
            return
        disk = self.document.disk()
        if disk != self._disk:
            self._disk = disk
            self._changed(solves=False)
        if self.beside.is_inflated_anew(self.document.path):
            self._again()

    def _changed(self, solves: bool = True) -> None:
        if solves:
            self._solve()
        self._tell("state", self.state())
        if self.document is not None and self._journal is None:
            self._journal = self._loop.call_later(JOURNAL, self._write_journal)

    def _write_journal(self) -> None:
        self._journal = None
        if self.document is not None:
            self.document.write_journal()

    def _solve(self) -> None:
        if self.document is not None:
            answer = self.bench.answer
            if answer is None or answer.revision != self.document.revision:
                self._ask()

    def _ask(self) -> None:
        if self.document is not None:
            self.bench.ask(self.document.revision, self.document.text, self._text("inflate"))
            self._ask_studies()

    def _ask_studies(self) -> None:
        if self.document is not None:
            texts = (self.document.text, self.kept_layout(), self._text("inflate"))
            self.backroom.ask(self.document.revision, *texts)

    def _again(self) -> None:
        """Have everything worked out anew: what lies beside the design is another."""
        self._ask()
        self.backroom.again()

    def _want(self) -> None:
        everyone = [visitor.looks for visitor in self.visitors]
        longest = max((len(looks) for looks in everyone), default=0)
        names = [looks[i] for i in range(longest) for looks in everyone if i < len(looks)]
        self.bench.want(name for name in names if not name.startswith(PREFIX))
        self.backroom.want(name.removeprefix(PREFIX) for name in names if name.startswith(PREFIX))

    def _from_bench(self, made: Made) -> None:
        self._loop.call_soon_threadsafe(self._made, made)

    def _from_job(self, data: Json) -> None:
        slot = "job" if data["type"] == "job" else f"study:{data['name']}"
        self._loop.call_soon_threadsafe(self._tell, slot, data)

    def _from_work(self, what: str, text: str) -> None:
        if what in KINDS and text:
            self._loop.call_soon_threadsafe(self._keep_found, what, text)

    def _keep_found(self, what: str, text: str) -> None:
        """Keep what was found, beside the design where that has a file, and have it shown."""
        if self.document is None:
            return
        try:
            self.beside.keep(what, text, self.document.path)
        except SkirtloftError as error:
            self._tell("note", {"type": "note", "text": str(error)})
        if what == "inflate":
            self.beside.is_inflated_anew(self.document.path)
            self._again()
        else:
            self._ask_studies()
            self.backroom.again("layout")

    def _made(self, made: Made) -> None:
        if made.slot == "answer":
            if self.document is not None and made.revision <= self.document.revision:
                self._tell("answer", made.data)
                if self._keeps:
                    self._keep(self.bench.kept)
                elif self.bench.kept is not None:
                    self._compare()
            return
        name = made.slot.partition(":")[2]
        for visitor in self.visitors:
            if name in visitor.looks:
                visitor.send(made.slot, made.data)

    def _from_backroom(self, data: Json) -> None:
        self._loop.call_soon_threadsafe(self._studied, data)

    def _studied(self, data: Json) -> None:
        for visitor in self.visitors:
            if PREFIX + data["name"] in visitor.looks:
                visitor.send(f"study:{data['name']}", data)

    def kept_layout(self) -> str:
        """Return the text of the layout kept beside the design, or found here; "" where there is none."""
        return self._text("layout")

    def _text(self, kind: str) -> str:
        return self.beside.text(kind, self.document.path if self.document is not None else None)

    def _send_made(self, visitor: Visitor) -> None:
        """Send what is made already of what a page looks at now."""
        for name in visitor.looks:
            study = self.backroom.made.get(name.removeprefix(PREFIX)) if name.startswith(PREFIX) else None
            if study is not None:
                visitor.send(f"study:{study['name']}", study)
                continue
            made = self.bench.made.get(name)
            if made is not None and made.revision in self.bench.revisions(name):
                visitor.send(made.slot, made.data)

    def _keep(self, otherwise: Solved | None) -> None:
        """Keep the design as it stands as soon as its pieces are there; until then, another or none."""
        whole, revision = self.bench.whole, self.document.revision if self.document else 0
        if self._keeps and whole is not None and whole.revision == revision:
            self._keeps, otherwise = False, whole
        self.bench.keep(otherwise)
        self._compare()
        self._changed(solves=False)

    def _compare(self) -> None:
        self._tell("comparison", self._comparison())

    def _comparison(self) -> Json:
        kept, solved = self.bench.kept, self.bench.whole
        return {"type": "comparison", "kept": None} if kept is None or solved is None else comparison(kept, solved)

    def _tell(self, slot: str, data: Json | bytes) -> None:
        for visitor in self.visitors:
            visitor.send(slot, data)
