"""Notches and the letters of seams."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.pieces.types import Edge, Notch

SEAM_NOTCHES: tuple[tuple[float, int], ...] = ((0.25, 1), (0.5, 1), (0.75, 2))  # share from the hull or joint, strokes
LETTERS = "ABCDEFGHJKLMNQRTUVWXYZ"  # I and O look like figures; P and S are the sides of the craft


def seam_letter(index: int) -> str:
    """Return the letter of seam `index`, counted from the bow: A ... Z without I, O, P, S, then AA, AB ..."""
    rounds, place = divmod(index, len(LETTERS))
    return (LETTERS[rounds - 1] if rounds else "") + LETTERS[place]


def along(points: Floats, share: float) -> tuple[Floats, Floats]:
    """Return the place at `share` of a line's length and the unit normal to its right there, both (2,).

    On an edge of an anticlockwise outline the right-hand normal points outward.
    """
    steps = np.diff(points, axis=0)
    length = np.hypot(steps[:, 0], steps[:, 1])
    reached = np.concatenate([[0.0], np.cumsum(length)])
    wanted = share * reached[-1]
    step = int(np.clip(np.searchsorted(reached, wanted, side="right") - 1, 0, len(steps) - 1))
    way = steps[step] / length[step]
    return points[step] + way * (wanted - reached[step]), np.array([way[1], -way[0]])


def along_curve(points: Floats, shares: Floats) -> tuple[Floats, Floats]:
    """Return the places at `shares` (k,) of a line's length and its unit normals to the right there, both (k, 2).

    The normal turns evenly from the middle of one step of the line to the middle of the next, as that of the smooth
    line through its points does.
    """
    steps = np.diff(points, axis=0)
    length = np.hypot(steps[:, 0], steps[:, 1])
    reached = np.concatenate([[0.0], np.cumsum(length)])
    wanted = np.asarray(shares) * reached[-1]
    at = np.column_stack([np.interp(wanted, reached, points[:, k]) for k in (0, 1)])
    angle = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    way = np.interp(wanted, (reached[:-1] + reached[1:]) / 2.0, angle)
    return at, np.column_stack([np.sin(way), -np.cos(way)])


def seam_notches(edge: Edge, from_end: bool) -> tuple[Notch, ...]:
    """Return the notches of a seam, at equal lengths on both pieces that meet.

    Parameters
    ----------
    edge : Edge
    from_end : bool
        Count from the edge's last point: the hull or joint end of the seam lies there.

    Notes
    -----
    One stroke at 1/4 and 1/2, two at 3/4: a piece turned upside down does not match.
    """
    notches = []
    for share, count in SEAM_NOTCHES:
        at, outward = along(edge.points, 1.0 - share if from_end else share)
        notches.append(Notch(frozen_array(at), frozen_array(outward), count, edge.letter))
    return tuple(notches)


def single_notch(points: Floats, share: float) -> Notch:
    """Return a one-stroke notch without a letter at `share` of an edge's length."""
    at, outward = along(points, share)
    return Notch(frozen_array(at), frozen_array(outward), 1, "")


def mirrored(points: Floats) -> Floats:
    """Return points with x turned round, (k, 2) [m], in reverse order so that an outline stays anticlockwise."""
    return frozen_array(points[::-1] * np.array([-1.0, 1.0]))
