"""Sections moved a little outboard so that the straight edges of the panels have the true lengths.

A panel flat along its rulings has straight hull and joint edges: chords, which are shorter than the curves they
follow. Each section of a corner is therefore set out by a few millimetres for pattern making.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.loft import Loft, SectionArcs, arcs_by_inset, arcs_by_length, take_arcs

SHORT = 1e-9  # m: a chord this much shorter than its curve needs no outset
DAMPING = 0.03  # weight of the moves against the edge lengths


@dataclass(frozen=True, eq=False)
class Outset:
    """The sections each panel is unrolled between; p panels, one between each station and the next.

    Parameters
    ----------
    start, end : SectionArcs, (p,)
        At the station nearer the bow and at the one nearer the stern. Both sides of a seam have the same length.
    is_set_out : (p,) bool
        True where a chord was too short; elsewhere the arcs are those of the surface.
    hull_move, joint_move : (p, 2) [m]
        How far E and J were moved along the outward normal at `start` and `end`.
    """

    start: SectionArcs
    end: SectionArcs
    is_set_out: npt.NDArray[np.bool_]
    hull_move: Floats
    joint_move: Floats


def set_out(surface: Loft) -> Outset:
    """Return the pairs of sections to unroll between, so that every panel edge has its true length.

    Notes
    -----
    1. In every corner (each unbroken row of panels with a short chord) the moves of E and of J, one per station,
       follow from ``min |chord(move) - length|^2 + 0.03^2 |move|^2, move >= 0``; the arc through the moved E and J
       keeps its centre inset, and its length becomes the length of the seam.
    2. At the end of a corner, where the straight neighbour is exact, the seam keeps the length of the section: the
       corner's side is the arc of *that length* through the moved E and J, so that the straight panel stays a
       rectangle and both sides agree.
    3. What step 1 left (some hundredths of a millimetre; more where the hull turns within one panel) is closed panel
       by panel with the smallest move, again at the seam's length.
    A corner that begins on the centre line is free there: its mirror image makes the same move. [derived]
    """
    joint = np.column_stack([surface.arcs.joint, surface.depth])
    outward = np.column_stack([surface.arcs.outward, np.zeros(len(surface.ids))])
    short = np.maximum(surface.joint_length - _chords(joint), surface.hull_length - _chords(surface.hull))
    is_set_out = short > SHORT
    joint_shared, hull_shared = np.zeros(len(surface.ids)), np.zeros(len(surface.ids))
    for first, last in corner_stations(is_set_out):
        part, between = slice(first, last + 1), slice(first, last)
        joint_shared[part] = shared_moves(joint[part], outward[part], surface.joint_length[between])
        hull_shared[part] = shared_moves(surface.hull[part], outward[part], surface.hull_length[between])
    joint_move = closing_moves(joint, outward, surface.joint_length, joint_shared, is_set_out)
    hull_move = closing_moves(surface.hull, outward, surface.hull_length, hull_shared, is_set_out)
    seam = _seam_lengths(surface, joint_shared, hull_shared, is_set_out)
    sides = [_side(surface, k, joint_move[:, k], hull_move[:, k], seam, is_set_out) for k in (0, 1)]
    return Outset(sides[0], sides[1], is_set_out, frozen_array(hull_move), frozen_array(joint_move))


def corner_stations(is_set_out: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return first and last station of every unbroken row of panels to set out; `is_set_out` is (p,)."""
    edges = np.diff(np.concatenate([[0], is_set_out.astype(int), [0]]))
    return list(zip(np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist(), strict=True))


def shared_moves(points: Floats, outward: Floats, lengths: Floats) -> Floats:
    """Return the moves (n,) [m], none negative, that bring the chords between `points` (n, 3) to `lengths` (n - 1,).

    Gauss-Newton, each step a least-squares problem with bounds; the damping keeps the moves from alternating
    along the corner (there is one chord fewer than there are points).
    """
    from scipy.optimize import nnls

    moves = np.zeros(len(points))
    damping = DAMPING * np.eye(len(points))
    for _ in range(30):
        start, end, chord = _chord_slopes(points + moves[:, None] * outward, outward)
        slopes = np.zeros((len(lengths), len(points)))
        panel = np.arange(len(lengths))
        slopes[panel, panel], slopes[panel, panel + 1] = start, end
        wanted = np.concatenate([lengths - chord + slopes @ moves, np.zeros(len(points))])
        previous, moves = moves, nnls(np.concatenate([slopes, damping]), wanted)[0]
        if np.max(np.abs(moves - previous)) < 1e-10:
            break
    return moves


def closing_moves(
    points: Floats, outward: Floats, lengths: Floats, shared: Floats, is_set_out: npt.NDArray[np.bool_]
) -> Floats:
    """Return the moves of both ends of every panel (p, 2) [m] that make its chord exactly its length.

    Starts from the `shared` moves (n,) and adds the smallest further moves by Newton's method along
    ``(-u.n1, u.n2)``, u the direction of the chord. The chord is a convex function of the two moves, so the iteration
    closes from outside. A panel whose chord no move along the normals changes is left as it is.
    """
    moves = np.column_stack([shared[:-1], shared[1:]])
    for _ in range(40):
        along = np.diff(points, axis=0) + moves[:, 1:] * outward[1:] - moves[:, :1] * outward[:-1]
        chord = np.linalg.norm(along, axis=1)
        unit = along / chord[:, None]
        slopes = np.column_stack([-np.sum(unit * outward[:-1], axis=1), np.sum(unit * outward[1:], axis=1)])
        square = np.sum(slopes * slopes, axis=1)
        lack = np.where(is_set_out & (square > 1e-6), lengths - chord, 0.0)
        if np.max(np.abs(lack)) < 1e-15:
            break
        moves = moves + (lack / np.maximum(square, 1e-6))[:, None] * slopes
    return np.where(is_set_out[:, None], moves, 0.0)


def _chords(points: Floats) -> Floats:
    chords: Floats = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return chords


def _chord_slopes(points: Floats, outward: Floats) -> tuple[Floats, Floats, Floats]:
    """Return d chord / d move of the start and of the end of every chord, and the chords, each (n - 1,)."""
    along = np.diff(points, axis=0)
    chord = np.linalg.norm(along, axis=1)
    unit = along / chord[:, None]
    return -np.sum(unit * outward[:-1], axis=1), np.sum(unit * outward[1:], axis=1), chord


def _seam_lengths(surface: Loft, joint_move: Floats, hull_move: Floats, is_set_out: npt.NDArray[np.bool_]) -> Floats:
    """Return the length of the seam at every station, (n,) [m]: the section's own beside any exact panel."""
    arcs = surface.arcs
    offset = np.sum((arcs.joint - surface.hull[:, :2]) * arcs.outward, axis=1) + joint_move - hull_move
    moved = arcs_by_inset(arcs.joint, arcs.outward, offset, surface.hull[:, 2], surface.depth, surface.centre_inset)
    padded = np.concatenate([is_set_out[:1], is_set_out, is_set_out[-1:]])
    return np.where(padded[:-1] & padded[1:], moved.length, arcs.length)


def _side(
    surface: Loft, side: int, joint_move: Floats, hull_move: Floats, seam: Floats, is_set_out: npt.NDArray[np.bool_]
) -> SectionArcs:
    """Return the arcs at the start (`side` 0) or end (1) of every panel."""
    which = slice(side, len(seam) - 1 + side)
    true, hull = take_arcs(surface.arcs, which), surface.hull[which]
    offset = np.sum((true.joint - hull[:, :2]) * true.outward, axis=1) + joint_move - hull_move
    moved = arcs_by_length(
        true.joint + joint_move[:, None] * true.outward,
        true.outward,
        offset,
        hull[:, 2],
        surface.depth[which],
        seam[which],
    )
    chosen = is_set_out
    return SectionArcs(
        joint=frozen_array(np.where(chosen[:, None], moved.joint, true.joint)),
        outward=true.outward,
        centre_outboard=frozen_array(np.where(chosen, moved.centre_outboard, true.centre_outboard)),
        centre_z=frozen_array(np.where(chosen, moved.centre_z, true.centre_z)),
        radius=frozen_array(np.where(chosen, moved.radius, true.radius)),
        start_angle=frozen_array(np.where(chosen, moved.start_angle, true.start_angle)),
        end_angle=frozen_array(np.where(chosen, moved.end_angle, true.end_angle)),
    )
