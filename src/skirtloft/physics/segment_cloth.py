"""Weight of a segment's cloth about its inner fixing, for any shape of segment, from what is really cut.

Lengths here are seen from I, x outboard, z up, in the segment's middle plane; corners in the plane of their webs.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.arc import centroid_share, half_angle_of
from skirtloft.physics.face import FLARE_END, face_half_width
from skirtloft.physics.face_edge import NODES, WEIGHTS, arc_bulge, arc_integrals
from skirtloft.physics.statics_types import SegmentCloth, SegmentShape


def segment_cloth(
    shape: SegmentShape,
    *,
    areal_mass: npt.ArrayLike,
    seam: float,
    hem: float,
    tip_trim: float,
    joint: float,
    strip_areal_mass: npt.ArrayLike | None = None,
) -> SegmentCloth:
    """Return mass and first moments about I of the segments, per metre of joint.

    Parameters
    ----------
    shape : SegmentShape
    areal_mass : [kg/m2]
        Cloth of the segments, any shape that broadcasts with theirs.
    seam, hem, tip_trim, joint : float [m]
        Cloth left outside the sewn lines: face to web, free edges of the web, tip, joint.
    strip_areal_mass : [kg/m2], optional
        Cloth of the joint strip, folded to twice `joint`; without it, the segment cloth.

    Notes
    -----
    A face with its bulge growing to the tip (or full all along, top "arc"), two webs J-G-I with their own seams.
    Every material line that runs straight across the flat face is taken to hang as one circular arc at its height
    along the web's edge. Allowances lie on their edges. At a corner the face narrows to its real tip; that its middle
    stands a few millimetres outboard of its webs' mean is left out. Bolts and tapes are left out.

    References
    ----------
    Derived.
    """
    mass = np.asarray(areal_mass, dtype=np.float64)
    strip = mass if strip_areal_mass is None else np.asarray(strip_areal_mass, dtype=np.float64)
    joint_at, tip_at = _from_inner(shape, shape.joint), _from_inner(shape, shape.tip)
    middle = (joint_at + tip_at) / 2.0
    web = (joint_at[0] * tip_at[1] - joint_at[1] * tip_at[0]) / 2.0
    total = mass * (face_moments(shape) + tip_trim * tip_edge_moments(shape, tip_trim))
    total = total + 2.0 * mass * _row(np.abs(web), (joint_at + tip_at) / 3.0)
    total = total + 4.0 * mass * seam * _row(shape.face_length, middle)
    total = total + 2.0 * mass * hem * (_row(shape.upper_edge, joint_at / 2.0) + _row(shape.lower_edge, tip_at / 2.0))
    total = total + (mass + 2.0 * strip) * joint * _row(shape.pitch, joint_at)
    return SegmentCloth(*(frozen_array(value) for value in total / shape.pitch))


def no_cloth(shape: SegmentShape) -> SegmentCloth:
    """Return segments without weight."""
    none = frozen_array(np.zeros_like(shape.depth))
    return SegmentCloth(none, none, none)


def _from_inner(shape: SegmentShape, point: Floats) -> Floats:
    """Return a point's x and z seen from I, (2, ...) [m]."""
    return np.moveaxis(point - shape.inner, -1, 0)


def _row(amount: Floats, at: Floats) -> Floats:
    """Return (amount, amount x, amount z), (3, ...), of an amount at the place `at`, (2, ...)."""
    return np.stack([amount, amount * at[0], amount * at[1]])


def tip_chord(shape: SegmentShape) -> Floats:
    """Return the straight distance between the web corners at the tip [m]: the pitch on a straight run."""
    inside = shape.radius - shape.depth / np.tan(shape.face_angle)
    with np.errstate(invalid="ignore"):
        return np.where(shape.wedge == 0.0, shape.pitch, 2.0 * inside * np.sin(shape.wedge / 2.0))


def _joint_chord(shape: SegmentShape) -> Floats:
    """Return the straight distance between the webs at the joint [m]."""
    with np.errstate(invalid="ignore"):
        return np.where(shape.wedge == 0.0, shape.pitch, 2.0 * shape.radius * np.sin(shape.wedge / 2.0))


def face_moments(shape: SegmentShape) -> Floats:
    """Return area [m2] and first moments in x and z about I [m3] of one face, (3, ...).

    Notes
    -----
    At the share f of the web's edge, l f down it, the flat face is 2 h(f) wide and hangs over the chord c(f); a strip
    across it is sqrt(1 - h'^2) l df wide, and its centroid lies h j1(half angle) off the chord, square to the web's
    edge. A cut that is level takes off what would hang below it (and adds the same at a bulged top).
    """
    share, step, growth, growing = _flare(shape.top)
    length, top, tip = shape.face_length[..., None], _joint_chord(shape)[..., None], tip_chord(shape)[..., None]
    swell = arc_integrals(shape.half_arc).length[..., None] - 1.0
    chord = top + (tip - top) * share
    half = chord / 2.0 * (1.0 + swell * growth)
    slope = ((tip - top) / 2.0 * (1.0 + swell * growth) + chord / 2.0 * swell * growing) / length
    area = 2.0 * half * np.sqrt(np.maximum(0.0, 1.0 - slope**2)) * length * step
    bulge = half * _centroid_at(shape, growth)
    sine, cosine = np.sin(shape.face_angle)[..., None], np.cos(shape.face_angle)[..., None]
    at = _from_inner(shape, shape.joint)
    x = at[0][..., None] + bulge * sine - share * length * cosine
    z = at[1][..., None] - bulge * cosine - share * length * sine
    whole = np.stack([area.sum(axis=-1), (area * x).sum(axis=-1), (area * z).sum(axis=-1)])
    if shape.cut == "square":
        return whole
    if shape.top == "arc":
        whole = whole + _level_cut(shape, _joint_chord(shape), at)
    return whole - _level_cut(shape, tip_chord(shape), _from_inner(shape, shape.tip))


def _flare(top: str) -> tuple[Floats, Floats, Floats, Floats]:
    """Return places along the web's edge as shares, their weights, how far the bulge has grown there, its rate.

    Notes
    -----
    A hanging arc's depth starts as the root of the growth: the places in the flare are squares. Beyond it everything is
    of third order at most in the share, and three places are exact.
    """
    nodes, weights = np.polynomial.legendre.leggauss(3)
    share = np.concatenate([FLARE_END * NODES**2, FLARE_END + (1.0 - FLARE_END) * (1.0 + nodes) / 2.0])
    step = np.concatenate([2.0 * FLARE_END * NODES * WEIGHTS, (1.0 - FLARE_END) * weights / 2.0])
    if top == "arc":
        return share, step, np.ones_like(share), np.zeros_like(share)
    growth = face_half_width(share, 2.0, 2.0, 2.0) - 1.0
    rate = math.pi / 2.0 / FLARE_END * np.cos(math.pi / 2.0 * np.minimum(1.0, share / FLARE_END))
    return share, step, growth, rate


def _centroid_at(shape: SegmentShape, growth: Floats) -> Floats:
    """Return how far off its chord the centroid of an arc lies, over half the arc's length, (..., k).

    Notes
    -----
    It depends on the half arc of the tip and on the growth alone, so each half arc there is is worked out once.
    """
    kinds, which = np.unique(shape.half_arc, return_inverse=True)
    swell = arc_integrals(kinds).length[:, None] - 1.0
    each = centroid_share(half_angle_of(1.0 / (1.0 + swell * growth)))
    return each[which.reshape(shape.half_arc.shape)]


def _level_cut(shape: SegmentShape, chord: Floats, corner: Floats) -> Floats:
    """Return area and first moments of the cloth between a square and a level cut, (3, ...), web corner at `corner`.

    Notes
    -----
    At the bulge y it is y cot t wide along the face, its middle y (sin t + cos^2 t/(2 sin t)) outboard of the web
    corner and y cos t/2 below.
    """
    arc = arc_integrals(shape.half_arc)
    sine, cosine = np.sin(shape.face_angle), np.cos(shape.face_angle)
    area = chord**2 * arc.moment * cosine / sine
    cubic = chord**3 * arc.moment_square * cosine / sine
    own = np.stack([np.zeros_like(cubic), cubic * (sine + cosine**2 / (2.0 * sine)), -cubic * cosine / 2.0])
    return _row(area, corner) + own


def tip_edge_moments(shape: SegmentShape, trim: float) -> Floats:
    """Return length [m] and first moments about I [m2] of one tip edge, moved down the face by half the trim.

    Notes
    -----
    Place (c/2) sin a/sin q along the chord, y = c (cos a - cos q)/(2 sin q) off it times k = 1/sin t (level cut) or 1:
    length element c/(2 sin q) sqrt(cos^2 a + k^2 sin^2 a) da.
    """
    sine, cosine = np.sin(shape.face_angle), np.cos(shape.face_angle)
    level = shape.cut == "level"
    scale = (1.0 / sine if level else np.ones_like(sine))[..., None]
    q, chord = shape.half_arc[..., None], tip_chord(shape)[..., None]
    element = (
        chord / np.sinc(q / math.pi) * np.sqrt(np.cos(q * NODES) ** 2 + (scale * np.sin(q * NODES)) ** 2) * WEIGHTS
    )
    length, off = element.sum(axis=-1), (element * arc_bulge(shape.half_arc) * chord).sum(axis=-1)
    at = _from_inner(shape, shape.tip)
    out, up = (1.0 / sine, np.zeros_like(sine)) if level else (sine, -cosine)
    x = at[0] * length + out * off - cosine * trim / 2.0 * length
    z = at[1] * length + up * off - sine * trim / 2.0 * length
    return np.stack([length, x, z])
