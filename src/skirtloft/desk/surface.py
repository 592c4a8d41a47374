"""The skirt in three dimensions as one block of numbers for the page: parts, what piece each is cut from, points."""

from __future__ import annotations

import json
import math
import re
import struct
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from skirtloft.drawing.cover_parts import hull_parts, post_parts
from skirtloft.drawing.solid import Part, PartKind, seam_parts, skirt_parts
from skirtloft.pieces.joint import sewn_runs
from skirtloft.pieces.loop_panels import loop_seams
from skirtloft.pieces.segment_set import segment_set
from skirtloft.pipeline import Shaped

LETTER_OFF = 0.035  # m that a seam's letter stands off the cloth
AT_CENTRE = 1e-6  # m: a seam nearer to the centre line is its own mirror image
_LOOP = re.compile(r"loop-[PS](\d+)-")
_SEGMENT = re.compile(r"(face|web-fore|web-aft)-(.+)-(\d+)-[PSC]")


def surface_block(skirt: Shaped, revision: int, name: str = "solid") -> bytes:
    """Return header length (4 bytes, little endian), header (JSON, padded to 4), then points as 32-bit floats.

    The header lists the parts in order: name, kind, rows, columns, code of the piece; the letters of the loop's seams
    with where they stand; and how high the ground is when she hovers, when the tips touch and when she sits [m].
    Points are those of `drawing.solid`: (rows, columns, 3) [m] each, x forward, y to port, z up from the tip plane.
    """
    parts = (*skirt_parts(skirt), *seam_parts(skirt), *_hull(skirt), *_post(skirt))
    codes = _codes(skirt)
    rows: list[list[Any]] = []
    for part in parts:
        height, width = part.points.shape[:2]
        rows.append([part.name, part.kind, height, width, codes(part)])
    said = {
        "type": "solid",
        "name": name,
        "revision": revision,
        "parts": rows,
        "letters": seam_letters(skirt),
        "ground": {
            "hover": -skirt.design.air.gap,
            "touch": 0.0,
            "sit": skirt.design.hull.clearance - skirt.design.hull.skids.height,
        },
    }
    header = json.dumps(said, separators=(",", ":")).encode()
    header += b" " * (-len(header) % 4)
    points = np.concatenate([part.points.reshape(-1) for part in parts]).astype("<f4")
    return struct.pack("<I", len(header)) + header + points.tobytes()


def _hull(skirt: Shaped) -> list[Part]:
    """The hull under its edge: planing surface, side and flat of the bottom; the deck would hide the skirt."""
    kinds: dict[str, PartKind] = {"planing": "planing", "side": "bottom", "flat": "bottom"}
    parts = ((part, kinds.get(part.name.partition("-")[0])) for part in hull_parts(skirt))
    return [replace(part, kind=kind) for part, kind in parts if kind is not None]


def _post(skirt: Shaped) -> list[Part]:
    return list(post_parts(skirt))


def seam_letters(skirt: Shaped) -> list[list[Any]]:
    """Return letter, place and outward direction (x, y, z) of every seam of the loop, both sides, as on templates.

    A letter stands just off the crown of its section; a seam on the centre line has one.
    """
    stations, sections = skirt.plan.stations, skirt.sections
    found: list[list[Any]] = []
    for i, seam in sorted(loop_seams(skirt.plan, skirt.development.panels).items()):
        angle = (float(sections.start_angle[i]) + float(sections.end_angle[i])) / 2.0
        reach = float(sections.radius[i]) + LETTER_OFF
        outboard = reach * math.cos(angle) - float(sections.centre_inset[i])
        height = float(sections.centre_z[i]) + reach * math.sin(angle)
        x, y = stations.joint[i] + outboard * stations.outward[i]
        across = stations.outward[i] * math.cos(angle)
        for hand in (1.0, -1.0) if abs(y) > AT_CENTRE else (1.0,):
            place = (x, hand * y, height, across[0], hand * across[1], math.sin(angle))
            found.append([seam.letter, *(round(float(value), 4) for value in place)])
    return found


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
