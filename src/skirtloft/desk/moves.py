"""What dragging does to the text: one length, or the two of a point at once, written as the builder writes them."""

from __future__ import annotations

import math
from typing import Any

from skirtloft.design.units import parse_length
from skirtloft.desk import fields as rows
from skirtloft.desk.document import Document
from skirtloft.desk.edits import plain
from skirtloft.desk.steps import is_quantity, rounded, written_like
from skirtloft.errors import Problem

Json = dict[str, Any]
UNIT_OF = {"metric": "1 mm", "both": "1 mm", "imperial": "1 in"}  # the unit where a field has no length yet ("full")


def drag(document: Document, fields: Json) -> Problem | None:
    """Put a dragged length: ``{key, metres, fine}``; return what is wrong with it, if anything."""
    return move(document, {**fields, "also": None, "metres_also": None, "gesture": 0, "relative": False})


def move(document: Document, fields: Json) -> Problem | None:
    """Put the lengths of a point: ``{key, metres, also, metres_also, fine, gesture, relative}``; `also` may be None.

    All that has the same gesture is one step of undo; 0 is none. `relative`: metres to add to what the fields say.

    Each is rounded to what can be set out, in the unit its field has.
    """
    wanted = [(fields["key"], fields["metres"])]
    if fields["also"] is not None and fields["metres_also"] is not None:
        wanted.append((fields["also"], fields["metres_also"]))
    texts: list[tuple[str, str]] = []
    for key, metres in wanted:
        told = rows.static_fields().get(plain(key))
        if told is None or told.get("of") != "length" or not math.isfinite(metres):
            return Problem(key, "", "There is no length here to drag.", "")
        text = rows.text_of(document.text, key)
        if fields["relative"] and not is_quantity(text, "length"):
            return Problem(key, text, "There is no length here to step.", "Type a value first.")
        start = parse_length(text) if fields["relative"] else 0.0
        texts.append((key, _written(document, text, start + float(metres), fields["fine"])))
    return document.put_all(texts, fields["gesture"])


def _written(document: Document, text: str, metres: float, is_fine: bool) -> str:
    if not is_quantity(text, "length"):
        text = UNIT_OF.get(rows.text_of(document.text, "project.show"), "1 mm")
    return written_like(text, "length", rounded(text, metres, is_fine))
