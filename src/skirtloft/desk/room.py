"""Who is looking at the desk, what each was sent, and what each asks for; lives in the server's event loop."""

from __future__ import annotations

import asyncio
import json
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from skirtloft.design.quantity import Kind
from skirtloft.desk import fields as rows
from skirtloft.desk.answer import Solved
from skirtloft.desk.backroom import PREFIX, Backroom
from skirtloft.desk.bench import KEPT, SOLID, Bench, Made
from skirtloft.desk.compare import comparison
from skirtloft.desk.document import Document
from skirtloft.desk.drawings import is_name
from skirtloft.desk.edits import plain
from skirtloft.desk.jobs import PackJob
from skirtloft.desk.messages import EDITS, Message
from skirtloft.desk.moves import drag, move
from skirtloft.desk.start import file_name, started
from skirtloft.desk.steps import stepped, stepped_number, with_unit_of
from skirtloft.desk.studies import STUDIES
from skirtloft.errors import DesignError, ExportError, Problem

Json = dict[str, Any]
JOURNAL = 0.3  # s after an edit the journal is written: not while the picture waits
REMEMBERED = 200  # numbers of edits that are known to be done, so that one sent twice is done once


@dataclass(eq=False)
class Visitor:
    """One open page: whether it may change things, what it looks at, and what is still to be sent to it."""

    may_edit: bool
    page: str = ""
    looks: tuple[str, ...] = ()
    outbox: dict[str, Json | bytes] = field(default_factory=dict)
    ready: asyncio.Event = field(default_factory=asyncio.Event)

    def send(self, slot: str, data: Json | bytes) -> None:
        """Put something into the outbox; one of the same slot that is still there is replaced."""
        self.outbox.pop(slot, None)
        self.outbox[slot] = data
        self.ready.set()

    async def next(self) -> str | bytes:
        """Return the next thing to send, waiting for one."""
        while not self.outbox:
            self.ready.clear()
            await self.ready.wait()
        slot = next(iter(self.outbox))
        data = self.outbox.pop(slot)
        return data if isinstance(data, bytes) else json.dumps(data, separators=(",", ":"))


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
        self.job: PackJob | None = None
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
        if self.job is not None:
            visitor.send("job", self.job.state)
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
        if self.job is not None:
            self.job.close()

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
            visitor.looks = tuple(name for name in fields["names"] if _can_be_looked_at(name))
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
            problem = self._edit(self.document, name, fields)
        except ExportError as error:
            return Problem("file", "", str(error), "")
        self._changed()
        return problem

    def _edit(self, document: Document, name: str, fields: Json) -> Problem | None:
        """Do one edit of the document or its file."""
        if name == "set":
            return document.put(fields["key"], self._typed(fields["key"], fields["value"]))
        if name == "step":
            return self._step(document, fields)
        if name == "drag":
            return drag(document, fields)
        if name == "move":
            return move(document, fields)
        if name in ("add", "remove"):
            return document.add(fields["key"]) if name == "add" else document.remove(fields["key"])
        if name in ("undo", "redo"):
            document.undo() if name == "undo" else document.redo()
            return None
        if name == "save":
            document.save(over=fields["over"])
        elif name == "save_as":
            document.save_as(self.folder / file_name(fields["name"].removesuffix(".toml")))
        elif name == "reload":
            return document.reload()
        elif name == "recover":
            return document.recover()
        elif name == "forget":
            document.forget_journal()
        self._disk = document.disk()
        return None

    def _typed(self, key: str, value: str | None) -> str | None:
        """Return a typed value with the unit its field had, where it was typed without one."""
        told = rows.static_fields().get(plain(key))
        if value is None or told is None or told["kind"] != "quantity":
            return value
        return with_unit_of(value, self._text_of(key), told["of"])

    def _text_of(self, key: str) -> str:
        assert self.document is not None
        return rows.text_of(self.document.text, key)

    def _step(self, document: Document, fields: Json) -> Problem | None:
        key, size = fields["key"], fields["size"]
        told = rows.static_fields().get(plain(key))
        if told is None or size not in ("fine", "plain", "coarse") or abs(fields["count"]) > 1000:
            return Problem(key, "", "There is nothing to step here.", "")
        text = self._text_of(key)
        try:
            if told["kind"] == "quantity":
                kind: Kind = told["of"]
                return document.put(key, stepped(text, kind, fields["count"], size))
            if told["kind"] in ("whole", "number"):
                whole = told["kind"] == "whole"
                return document.put(key, stepped_number(text, told["low"], told["high"], whole, fields["count"], size))
        except (DesignError, ValueError):
            return Problem(key, text, "There is no number here to step.", "Type a value first.")
        return None

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
            if self.job is not None:
                self.job.cancel()
            return None
        solved = self.bench.solved
        if self.job is not None and self.job.is_running:
            return Problem("", "", "The pack is being made already.", "Wait for it, or cancel it.")
        if solved is None or self.document is None or solved.revision != self.document.revision:
            return Problem("", "", "The design as it stands does not solve.", "Mend it first, or go back a step.")
        if self.job is not None:
            self.job.close()
        self.job = PackJob(solved, tuple(fields["accept"]), self._from_job)
        self._tell("job", self.job.state)
        return None

    # ------------------------------------------------------------------------------------------------------ news

    def look_at_disk(self) -> None:
        """Notice what another editor did to the file, and say so once."""
        if self.document is None:
            return
        disk = self.document.disk()
        if disk != self._disk:
            self._disk = disk
            self._changed(solves=False)

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
                self.bench.ask(self.document.revision, self.document.text)
                self.backroom.ask(self.document.revision, self.document.text, self.kept_layout())

    def _want(self) -> None:
        everyone = [visitor.looks for visitor in self.visitors]
        longest = max((len(looks) for looks in everyone), default=0)
        names = [looks[i] for i in range(longest) for looks in everyone if i < len(looks)]
        self.bench.want(name for name in names if not name.startswith(PREFIX))
        self.backroom.want(name.removeprefix(PREFIX) for name in names if name.startswith(PREFIX))

    def _from_bench(self, made: Made) -> None:
        self._loop.call_soon_threadsafe(self._made, made)

    def _from_job(self, state: Json) -> None:
        self._loop.call_soon_threadsafe(self._tell, "job", state)

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
        """Return the text of the layout kept beside the design; "" where there is none that can be read."""
        place = self.layout_place
        try:
            return "" if place is None else place.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            return ""

    @property
    def layout_place(self) -> Path | None:
        """Where the layout of this design is kept; None while the design has no file."""
        path = self.document.path if self.document is not None else None
        return None if path is None else path.with_suffix(".layout.json")

    def _send_made(self, visitor: Visitor) -> None:
        """Send what is made already of what a page looks at now."""
        for name in visitor.looks:
            study = self.backroom.made.get(name.removeprefix(PREFIX)) if name.startswith(PREFIX) else None
            if study is not None:
                visitor.send(f"study:{study['name']}", study)
                continue
            made = self.bench.made.get(name)
            solved = self.bench.kept if name.startswith(KEPT) else self.bench.solved
            if made is not None and solved is not None and made.revision == solved.revision:
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


def _can_be_looked_at(name: str) -> bool:
    if name.startswith(PREFIX):
        return name.removeprefix(PREFIX) in STUDIES
    plain = name.removeprefix(KEPT)
    return plain == SOLID or is_name(plain)
