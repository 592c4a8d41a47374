"""What a page wishes for the document: a value, a step, a drag, undo, save."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from skirtloft.design.quantity import Kind
from skirtloft.desk import fields as rows
from skirtloft.desk.document import Document
from skirtloft.desk.edits import plain
from skirtloft.desk.moves import drag, move
from skirtloft.desk.start import file_name
from skirtloft.desk.steps import stepped, stepped_number, with_unit_of
from skirtloft.errors import DesignError, Problem

Json = dict[str, Any]


def edit(document: Document, folder: Path, name: str, fields: Json) -> Problem | None:
    """Do one edit of the document or its file, as a page asks (`messages.EDITS`).

    Raises
    ------
    ExportError
        The file cannot be written.
    """
    if name == "set":
        return document.put(fields["key"], _typed(document, fields["key"], fields["value"]))
    if name == "step":
        return _step(document, fields)
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
        document.save_as(folder / file_name(fields["name"].removesuffix(".toml")))
    elif name == "reload":
        return document.reload()
    elif name == "recover":
        return document.recover()
    elif name == "forget":
        document.forget_journal()
    return None


def _typed(document: Document, key: str, value: str | None) -> str | None:
    """Return a typed value with the unit its field had, where it was typed without one."""
    told = rows.static_fields().get(plain(key))
    if value is None or told is None or told["kind"] != "quantity":
        return value
    return with_unit_of(value, rows.text_of(document.text, key), told["of"])


def _step(document: Document, fields: Json) -> Problem | None:
    key, size = fields["key"], fields["size"]
    told = rows.static_fields().get(plain(key))
    if told is None or size not in ("fine", "plain", "coarse") or abs(fields["count"]) > 1000:
        return Problem(key, "", "There is nothing to step here.", "")
    text = rows.text_of(document.text, key)
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
