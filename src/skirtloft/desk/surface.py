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
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pieces.segment_set import segment_set
from skirtloft.pipeline import Shaped

_LOOP = re.compile(r"loop-[PS](\d+)-")
_SEGMENT = re.compile(r"(face|web-fore|web-aft)-(.+)-(\d+)-[PSC]")


def surface_block(skirt: Shaped, revision: int) -> bytes:
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


def _codes(skirt: Shaped) -> Callable[[Part], str]:
    """Return a function from each part in turn to the code of the piece it is cut from, "" where it is none."""
    panels: dict[int, str] = {}
    for panel in skirt.development.panels:
        start, end = sorted((int(panel.start[1:]), int(panel.end[1:])))
        first = 0 if panel.start.startswith("S") else start  # from starboard across the bow's centre line
        panels.update(dict.fromkeys(range(first, max(end, start + 1 if first else end)), panel.id))
    places = _places(skirt)
    seen: Counter[str] = Counter()

    def code(part: Part) -> str:
        if loop := _LOOP.match(part.name):
            return panels.get(int(loop[1]), "")
        segment = _SEGMENT.fullmatch(part.name)
        if segment is None:
            return ""
        turn = seen[part.name]  # runs may share a name: the turn-th that is long enough is meant
        seen[part.name] += 1
        found = places.get((segment[2], int(segment[3])), ())
        face, bow_web, stern_web = found[turn] if turn < len(found) else ("", "", "")
        return {"face": face, "web-fore": bow_web, "web-aft": stern_web}[segment[1]]

    return code


def _places(skirt: Shaped) -> dict[tuple[str, int], list[tuple[str, str, str]]]:
    """Return face and webs of every segment by name of its run and place in it, once for each run of that name."""
    runs = sewn_runs(skirt.plan, skirt.development.panels, skirt.design.making.hole_pitch)
    found: dict[tuple[str, int], list[tuple[str, str, str]]] = {}
    for place in segment_set(runs).places:
        codes = (f"F{place.face + 1}", f"W{place.bow_web + 1}", f"W{place.stern_web + 1}")
        for number in range(place.first, place.first + place.count):
            found.setdefault((runs[place.run].name, number), []).append(codes)
    return found
