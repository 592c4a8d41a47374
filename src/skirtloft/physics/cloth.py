"""Weight of the cloth about the inner fixing, from the shapes that are really cut.

Section axes here have their origin at I: J = (2 d, 0), G = (d, -d), x outboard, z up.
"""

from __future__ import annotations

import math

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.arc import centroid_share, chord_rates, half_angle_of
from skirtloft.physics.face import FLARE_END, face_half_width
from skirtloft.physics.types import LoopArc, SegmentWeight

_GAUSS_POINTS = 24


def segment_weight(
    *,
    depth: float,
    pitch: float,
    areal_mass: float,
    seam: float,
    hem: float,
    tip_trim: float,
    joint: float,
    strip_areal_mass: float | None = None,
) -> SegmentWeight:
    """Return mass and first moments about I of the segments, per metre of joint.

    Parameters
    ----------
    depth, pitch : float [m]
    areal_mass : float [kg/m2]
        Cloth of the segments.
    seam, hem, tip_trim, joint : float [m]
        Cloth left outside the sewn lines: face to web, free edges of the web, tip, joint.
    strip_areal_mass : float [kg/m2], optional
        Cloth of the joint strip, folded to twice `joint`; without it, the segment cloth.

    Notes
    -----
    Straight-run shapes, used in corners too: a flared face half-round at the tip and cut level, two webs of d^2 each
    with their own seam. Every material line of the flat face that runs straight across it is taken to hang as one
    circular arc at its height along the web edge. Allowances lie on their edges. Bolts and tapes are left out.

    References
    ----------
    Derived.
    """
    strip = areal_mass if strip_areal_mass is None else strip_areal_mass
    rows = [
        areal_mass * _face_area_moments(depth, pitch),
        areal_mass * tip_trim * _tip_edge_moments(depth, pitch, tip_trim),
        2.0 * areal_mass * _row(depth**2, depth, -depth / 3.0),
        4.0 * areal_mass * seam * _row(math.sqrt(2.0) * depth, 1.5 * depth, -depth / 2.0),
        2.0 * areal_mass * hem * _row(2.0 * depth, depth, 0.0),
        2.0 * areal_mass * hem * _row(math.sqrt(2.0) * depth, depth / 2.0, -depth / 2.0),
        (areal_mass * joint + 2.0 * strip * joint) * _row(pitch, 2.0 * depth, 0.0),
    ]
    mass, moment, height_moment = (np.sum(rows, axis=0) / pitch).tolist()
    return SegmentWeight(mass, moment, height_moment)


def _row(amount: float, x: float, z: float) -> Floats:
    """Return (amount, amount x, amount z), (3,)."""
    return amount * np.array([1.0, x, z])


def _face_area_moments(depth: float, pitch: float) -> Floats:
    """Return area [m2] and first moments in x and z [m3] of one face, (3,).

    Notes
    -----
    At distance s down the side edge the face is an arc of length 2 h(s) over the chord w; its centroid lies h j1(h/R)
    outside the chord, normal to the web edge. A strip across the flat face is sqrt(1 - h'^2) ds wide. From this comes
    off what lies below the level cut: w^2/2 of half-round face. Gauss points; the bulge starts with the root of s, so
    there they stand at squares.
    """
    edge, w = math.sqrt(2.0) * depth, pitch
    nodes, weights = np.polynomial.legendre.leggauss(_GAUSS_POINTS)
    place = (1.0 + nodes) / 2.0
    share = np.concatenate([FLARE_END * place**2, FLARE_END + (1.0 - FLARE_END) * place])
    step = np.concatenate([FLARE_END * 2.0 * place * weights, (1.0 - FLARE_END) * weights]) * edge / 2.0
    half = face_half_width(share, w, w, math.pi / 4.0 * w)
    growing = (math.pi / 2.0) * np.minimum(1.0, share / FLARE_END)
    slope = (w / 2.0) * (math.pi / 2.0 - 1.0) * np.cos(growing) * (math.pi / 2.0) / (FLARE_END * edge)
    area = 2.0 * half * np.sqrt(1.0 - slope**2) * step
    bulge = half * centroid_share(half_angle_of(w / (2.0 * half)))
    along = share * edge
    x = 2.0 * depth + (bulge - along) / math.sqrt(2.0)
    z = -(bulge + along) / math.sqrt(2.0)
    whole: Floats = np.array([area.sum(), (area * x).sum(), (area * z).sum()])
    cubic = math.pi * w**3 / (32.0 * math.sqrt(2.0))
    below: Floats = np.array([w**2 / 2.0, depth * w**2 / 2.0 + 3.0 * cubic, -depth * w**2 / 2.0 - cubic])
    return whole - below


def _tip_edge_moments(depth: float, pitch: float, trim: float) -> Floats:
    """Return length [m] and first moments [m2] of one tip edge, moved down the face by half the trim, (3,).

    Notes
    -----
    x = d + (w/2) sin(u) sqrt2, length element (w/2) sqrt(1 + cos^2 u) du, u from 0 to pi.
    """
    nodes, weights = np.polynomial.legendre.leggauss(_GAUSS_POINTS)
    u = math.pi / 2.0 * (1.0 + nodes)
    length = (pitch / 2.0) * np.sqrt(1.0 + np.cos(u) ** 2) * weights * math.pi / 2.0
    down = trim / (2.0 * math.sqrt(2.0))
    x = depth + pitch / math.sqrt(2.0) * np.sin(u) - down
    return np.array([length.sum(), (length * x).sum(), -(depth + down) * length.sum()])


def loop_moment(
    arc: LoopArc, offset: Floats, rise: Floats, depth: float, areal_mass: float, allowance: float
) -> Floats:
    """Return the loop's share of the first moment of the cloth about I, per metre of joint.

    Parameters
    ----------
    arc : LoopArc
    offset, rise : [m]
        X and Z of the sections, the shape of the arc.
    depth : float [m]
    areal_mass : float [kg/m2]
    allowance : float [m]
        Loop cloth outside the sewn line at the joint: it hangs at J. That at the hull edge does not move.

    Returns
    -------
    [kg m / m]

    Notes
    -----
    m L zbar' + 2 d m allowance, where zbar' is what the loop's centroid rises per radian that the segment turns
    about I (`centroid_rise`). Seams between loop panels are left out.
    """
    return areal_mass * (arc.length * centroid_rise(arc, offset, rise, depth) + 2.0 * depth * allowance)


def centroid_rise(arc: LoopArc, offset: Floats, rise: Floats, depth: float) -> Floats:
    """Return zbar' [m/rad]: what the loop's centroid rises per radian that the segment turns about I, length kept.

    Notes
    -----
    zbar = (z_E + z_J)/2 + t X/c with t = s + c/b. zbar' = d + X (dt/dc c'/c - t c'/c^2), c' = -2 d Z/c.

    References
    ----------
    Derived.
    """
    turn = -2.0 * depth * rise / arc.chord
    beyond = arc.bulge + arc.chord / arc.angle
    rate = chord_rates(arc.angle, arc.length).centroid
    return depth + offset * turn / arc.chord * (rate - beyond / arc.chord)


def centroid_rise_second(arc: LoopArc, offset: Floats, rise: Floats, depth: float) -> Floats:
    """Return zbar'' [m/rad2], the second derivative of the loop's centroid height as the segment turns about I.

    Notes
    -----
    With q = X/c: (t q)'' = t'' q + 2 t' q' + t q''; q' = -X c'/c^2, q'' = -2 d/c - X c''/c^2 + 2 X c'^2/c^3,
    t' = dt/dc c', t'' = d2t/dc2 c'^2 + dt/dc c'', c'' = (4 d^2 - 2 d X - c'^2)/c.

    References
    ----------
    Derived.
    """
    c, d, x = arc.chord, depth, offset
    first = -2.0 * d * rise / c
    second = (4.0 * d**2 - 2.0 * d * x - first**2) / c
    beyond = arc.bulge + c / arc.angle
    rates = chord_rates(arc.angle, arc.length)
    share_first = -x * first / c**2
    share_second = -2.0 * d / c - x * second / c**2 + 2.0 * x * first**2 / c**3
    beyond_second = rates.centroid_second * first**2 + rates.centroid * second
    return beyond_second * x / c + 2.0 * rates.centroid * first * share_first + beyond * share_second
