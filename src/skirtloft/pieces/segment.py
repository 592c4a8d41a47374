"""Segments: the face of each run and the two webs it is sewn to.

A face whose bulge grows from nothing at the joint to a half round at the tip has **curved** side edges (half width by
`physics.face.face_half_width`), while the webs they are sewn to are straight there. The two edges are equally long but
differ in shape, so a segment cannot be cut in one piece: it is one face and two webs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.face import face_half_width

SIDE_STEPS = 100  # equal steps along a side edge; one ends where the flare does (0.6)
TIP_STEPS = 96


@dataclass(frozen=True)
class Cone:
    """The right circular cone that a full-round face at a corner lies on, apex on the corner's vertical axis.

    Parameters
    ----------
    semi_angle : float [rad]
        Between axis and generators.
    axis_out, axis_up : float [-]
        Unit vector along the axis: outboard in the segment's middle plane, and up.
    half_arc : float [rad]
        Turn about the axis from the crown to a web.
    """

    semi_angle: float
    axis_out: float
    axis_up: float
    half_arc: float


def touching_cone(face_angle: float, wedge: float) -> Cone:
    """Return the cone tangent to both radial planes of a segment of plan angle `wedge` [rad]: neighbours just touch.

    Notes
    -----
    s = sin(wedge/2): tan b' = cos t tan(wedge/2), arc pi + 2 asin(s sin t). Axis = cos b' g - sin b' n, with g the
    web generator and n the outward normal of its radial plane.

    References
    ----------
    Derived.
    """
    half = wedge / 2.0
    semi = np.arctan(np.cos(face_angle) * np.tan(half))
    out = np.cos(semi) * np.cos(face_angle) * np.cos(half) + np.sin(semi) * np.sin(half)
    return Cone(
        semi_angle=float(semi),
        axis_out=float(out),
        axis_up=float(np.cos(semi) * np.sin(face_angle)),
        half_arc=float(np.pi / 2.0 + np.arcsin(np.sin(half) * np.sin(face_angle))),
    )


def half_cone(face_angle: float, wedge: float) -> Cone:
    """Return the cone of which a half-round face is half: sin b = sin(wedge/2) cos t. It leaves a gap at the webs.

    References
    ----------
    Derived.
    """
    half = wedge / 2.0
    semi = np.arcsin(np.sin(half) * np.cos(face_angle))
    return Cone(
        semi_angle=float(semi),
        axis_out=float(np.cos(face_angle) * np.cos(half) / np.cos(semi)),
        axis_up=float(np.sin(face_angle) / np.cos(semi)),
        half_arc=float(np.pi / 2.0),
    )


def level_cut(cone: Cone, turn: Floats, web: float) -> Floats:
    """Return how far from the apex the generators meet the level plane that cuts the web generator at `web`.

    Parameters
    ----------
    cone : Cone
    turn : (k,) [rad]
        About the axis, 0 at the crown.
    web : float [m]
        Distance from the apex along the generators at +-half_arc.

    Notes
    -----
    Height of a generator of unit length: g_z(psi) = cos b a_z - sin b a_x cos psi; R(psi) = web g_z(half_arc)/g_z(psi).

    References
    ----------
    Derived.
    """
    return web + level_cut_rise(cone, turn, web)


def level_cut_rise(cone: Cone, turn: Floats, web: float) -> Floats:
    """Return `level_cut` less `web`, exact however far away the apex is [m]."""
    sideways = np.sin(cone.semi_angle) * cone.axis_out
    slope = np.cos(cone.semi_angle) * cone.axis_up - sideways * np.cos(turn)
    lower = sideways * (np.cos(turn) - np.cos(cone.half_arc))
    rise: Floats = web * lower / slope
    return rise


@dataclass(frozen=True, eq=False)
class FaceShape:
    """The sew line of a face in the frame of every piece, origin in the middle of its top edge.

    Parameters
    ----------
    top : (2, 2) [m]
        Joint edge, bow corner first.
    side : (n, 2) [m]
        Side edge nearer the bow, from the tip corner up to the joint.
    stern_side : (n, 2) [m]
        The other one, from the joint down to the tip corner; between equal webs the mirror image of `side`.
    tip : (m, 2) [m]
        Tip edge from the stern corner to the bow corner, cut level.
    side_length, stern_length : float [m]
        Lengths of the side edges: depth / sin(face angle), as the webs'.
    """

    top: Floats
    side: Floats
    stern_side: Floats
    tip: Floats
    side_length: float
    stern_length: float


def face_shape(
    pitch: float,
    depth: float,
    face_angle: float,
    radius: float = np.inf,
    wedge: float = 0.0,
    *,
    side_steps: int = SIDE_STEPS,
    tip_steps: int = TIP_STEPS,
) -> FaceShape:
    """Return the flat face of a segment on a straight run (`radius` inf) or at a corner.

    Parameters
    ----------
    pitch : float [m]
        Cut pitch; the top edge is straight and exactly this long.
    depth : float [m]
    face_angle : float [rad]
        t, slope of the face.
    radius : float [m]
        Plan radius of the joint line.
    wedge : float [rad]
        Plan angle of the segment, 0 on a straight run.

    Raises
    ------
    ShapeError
        The web corners of neighbours meet (radius too small), or the bulge grows faster than a cloth can turn.

    Notes
    -----
    Side edge: equal steps ds, half width h(s) by `face_half_width`, dy = -sqrt(ds^2 - dh^2), so that the polyline is
    l = d/sin t long exactly; its end is 1/24 of the squared turn per step from the smooth curve's, about a micrometre.
    Tip: straight, x = (pi/2) w (u/pi - 1/2), y = y(l) + (w/2) cot t sin u. At a corner the tip of the touching cone,
    half width R sin(Psi'/2) with R = (r - d cot t)/cos t and Psi' = 2 half_arc sin b', cut level, all widths scaled
    by pitch / (2 r sin(wedge/2)) so that the top edge fits the sewn joint.

    References
    ----------
    Derived; the flare is chosen, see `skirtloft.physics.face`.
    """
    form = SegmentForm(depth, face_angle, np.pi / 2.0)
    return face_between(pitch, form, form, radius, wedge, side_steps=side_steps, tip_steps=tip_steps)


def face_between(
    pitch: float,
    bow: SegmentForm,
    stern: SegmentForm,
    radius: float = np.inf,
    wedge: float = 0.0,
    *,
    side_steps: int = SIDE_STEPS,
    tip_steps: int = TIP_STEPS,
) -> FaceShape:
    """Return the flat face between two webs that need not be alike, as in a corner between unlike runs.

    Parameters
    ----------
    pitch : float [m]
        Cut pitch, along the joint: the top edge is straight and exactly this long.
    bow, stern : SegmentForm
        Of the web nearer the bow and of the other.
    radius : float [m]
    wedge : float [rad]

    Raises
    ------
    ShapeError
        As `face_shape`.

    Notes
    -----
    Each half is that of a face with two webs of its kind. They are set off against each other along their sides by as
    much as one joint stands off the other in the mean direction m of the two web edges, v = (J_bow - J_stern).m; widths
    are scaled so that the top is hypot(widths, v) = pitch long. The tip edge goes over from one half's to the other's
    evenly. Then all is turned so that the top lies along x. Side edges have the webs' lengths exactly. The little twist
    between two unlike web edges is left to the cloth.

    References
    ----------
    Derived; the way between the two halves is chosen.
    """
    offset = _joint_offset(bow, stern, radius, wedge)
    wide = pitch if offset == 0.0 else float(np.sqrt(pitch**2 - offset**2))
    halves = []
    for form, up in ((bow, offset / 2.0), (stern, -offset / 2.0)):
        if wedge == 0.0:
            chord, tip = wide, _straight_tip(wide, form.face_angle, tip_steps)
        else:
            chord, tip = _corner_tip(wide, form.depth, form.face_angle, radius, wedge, tip_steps)
        side = _side_edge(wide, chord, float(tip[-1, 0]), form.face_length, side_steps)
        halves.append((side + np.array([0.0, up]), tip))
    (bow_side, bow_tip), (stern_side, stern_tip) = halves
    stern_side = stern_side * np.array([-1.0, 1.0])
    share = np.linspace(0.0, 1.0, tip_steps + 1)[:, None]
    low = stern_tip + np.array([0.0, stern_side[-1, 1]])
    tip = low + share * (bow_tip + np.array([0.0, bow_side[-1, 1]]) - low)
    tip = np.vstack([stern_side[-1], tip[1:-1], bow_side[-1]])
    turn = _level(offset, wide)
    return FaceShape(
        top=frozen_array([[pitch / 2.0, 0.0], [-pitch / 2.0, 0.0]]),
        side=frozen_array((bow_side @ turn)[::-1]),
        stern_side=frozen_array(stern_side @ turn),
        tip=frozen_array(tip @ turn),
        side_length=float(bow.face_length),
        stern_length=float(stern.face_length),
    )


def _joint_offset(bow: SegmentForm, stern: SegmentForm, radius: float, wedge: float) -> float:
    """Return how far one joint corner stands off the other along the mean direction of the web edges [m]."""
    if (bow.depth, bow.face_angle) == (stern.depth, stern.face_angle):
        return 0.0
    half = wedge / 2.0
    along = np.zeros(3)
    for form, side in ((bow, 1.0), (stern, -1.0)):
        level = np.cos(form.face_angle)
        along += [level * np.cos(half), side * level * np.sin(half), np.sin(form.face_angle)]
    across = 0.0 if wedge == 0.0 else 2.0 * radius * np.sin(half)
    apart = np.array([0.0, across, bow.depth - stern.depth])
    return float(apart @ along / np.linalg.norm(along))


def _level(offset: float, wide: float) -> Floats:
    """Return the matrix that turns row vectors (wide, offset) on to the x axis, (2, 2)."""
    if offset == 0.0:
        return np.eye(2)
    long = np.hypot(wide, offset)
    turn: Floats = np.array([[wide, -offset], [offset, wide]]) / long
    return turn


def _side_edge(top_chord: float, tip_chord: float, tip_half_width: float, length: float, steps: int) -> Floats:
    """Points from the joint down to the tip, (steps + 1, 2) [m], bow side."""
    share = np.linspace(0.0, 1.0, steps + 1)
    half = face_half_width(share, top_chord, tip_chord, tip_half_width)
    step = length / steps
    sideways = np.diff(half)
    if np.any(np.abs(sideways) >= step):
        widest = top_chord / float(np.max(np.abs(sideways))) * step
        raise ShapeError(
            "segment face",
            f"The bulge grows faster than the cloth is long: pitch {top_chord * 1e3:.0f} mm on a side edge of "
            f"{length * 1e3:.0f} mm.",
            f"Keep the pitch well below {widest * 1e3:.0f} mm, or make the segments deeper.",
        )
    down = np.concatenate([[0.0], -np.cumsum(np.sqrt(step**2 - sideways**2))])
    return np.column_stack([half, down])


def _straight_tip(pitch: float, face_angle: float, steps: int) -> Floats:
    """Tip edge of a straight segment from stern to bow corner, y from the corners up, (steps + 1, 2) [m]."""
    u = np.linspace(0.0, np.pi, steps + 1)
    across = (np.pi / 2.0) * pitch * (u / np.pi - 0.5)
    return np.column_stack([across, pitch / 2.0 / np.tan(face_angle) * np.sin(u)])


def _corner_tip(
    pitch: float, depth: float, face_angle: float, radius: float, wedge: float, steps: int
) -> tuple[float, Floats]:
    """Chord between the web corners, and the tip edge of a corner segment as `_straight_tip`."""
    inside = radius - depth / np.tan(face_angle)
    if inside <= 0.0:
        raise ShapeError(
            "corner segment",
            f"At a plan radius of {radius * 1e3:.0f} mm the web corners of neighbours meet before the tip.",
            f"Make the corner radius of the joint line more than {depth / np.tan(face_angle) * 1e3:.0f} mm.",
        )
    cone = touching_cone(face_angle, wedge)
    scale = pitch / (2.0 * radius * np.sin(wedge / 2.0))
    web = inside / np.cos(face_angle)
    turn = np.linspace(-cone.half_arc, cone.half_arc, steps + 1)
    polar = turn * np.sin(cone.semi_angle)
    end = cone.half_arc * np.sin(cone.semi_angle)
    rise = level_cut_rise(cone, turn, web)
    up = rise * np.cos(polar) - 2.0 * web * np.sin((polar - end) / 2.0) * np.sin((polar + end) / 2.0)
    across = (web + rise) * np.sin(polar)
    return float(2.0 * inside * np.sin(wedge / 2.0) * scale), scale * np.column_stack([across, up])


def web_corners(depth: float, face_angle: float, inboard: float | None = None, drop: float = 0.0) -> Floats:
    """Return J, G and I of a web in its own frame, x outboard and y up, J at the origin, (3, 2) [m].

    J joint, G tip, I inner fixing `inboard` of J (2 depth where not told) and `drop` below it. With a face angle of
    45 degrees and a level fixing 2 depth inboard the web is a right isosceles triangle, sides sqrt2 d, sqrt2 d and 2 d.
    """
    inner = 2.0 * depth if inboard is None else inboard
    return frozen_array([[0.0, 0.0], [-depth / np.tan(face_angle), -depth], [-inner, -drop]])
