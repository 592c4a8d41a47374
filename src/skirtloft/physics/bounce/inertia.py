"""What has to be swung when a segment turns: cloth of segment and loop, and the air they push; all about the fixing I.

Points are seen from I, x outboard, z up, arrays (..., 2). Per metre of joint.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.loop_margin import cross, dot
from skirtloft.physics.segment_cloth import face_moments, tip_edge_moments
from skirtloft.physics.statics_types import SectionStatics, SegmentShape

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
_NUDGE = 1e-5  # rad


def segment_inertia(
    shape: SegmentShape,
    *,
    areal_mass: npt.ArrayLike,
    seam: float,
    hem: float,
    tip_trim: float,
    joint: float,
    strip_areal_mass: npt.ArrayLike | None = None,
) -> Floats:
    """Return the segments' moment of inertia about I (...) [kg m2/m]; arguments as `segment_cloth`.

    Notes
    -----
    Webs A/6 (|a|^2 + |b|^2 + a.b) with a = J - I, b = G - I; straight rows of allowance l/3 (|a|^2 + |b|^2 + a.b); the
    face as a flat sheet of its real area through its real centroid, l long: A (|centroid|^2 + l^2/12).

    References
    ----------
    Derived.
    """
    mass = np.asarray(areal_mass, dtype=np.float64)
    strip = mass if strip_areal_mass is None else np.asarray(strip_areal_mass, dtype=np.float64)
    j, g = np.asarray(shape.joint - shape.inner), np.asarray(shape.tip - shape.inner)
    none = np.zeros_like(j)
    area, x, z = face_moments(shape)
    edge, edge_x, edge_z = tip_edge_moments(shape, tip_trim)
    total = mass * ((x**2 + z**2) / area + area * shape.face_length**2 / 12.0)
    total = total + mass * tip_trim * (edge_x**2 + edge_z**2) / edge
    total = total + 2.0 * mass * np.abs(cross(j, g)) / 2.0 * _spread(j, g) / 2.0
    total = total + 4.0 * mass * seam * shape.face_length * _spread(j, g)
    total = total + 2.0 * mass * hem * (shape.upper_edge * _spread(j, none) + shape.lower_edge * _spread(g, none))
    total = total + (mass + 2.0 * strip) * joint * shape.pitch * dot(j, j)
    return np.asarray(total / shape.pitch)


def _spread(first: Floats, second: Floats) -> Floats:
    """Return the mean square distance from I of a straight row between two points, (...) [m2]."""
    return np.asarray((dot(first, first) + dot(second, second) + dot(first, second)) / 3.0)


def loop_inertia(
    edge: npt.ArrayLike,
    joint: npt.ArrayLike,
    length: npt.ArrayLike,
    areal_mass: npt.ArrayLike,
    *,
    allowance: npt.ArrayLike = 0.0,
) -> Floats:
    """Return the loop's moment of inertia about I (...) [kg m2/m]: twice its kinetic energy at unit turning rate.

    Parameters
    ----------
    edge, joint : (..., 2) [m]
    length : (...) [m]
    areal_mass : (...) [kg/m2]
    allowance : (...) [m]
        Cloth that hangs at J.

    Notes
    -----
    The loop stays an arc of its length between E and J as J turns about I; every point of its cloth keeps its place
    along it. A third of its mass at J is the case of velocities that grow evenly from E to J.

    References
    ----------
    Derived.
    """
    e, j = np.asarray(edge, dtype=np.float64), np.asarray(joint, dtype=np.float64)
    whole, mass = np.asarray(length, dtype=np.float64), np.asarray(areal_mass, dtype=np.float64)
    ahead, behind = (_arc_points(e, _turned(j, way * _NUDGE), whole) for way in (1.0, -1.0))
    speed = (ahead - behind) / (2.0 * _NUDGE)
    energy = ((speed**2).sum(axis=-1) * (_WEIGHTS / 2.0)).sum(axis=-1)
    return np.asarray(mass * (whole * energy + np.asarray(allowance) * dot(j, j)))


def _turned(point: Floats, turn: float) -> Floats:
    cosine, sine = math.cos(turn), math.sin(turn)
    return np.stack([point[..., 0] * cosine - point[..., 1] * sine, point[..., 1] * cosine + point[..., 0] * sine], -1)


def _arc_points(edge: Floats, joint: Floats, length: Floats) -> Floats:
    """Return points (..., k, 2) at Gauss's places along the arcs from E to J, outboard of the chord."""
    along = joint - edge
    chord = np.hypot(along[..., 0], along[..., 1])
    half = half_angle_of(chord / length)
    # direction from E at the share u of the length: the chord's, turned by half (1 - u) beyond the middle
    share = (1.0 + _NODES) / 2.0
    angle = half[..., None] * share
    reach = length[..., None] * share * np.sinc(angle / math.pi)
    heading = np.arctan2(along[..., 1], along[..., 0])[..., None] + half[..., None] - angle
    return np.stack([edge[..., :1] + reach * np.cos(heading), edge[..., 1:] + reach * np.sin(heading)], axis=-1)


def moved_air_inertia(
    density: npt.ArrayLike, face_length: npt.ArrayLike, foot: npt.ArrayLike, chord: npt.ArrayLike, arm: npt.ArrayLike
) -> Floats:
    """Return the inertia of the air that face and loop push aside (...) [kg m2/m].

    Parameters
    ----------
    density : (...) [kg/m3]
    face_length : (...) [m]
        b, tip to joint.
    foot : (...) [m]
        Distance from the tip, along the face, of the foot of the perpendicular from I; 0 where the tip is square.
    chord : (...) [m]
        Of the loop.
    arm : (...) [m]
        |J - I|.

    Notes
    -----
    rho [pi a^2 (a - foot)^2 + pi a^4/8] with a = b/2, a plate that turns about a point of its own plane, and
    rho pi/12 c^2 arm^2, a plate of the chord's width whose speed grows evenly from one edge. About a quarter of the
    whole: not to be left out. Free air on both sides, no ground: a rough figure.

    References
    ----------
    Plate in an unbounded fluid, classical (Lamb, Hydrodynamics, art. 71; from memory); its use here is our own.
    """
    a = np.asarray(face_length, dtype=np.float64) / 2.0
    face = math.pi * a**2 * (a - np.asarray(foot)) ** 2 + math.pi * a**4 / 8.0
    loop = math.pi / 12.0 * np.asarray(chord) ** 2 * np.asarray(arm) ** 2
    return np.asarray(np.asarray(density) * (face + loop))


def tip_flow_inertia(
    density: npt.ArrayLike, face_length: npt.ArrayLike, foot: npt.ArrayLike, face_angle: npt.ArrayLike
) -> Floats:
    """Return g (...) [kg/m]: moment on a segment, tip up, per growth of the flow under its tip, per metre each.

    Parameters
    ----------
    density, face_length, foot : [kg/m3], [m], [m]
        As in `moved_air_inertia`.
    face_angle : (...) [rad]

    Notes
    -----
    Air runs to the tip as to a sink in a wedge of theta = pi - face angle: growing, it lowers the pressure at r from
    the tip by (rho q'/theta) ln(b/r). Moment: (rho/theta) (b^2/4 - foot b). The reach b of the ln is chosen; the result
    may be off by a factor of order one.

    References
    ----------
    Derived.
    """
    b = np.asarray(face_length, dtype=np.float64)
    theta = math.pi - np.asarray(face_angle, dtype=np.float64)
    return np.asarray(np.asarray(density) / theta * (b**2 / 4.0 - np.asarray(foot) * b))


def foot_of(tip: npt.ArrayLike, joint: npt.ArrayLike) -> Floats:
    """Return where I stands square on the face (...) [m] from the tip towards the joint; points seen from I."""
    g, j = np.asarray(tip, dtype=np.float64), np.asarray(joint, dtype=np.float64)
    face = j - g
    return np.asarray(-dot(g, face) / np.sqrt(dot(face, face)))


def section_inertia(
    sections: SectionStatics, cloth_of_segments: npt.ArrayLike, density: npt.ArrayLike
) -> tuple[Floats, Floats]:
    """Return all that swings with solved sections and the cloth's part of it, (...) [kg m2/m] each.

    Parameters
    ----------
    sections : SectionStatics
        (...)
    cloth_of_segments : (...) [kg m2/m]
        `segment_inertia`.
    density : [kg/m3]
        Of the air.
    """
    shape = sections.shape
    joint, tip = np.asarray(shape.joint - shape.inner), np.asarray(shape.tip - shape.inner)
    edge = np.asarray(sections.hull_edge - shape.inner)
    loop = loop_inertia(edge, joint, sections.length, sections.loop.areal_mass, allowance=sections.loop.allowance)
    cloth = np.asarray(cloth_of_segments) + loop
    air = moved_air_inertia(density, shape.face_length, foot_of(tip, joint), sections.chord, shape.upper_edge)
    return np.asarray(cloth + air), np.asarray(cloth)
