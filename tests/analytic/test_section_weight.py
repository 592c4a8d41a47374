"""Weight of the segments: every sheet and strip of cloth summed in three dimensions, by quadrature.

Nothing of the program's algebra is used. A material point of the flat face goes to a place in space, its line across
the face hanging as one circular arc between the webs; what hangs below the ground is left out by finding where the arc
meets it. Webs are triangles cut into a thousand small ones. Agreement is asked to 1e-9 for the face, 1e-8
for all (the tip edge is walked in 4000 steps).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from skirtloft.physics.cloth import segment_weight

ROOT = math.sqrt(2.0)


@dataclass(frozen=True)
class Cloth:
    depth: float
    pitch: float
    areal_mass: float
    seam: float
    hem: float
    tip_trim: float
    joint: float
    strip: float


CLOTHS = [
    Cloth(0.28, 0.15, 0.4, 0.025, 0.015, 0.015, 0.025, 0.4),
    Cloth(0.18, 0.14, 0.2, 0.020, 0.010, 0.012, 0.030, 0.6),
    Cloth(0.45, 0.12, 0.9, 0.030, 0.020, 0.000, 0.020, 0.3),
]


def flat_half_width(cloth: Cloth, down: float) -> float:
    """Half width of the flat face `down` its side edge: straight top, half-round from 0.6 of the edge on."""
    share = down / (ROOT * cloth.depth)
    grown = math.sin(math.pi / 2.0 * min(1.0, share / 0.6))
    return cloth.pitch / 2.0 * (1.0 + (math.pi / 2.0 - 1.0) * grown)


def face_row(cloth: Cloth, down: float) -> np.ndarray:
    """Length above ground of one line across the face, and its first moments in x and z about I."""
    half = flat_half_width(cloth, down)
    if half - cloth.pitch / 2.0 < 1e-9 * half:
        arc = 1e-4
    else:
        arc = float(brentq(lambda a: math.sin(a) / a - cloth.pitch / (2.0 * half), 1e-6, 2.0, xtol=1e-15, rtol=1e-15))

    def place(turn: float) -> tuple[float, float]:
        off = half / arc * (math.cos(turn) - math.cos(arc))
        return 2.0 * cloth.depth + (off - down) / ROOT, -(off + down) / ROOT

    lowest = place(0.0)[1] + cloth.depth
    from_ = 0.0 if lowest >= 0.0 else float(brentq(lambda u: place(u)[1] + cloth.depth, 0.0, arc, xtol=1e-15))
    each = 2.0 * half / arc  # both halves
    length = each * (arc - from_)
    return np.array([length, *(each * quad(lambda u, i=i: place(u)[i], from_, arc)[0] for i in (0, 1))])


def face(cloth: Cloth) -> np.ndarray:
    """Area and first moments of the face; rows stand sqrt(1 - h'^2) apart in the flat, per unit of side edge."""
    edge = ROOT * cloth.depth

    def wide(down: float) -> float:
        step = 1e-5 * edge
        low, high = max(0.0, down - step), min(edge, down + step)
        slope = (flat_half_width(cloth, high) - flat_half_width(cloth, low)) / (high - low)
        return math.sqrt(1.0 - slope**2)

    nodes, weights = np.polynomial.legendre.leggauss(30)
    total = np.zeros(3)
    kinks = [0.0, 0.2 * edge, 0.6 * edge, edge - cloth.pitch / 2.0, edge]
    assert kinks == sorted(kinks)
    for low, high in pairwise(kinks):
        t = (1.0 + nodes) / 2.0
        rooted = low in (0.0, kinks[3])  # bulge, and width of the cut, start with a root: places at t^2
        down = low + (high - low) * (t**2 if rooted else t)
        share = (high - low) * weights / 2.0 * (2.0 * t if rooted else 1.0)
        total += sum(b * wide(a) * face_row(cloth, a) for a, b in zip(down, share, strict=True))
    return total


def web(cloth: Cloth) -> np.ndarray:
    """Area and first moments of the triangle J-G-I, cut into 32^2 small triangles."""
    joint, tip, count = np.array([2.0 * cloth.depth, 0.0]), np.array([cloth.depth, -cloth.depth]), 32
    total = np.zeros(3)
    for i in range(count):
        for j in range(count - i):
            corners = [(i, j), (i + 1, j), (i, j + 1)]
            upside = [(i + 1, j), (i + 1, j + 1), (i, j + 1)] if i + j + 1 < count else []
            for three in filter(None, (corners, upside)):
                p = np.array([a * joint + b * tip for a, b in three]) / count
                (ax, az), (bx, bz) = p[1] - p[0], p[2] - p[0]
                area = abs(ax * bz - az * bx) / 2.0
                total += area * np.array([1.0, *p.mean(axis=0)])
    return total


def strip(start: tuple[float, float], end: tuple[float, float], wide: float) -> np.ndarray:
    """Area and first moments of a narrow strip on the straight line from start to end."""
    length = math.dist(start, end)
    middle = [quad(lambda t, i=i: start[i] + t * (end[i] - start[i]), 0.0, 1.0)[0] for i in (0, 1)]
    return wide * length * np.array([1.0, *middle])


def trim(cloth: Cloth) -> np.ndarray:
    """The strip below the level-cut tip edge: its points, moved half its width down the face."""

    def point(turn: float) -> np.ndarray:  # along the joint, x, z: half-round face cut level
        off = cloth.pitch / 2.0 * math.sin(turn)
        down = ROOT * cloth.depth - off
        return np.array(
            [cloth.pitch / 2.0 * math.cos(turn), 2.0 * cloth.depth + (off - down) / ROOT, -(off + down) / ROOT]
        )

    places = np.array([point(t) for t in np.linspace(0.0, math.pi, 4001)])
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    middles = (places[1:] + places[:-1]) / 2.0 - cloth.tip_trim / 2.0 * np.array([0.0, 1.0, 1.0]) / ROOT
    return cloth.tip_trim * np.array([steps.sum(), steps @ middles[:, 1], steps @ middles[:, 2]])


@pytest.mark.parametrize("cloth", CLOTHS, ids=lambda cloth: f"{cloth.depth}-{cloth.pitch}")
def test_weight_of_everything_that_hangs(cloth: Cloth) -> None:
    d, w = cloth.depth, cloth.pitch
    inner, joint, tip = (0.0, 0.0), (2.0 * d, 0.0), (d, -d)
    sheets = face(cloth) + 2.0 * web(cloth) + trim(cloth)
    sheets += 4.0 * strip(joint, tip, cloth.seam)  # each of two side edges: one layer of face, one of web
    sheets += 2.0 * strip(joint, inner, cloth.hem) + 2.0 * strip(tip, inner, cloth.hem)
    at_joint = (cloth.areal_mass + 2.0 * cloth.strip) * cloth.joint * w * np.array([1.0, *joint])
    expected = (cloth.areal_mass * sheets + at_joint) / w
    found = segment_weight(
        depth=d,
        pitch=w,
        areal_mass=cloth.areal_mass,
        seam=cloth.seam,
        hem=cloth.hem,
        tip_trim=cloth.tip_trim,
        joint=cloth.joint,
        strip_areal_mass=cloth.strip,
    )
    assert found.mass == pytest.approx(expected[0], rel=1e-8)
    assert found.moment == pytest.approx(expected[1], rel=1e-8)
    assert found.height_moment == pytest.approx(expected[2], rel=1e-8)


@pytest.mark.parametrize("cloth", CLOTHS, ids=lambda cloth: f"{cloth.depth}-{cloth.pitch}")
def test_weight_of_the_face_alone(cloth: Cloth) -> None:
    """The face is the one part without a closed form: asked alone so that nothing hides it."""
    found = segment_weight(
        depth=cloth.depth, pitch=cloth.pitch, areal_mass=1.0, seam=0.0, hem=0.0, tip_trim=0.0, joint=0.0
    )
    expected = face(cloth)
    webs = 2.0 * web(cloth)
    per_pitch = np.array([found.mass, found.moment, found.height_moment]) * cloth.pitch
    assert per_pitch - webs == pytest.approx(expected, rel=1e-9)
