"""Spare pieces by rule, counted apart from those on the craft."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skirtloft.design.extras_model import Spares
    from skirtloft.pieces.segment_set import SegmentSet
    from skirtloft.pieces.types import CutPiece

BY_SHARE = ("back", "diaphragm", "drain_flap", "loop_tie")


def spare_segments(rule: Spares, counts: Sequence[int], corner: Sequence[bool]) -> list[int]:
    """Return how many spare segments of every kind there should be.

    Parameters
    ----------
    rule : Spares
    counts : sequence of int
        Of every kind on the craft.
    corner : sequence of bool
        Kinds that occur in a corner.

    Notes
    -----
    Of every kind its share, rounded up, and of a corner's at least `corner`; then one more of the kinds with the most
    segments to a spare until there are `least` in all. Never more than there are on the craft.
    """
    spare = [
        min(count, max(ceil(rule.share * count - 1e-9), rule.corner if is_corner else 0))
        for count, is_corner in zip(counts, corner, strict=True)
    ]
    while sum(spare) < min(rule.least, sum(counts)):
        open_ = [k for k, count in enumerate(counts) if spare[k] < count]
        most = max(open_, key=lambda k: (counts[k] / (spare[k] + 1), -k))
        spare[most] += 1
    return spare


def with_spares(
    rule: Spares, pieces: Sequence[CutPiece], segments: SegmentSet, corner: Sequence[bool]
) -> tuple[CutPiece, ...]:
    """Return the pieces with their spares; `corner` says of every face of the set whether it occurs in a corner.

    Notes
    -----
    Spare segments are whole: a spare face has its two webs with their patches and its wear panel. A face cut per hand
    has its spares per hand. Loop and strips have none: they are patched.
    """
    faces = [f"F{k + 1}" for k in range(len(segments.faces))]
    counts = [sum(p.quantity for p in pieces if p.base == base and p.kind == "face") for base in faces]
    spare = dict(zip(faces, spare_segments(rule, counts, corner), strict=True))
    webs: dict[str, int] = {}
    for k, base in enumerate(faces):
        own = {web for place in segments.places if place.face == k for web in (place.bow_web, place.stern_web)}
        for web in own:
            webs[f"W{web + 1}"] = webs.get(f"W{web + 1}", 0) + spare[base]
    made = []
    for piece in pieces:
        if piece.kind in ("face", "wear_panel"):
            base = piece.base if piece.kind == "face" else piece.name.rpartition(" ")[2]
            count = ceil(spare[base] / (2 if piece.hand else 1))
        elif piece.kind == "web":
            count = webs.get(piece.base, 0)
        elif piece.kind == "patch":
            count = 2 * sum(webs.values())  # one for each web; `webs` counts those of one hand
        else:
            count = ceil(rule.share * piece.quantity - 1e-9) if piece.kind in BY_SHARE else 0
        made.append(replace(piece, spares=count))
    return tuple(made)
