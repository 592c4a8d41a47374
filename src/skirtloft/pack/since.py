"""Reads what an earlier pack holds of its pieces: a folder, a ZIP, its results or its manifest."""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from skirtloft.errors import ExportError
from skirtloft.pack.place import FORMAT, MANIFEST
from skirtloft.pieces.record import PieceRecord, only_fingerprint, record_from, record_of
from skirtloft.pieces.since import PieceChange, change_words, compare, count_words
from skirtloft.pieces.types import CutPiece
from skirtloft.results import FORMAT as RESULTS_FORMAT

SINCE = "since.csv"
RESULTS = "results.json"
COLUMNS = (
    "code", "name", "verdict", "trim_mm", "where", "old_x_mm", "old_y_mm", "why", "wanted", "there", "from",
)  # fmt: skip
Read = Callable[[str], bytes]
DAMAGED = (ValueError, KeyError, TypeError, AttributeError, ZeroDivisionError, OverflowError, RecursionError)


@dataclass(frozen=True, eq=False)
class OldPack:
    """Pieces of an earlier pack, and which design it was: "name, revision A"."""

    design: str
    pieces: tuple[PieceRecord, ...]

    def unknown(self) -> list[str]:
        """Return what it does not say of its pieces, in words."""
        if not any(len(piece.cut) for piece in self.pieces):
            return ["It has no results.json: a piece is the same by its fingerprint, or nothing is known of it."]
        words = []
        if any(piece.slits is None for piece in self.pieces):
            words.append("It does not say where slits are: look at a piece before you use it.")
        if any(piece.warp[0] != piece.warp[0] for piece in self.pieces):  # nan
            words.append("It does not say which way the warp lies: look at a piece before you use it.")
        return words


@dataclass(frozen=True, eq=False)
class Since:
    """What becomes of every piece since an earlier pack of `design`, and what that pack does not say."""

    design: str
    changes: tuple[PieceChange, ...]
    unknown: tuple[str, ...] = ()

    def head(self) -> list[str]:
        """Return which design it was and how many pieces there are of each verdict, then what is not known."""
        return [f"{self.design}: {count_words(self.changes)}", *self.unknown]

    def lines(self) -> list[str]:
        """Return the head, then a line for each piece that is not the same."""
        first, *others = self.head()
        told = [f"  {code:<10}{verdict:<12}{words}".rstrip() for code, verdict, words in change_words(self.changes)]
        return [f"Since     {first}", *(f"          {words}" for words in others), *told]

    def rows(self) -> list[dict[str, str | int | float | None]]:
        """Return the rows of the table by the columns `COLUMNS`."""
        return [
            {
                "code": change.id,
                "name": change.name,
                "verdict": change.verdict,
                "trim_mm": round(1000.0 * change.trim, 1) if change.trim else None,
                "where": change.where,
                "old_x_mm": round(1000.0 * change.point[0], 1) if change.where else None,
                "old_y_mm": round(1000.0 * change.point[1], 1) if change.where else None,
                "why": change.why,
                "wanted": change.wanted,
                "there": change.there,
                "from": change.old,
            }
            for change in self.changes
        ]


def since_old(old: OldPack, pieces: Sequence[CutPiece]) -> Since:
    """Return what becomes of every piece of a new pack."""
    changes = compare(old.pieces, [record_of(piece) for piece in pieces])
    return Since(old.design, changes, tuple(old.unknown()))


def read_old(place: Path) -> OldPack:
    """Return what an earlier pack holds of its pieces.

    Parameters
    ----------
    place : Path
        Folder or ZIP of a pack, or a results file or manifest of one. A pack without results has fingerprints only.

    Raises
    ------
    ExportError
        There is nothing, or nothing of this program's, or it is damaged.
    """
    try:
        return _from(place)
    except DAMAGED as error:
        raise ExportError(
            f"--since {place}: no pack of this program, or a damaged one; name its folder, its ZIP, its results.json or"
            " manifest.json."
        ) from error
    except (OSError, zipfile.BadZipFile, zlib.error, RuntimeError) as error:
        raise ExportError(f"--since {place}: cannot be read ({getattr(error, 'strerror', None) or error}).") from error


def _from(place: Path) -> OldPack:
    if place.is_dir():
        return _from_parts(lambda name: (place / name).read_bytes())
    data = place.read_bytes()
    if zipfile.is_zipfile(io.BytesIO(data)):
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return _from_parts(packed.read)
    plain = json.loads(data)
    return _of_manifest(plain) if plain["format"] == FORMAT else _of_results(plain)


def _from_parts(read: Read) -> OldPack:
    """Return the pieces of the results, or where the pack has none, of its manifest."""
    try:
        data = read(RESULTS)
    except (FileNotFoundError, KeyError):
        try:
            data = read(MANIFEST)
        except (FileNotFoundError, KeyError) as error:
            raise ValueError(MANIFEST) from error
        return _of_manifest(json.loads(data))
    return _of_results(json.loads(data))


def _of_results(plain: Any) -> OldPack:
    if plain["format"] != RESULTS_FORMAT:
        raise ValueError(plain["format"])
    return OldPack(_design(plain), _each_once([record_from(piece) for piece in plain["pieces"]]))


def _of_manifest(plain: Any) -> OldPack:
    if plain["format"] != FORMAT:
        raise ValueError(plain["format"])
    return OldPack(_design(plain), tuple(only_fingerprint(code, str(mark)) for code, mark in plain["pieces"].items()))


def _each_once(records: Sequence[PieceRecord]) -> tuple[PieceRecord, ...]:
    if len({record.id for record in records}) < len(records):
        raise ValueError("a piece is there twice")
    return tuple(records)


def _design(plain: Any) -> str:
    return f"{plain['design']['name']}, revision {plain['design']['revision']}"
