"""Reads what an earlier pack holds of its pieces: a folder, a ZIP, its results or its manifest."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from skirtloft.errors import ExportError
from skirtloft.pack_place import FORMAT, MANIFEST
from skirtloft.pieces.record import PieceRecord, only_fingerprint, record_from, record_of
from skirtloft.pieces.since import PieceChange, change_words, compare
from skirtloft.pieces.types import CutPiece
from skirtloft.results import FORMAT as RESULTS_FORMAT

RESULTS = "results.json"
COLUMNS = (
    "code", "name", "verdict", "trim_mm", "where", "old_x_mm", "old_y_mm", "why", "wanted", "there", "from",
)  # fmt: skip
Read = Callable[[str], bytes]


@dataclass(frozen=True, eq=False)
class OldPack:
    """Pieces of an earlier pack, and which design it was: "name, revision A"."""

    design: str
    pieces: tuple[PieceRecord, ...]


@dataclass(frozen=True, eq=False)
class Since:
    """What becomes of every piece since an earlier pack of `design`."""

    design: str
    changes: tuple[PieceChange, ...]

    def lines(self) -> list[str]:
        """Return a line that counts, then one for each piece that is not the same."""
        return [f"Since     {self.design}", *change_words(self.changes)]

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
    return Since(old.design, compare(old.pieces, [record_of(piece) for piece in pieces]))


def read_old(place: Path) -> OldPack:
    """Return what an earlier pack holds of its pieces.

    Parameters
    ----------
    place : Path
        Folder or ZIP of a pack, or a results file or manifest of one. A pack without results has fingerprints only.

    Raises
    ------
    ExportError
        There is nothing, or nothing of this program's.
    """
    try:
        return _from(place)
    except (OSError, zipfile.BadZipFile) as error:
        raise ExportError(f"--since {place}: cannot be read ({getattr(error, 'strerror', None) or error}).") from error
    except (ValueError, KeyError, TypeError, AttributeError, ZeroDivisionError) as error:
        raise ExportError(
            f"--since {place}: no pack of this program; name its folder, its ZIP, its results.json or manifest.json."
        ) from error


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
        return _of_manifest(json.loads(read(MANIFEST)))
    return _of_results(json.loads(data))


def _of_results(plain: Any) -> OldPack:
    if plain["format"] != RESULTS_FORMAT:
        raise ValueError(plain["format"])
    return OldPack(_design(plain), tuple(record_from(piece) for piece in plain["pieces"]))


def _of_manifest(plain: Any) -> OldPack:
    if plain["format"] != FORMAT:
        raise ValueError(plain["format"])
    return OldPack(_design(plain), tuple(only_fingerprint(code, str(mark)) for code, mark in plain["pieces"].items()))


def _design(plain: Any) -> str:
    return f"{plain['design']['name']}, revision {plain['design']['revision']}"
