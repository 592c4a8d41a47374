"""Strokes -> one outline, end to end: a closed loop or an open half, small gaps closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from skirtloft.errors import Problem
from skirtloft.maths.curves import LinePiece
from skirtloft.shape.drawn.pieces import (
    DrawnPiece,
    Stroke,
    cut,
    place_at,
    reverse_all,
    shape_end,
    shape_length,
    shape_start,
    with_ends,
)
from skirtloft.shape.wording import place_text

SLOP = 0.02  # m: a wider gap is no slop
LISTED = 12  # loose ends named before the rest are only counted


@dataclass(frozen=True, eq=False)
class Chain:
    """Pieces end to end.

    Parameters
    ----------
    pieces : tuple of DrawnPiece
    closed : bool
    widest_gap : float [m]
        Largest gap that was closed, 0 for none.
    gap_at : complex [m]
    left_out : tuple of str
        Sources of strokes shorter than the snap distance.
    """

    pieces: tuple[DrawnPiece, ...]
    closed: bool
    widest_gap: float
    gap_at: complex
    left_out: tuple[str, ...]


def join_strokes(strokes: Sequence[Stroke], snap: float) -> Chain | list[Problem]:
    """Return all strokes as one chain, or why they make none: every reason.

    Parameters
    ----------
    strokes : sequence of Stroke
        In metres.
    snap : float [m]
        Ends nearer than this are joined.
    """
    long = [stroke for stroke in strokes if _length(stroke) > snap]
    left_out = tuple(stroke.source for stroke in strokes if _length(stroke) <= snap)
    if not long:
        wrong = f"No line or curve is longer than the snap distance of {1000.0 * snap:g} mm."
        return [Problem("drawing", f"{len(strokes)} strokes", wrong, "Check the units, or give a smaller --snap.")]
    nodes = _nodes(long, snap)
    problems = [*_doubled(long, nodes, snap), *_branches(long, nodes)]
    if problems:
        return problems
    chains = _walk(long, nodes)
    if len(chains) > 1:
        return _several(long, chains, nodes, snap)
    order, closed = chains[0]
    runs = [list(long[k].pieces) if forward else reverse_all(long[k].pieces) for k, forward in order]
    return _met(runs, closed, left_out)


def _length(stroke: Stroke) -> float:
    return sum(shape_length(piece.shape) for piece in stroke.pieces)


def _ends(stroke: Stroke) -> tuple[complex, complex]:
    return shape_start(stroke.pieces[0].shape), shape_end(stroke.pieces[-1].shape)


def _nodes(strokes: Sequence[Stroke], snap: float) -> list[tuple[int, int]]:
    """Return for every stroke the numbers of the places at which it starts and ends."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    ends = np.array([end for stroke in strokes for end in _ends(stroke)])
    pairs = cKDTree(np.column_stack([ends.real, ends.imag])).query_pairs(snap, output_type="ndarray")
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(ends), len(ends)))
    labels = connected_components(graph, directed=False)[1]
    return [(int(labels[2 * k]), int(labels[2 * k + 1])) for k in range(len(strokes))]


def _doubled(strokes: Sequence[Stroke], nodes: Sequence[tuple[int, int]], snap: float) -> list[Problem]:
    """Return a problem for every stroke drawn over another."""
    found: list[Problem] = []
    for k, stroke in enumerate(strokes):
        for other in range(k):
            if set(nodes[k]) == set(nodes[other]) and abs(_middle(stroke) - _middle(strokes[other])) <= snap:
                wrong = f"It is drawn on top of {strokes[other].source}."
                found.append(Problem(stroke.source, place_text(_middle(stroke)), wrong, "Delete one of the two."))
                break
    return found


def _middle(stroke: Stroke) -> complex:
    """Return the middle of the middle piece."""
    return place_at(stroke.pieces[len(stroke.pieces) // 2], 0.5)


def _at_nodes(nodes: Sequence[tuple[int, int]]) -> dict[int, list[tuple[int, int]]]:
    """Return node -> (stroke, which of its ends) of all that meet there."""
    meeting: dict[int, list[tuple[int, int]]] = {}
    for k, ends in enumerate(nodes):
        for which, node in enumerate(ends):
            meeting.setdefault(node, []).append((k, which))
    return meeting


def _branches(strokes: Sequence[Stroke], nodes: Sequence[tuple[int, int]]) -> list[Problem]:
    found = []
    for ends in _at_nodes(nodes).values():
        if len(ends) > 2:
            names = list(dict.fromkeys(strokes[k].source for k, _ in ends))
            place = place_text(_ends(strokes[ends[0][0]])[ends[0][1]])
            wrong = f"{len(ends)} ends meet here ({', '.join(names[:6])}), and an outline has two."
            would_do = "Leave only the outline on the layer: centre lines and hull bottom go on another one."
            found.append(Problem(names[0], place, wrong, would_do))
    return found


def _walk(strokes: Sequence[Stroke], nodes: Sequence[tuple[int, int]]) -> list[tuple[list[tuple[int, bool]], bool]]:
    """Return every chain as (stroke, run forward) in order, and whether it is closed; open ones from a loose end."""
    meeting = _at_nodes(nodes)
    used: set[int] = set()
    loose = [ends[0] for ends in meeting.values() if len(ends) == 1]
    starts = [*loose, *((k, 0) for k in range(len(strokes)))]
    chains = []
    for stroke, which in starts:
        if stroke in used:
            continue
        order: list[tuple[int, bool]] = []
        here: tuple[int, int] | None = (stroke, which)
        while here is not None and here[0] not in used:
            used.add(here[0])
            order.append((here[0], here[1] == 0))
            far = (here[0], 1 - here[1])
            here = next((end for end in meeting[nodes[far[0]][far[1]]] if end != far), None)
        chains.append((order, here is not None))
    return chains


def _several(
    strokes: Sequence[Stroke],
    chains: Sequence[tuple[list[tuple[int, bool]], bool]],
    nodes: Sequence[tuple[int, int]],
    snap: float,
) -> list[Problem]:
    """Return what keeps the strokes from being one chain: gaps between loose ends, or more than one outline."""
    loose = [
        (strokes[k].source, _ends(strokes[k])[which])
        for ends in _at_nodes(nodes).values()
        if len(ends) == 1
        for k, which in ends
    ]
    found = []
    for k, (source, place) in enumerate(loose[:LISTED]):
        away, other = min((abs(place - loose[i][1]), loose[i][0]) for i in range(len(loose)) if i != k)
        wrong = f"This end is loose: the nearest other one ({other}) is {1000.0 * away:.4g} mm away."
        would_do = would_join(away)
        found.append(Problem(source, place_text(place), wrong, would_do))
    if len(loose) > LISTED:
        rest = Problem("drawing", f"{len(loose)} loose ends", "There are more like these.", "Join every gap.")
        found.append(rest)
    closed = [order for order, is_closed in chains if is_closed]
    if len(closed) + bool(loose) > 1:
        names = "; ".join(f"one with {strokes[order[0][0]].source}" for order in closed[:6])
        wrong = f"There is more than one outline: closed {names}{' and loose lines' if loose else ''}."
        found.append(Problem("drawing", f"{len(chains)} chains", wrong, "Leave only the hull edge on the layer."))
    return found


def would_join(gap: float) -> str:
    """Return what closes a gap [m]."""
    if gap > SLOP:
        return "Join them in the drawing."
    return f'Join them in the drawing, or --snap "{1000.0 * gap * 1.01:.3g} mm" if that is no more than slop.'


def _met(runs: Sequence[list[DrawnPiece]], closed: bool, left_out: tuple[str, ...]) -> Chain | list[Problem]:
    """Return the runs with the gaps between them closed: a line gives way to an arc or a curve, else both half."""
    pieces = [piece for run in runs for piece in run]
    if closed and len(pieces) == 1:
        pieces = cut(pieces[0], [0.5])
    count = len(pieces)
    problems, widest, gap_at = [], 0.0, 0j
    joins = [*pairwise(range(count)), *([(count - 1, 0)] if closed else [])]
    for k, following in joins:
        end, start = shape_end(pieces[k].shape), shape_start(pieces[following].shape)
        step = abs(pieces[k].heights[1] - pieces[following].heights[0])
        if step > max(1e-6, abs(end - start)) and step > 1e-4:
            wrong = f"It meets {pieces[following].source} in plan, but {1000.0 * step:.4g} mm above or below it."
            problems.append(Problem(pieces[k].source, place_text(end), wrong, "Join them in height as well."))
        if abs(end - start) > widest:
            widest, gap_at = abs(end - start), end
        if end != start:
            place = _meeting(pieces[k], pieces[following])
            pieces[k] = with_ends(pieces[k], shape_start(pieces[k].shape), place)
            pieces[following] = with_ends(pieces[following], place, shape_end(pieces[following].shape))
    return problems or Chain(tuple(pieces), closed, widest, gap_at, left_out)


def _meeting(before: DrawnPiece, after: DrawnPiece) -> complex:
    end, start = shape_end(before.shape), shape_start(after.shape)
    straight = isinstance(before.shape, LinePiece), isinstance(after.shape, LinePiece)
    if straight[0] != straight[1]:
        return start if straight[0] else end
    return (end + start) / 2.0
