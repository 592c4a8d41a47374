"""An axonometric picture of the skirt: quads sorted by depth and shaded by how they face the light."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from skirtloft.drawing.cover_parts import hull_parts, post_parts
from skirtloft.drawing.sheet import Area, Item, Sheet, Text
from skirtloft.drawing.solid import Part, seam_parts, skirt_parts
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Skirt

LIGHT = np.array([0.35, 0.45, 0.82])
SPREAD = 0.12  # mm by which each quad is larger on every side, so that no light shows between neighbours
LARGEST = 0.12  # m: longer quads are divided along their columns, so that they sort by depth
GREYS = {
    "loop": (0.45, 0.96),
    "face": (0.30, 0.80),
    "web": (0.28, 0.50),
    "hull": (0.15, 0.25),
    "seam": (0.1, 0.2),
    "deck": (0.62, 0.90),
    "bottom": (0.40, 0.70),
    "dark": (0.05, 0.15),
    "pale": (0.62, 0.80),
}
ALWAYS_AHEAD = {"seam": 0.05, "hull": 0.25}  # m nearer to the eye than they lie: thin lines on what they lie on


def cover_picture(skirt: Skirt) -> Sheet:
    """Return the craft for the cover: skirt with its seams, hull and deck, and a post as tall as a person."""
    parts = (*skirt_parts(skirt), *seam_parts(skirt), *hull_parts(skirt), *post_parts(skirt))
    return picture_sheet("cover", skirt.design.project.name, parts, "", elevation=17.0)


def picture_sheet(
    name: str, title: str, parts: Sequence[Part], caption: str, width: float = 240.0, elevation: float = 24.0
) -> Sheet:
    """Return a picture of `parts` seen from ahead, to port and `elevation` [deg] above, `width` mm wide."""
    right, up, towards = _view(azimuth=math.radians(38.0), elevation=math.radians(elevation))
    quads, greys, depths = [], [], []
    for part in parts:
        corners = _quads(_fine(part.points))
        normal = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
        size = np.linalg.norm(normal, axis=1)
        facing = normal / np.maximum(size, 1e-12)[:, None]
        facing = facing * np.sign(facing @ towards)[:, None]
        shade = np.clip(0.5 + 0.5 * (facing @ (LIGHT / np.linalg.norm(LIGHT))), 0.0, 1.0)
        dark, bright = GREYS[part.kind]
        quads.append(corners)
        greys.append(dark + (bright - dark) * shade)
        depths.append((corners @ towards).mean(axis=1) + ALWAYS_AHEAD.get(part.kind, 0.0))
    corners, grey, depth = np.concatenate(quads), np.concatenate(greys), np.concatenate(depths)
    flat = np.dstack([corners @ right, corners @ up])
    low, high = flat.min(axis=(0, 1)), flat.max(axis=(0, 1))
    margin, foot = (8.0, 10.0) if caption else (2.0, 0.0)
    scale = (width - 2 * margin) / (high[0] - low[0])
    placed = _spread((flat - low) * scale) + np.array([margin, margin + foot])
    items: list[Item] = [
        Area("loop", frozen_array(placed[i]), round(float(grey[i]), 3)) for i in np.argsort(depth, kind="stable")
    ]
    if caption:
        items.append(Text("text", margin, margin - 1.0, caption, 3.0))
    height = float((high[1] - low[1]) * scale + 2 * margin + foot)
    return Sheet(name, title, width, height, tuple(items))


def _spread(quads: Floats) -> Floats:
    """Return quads (n, 4, 2) [mm] with every corner moved out from the middle by `SPREAD`, at most by a third."""
    arms = quads - quads.mean(axis=1, keepdims=True)
    reach = np.linalg.norm(arms, axis=2, keepdims=True)
    return np.asarray(quads + arms * np.minimum(SPREAD * math.sqrt(2.0) / np.maximum(reach, 1e-9), 1.0 / 3.0))


def _view(azimuth: float, elevation: float) -> tuple[Floats, Floats, Floats]:
    """Unit vectors to the right, up and towards the eye."""
    towards = np.array(
        [math.cos(elevation) * math.cos(azimuth), math.cos(elevation) * math.sin(azimuth), math.sin(elevation)]
    )
    right = np.array([-math.sin(azimuth), math.cos(azimuth), 0.0])
    return right, np.cross(towards, right), towards


def _fine(grid: Floats) -> Floats:
    """Divide a grid between its columns until no column step is longer than `LARGEST`."""
    steps = np.linalg.norm(np.diff(grid, axis=1), axis=2).max(axis=0)
    columns = [grid[:, :1]]
    for k, step in enumerate(steps):
        share = np.linspace(0.0, 1.0, max(1, math.ceil(float(step) / LARGEST)) + 1)[1:]
        columns.append(grid[:, k, None] + (grid[:, k + 1] - grid[:, k])[:, None] * share[None, :, None])
    return np.concatenate(columns, axis=1)


def _quads(grid: Floats) -> Floats:
    """Return the quads (n, 4, 3) of a grid (rows, columns, 3)."""
    return np.stack([grid[:-1, :-1], grid[:-1, 1:], grid[1:, 1:], grid[1:, :-1]], axis=2).reshape(-1, 4, 3)
