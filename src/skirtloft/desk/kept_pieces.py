"""Which cut pieces of a kept variant still serve, and what is to be done to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from skirtloft.drawing.template import distinct
from skirtloft.pieces.record import PieceRecord, record_of
from skirtloft.pieces.since import PieceChange, compare
from skirtloft.pieces.types import CutPiece

Json = dict[str, Any]
VERDICTS = {"same": "keep", "mark again": "mark", "trim": "trim", "cut again": "cut", "new": "new", "gone": "gone"}


def piece_rows(kept: Sequence[CutPiece], now: Sequence[CutPiece]) -> list[Json]:
    """Return a row for each template: ``{code, name, verdict, words, kept, now}``, counts of both hands together.

    Verdicts: keep, mark (its lines again), trim, cut (again), new, gone.
    """
    return [_row(change) for change in compare(_records(kept), _records(now))]


def _records(pieces: Sequence[CutPiece]) -> list[PieceRecord]:
    """One of each template: its hands are mirror images."""
    found = []
    for piece, hands in distinct(tuple(pieces)):
        record = record_of(piece)
        spares = sum(other.spares for other in pieces if other.base == piece.base)
        found.append(replace(record, id=piece.base, hand="", quantity=sum(hands.values()), spares=spares))
    return found


def _row(change: PieceChange) -> Json:
    return {
        "code": change.id,
        "name": change.name,
        "verdict": VERDICTS[change.verdict],
        "words": _words(change),
        "kept": change.there,
        "now": change.wanted,
    }


def _words(change: PieceChange) -> str:
    told = {
        "same": "can be kept",
        "mark again": "can be kept, marked again",
        "trim": f"trim by up to {1000.0 * change.trim:.1f} mm at {change.where}",
        "cut again": "cut again",
        "new": "new",
        "gone": "no longer cut",
    }[change.verdict]
    if change.old and change.old != change.id and change.verdict != "gone":
        told = f"from {change.old}: {told}"
    to_spare = (change.there or 0) - change.wanted
    extra = f"{to_spare} to spare" if to_spare > 0 and change.verdict in ("same", "mark again", "trim") else ""
    why = change.why if change.verdict not in ("new", "gone") else ""
    return "; ".join(part for part in (told, why, extra) if part)
