"""What stands round the skirt in a picture: the hull under it, its deck, and a post as tall as a person."""

from __future__ import annotations

import numpy as np

from skirtloft.drawing.hull_view import HullView, hull_view
from skirtloft.drawing.solid import Part
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pipeline import Shaped

PERSON = 1.75  # m, height of the post
BAND = 0.25  # m, one band of the post
POST = 0.05  # m, its width
BESIDE = 0.5  # m from the skirt to the post
ROWS = 5  # rows of quads from line to line of the hull
ACROSS = 24  # columns of quads over the deck
EVERY = 24  # of the hull's sampled places, one is drawn
DECK_RISE = 0.02  # m that the deck arches over its edge


def hull_parts(skirt: Shaped) -> tuple[Part, ...]:
    """Return the hull below its edge and a plain deck over it, both sides."""
    view = hull_view(skirt.design, skirt.plan, skirt.sections)
    keep = np.unique(np.append(np.arange(0, len(view.hull_edge), EVERY), len(view.hull_edge) - 1))
    lines = HullView(view.hull_edge[keep], view.inner[keep], view.bottom[keep])
    parts = [Part("deck-C", "deck", _deck(lines.hull_edge))]
    for hand, flip in (("P", 1.0), ("S", -1.0)):
        turn = np.array([1.0, flip, 1.0])
        for name, low, high in (
            ("planing", lines.bottom, lines.inner),
            ("side", lines.inner, lines.hull_edge),
            ("flat", lines.bottom * np.array([1.0, 0.0, 1.0]), lines.bottom),
        ):
            parts.append(Part(f"{name}-{hand}", "bottom", frozen_array(_ruled(low * turn, high * turn))))
    return tuple(parts)


def _ruled(low: Floats, high: Floats) -> Floats:
    share = np.linspace(0.0, 1.0, ROWS + 1)[:, None, None]
    return np.asarray(low[None] + share * (high - low)[None])


def _deck(edge: Floats) -> Floats:
    share = np.linspace(-1.0, 1.0, ACROSS + 1)[:, None]
    x, z = np.broadcast_to(edge[:, 0], (ACROSS + 1, len(edge))), np.broadcast_to(edge[:, 2], (ACROSS + 1, len(edge)))
    return frozen_array(np.dstack([x, share * edge[:, 1], z + DECK_RISE * (1.0 - share**2)]))


def post_parts(skirt: Shaped) -> tuple[Part, ...]:
    """Return a post as tall as a person in bands of a quarter of a metre, on the ground to port of amidships."""
    joint = skirt.plan.stations.joint
    x, y = float(joint[:, 0].mean()), float(joint[:, 1].max()) + BESIDE
    half, parts = POST / 2.0, []
    for k in range(round(PERSON / BAND)):
        low, high = k * BAND, (k + 1) * BAND
        around = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
        ring = np.array([*around, around[0]])
        grid = np.stack([np.column_stack([ring, np.full(5, level)]) for level in (low, high)])
        parts.append(Part(f"post-{k}", "pale" if k % 2 else "dark", frozen_array(grid)))
    return tuple(parts)
