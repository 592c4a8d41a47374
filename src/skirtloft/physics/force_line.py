"""What the fixings carry, and the line of the pressure's resultant with its margins."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.loop_motion import loop_motion
from skirtloft.physics.segment_shape import mean_square
from skirtloft.physics.statics import pressure_lever
from skirtloft.physics.statics_types import ForceLine, Reactions, SectionStatics, SegmentShape


def least_inboard(shape: SegmentShape) -> Floats:
    """Return how far inboard of the joint the inner fixing must lie at least, for a flat face [m].

    Notes
    -----
    d/(2 tan t) + (d/2 - drop) tan t: there |J - I| = |G - I|, I lies on the perpendicular bisector of the face and the
    pressure's resultant passes through it. Nearer, the loop would have to push the joint down.

    References
    ----------
    Derived; common practice is to go at least 10 to 15 % beyond, no source.
    """
    d, slope = shape.depth, np.tan(shape.face_angle)
    return d / (2.0 * slope) + (d / 2.0 - shape.drop) * slope


def reactions(sections: SectionStatics, diaphragm: Floats | None = None) -> Reactions:
    """Return what hull edge, joint and inner fixing carry in the design case, per metre of joint.

    Parameters
    ----------
    sections : SectionStatics
    diaphragm : (..., 2) [N/m], optional
        Pull of a diaphragm on the joint, see `diaphragm_pull`.

    Notes
    -----
    The loop pulls the joint with p rot90(J - C) and the hull edge with -p rot90(E - C), each p R along the arc. Its
    weight goes to the joint as -g m L grad_J zbar (what the centroid rises per shift of J), the rest to the hull edge.
    The face carries p times its mean edges' difference, turned to the outside. All this and the segment's weight is
    held at I, and so is what a diaphragm pulls at the joint.

    Web edges as strings from the joint and the tip to I, the pressure shared to J and G: moments about G and J give
    upper {p/2 (<|J-G|^2> - <|G'-G|^2>) - (J-G) x forces at the joint}/dist(G, JI) and the lower in the same way; flat
    p [|JG|^2/2 - (J-G).(J-C)]/dist(G, JI) and p |JG|^2/(2 dist(J, GI)). With P = p |JG|/2 at the tip the face pulls
    P cot(t + alpha), negative (it puckers) where the tip angle is under 90 degrees: an idealisation by two lines. The
    segment's own weight is left out of the edges.

    References
    ----------
    Derived. One 3D inflation of a side run (500 Pa, depth 0.28 m, 0.15 m pitch) gave 199 N/m outboard and 48 N/m down
    at the inner fixing.
    """
    shape, p = sections.shape, sections.pressure[..., None]
    on_joint = p * _quarter_turn(shape.joint - sections.centre) + _loop_weight_on_joint(sections)
    whole = _upward(GRAVITY * sections.loop.areal_mass * sections.length)
    weighed = -whole - _loop_weight_on_joint(sections)
    on_hull = -p * _quarter_turn(sections.hull_edge - sections.centre) + weighed
    face = p * _face_vector(shape)
    allowance = _upward(GRAVITY * sections.loop.areal_mass * sections.loop.allowance)
    on_joint = on_joint - allowance
    pulled = np.zeros_like(on_joint) if diaphragm is None else diaphragm
    upper, lower = _edge_pulls(sections, on_joint + pulled)
    return Reactions(
        hull_edge=frozen_array(on_hull),
        joint=frozen_array(on_joint),
        diaphragm=frozen_array(pulled),
        inner=frozen_array(on_joint + pulled + face - _upward(GRAVITY * sections.segment.mass)),
        face_pressure=frozen_array(face),
        upper_edge=frozen_array(upper),
        lower_edge=frozen_array(lower),
        face_pull=frozen_array(sections.pressure * shape.face_length / 2.0 / np.tan(np.pi - shape.tip_angle)),
    )


def diaphragm_pull(sections: SectionStatics, towards: Floats, moment: Floats) -> Floats:
    """Return the pull (..., 2) [N/m] on the joint of a diaphragm that holds back a moment about the inner fixing.

    Parameters
    ----------
    sections : SectionStatics
    towards : (..., 2)
        Unit vector from J to where the diaphragm is fixed; nan where there is none.
    moment : (...) [N m / m]
        Of loop, pressure and weight about I, tip up positive; where it is not positive the diaphragm is slack.
    """
    lever = _cross(sections.shape.joint - sections.shape.inner, towards)
    is_there = np.isfinite(lever) & (lever < 0.0) & (moment > 0.0)
    pull = np.where(is_there, moment, 0.0) / np.where(is_there, -lever, 1.0)
    return np.where(is_there[..., None], pull[..., None] * towards, 0.0)


def force_line(sections: SectionStatics, diaphragm: Floats | None = None) -> ForceLine:
    """Return the line of the pressure's resultant and its margins against the fixings.

    Parameters
    ----------
    sections : SectionStatics
    diaphragm : (..., 2) [N/m], optional
        Pull of a diaphragm on the joint, see `diaphragm_pull`.

    Notes
    -----
    Three forces in balance without a slack edge ask for two things: the loop pulls the joint up, |J-I| > |G-I| (the
    resultant passes outboard of I at its level); and the upper edge of the web pulls, |C-J| <= |C-G|. With the real
    face the resultant lies (<|J-I|^2> - <|G-I|^2>)/(2 (J'-G')_x) outboard of I at its level, J' and G' the mean edges.

    References
    ----------
    Derived.
    """
    shape = sections.shape
    face = _face_vector(shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        outboard = -pressure_lever(shape) / face[..., 1]
        crossing = shape.inner + np.stack([outboard, np.zeros_like(outboard)], axis=-1)
        foot = _foot(shape, crossing, face)
        least = least_inboard(shape)
        least_bulged = shape.inboard - outboard
        to_joint = np.linalg.norm(sections.centre - shape.joint, axis=-1)
        to_tip = np.linalg.norm(sections.centre - shape.tip, axis=-1)
        upper = reactions(sections, diaphragm).upper_edge
        return ForceLine(
            foot=frozen_array(foot),
            crossing=frozen_array(crossing),
            least_inboard=frozen_array(least),
            margin=frozen_array(shape.inboard / least - 1.0),
            least_inboard_bulged=frozen_array(least_bulged),
            margin_bulged=frozen_array(shape.inboard / least_bulged - 1.0),
            slack_margin=frozen_array(to_tip / to_joint - 1.0),
            slack_margin_bulged=frozen_array(upper / (sections.pressure * shape.face_length)),
        )


def _quarter_turn(vector: Floats) -> Floats:
    """Return vectors (..., 2) turned by 90 degrees from x towards z."""
    return np.stack([-vector[..., 1], vector[..., 0]], axis=-1)


def _upward(force: Floats) -> Floats:
    """Return upward forces (..., 2)."""
    amount = np.asarray(force)
    return np.stack([np.zeros_like(amount), amount], axis=-1)


def _mean_edges(shape: SegmentShape) -> tuple[Floats, Floats]:
    """Return the mean places of top edge and tip edge, (..., 2) [m]."""
    top = shape.joint + np.stack([shape.joint_edge.out, shape.joint_edge.up], axis=-1)
    return top, shape.tip + np.stack([shape.tip_edge.out, shape.tip_edge.up], axis=-1)


def _face_vector(shape: SegmentShape) -> Floats:
    """Return the resultant of the pressure on the face over the pressure, (..., 2) [m]."""
    top, tip = _mean_edges(shape)
    return -_quarter_turn(top - tip)


def _foot(shape: SegmentShape, through: Floats, face: Floats) -> Floats:
    """Return where the line `through` a point along `face` crosses the line between the mean edges, (..., 2) [m]."""
    top, tip = _mean_edges(shape)
    along = top - tip
    share = ((through - tip) * along).sum(axis=-1) / (along**2).sum(axis=-1)
    foot: Floats = tip + share[..., None] * along
    return foot


def _loop_weight_on_joint(sections: SectionStatics) -> Floats:
    """Return the part of the loop's weight that its joint carries, (..., 2) [N/m]."""
    joint, edge = sections.shape.joint - sections.shape.inner, sections.hull_edge - sections.shape.inner
    ends = (joint[..., 0], joint[..., 1], edge[..., 0], edge[..., 1])
    motion = loop_motion(*ends, sections.bulge, sections.angle, sections.length)
    weight = GRAVITY * sections.loop.areal_mass * sections.length
    return -weight[..., None] * np.stack([motion.centroid_by_x, motion.centroid_by_z], axis=-1)


def _cross(first: Floats, second: Floats) -> Floats:
    """Return the cross product of vectors (..., 2)."""
    return first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]


def _edge_pulls(sections: SectionStatics, on_joint: Floats) -> tuple[Floats, Floats]:
    """Return the pull in the web's upper and lower edge [N/m]."""
    shape, p = sections.shape, sections.pressure
    from_joint, from_tip = shape.joint - shape.tip, shape.tip - shape.joint
    top_about_tip = mean_square(shape.joint_edge, from_joint[..., 0], from_joint[..., 1])
    tip_about_tip = mean_square(shape.tip_edge, 0.0, 0.0)
    about_tip = p / 2.0 * (top_about_tip - tip_about_tip) - _cross(from_joint, on_joint)
    tip_about_joint = mean_square(shape.tip_edge, from_tip[..., 0], from_tip[..., 1])
    about_joint = p / 2.0 * (tip_about_joint - mean_square(shape.joint_edge, 0.0, 0.0))
    doubled = np.abs(_cross(shape.joint - shape.inner, shape.tip - shape.inner))
    return about_tip / (doubled / shape.upper_edge), about_joint / (doubled / shape.lower_edge)
