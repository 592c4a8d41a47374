"""One section written out plainly, for tests that must not use the program's own closed forms."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq

GRAVITY = 9.80665


@dataclass(frozen=True)
class Case:
    """A section: depth, pitch, X, Z, pressure, segment's mass moments in x and z about I, loop cloth and allowance."""

    depth: float
    pitch: float
    offset: float
    rise: float
    pressure: float
    moment: float = 0.0
    height_moment: float = 0.0
    areal_mass: float = 0.0
    allowance: float = 0.0


CASES = [
    Case(0.28, 0.15, 0.23, 0.22, 500.0),  # side, more than half a circle
    Case(0.28, 0.15, -0.075, 0.22, 500.0),  # bow, less than half a circle
    Case(0.28, 0.15, 0.23, 0.22, 500.0, 0.29, -0.093, 0.3, 0.025),
    Case(0.28, 0.15, -0.075, 0.22, 500.0, 0.29, -0.093, 0.3, 0.025),
    Case(0.18, 0.10, 0.18, 0.20, 464.0, 0.10, -0.03, 0.2, 0.02),
    Case(0.40, 0.20, 0.34, 0.30, 778.0, 0.80, -0.27, 0.5, 0.03),
    Case(0.26, 0.15, 0.05, 0.30, 300.0, 0.40, -0.12, 0.6, 0.0),
]


@lru_cache
def tip_square(depth: float, pitch: float) -> float:
    """Mean of |G - I|^2 along the level-cut tip edge, by quadrature; the place along the joint is (w/2) sin u."""

    def at(u: float) -> float:
        return float(((depth + pitch / np.sqrt(2.0) * np.cos(u)) ** 2 + depth**2) * np.cos(u) / 2.0)

    return float(quad(at, -np.pi / 2.0, np.pi / 2.0, epsabs=1e-13, epsrel=1e-12)[0])


def potential(case: Case, length: float, phi: float) -> float:
    """Energy of the section [J/m] with the segment turned by `phi`: minus pressure times area, plus weight's height.

    Area: triangle I-J-E, circular segment of the loop of fixed `length`, and what the tip edge sweeps in the mean over
    the pitch. Origin at I.
    """
    d = case.depth
    joint = 2.0 * d * np.array([np.cos(phi), np.sin(phi)])
    edge = np.array([2.0 * d - case.offset, case.rise])
    chord = float(np.hypot(*(edge - joint)))
    half = brentq(lambda h: np.sin(h) / h - chord / length, 1e-9, np.pi, xtol=1e-15, rtol=1e-14)
    radius = length / (2.0 * half)
    tip = tip_square(d, case.pitch)
    area = 0.5 * (joint[0] * edge[1] - joint[1] * edge[0])
    area += radius**2 * (half - np.sin(half) * np.cos(half)) + phi * tip / 2.0
    middle, outward = (edge + joint) / 2.0, np.array([edge[1] - joint[1], joint[0] - edge[0]]) / chord
    centre = middle - radius * np.cos(half) * outward
    loop_height = (centre + radius * np.sin(half) / half * outward)[1]
    height = case.moment * np.sin(phi) + case.height_moment * np.cos(phi)
    height += case.areal_mass * (length * loop_height + case.allowance * joint[1])
    return float(-case.pressure * area + GRAVITY * height)
