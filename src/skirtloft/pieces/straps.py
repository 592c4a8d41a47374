"""Small rectangles: ties inside the loop, flaps over drain slots, cover tapes, bindings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.finish import RUN_WORDS, Sewn, finish
from skirtloft.pieces.joint import pitch_text, places_on_joint_line
from skirtloft.pieces.types import CutPiece, Edge, EdgeKind, MarkLine, PieceCloth, PieceKind, SewnRun

if TYPE_CHECKING:
    from collections.abc import Sequence

    from skirtloft.design.model import Design
    from skirtloft.shape.types import Plan

SAME_LENGTH = 0.5e-3  # m: strips of one kind nearer in length are cut alike, to the longest
DRAIN_LAP = 0.020  # m of a drain flap beyond its slot all round (choice of this program)
BINDING_END = 0.010  # m beyond the edge at either end of a binding (choice of this program)


@dataclass(frozen=True)
class Strap:
    """A rectangle: `length` along x, `width` along y, allowances at its two ends and along its sides [m]."""

    length: float
    width: float
    ends: tuple[float, float] = (0.0, 0.0)
    sides: float = 0.0
    folds: tuple[float, ...] = ()


def strap_piece(
    design: Design, strap: Strap, head: tuple[str, str, PieceKind, PieceCloth], quantity: int, notes: tuple[str, ...]
) -> CutPiece:
    """Return a rectangle as a piece; `head` is its code, name, kind and cloth."""
    base, name, kind, cloth = head
    x, y = strap.length / 2.0, strap.width / 2.0
    corners = frozen_array([[-x, -y], [x, -y], [x, y], [-x, y]])
    side: EdgeKind = "hem" if strap.sides > 0.0 else "free"

    def end(allowance: float) -> EdgeKind:
        return "end" if allowance > 0.0 else "free"

    edges = (
        Edge("side below", side, corners[[0, 1]], strap.sides),
        Edge("first end", end(strap.ends[0]), corners[[1, 2]], strap.ends[0]),
        Edge("side above", side, corners[[2, 3]], strap.sides),
        Edge("other end", end(strap.ends[1]), corners[[3, 0]], strap.ends[1]),
    )
    sewn = Sewn(
        base=base,
        name=name,
        kind=kind,
        run="",
        edges=edges,
        holes=np.zeros((0, 2)),
        warp=np.array([1.0, 0.0]),
        joint_length=0.0,
        marks=tuple(MarkLine(frozen_array([[-x, at], [x, at]]), "fold", "fold") for at in strap.folds),
        notes=notes,
        cloth=cloth,
    )
    mass = design.cloth.loop.mass if cloth == "loop" else design.cloth.segment.mass
    return finish(sewn, "", quantity, design.making.hole, mass)


def loop_ties(design: Design, plan: Plan, runs: Sequence[SewnRun]) -> tuple[CutPiece, ...]:
    """Return the straps inside the loop, one code for every length; () where none are wanted.

    Notes
    -----
    A tie is as long as the straight line from hull edge to joint in the section at its web line, between stations in
    proportion: taut when the loop has its drawn shape. The web lines nearest to equal steps of `spacing` get one.
    """
    wanted, making, stations = design.making.loop_ties, design.making, plan.stations
    if wanted is None:
        return ()
    chord = np.hypot(stations.offset, stations.hull_z - stations.depth)
    last = float(stations.at[-1])
    found: dict[float, list[tuple[str, int]]] = {}
    for index, run in enumerate(runs):
        count = max(1, round(run.length / wanted.spacing))
        lines = np.unique(np.round((np.arange(count) + 0.5) * run.segments / count).astype(int))
        at = np.abs(places_on_joint_line(plan, runs, index)[lines])
        lengths = np.interp(np.where(at > last, 2.0 * last - at, at), stations.at, chord)
        for line, length in zip(lines, lengths, strict=True):
            near = next((known for known in found if abs(known - length) < SAME_LENGTH), float(length))
            found.setdefault(near, []).append((f"{RUN_WORDS[run.name]} {pitch_text(run, int(line))}", run.sides))
    made = []
    for number, (length, places) in enumerate(sorted(found.items()), start=1):
        words = ", ".join(dict.fromkeys(name for name, _ in places))
        strap = Strap(length, wanted.width, (making.joint, making.hull_edge), making.hem)
        head: tuple[str, str, PieceKind, PieceCloth] = (f"Y{number}", f"loop tie at {words}", "loop_tie", "loop")
        note = "Hem the sides. One end under the bolts at the joint inside the loop, the other under the hull strip."
        made.append(strap_piece(design, strap, head, sum(sides for _, sides in places), (note,)))
    return tuple(made)


def drain_flap(design: Design) -> CutPiece | None:
    """Return the flap over a drain slot; None where there are no drains."""
    drains = design.making.drains
    if drains is None:
        return None
    strap = Strap(drains.length + 2.0 * DRAIN_LAP, 2.0 * DRAIN_LAP + 0.005)
    note = (
        "On the outside of the loop, its middle on the slot. Glue only the edge towards the bow, or on a stern run the "
        "upper edge: it opens aft and down. Turned the other way it scoops."
    )
    return strap_piece(design, strap, ("G1", "flap over a drain slot", "drain_flap", "loop"), drains.count, (note,))


def with_drain_slots(design: Design, loop: Sequence[CutPiece], runs: Sequence[SewnRun]) -> tuple[CutPiece, ...]:
    """Return the loop pieces with their drain slots marked low on the stern run, else on the stern corners.

    Notes
    -----
    Slots lie in the middle of segments, evenly spread and the same on both sides; one that would come within a hand's
    breadth of a seam moves to the next segment.
    """
    drains = design.making.drains
    if drains is None:
        return tuple(loop)
    run = next((run for run in reversed(runs) if run.name == "stern"), runs[-1])
    places = drain_places(run, drains.count, drains.length / 2.0 + design.making.seam)
    made = []
    for piece in loop:
        if piece.base not in run.panels:
            made.append(piece)
            continue
        span = run.spans[run.panels.index(piece.base)]
        own = [place - span[0] for place in places if span[0] <= place < span[1]]
        slots = [_slot(piece.edges[0].points[::-1], at, drains.length, drains.above) for at in own]
        made.append(replace(piece, marks=(*piece.marks, *slots)))
    return tuple(made)


def drain_places(run: SewnRun, count: int, clear: float) -> Floats:
    """Return where the drain slots of a run lie, (n,) [m], n = count (half of it where the run is once a side).

    Notes
    -----
    On a run across the centre line the two halves are alike, with one in the middle where the count is odd.
    """
    wanted = count if run.crosses else max(1, (count + 1) // 2)
    middles = (np.arange(run.segments) + 0.5) * run.pitch
    seams = run.spans.ravel()
    if run.crosses:
        seams = np.concatenate([seams, run.length - seams])
    free = middles[np.abs(middles[:, None] - seams[None, :]).min(axis=1) >= clear]
    free = free if len(free) else middles
    asked = (np.arange(wanted) + 0.5) / wanted * run.length
    if not run.crosses:
        return frozen_array(np.unique([free[np.argmin(np.abs(free - at))] for at in asked]))
    half = free[free < run.length / 2.0 - 1e-6]
    near = np.unique([half[np.argmin(np.abs(half - at))] for at in asked[: wanted // 2]]) if len(half) else np.zeros(0)
    middle = [run.length / 2.0] if wanted % 2 else []
    return frozen_array([*near, *middle, *(run.length - near[::-1])])


def _slot(joint: Floats, at: float, length: float, above: float) -> MarkLine:
    """A slot beside the joint edge, `joint` from its bow corner to its stern corner."""
    reached = np.concatenate([[0.0], np.hypot(*np.diff(joint, axis=0).T).cumsum()])
    ends = [
        np.array([np.interp(at + part, reached, joint[:, k]) for k in (0, 1)]) for part in (-length / 2, length / 2)
    ]
    way = (ends[1] - ends[0]) / np.hypot(*(ends[1] - ends[0]))
    up = np.array([way[1], -way[0]])
    return MarkLine(frozen_array(np.array(ends) + above * up), "slot", "drain slot: cut")


def cover_tapes(design: Design, loop: Sequence[CutPiece]) -> tuple[CutPiece, ...]:
    """Return the cover tapes over the loop's seams, one code for every length; () where none are wanted."""
    wanted = design.making.covers
    if wanted is None:
        return ()
    lengths: dict[str, list[float]] = {}
    for piece in loop:
        for edge in piece.edges:
            if edge.kind == "seam":
                lengths.setdefault(edge.letter, []).extend([edge.length] * piece.quantity)
    rows = [(max(found), f"seam {letter}", len(found) // 2) for letter, found in lengths.items()]
    note = "Centre it on the seam outside, from the hull edge to the joint; no pull in it."
    end = (design.making.hull_edge / 2.0, 0.0)
    return _tapes(design, rows, (wanted.width, end, "loop", "cover_tape"), (note,))


def _tapes(
    design: Design,
    rows: Sequence[tuple[float, str, int]],
    about: tuple[float, tuple[float, float], PieceCloth, Literal["cover_tape", "binding"]],
    notes: tuple[str, ...],
) -> tuple[CutPiece, ...]:
    """Tapes by (length, what, how many), those of one length together."""
    width, ends, cloth, kind = about
    merged: list[tuple[float, list[str], int]] = []
    for length, what, count in sorted(rows):
        if merged and length - merged[-1][0] < SAME_LENGTH:
            merged[-1] = (length, [*merged[-1][1], what], merged[-1][2] + count)
        else:
            merged.append((length, [what], count))
    letter, word = ("T", "cover tape") if kind == "cover_tape" else ("B", "binding")
    folds = () if kind == "cover_tape" else (-width / 4.0, 0.0, width / 4.0)
    made = []
    for number, (length, words, count) in enumerate(merged, start=1):
        strap = Strap(length, width, ends, 0.0, folds)
        head: tuple[str, str, PieceKind, PieceCloth] = (f"{letter}{number}", f"{word}, {', '.join(words)}", kind, cloth)
        made.append(strap_piece(design, strap, head, count, notes))
    return tuple(made)


def bindings(design: Design, pieces: Sequence[CutPiece]) -> tuple[CutPiece, ...]:
    """Return the binding tapes of every seam and free edge that is bound, one code for every length.

    Notes
    -----
    Four times the finished width: both halves are folded in once more. A seam has one binding for its two edges.
    """
    seams, making = design.making.seams, design.making
    rows: dict[tuple[str, int], int] = {}
    for piece in pieces:
        for edge in piece.edges:
            kind = {"seam": seams.loop if piece.kind == "loop_panel" else seams.face, "hem": seams.hem}.get(edge.kind)
            kind = seams.hull if edge.kind == "hull" else kind
            if kind != "bound":
                continue
            what = f"seam {edge.letter}" if edge.kind == "seam" else f"{edge.name} of {piece.base}"
            key = (what, round(edge.length * 1e4))
            rows[key] = rows.get(key, 0) + piece.quantity
    found = [
        (length * 1e-4, what, count // 2 if what.startswith("seam ") else count)
        for (what, length), count in rows.items()
    ]
    width = 4.0 * making.seams.binding
    note = "Fold both halves to the middle, then over the edge or edges; stitch 2 mm from its inner edge."
    return _tapes(design, found, (width, (BINDING_END, BINDING_END), "segment", "binding"), (note,))
