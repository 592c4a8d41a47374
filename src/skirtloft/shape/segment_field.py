"""Depth, angles and inner fixing along the joint line, and the lines that follow from them: web corners, tips, crowns.

Every run has its own; through a corner they go evenly, along the joint line, from one run's to the next one's.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.maths.curves import ArcPiece, Path, outward_at, piece_start, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.joint_line import JointLine
from skirtloft.shape.types import Plan, SegmentField
from skirtloft.shape.wording import place_text

NODES, WEIGHTS = np.polynomial.legendre.leggauss(24)


def segment_field(line: JointLine, forms: Mapping[str, SegmentForm], at: Floats) -> SegmentField:
    """Return the field of a joint line.

    Parameters
    ----------
    line : JointLine
    forms : label -> SegmentForm
        "bow", "side", "stern".
    at : (k,) [m]
        Where each break of the joint line takes effect: its station.

    Raises
    ------
    ShapeError
        Two runs meet without a corner between them, and their segments differ.
    """
    for k in range(1, len(line.names)):
        before, after = line.names[k - 1], line.names[k]
        straight_on = not before.endswith("corner") and not after.endswith("corner")
        if straight_on and forms[before] != forms[after]:
            raise ShapeError(
                f"{before} and {after} of the joint line, {place_text(piece_start(line.path.pieces[k]))}",
                "they meet without a corner, and their segments have different depths, angles or inner fixings.",
                f"Give [skirt.{before}] and [skirt.{after}] the same, or a corner between them.",
            )
    mine = [forms[name.removesuffix("_corner")] for name in line.break_names]  # a corner on the centre line: pointed
    return SegmentField(
        at=frozen_array(at),
        depth=frozen_array([form.depth for form in mine]),
        face_angle=frozen_array([form.face_angle for form in mine]),
        tip_angle=frozen_array([form.tip_angle for form in mine]),
        drop=frozen_array([form.drop for form in mine]),
    )


def form_at(field: SegmentField, at: float) -> SegmentForm:
    """Return the form of the segments at the length `at` [m] along the joint line."""
    return SegmentForm(*(float(values[0]) for values in values_at(field, [at])))


def values_at(field: SegmentField, at: npt.ArrayLike) -> tuple[Floats, Floats, Floats, Floats]:
    """Return depth [m], face angle, tip angle [rad] and drop [m] at the lengths `at` (n,) [m]."""
    places = np.asarray(at, dtype=np.float64)
    values = [
        np.asarray(np.interp(places, field.at, nodes))
        for nodes in (field.depth, field.face_angle, field.tip_angle, field.drop)
    ]
    return values[0], values[1], values[2], values[3]


def is_uniform(field: SegmentField) -> bool:
    """Return whether the segments are alike all round."""
    values = (field.depth, field.face_angle, field.tip_angle, field.drop)
    return all(bool(np.all(nodes == nodes[0])) for nodes in values)


def has_one_tip_line(field: SegmentField) -> bool:
    """Return whether depth and face angle are the same all round, so that the tips lie equally far inboard."""
    return all(bool(np.all(nodes == nodes[0])) for nodes in (field.depth, field.face_angle))


def inboard_at(field: SegmentField, at: npt.ArrayLike) -> Floats:
    """Return how far inboard of the joint the inner fixings lie, (n,) [m]: d cot(face) - (d - drop) cot(face + tip)."""
    depth, face, tip, drop = values_at(field, at)
    inboard: Floats = depth / np.tan(face) - (depth - drop) / np.tan(face + tip)
    return inboard


def web_insets(field: SegmentField, at: npt.ArrayLike) -> Floats:
    """Return how far the web corners G lie inboard of the joint line, (n,) [m]: d cot(face)."""
    depth, face, _, _ = values_at(field, at)
    inset: Floats = depth / np.tan(face)
    return inset


def tip_insets(field: SegmentField, pitch: float, at: npt.ArrayLike) -> Floats:
    """Return how far the mean tip edges lie inboard of the joint line, (n,) [m]: see `plan.tip_inset`."""
    inset: Floats = web_insets(field, at) - math.pi / 8.0 * pitch / np.sin(values_at(field, at)[1])
    return inset


def crown_insets(field: SegmentField, pitch: float, at: npt.ArrayLike) -> Floats:
    """Return how far the crowns of the faces lie inboard of the joint line, (n,) [m]: see `plan.crown_inset`."""
    inset: Floats = web_insets(field, at) - pitch / (2.0 * np.sin(values_at(field, at)[1]))
    return inset


def line_points(plan: Plan, insets: Floats, at: Floats) -> Floats:
    """Return the points (n, 2) [m] that lie `insets` inboard of the joint line at the lengths `at`, both (n,) [m]."""
    points: Floats = points_at(plan.joint_line, at) - insets[:, None] * outward_at(plan.joint_line, at)
    return points


def area_and_perimeter(path: Path, field: SegmentField, pitch: float) -> tuple[float, float]:
    """Return what the mean tip line of a whole craft takes off the joint line's area [m2], and its perimeter [m].

    Notes
    -----
    With delta the inset along the joint line s of curvature k: area = S_J - Int delta ds + 1/2 Int delta^2 k ds, and
    perimeter = Int hypot(1 - k delta, delta') ds, by Gauss's rule between all breaks and nodes. Delta the same all
    round: S_J - delta P_J + pi delta^2 and P_J - 2 pi delta.

    References
    ----------
    Derived.
    """
    _, step, bend, inset, slope = _tip_steps(path, field, pitch, 0.0, float(path.breaks[-1]))
    taken = float((step * (inset - bend * inset**2 / 2.0)).sum())
    perimeter = float((step * np.hypot(1.0 - bend * inset, slope)).sum())
    return 2.0 * taken, 2.0 * perimeter


def tip_length(plan: Plan, start: float, end: float) -> float:
    """Return the length of the mean tip line between two places on the joint line [m], as in `area_and_perimeter`."""
    _, step, bend, inset, slope = _tip_steps(plan.joint_line, plan.segments, plan.pitch, start, end)
    return float((step * np.hypot(1.0 - bend * inset, slope)).sum())


def _tip_steps(
    path: Path, field: SegmentField, pitch: float, start: float, end: float
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Return places, steps ds, curvature, inset and its slope at Gauss's points between breaks and nodes, (m, q)."""
    inner = np.concatenate([path.breaks, field.at])
    ends = np.unique(np.concatenate([[start], inner[(inner > start) & (inner < end)], [end]]))
    low, high = ends[:-1, None], ends[1:, None]
    at = (low + high) / 2.0 + (high - low) / 2.0 * NODES
    step = (high - low) / 2.0 * WEIGHTS
    middle = (ends[:-1] + ends[1:]) / 2.0
    bend = np.array([_curvature(path, float(place)) for place in middle])[:, None]
    inset = tip_insets(field, pitch, at.ravel()).reshape(at.shape)
    return at, step, bend, inset, _tip_slope(field, pitch, middle, at)


def _curvature(path: Path, at: float) -> float:
    piece = path.pieces[max(0, int(np.searchsorted(path.breaks, at, side="right")) - 1)]
    return 1.0 / piece.radius if isinstance(piece, ArcPiece) else 0.0


def _tip_slope(field: SegmentField, pitch: float, middle: Floats, at: Floats) -> Floats:
    """Return d delta / ds at places (m, q) whose intervals have their middles at `middle` (m,)."""
    node = np.clip(np.searchsorted(field.at, middle, side="right") - 1, 0, len(field.at) - 2)
    length = np.maximum(np.diff(field.at)[node], 1e-12)
    inside = (middle >= field.at[0]) & (middle <= field.at[-1])
    d_rate = np.where(inside, np.diff(field.depth)[node] / length, 0.0)[:, None]
    t_rate = np.where(inside, np.diff(field.face_angle)[node] / length, 0.0)[:, None]
    depth, face = (values.reshape(at.shape) for values in values_at(field, at.ravel())[:2])
    by_angle = -depth / np.sin(face) ** 2 + math.pi / 8.0 * pitch * np.cos(face) / np.sin(face) ** 2
    slope: Floats = d_rate / np.tan(face) + t_rate * by_angle
    return slope
