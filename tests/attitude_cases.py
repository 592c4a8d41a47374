"""Tip lines and loads that the tests of attitude share."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from skirtloft.physics.attitude.lean import HoverLoad
from skirtloft.physics.attitude.tip_line import TipLine, tip_line, tip_polygon

GRAVITY = 9.80665
MASS, DENSITY, DISCHARGE, GAP = 500.0, 1.225, 0.537286, 0.010
STIFFNESS = 2.8468  # k = K/(p d^2) of the section d .18, X .18, Z .20 without weight: closed form of section statics
DEPTH = 0.18


def box(length: float, beam: float, *, longest: float = np.inf, scale: float = 1.0, **faces: Any) -> TipLine:
    """A rectangle of 45/90 segments, `scale` times as large."""
    a, b, d = scale * length / 2.0, scale * beam / 2.0, scale * DEPTH
    given: dict[str, Any] = {"depth": d, "stiffness": STIFFNESS * d**2, "discharge": DISCHARGE, **faces}
    return tip_polygon([[a, -b], [a, b], [-a, b], [-a, -b]], longest=longest, **given)


def level_flow(line: TipLine, gap: float = GAP, mass: float = MASS) -> float:
    """Flow that makes an even gap."""
    return float(line.discharge @ line.length) * gap * math.sqrt(2.0 * mass * GRAVITY / line.area / DENSITY)


def load_of(line: TipLine, *, height: float = 0.0, mass: float = MASS) -> HoverLoad:
    return HoverLoad(mass, level_flow(line, mass=mass), DENSITY, height=height)


def rounded(
    length: float = 4.0,
    beam: float = 2.0,
    radius: float = 0.6,
    *,
    longest: float = 0.02,
    taper: float = 0.0,
    **faces: Any,
) -> TipLine:
    """A rectangle with round corners, bow corners `taper` nearer to the middle; n elements with their curvature."""
    corners = [
        (length / 2 - radius, -beam / 2 + radius + taper),
        (length / 2 - radius, beam / 2 - radius - taper),
        (-length / 2 + radius, beam / 2 - radius),
        (-length / 2 + radius, -beam / 2 + radius),
    ]
    points, normals, ds, bend = [], [], [], []
    for k, centre in enumerate(corners):
        before, after = corners[k - 1], corners[(k + 1) % 4]
        start = math.atan2(centre[1] - before[1], centre[0] - before[0]) - math.pi / 2
        turn = (math.atan2(after[1] - centre[1], after[0] - centre[0]) - math.pi / 2 - start) % (2 * math.pi)
        n = math.ceil(radius * turn / longest)
        angle = start + turn * (np.arange(n) + 0.5) / n
        unit = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
        chord = 2 * radius * math.sin(turn / n / 2)
        points.append(np.asarray(centre) + radius * math.cos(turn / n / 2) * unit)
        normals.append(unit)
        ds.append(np.full(n, chord))
        bend.append(np.full(n, 1 / radius))
        along = np.subtract(after, centre)
        size = float(np.hypot(*along))
        n = math.ceil(size / longest)
        out = np.array([along[1], -along[0]]) / size
        place = (np.arange(n)[:, None] + 0.5) / n
        points.append(np.asarray(centre) + place * along + radius * out)
        normals.append(np.broadcast_to(out, (n, 2)))
        ds.append(np.full(n, size / n))
        bend.append(np.zeros(n))
    given: dict[str, Any] = {"depth": DEPTH, "stiffness": STIFFNESS * DEPTH**2, "discharge": DISCHARGE, **faces}
    return tip_line(
        np.concatenate(points), np.concatenate(normals), np.concatenate(ds), curvature=np.concatenate(bend), **given
    )
