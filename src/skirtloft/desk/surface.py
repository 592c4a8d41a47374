"""The skirt in three dimensions as one block of numbers for the page: parts, what piece each is cut from, points."""

from __future__ import annotations

import json
import re
import struct
from collections import Counter
from collections.abc import Callable
from typing import Any

import numpy as np

from skirtloft.drawing.solid import Part, seam_parts, skirt_parts
from skirtloft.pipeline import Skirt

_LOOP = re.compile(r"loop-[PS](\d+)-")
_SEGMENT = re.compile(r"(face|web-fore|web-aft)-(.+)-(\d+)-[PSC]")


def surface_block(skirt: Skirt, revision: int, pieces_of: Skirt) -> bytes:
    """Return header length (4 bytes, little endian), header (JSON, padded to 4), then points as 32-bit floats.

    The header lists the parts in order: name, kind, rows, columns, code of the piece. Points are those of
    `drawing.solid`: (rows, columns, 3) [m] each, x forward, y to port, z up from the tip plane. Codes
    are those of `pieces_of`, which may be an earlier skirt that has its pieces.
    """
    parts = (*skirt_parts(skirt), *seam_parts(skirt))
    codes = _codes(pieces_of)
    rows: list[list[Any]] = []
    for part in parts:
        height, width = part.points.shape[:2]
        rows.append([part.name, part.kind, height, width, codes(part)])
    header = json.dumps({"type": "solid", "name": "solid", "revision": revision, "parts": rows}).encode()
    header += b" " * (-len(header) % 4)
    points = np.concatenate([part.points.reshape(-1) for part in parts]).astype("<f4")
    return struct.pack("<I", len(header)) + header + points.tobytes()


def _codes(skirt: Skirt) -> Callable[[Part], str]:
    """Return a function from each part in turn to the code of the piece it is cut from, "" where it is none."""
    panels: dict[int, str] = {}
    for panel in skirt.development.panels:
        start, end = sorted((int(panel.start[1:]), int(panel.end[1:])))
        first = 0 if panel.start.startswith("S") else start  # from starboard across the bow's centre line
        panels.update(dict.fromkeys(range(first, max(end, start + 1 if first else end)), panel.id))
    bases = {piece.base for piece in skirt.pieces}
    seen: Counter[tuple[str, str]] = Counter()

    def code(part: Part) -> str:
        if loop := _LOOP.match(part.name):
            found = panels.get(int(loop[1]), "")
            return found if found in bases else ""
        if segment := _SEGMENT.fullmatch(part.name):
            kind, run, number = segment[1], segment[2], int(segment[3])
            turn = seen[kind, part.name]
            seen[kind, part.name] += 1
            return _of_segment(skirt, "face" if kind == "face" else "web", run, number, turn)
        return ""

    return code


def _of_segment(skirt: Skirt, kind: str, run: str, number: int, turn: int) -> str:
    """Return the code of a face or web: runs may share a name, and the `turn`-th that is long enough is meant."""
    runs = [i for i, one in enumerate(skirt.plan.runs) if one.fitted_length > 1e-9]
    named = [place for place, i in enumerate(runs) if skirt.plan.runs[i].name == run
             and skirt.plan.runs[i].segments > number]  # fmt: skip
    of_kind = list(dict.fromkeys(piece.base for piece in skirt.pieces if piece.kind == kind))
    if len(of_kind) == len(runs) and turn < len(named):
        return of_kind[named[turn]]
    of_run = [piece.base for piece in skirt.pieces if piece.kind == kind and piece.run == run]
    return of_run[0] if of_run else of_kind[0] if len(of_kind) == 1 else ""
