"""The skirt in three dimensions as one block of numbers for the page: parts, what piece each is cut from, points."""

from __future__ import annotations

import json
import re
import struct
from typing import Any

import numpy as np

from skirtloft.drawing.solid import Part, seam_parts, skirt_parts
from skirtloft.pipeline import Skirt

_LOOP = re.compile(r"loop-(P\d+)-")
_SEGMENT = re.compile(r"(face|web-fore|web-aft)-(.+)-(\d+)-[PSC]")


def surface_block(skirt: Skirt, revision: int) -> bytes:
    """Return header length (4 bytes, little endian), header (JSON, padded to 4), then points as 32-bit floats.

    The header lists the parts in order: name, kind, rows, columns, code of the piece. Points are those of
    `drawing.solid`: (rows, columns, 3) [m] each, x forward, y to port, z up from the tip plane.
    """
    parts = (*skirt_parts(skirt), *seam_parts(skirt))
    codes = _codes(skirt)
    rows: list[list[Any]] = []
    for part in parts:
        height, width = part.points.shape[:2]
        rows.append([part.name, part.kind, height, width, codes(part)])
    header = json.dumps({"type": "solid", "name": "solid", "revision": revision, "parts": rows}).encode()
    header += b" " * (-len(header) % 4)
    points = np.concatenate([part.points.reshape(-1) for part in parts]).astype("<f4")
    return struct.pack("<I", len(header)) + header + points.tobytes()


def _codes(skirt: Skirt) -> Any:
    """Return a function from a part to the code of the piece it is cut from, "" where it is none."""
    order = {name: i for i, name in enumerate(skirt.plan.stations.ids)}
    panels: dict[int, str] = {}
    for panel in skirt.development.panels:
        start, end = order.get(panel.start, 0), order.get(panel.end, 0)
        for i in range(min(start, end), max(start, end) + 1):
            panels.setdefault(i, panel.id)
        panels[min(start, end)] = panel.id
    bases = {piece.base for piece in skirt.pieces}
    of_run: dict[tuple[str, str], str] = {}
    for piece in skirt.pieces:
        of_run.setdefault((piece.kind, piece.run), piece.base)

    def code(part: Part) -> str:
        if loop := _LOOP.match(part.name):
            found = panels.get(order.get(loop[1], -1), "")
            return found if found in bases else ""
        if segment := _SEGMENT.fullmatch(part.name):
            kind = "face" if segment[1] == "face" else "web"
            return of_run.get((kind, segment[2]), "")
        return ""

    return code
