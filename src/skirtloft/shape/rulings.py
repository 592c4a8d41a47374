"""Straight lines from section to section along which the cloth is flat: the rulings of the strip between two arcs."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.shape.loft import SectionArcs, arc_angles, arc_points

PARALLEL = 1e-8  # sine of the angle between section planes, below which they count as parallel: no drawing is truer


def axis_distances(first: SectionArcs, second: SectionArcs) -> tuple[Floats, Floats]:
    """Return how far each J lies outboard of the vertical line where the two section planes meet, (n,) [m].

    ``inf`` where the planes are parallel. On an arc of the joint line both are its radius (plus any outset).
    """
    turn = _cross(first.outward, second.outward)
    between = first.joint - second.joint
    parallel = np.abs(turn) < PARALLEL
    turn = np.where(parallel, 1.0, turn)
    return (
        np.where(parallel, np.inf, _cross(between, second.outward) / turn),
        np.where(parallel, np.inf, _cross(between, first.outward) / turn),
    )


def facing_angles(first: SectionArcs, second: SectionArcs, angles: Floats) -> Floats:
    """Return, for points at `angles` (n, m) on `first`, the angles on the circles of `second` where rulings end.

    Parameters
    ----------
    first, second : SectionArcs, (n,)
    angles : (n, m) [rad]

    Returns
    -------
    (n, m) [rad]
        Not limited to the arc of `second`: what falls outside is a fan from its end.

    Notes
    -----
    Cloth is flat along a ruling when the tangents of both sections at its ends lie in one plane, so they meet on the
    axis where the section planes meet (or are parallel: equal angles). With c the distance of a centre from the axis,
    ``A cos(phi2) + B sin(phi2) = -R2 sin(phi1)``, ``A = c2 sin(phi1)``,
    ``B = -((z1 - z2) sin(phi1) + R1 + c1 cos(phi1))``; of its two roots the one nearest phi1. It has no singularity
    at a vertical tangent. Where no tangent exists (axis inside the circle) the nearest approach is taken. [derived]
    """
    from_axis, to_axis = axis_distances(first, second)
    parallel = np.isinf(from_axis)[:, None]
    near = np.where(parallel, 1.0, (from_axis + first.centre_outboard)[:, None])
    far = np.where(parallel, 1.0, (to_axis + second.centre_outboard)[:, None])
    sine, drop = np.sin(angles), (first.centre_z - second.centre_z)[:, None]
    a = far * sine
    b = -(drop * sine + first.radius[:, None] + near * np.cos(angles))
    size = np.maximum(np.hypot(a, b), 1e-300)
    spread = np.arccos(np.clip(-second.radius[:, None] * sine / size, -1.0, 1.0))
    towards = np.arctan2(b, a) - angles
    plus, minus = _wrapped(towards + spread), _wrapped(towards - spread)
    turned: Floats = np.where(parallel, angles, angles + np.where(np.abs(plus) < np.abs(minus), plus, minus))
    return turned


def step_order(first: SectionArcs, second: SectionArcs, intervals: int) -> npt.NDArray[np.bool_]:
    """Return for each step along the strip from E to J whether `first` moves on (else `second`), (n, 2 intervals).

    Both arcs carry ``intervals + 1`` equally spaced samples; whichever side's next sample comes first along the
    rulings moves on. Samples whose ruling falls beyond the other arc's end make a fan. [derived]
    """
    own = -arc_angles(first, intervals)[:, 1:]
    met = -facing_angles(second, first, arc_angles(second, intervals))[:, 1:]
    met = np.maximum.accumulate(met, axis=1)
    order = np.argsort(np.concatenate([own, met], axis=1), axis=1, kind="stable")
    moves: npt.NDArray[np.bool_] = order < intervals
    return moves


def ruling_pairs(first: SectionArcs, second: SectionArcs, intervals: int) -> tuple[Floats, Floats]:
    """Return the angles at both ends of the rulings through every sample of either arc, (n, 2 intervals + 2) [rad].

    In order from E to J; in a fan one of the two stands still at the end of its arc.
    """
    one, two = arc_angles(first, intervals), arc_angles(second, intervals)
    one_met = np.clip(facing_angles(second, first, two), first.end_angle[:, None], first.start_angle[:, None])
    two_met = np.clip(facing_angles(first, second, one), second.end_angle[:, None], second.start_angle[:, None])
    starts, ends = np.concatenate([one, one_met], axis=1), np.concatenate([two_met, two], axis=1)
    order = np.argsort(-(starts + ends), axis=1, kind="stable")
    return np.take_along_axis(starts, order, axis=1), np.take_along_axis(ends, order, axis=1)


def strip_points(first: SectionArcs, second: SectionArcs, intervals: int, columns: int) -> Floats:
    """Return points of the developable strips on their rulings, (n, 2 intervals + 2, columns, 3) [m]."""
    starts, ends = ruling_pairs(first, second, intervals)
    share = np.linspace(0.0, 1.0, columns)[:, None]
    one, two = arc_points(first, starts)[:, :, None, :], arc_points(second, ends)[:, :, None, :]
    points: Floats = one + (two - one) * share
    return points


def surface_distance(
    points: Floats, section_at: Callable[[Floats], SectionArcs], around: Floats, reach: float
) -> Floats:
    """Return the distance of `points` (k, 3) [m] from the surface swept by the circles of `section_at`, (k,) [m].

    Parameters
    ----------
    section_at : callable
        Takes places (k,) along the corner and returns the section standing at each of them.
    around : (k,)
        Place of the section near each point; the nearest is looked for within `reach` on either side, by
        golden-section search to ``reach / 1e6``.
    """

    def away(at: Floats) -> Floats:
        arcs = section_at(at)
        apart = points[:, :2] - arcs.joint
        outboard = np.sum(apart * arcs.outward, axis=1) - arcs.centre_outboard
        in_plane = np.hypot(outboard, points[:, 2] - arcs.centre_z) - arcs.radius
        distance: Floats = np.hypot(in_plane, _cross(arcs.outward, apart))
        return distance

    golden = (np.sqrt(5.0) - 1.0) / 2.0
    low, high = around - reach, around + reach
    for _ in range(30):
        left, right = high - golden * (high - low), low + golden * (high - low)
        nearer_left = away(left) < away(right)
        low, high = np.where(nearer_left, low, left), np.where(nearer_left, right, high)
    return away((low + high) / 2)


def _cross(one: Floats, two: Floats) -> Floats:
    crossed: Floats = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]
    return crossed


def _wrapped(angle: Floats) -> Floats:
    wrapped: Floats = (angle + np.pi) % (2.0 * np.pi) - np.pi
    return wrapped
