"""Patches behind the tie holes of the webs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import Sewn, finish
from skirtloft.pieces.types import CutPiece, Edge, MarkLine

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skirtloft.design.model import Design

ROUND = 5  # steps in a quarter of a rounded corner


def patch_outline(half: float, reach: float) -> Floats:
    """Return a patch round its hole at the origin, (k, 2) [m], anticlockwise: the tab, and `reach` further inwards.

    Parameters
    ----------
    half : float [m]
        Half the side of the tab.
    reach : float [m]
        Beyond the tab; the corners that lie on the web are rounded by it.

    Notes
    -----
    The tab is the square -half .. half with the web towards y > 0; the patch covers it and goes on to y = half +
    reach, half + reach to either side there, so that its pull is spread over more cloth than the tab's.
    """
    wide, radius = half + reach, reach
    turn = np.linspace(0.0, np.pi / 2.0, ROUND + 1)
    corner = radius * np.column_stack([np.cos(turn), np.sin(turn)])
    right = np.array([wide - radius, half + reach - radius]) + corner
    left = right[::-1] * np.array([-1.0, 1.0])
    points: Floats = np.vstack([[[-half, -half], [half, -half], [wide, half + reach - radius]], right, left])
    points = np.vstack([points, [[-wide, half + reach - radius]]])
    keep = np.hypot(*(points - np.roll(points, 1, axis=0)).T) > 1e-9
    return frozen_array(points[keep])


def patch_piece(design: Design, half: float, quantity: int, webs: str) -> CutPiece:
    """Return the patch of all webs, one for each."""
    making = design.making
    line = patch_outline(half, making.patch)
    sewn = Sewn(
        base="R1",
        name="patch behind the tie hole of a web",
        kind="patch",
        run="",
        edges=(Edge("rim", "free", frozen_array(np.vstack([line, line[:1]])), 0.0, joins=webs),),
        holes=np.zeros((1, 2)),
        warp=np.array([0.0, 1.0]),
        joint_length=0.0,
        notes=(
            "Sew it to the inside of the web, hole on hole, its straight end on the tab; the hems catch its sides.",
        ),
    )
    return finish(sewn, "", quantity, making.hole, design.cloth.segment.mass)


def with_patch_place(web: CutPiece, half: float, reach: float) -> CutPiece:
    """Return the web with the rim of its patch marked where it lies on the web."""
    import shapely

    inner = web.holes[0]
    joint, tip = web.edges[1].points[-1], web.edges[1].points[0]
    way = (joint - inner) / np.hypot(*(joint - inner)) + (tip - inner) / np.hypot(*(tip - inner))
    way = way / np.hypot(*way)
    across = np.array([way[1], -way[0]])
    line = patch_outline(half, reach)
    placed = inner + line[:, :1] * across + line[:, 1:] * way
    ring = shapely.LineString(np.vstack([placed, placed[:1]]))
    inside = ring.intersection(shapely.Polygon(web.cut_line).buffer(-1e-4))
    parts: Sequence[object] = getattr(inside, "geoms", [inside])
    joined = shapely.line_merge(shapely.MultiLineString(list(parts)))
    marks = [
        MarkLine(frozen_array(np.asarray(part.coords)), "place", "patch behind")
        for part in getattr(joined, "geoms", [joined])
        if part.length > 0.01
    ]
    return replace(web, marks=(*web.marks, *marks))
