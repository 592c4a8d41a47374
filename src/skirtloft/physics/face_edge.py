"""Where the top and the tip edge of a bulging face lie, in the mean over one pitch.

On a straight run a face is a circular arc between its webs; at a corner it lies on the cone through both web edges.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.statics_types import FaceEdge

_RAW_NODES, _RAW_WEIGHTS = np.polynomial.legendre.leggauss(12)
NODES: Floats = frozen_array((1.0 + _RAW_NODES) / 2.0)  # from crown to web
WEIGHTS: Floats = frozen_array(_RAW_WEIGHTS / 2.0)


@dataclass(frozen=True, eq=False)
class ArcIntegrals:
    """Integrals of the bulge y of a circular arc over its chord, in units of the chord; arrays of one shape.

    Parameters
    ----------
    mean, mean_square : <y> and <y^2> over the chord
    length : the arc's own
    moment, moment_square : integrals of y and y^2 along the arc's own length
    """

    mean: Floats
    mean_square: Floats
    length: Floats
    moment: Floats
    moment_square: Floats


def straight_half_arc(bulge: Floats) -> Floats:
    """Return half the angle [rad] of an arc whose rise is `bulge` times half its chord: pi/2 for a half round, 1."""
    angle: Floats = 2.0 * np.arctan(bulge)
    return angle


def corner_half_arc(bulge: Floats, face_angle: Floats, wedge: Floats) -> Floats:
    """Return the turn [rad] about the axis of a corner face's cone from its crown to a web.

    Parameters
    ----------
    bulge : [-]
        1: the cone touches both radial planes, so that neighbours just touch; 0: the face is flat.
    face_angle, wedge : [rad]

    Notes
    -----
    With s = sin(wedge/2): touching pi/2 + asin(s sin t); flat asin(s cos t). Between them tan(half/2) goes with the
    bulge, which on a straight run is `straight_half_arc`.

    References
    ----------
    Derived; the way between the two ends is chosen.
    """
    s = np.sin(wedge / 2.0)
    flat = np.tan(np.arcsin(s * np.abs(np.cos(face_angle))) / 2.0)
    full = np.tan(math.pi / 4.0 + np.arcsin(s * np.sin(face_angle)) / 2.0)
    angle: Floats = 2.0 * np.arctan(flat + bulge * (full - flat))
    return angle


def arc_bulge(half_arc: Floats) -> Floats:
    """Return the bulge over the chord at NODES, in units of the chord, (..., k).

    Notes
    -----
    y = (cos a - cos q)/(2 sin q) at the turn a = q NODES, written with sin x = x sinc so that q = 0 is no exception.
    """
    q = np.asarray(half_arc, dtype=np.float64)[..., None]
    plus, minus = (1.0 + NODES) / 2.0, (1.0 - NODES) / 2.0
    return q * plus * minus * _sinc(q * plus) * _sinc(q * minus) / _sinc(q)


def arc_integrals(half_arc: Floats) -> ArcIntegrals:
    """Return the integrals of the bulge of an arc of half angle q = `half_arc` [rad] over its chord, any shape.

    Notes
    -----
    By Gauss's rule, for each half arc there is; the closed forms are <y> = (q - sin q cos q)/(4 sin^2 q) and
    <y^2> = 1/6 - cot q <y> (half round: pi/8 and 1/6).
    """
    kinds, which = np.unique(half_arc, return_inverse=True)
    y = arc_bulge(kinds)
    density = np.cos(kinds[:, None] * NODES) / _sinc(kinds)[:, None] * WEIGHTS
    along = 1.0 / _sinc(kinds)
    each = np.stack(
        [
            (y * density).sum(axis=-1),
            (y * y * density).sum(axis=-1),
            along,
            along * (y @ WEIGHTS),
            along * (y * y @ WEIGHTS),
        ]
    )
    return ArcIntegrals(*each[:, which.reshape(np.shape(half_arc))])


def _sinc(angle: Floats) -> Floats:
    """Return sin(angle)/angle."""
    value: Floats = np.sinc(angle / math.pi)
    return value


def straight_edge(half_arc: Floats, face_angle: Floats, pitch: Floats, cut: str) -> FaceEdge:
    """Return where the edge of a face on a straight run lies.

    Parameters
    ----------
    half_arc, face_angle : [rad]
        Any shapes that broadcast.
    pitch : [m]
    cut : str
        "level": cut in a level plane, the edge lies y/sin t outboard of the web corner; "square": square to the web's
        edge, y sin t outboard of it and y cos t below.

    Notes
    -----
    Half round and level: y = (w/2) sin u/sin t at the place (w/2) cos u, with means pi w/(8 sin t) and
    w^2/(6 sin^2 t).

    References
    ----------
    Derived.
    """
    arc = arc_integrals(half_arc)
    sine = np.sin(face_angle)
    if cut == "level":
        out, up, scale = 1.0 / sine, np.zeros_like(sine), 1.0 / sine
    else:
        out, up, scale = sine, -np.cos(face_angle), np.ones_like(sine)
    mean = pitch * arc.mean
    spread = (scale * pitch) ** 2 * (arc.mean_square - arc.mean**2)
    return FaceEdge(out * mean, up * mean, spread)


@dataclass(frozen=True, eq=False)
class ConeEdge:
    """One half of a corner face's edge at NODES from crown to web, (..., k), in units of the web corner's radius.

    Parameters
    ----------
    across, ahead : [-]  along and off the segment's middle plane, from the corner's axis
    fall : [-]  height below the web corner
    turning : [-]  plan angle per share of the way, over half the wedge
    passing : [-]  the same of `ahead`, over its whole
    """

    across: Floats
    ahead: Floats
    fall: Floats
    turning: Floats
    passing: Floats


def cone_edge(half_arc: Floats, face_angle: Floats, wedge: Floats, cut: str) -> ConeEdge:
    """Return the edge that a level or square cut makes on the cone through both webs of a corner segment.

    Parameters
    ----------
    half_arc, face_angle, wedge : [rad]
        H, t and Q, any shapes that broadcast.
    cut : str
        "level" or "square".

    Notes
    -----
    Generators of the cone, semi-angle b with sin b = cos t sigma, sigma = sin(Q/2)/sin H, at the turn psi:
    (g_x, g_y) = cos t (cos b alpha + sigma a_z cos psi, sigma sin psi), g_z = sin t - cos^2 t sigma alpha
    (cos psi - cos H); cos t alpha and a_z are outboard and upward part of the axis. Cut level they are
    sin t/g_z as long as at the web. Written so that a face angle of 90 degrees (a cylinder) is no exception.

    References
    ----------
    Derived.
    """
    h, t, half = (np.asarray(value, dtype=np.float64)[..., None] for value in (half_arc, face_angle, wedge / 2.0))
    sine, cosine, s = np.sin(t), np.cos(t), np.sin(half)
    sigma = s / np.sin(h)
    sin_b = cosine * sigma
    cos_b = np.sqrt(np.maximum(0.0, 1.0 - sin_b**2))
    whole = 1.0 - (cosine * s) ** 2
    alpha = (cos_b * np.cos(half) - sigma * np.cos(h) * sine) / whole
    axis_up = (cos_b * sine + sin_b * np.cos(h) * cosine * np.cos(half)) / whole
    turn = h * NODES
    fall = cosine * sigma * alpha * (np.cos(turn) - np.cos(h))
    across, ahead = cos_b * alpha + sigma * axis_up * np.cos(turn), sigma * np.sin(turn)
    turning = h * sigma * (cos_b * alpha * np.cos(turn) + sigma * axis_up) / (across**2 + ahead**2) / half
    stretch, stretching = np.ones_like(fall), np.zeros_like(fall)
    if cut == "level":
        stretch = sine / (sine - cosine * fall)
        stretching = -stretch / (sine - cosine * fall) * cosine**2 * sigma * alpha * np.sin(turn)
    passing = h * (stretch * sigma * np.cos(turn) + stretching * ahead) / s
    down = np.zeros_like(fall) if cut == "level" else fall
    return ConeEdge(stretch * across, stretch * ahead, down, turning, passing)


def corner_edge(half_arc: Floats, face_angle: Floats, wedge: Floats, radius: Floats, cut: str) -> FaceEdge:
    """Return where the edge of a corner face lies, in the mean over the plan angle.

    Parameters
    ----------
    half_arc, face_angle, wedge : [rad]
    radius : [m]
        Plan radius of the web corner: of the joint line at the top, depth cot t less at the tip.
    cut : str
        "level" or "square".

    Notes
    -----
    Every radial plane turns about its own inner fixing, and the loop's pull and the face's pressure are set against
    each other in it. Its part of the face runs from J to where the edge passes; with the narrowing towards the
    tip left out, as the loop's own curvature is, the pressure's work depends on these two ends alone. So the
    squares are averaged over the plan angle, with distances in the radial plane (see `middle_plane_edge`).

    References
    ----------
    Derived; chosen against inflation in a membrane model. There a corner (joint radius 0.75 m, depth 0.28 m, eight
    segments) stood level with a loop centre 107 to 108.5 mm inboard of J; this mean gives 108.7 mm, the one over the
    middle plane 104.2, the run's rule with the pitch at the joint 92.7 and with that at the tip 111.9.
    """
    edge = cone_edge(half_arc, face_angle, wedge, cut)
    out = radius[..., None] * (np.hypot(edge.across, edge.ahead) - 1.0)
    return _mean_edge(out, -radius[..., None] * edge.fall, edge.turning * WEIGHTS)


def middle_plane_edge(half_arc: Floats, face_angle: Floats, wedge: Floats, radius: Floats, cut: str) -> FaceEdge:
    """Return `corner_edge` in the mean over the width of the segment, seen in its own middle plane.

    Notes
    -----
    That is the stiff segment that turns about the line through its two inner fixings. Its web edges are not in planes
    square to that line, and the pressure's moment takes a term from them (the narrowing again) to which the plane
    equation has no counterpart. The program cuts by `corner_edge`; this is for comparison.

    References
    ----------
    Derived.
    """
    edge = cone_edge(half_arc, face_angle, wedge, cut)
    out = radius[..., None] * (edge.across - np.cos(np.asarray(wedge)[..., None] / 2.0))
    return _mean_edge(out, -radius[..., None] * edge.fall, edge.passing * WEIGHTS)


def _mean_edge(out: Floats, up: Floats, weights: Floats) -> FaceEdge:
    """Return mean place and spread of points (..., k) [m]."""
    mean_out, mean_up = (out * weights).sum(axis=-1), (up * weights).sum(axis=-1)
    away = (out - mean_out[..., None]) ** 2 + (up - mean_up[..., None]) ** 2
    return FaceEdge(mean_out, mean_up, (away * weights).sum(axis=-1))
