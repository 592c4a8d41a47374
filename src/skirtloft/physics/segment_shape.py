"""The shape of a segment: web corners, inner fixing, and where the edges of its bulging face lie."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.face_edge import corner_edge, corner_half_arc, straight_edge, straight_half_arc
from skirtloft.physics.statics_types import FaceEdge, SegmentShape

STRAIGHT = 1e7  # m: from this plan radius on a corner's face is a run's to 1e-8, and its own formula has no digits left


def lower_edge_slope(face_angle: npt.ArrayLike, tip_angle: npt.ArrayLike) -> Floats:
    """Return the slope alpha [rad] of the web's lower edge to the ground, inboard and up: pi - t - tip angle."""
    return np.pi - np.asarray(face_angle, dtype=np.float64) - np.asarray(tip_angle, dtype=np.float64)


def inboard_by_tip_angle(
    depth: npt.ArrayLike, face_angle: npt.ArrayLike, tip_angle: npt.ArrayLike, drop: npt.ArrayLike
) -> Floats:
    """Return how far inboard of the joint the inner fixing lies, `drop` below the joint on the lower edge [m].

    Parameters
    ----------
    depth, drop : [m]
    face_angle, tip_angle : [rad]
        At 45 and 90 degrees and no drop the fixing lies 2 d inboard.

    Notes
    -----
    From G inboard and up at alpha to the height d - drop: d cot t + (d - drop) cot alpha. nan where alpha is not
    between 0 and pi or the fixing not above the ground.

    References
    ----------
    Derived.
    """
    d, t, under = (np.asarray(value, dtype=np.float64) for value in (depth, face_angle, drop))
    alpha = lower_edge_slope(t, tip_angle)
    with np.errstate(divide="ignore", invalid="ignore"):
        inboard = d / np.tan(t) + (d - under) / np.tan(alpha)
    return np.where((alpha > 0.0) & (alpha < np.pi) & (under < d), inboard, np.nan)


def fixing_on_line(
    depth: npt.ArrayLike,
    face_angle: npt.ArrayLike,
    tip_angle: npt.ArrayLike,
    line_drop: npt.ArrayLike,
    line_slope: npt.ArrayLike,
) -> tuple[Floats, Floats]:
    """Return drop and inboard distance [m] of the inner fixing where the web's lower edge meets a sloping line.

    Parameters
    ----------
    depth : [m]
    face_angle, tip_angle : [rad]
    line_drop : [m]
        How far the line of the planing surface passes below the joint, at the joint's own place.
    line_slope : [-]
        Rise of the line per metre inboard; negative: it falls inboard.

    Notes
    -----
    Height of the fixing h = (d - line_drop + slope d cot t)/(1 - slope cot alpha). nan where the edge never meets the
    line above the ground.

    References
    ----------
    Derived.
    """
    given = (depth, face_angle, line_drop, line_slope)
    d, t, below, slope = (np.asarray(value, dtype=np.float64) for value in given)
    with np.errstate(divide="ignore", invalid="ignore"):
        closing = 1.0 - slope / np.tan(lower_edge_slope(t, tip_angle))
        height = (d - below + slope * d / np.tan(t)) / closing
        drop = np.where((closing > 0.0) & (height > 0.0), d - height, np.nan)
        return drop, inboard_by_tip_angle(d, t, tip_angle, drop)


def segment_shape(
    depth: npt.ArrayLike,
    face_angle: npt.ArrayLike,
    pitch: npt.ArrayLike,
    *,
    inboard: npt.ArrayLike,
    drop: npt.ArrayLike = 0.0,
    radius: npt.ArrayLike = np.inf,
    bulge: npt.ArrayLike = 1.0,
    top: str = "flat",
    cut: str = "level",
) -> SegmentShape:
    """Return segments of any shape, all stations and designs at once.

    Parameters
    ----------
    depth : [m]
        d, any shape, broadcast with the others.
    face_angle : [rad]
        t, above 0 and below 180 degrees.
    pitch : [m]
        Along the joint line, the run's own (fitted) pitch.
    inboard, drop : [m]
        Inner fixing inboard of the joint and below it; see `inboard_by_tip_angle` and `fixing_on_line`.
    radius : [m]
        Plan radius of the joint line at a corner; there the face narrows towards the tip.
    bulge : [-]
        Rise of the tip edge over half its chord: 1 for the half round that just touches its neighbours, 0 flat.
    top : str
        "flat": straight between bolt holes; "arc": as bulged as the tip.
    cut : str
        "level" or "square" to the web's edge.

    Raises
    ------
    ValueError
        `top` or `cut` is no known word.

    Examples
    --------
    >>> shape = segment_shape(0.28, np.radians(45.0), 0.15, inboard=0.56)
    >>> round(float(shape.tip_mean_square), 6), round(float(shape.tip_angle), 6)
    (0.21095, 1.570796)
    """
    if top not in ("flat", "arc") or cut not in ("level", "square"):
        raise ValueError(f"top is flat or arc, cut is level or square; not {top!r}, {cut!r}")
    given = (depth, face_angle, pitch, inboard, drop, radius, bulge)
    d, t, w, inside, under, r, swell = (np.asarray(value, dtype=np.float64) for value in np.broadcast_arrays(*given))
    with np.errstate(divide="ignore", invalid="ignore"):
        run = d / np.tan(t)
        wedge = np.asarray(w / r)
        half_arc, joint_edge, tip_edge = _edges(swell, t, w, r, r - run, wedge, top, cut)
        joint = np.stack([np.zeros_like(d), d], axis=-1)
        tip = np.stack([-run, np.zeros_like(d)], axis=-1)
        inner = np.stack([-inside, d - under], axis=-1)
        lower = np.arctan2(d - under, inside - run)
        return SegmentShape(
            depth=frozen_array(d),
            face_angle=frozen_array(t),
            pitch=frozen_array(w),
            radius=frozen_array(r),
            wedge=frozen_array(wedge),
            half_arc=frozen_array(half_arc),
            top=top,
            cut=cut,
            drop=frozen_array(under),
            inboard=frozen_array(inside),
            tip_angle=frozen_array(np.pi - t - lower),
            lower_slope=frozen_array(lower),
            joint=frozen_array(joint),
            tip=frozen_array(tip),
            inner=frozen_array(inner),
            face_length=frozen_array(d / np.sin(t)),
            upper_edge=frozen_array(np.hypot(inside, under)),
            lower_edge=frozen_array(np.hypot(inside - run, d - under)),
            joint_edge=joint_edge,
            tip_edge=tip_edge,
            joint_mean_square=frozen_array(mean_square(joint_edge, inside, under)),
            tip_mean_square=frozen_array(mean_square(tip_edge, inside - run, under - d)),
        )


def mean_square(edge: FaceEdge, out: Floats | float, up: Floats | float) -> Floats:
    """Return the mean square distance [m2] of an edge from I, its web corner being `out` and `up` of I [m]."""
    return (out + edge.out) ** 2 + (up + edge.up) ** 2 + edge.spread


def flat_faced(shape: SegmentShape) -> SegmentShape:
    """Return the same webs with a flat face, as the trade's rule takes it."""
    none = frozen_array(np.zeros_like(shape.depth))
    flat = FaceEdge(none, none, none)
    return replace(
        shape,
        half_arc=none,
        joint_edge=flat,
        tip_edge=flat,
        joint_mean_square=frozen_array(shape.upper_edge**2),
        tip_mean_square=frozen_array(shape.lower_edge**2),
    )


def _edges(
    bulge: Floats, t: Floats, w: Floats, top_radius: Floats, tip_radius: Floats, wedge: Floats, top: str, cut: str
) -> tuple[Floats, FaceEdge, FaceEdge]:
    """Return half arc of the tip edge, top edge and tip edge, straight runs and corners mixed."""
    half_arc = straight_half_arc(bulge)
    joint = tip = straight_edge(half_arc, t, w, cut)
    half_arc = np.array(half_arc)
    corner = top_radius < STRAIGHT
    if corner.any():
        half_arc[corner] = corner_half_arc(bulge[corner], t[corner], wedge[corner])
        inside = np.where(tip_radius > 0.0, tip_radius, np.nan)
        at = (half_arc[corner], t[corner], wedge[corner])
        tip = _placed(tip, corner, corner_edge(*at, inside[corner], cut))
        joint = _placed(joint, corner, corner_edge(*at, top_radius[corner], cut)) if top == "arc" else joint
    if top == "flat":
        none = np.zeros_like(t)
        joint = FaceEdge(none, none, none)
    return half_arc, joint, tip


def _placed(edge: FaceEdge, where: npt.NDArray[np.bool_], other: FaceEdge) -> FaceEdge:
    """Return `edge` with the values of `other` at the places `where`."""
    values = []
    for mine, theirs in ((edge.out, other.out), (edge.up, other.up), (edge.spread, other.spread)):
        mixed = np.array(np.broadcast_to(mine, where.shape))
        mixed[where] = theirs
        values.append(frozen_array(mixed))
    return FaceEdge(*values)
