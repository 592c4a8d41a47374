"""Sections of any segment against general-purpose tools that know nothing of the closed forms.

Numeric differentiation, root finding in mpmath, constrained maximisation in scipy, and a chain of many links. The
potential is -p A + g Sum m z for a loop of given length; the sections' loop length must make it stationary as cut.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import mpmath
import numpy as np
import pytest
from scipy.optimize import brentq, minimize

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.segment_shape import segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.turning import restoring_moment, settle
from tests.statics_cases import random_sections

G = 9.80665
COUNT = 12


@dataclass(frozen=True)
class Bare:
    """One section as plain numbers, seen from I."""

    joint: tuple[float, float]
    edge: tuple[float, float]
    length: float
    pressure: float
    joint_square: float
    tip_square: float
    segment: tuple[float, float]
    loop_mass: float
    allowance: float


def bare(s: SectionStatics, i: int) -> Bare:
    joint, edge = s.shape.joint[i] - s.shape.inner[i], s.hull_edge[i] - s.shape.inner[i]
    return Bare(
        joint=(float(joint[0]), float(joint[1])),
        edge=(float(edge[0]), float(edge[1])),
        length=float(s.length[i]),
        pressure=float(s.pressure[i]),
        joint_square=float(s.shape.joint_mean_square[i]),
        tip_square=float(s.shape.tip_mean_square[i]),
        segment=(float(s.segment.moment[i]), float(s.segment.height_moment[i])),
        loop_mass=float(np.broadcast_to(s.loop.areal_mass, s.length.shape)[i]),
        allowance=float(s.loop.allowance),
    )


def at_turn(case: Bare, phi: Any, half: Any, lib: Any) -> tuple[Any, Any]:
    """Chord from E to J, and potential over the pressure, for an arc of the half angle `half`; lib: numpy or mpmath.

    Area of the triangle I-J-E and of the arc's segment, and what the face's edges sweep as it turns; weights at their
    heights, the loop's at the arc's centroid.
    """
    cosine, sine = lib.cos(phi), lib.sin(phi)
    jx, jz = case.joint[0] * cosine - case.joint[1] * sine, case.joint[1] * cosine + case.joint[0] * sine
    ex, ez = case.edge
    chord = lib.sqrt((jx - ex) ** 2 + (jz - ez) ** 2)
    radius = case.length / (2 * half)
    swept = phi * (case.tip_square - case.joint_square + case.joint[0] ** 2 + case.joint[1] ** 2) / 2
    area = (jx * ez - jz * ex) / 2 + radius**2 * (half - lib.sin(2 * half) / 2) + swept
    rise = (ez + jz) / 2 + radius * (lib.sin(half) / half - lib.cos(half)) * (jx - ex) / chord
    weight = case.segment[0] * sine + case.segment[1] * cosine
    weight = weight + case.loop_mass * (case.length * rise + case.allowance * jz)
    return chord, -area + G * weight / case.pressure


def potential(case: Bare, phi: float) -> float:
    """Potential over the pressure at a turn, the arc's half angle by bisection and secants."""
    chord, _ = at_turn(case, phi, 1.0, np)
    half = brentq(lambda h: math.sin(h) / h - chord / case.length, 1e-6, 3.14, xtol=1e-15)
    return float(at_turn(case, phi, half, np)[1])


@pytest.mark.parametrize("weighed", [False, True])
def test_moment_and_stiffness_by_mpmath(weighed: bool) -> None:
    """First and second derivative of the potential at 50 digits, arc by mpmath's root finder: to 1e-8."""
    s = random_sections(COUNT, 21, weighed=weighed)
    for i in range(COUNT):
        case = bare(s, i)
        with mpmath.workdps(50):
            start = mpmath.mpf(float(s.angle[i]) / 2.0)

            def energy(phi, case=case, start=start):
                chord, _ = at_turn(case, phi, start, mpmath)
                half = mpmath.findroot(lambda h: mpmath.sin(h) / h - chord / case.length, start)
                return at_turn(case, phi, half, mpmath)[1]

            step = mpmath.mpf(10) ** -12
            low, middle, high = (energy(step * k) for k in (-1, 0, 1))
            first, second = (high - low) / (2 * step), (high - 2 * middle + low) / step**2
        assert abs(float(first)) < 1e-12
        assert float(second) * case.pressure == pytest.approx(float(s.stiffness[i]), rel=1e-8)


def test_shape_by_mpmath_root_finding() -> None:
    """Turn and half angle from torque and arc at once, pressure on a flat face summed along it: no turn, to 1e-10.

    The loop's pull acts at J along the arc; the pressure on the face, mean edges in, has the moment of the edges.
    """
    s = random_sections(COUNT, 22, weighed=False)
    for i in range(COUNT):
        case = bare(s, i)

        def out_of_balance(phi, half, case=case):
            cosine, sine = mpmath.cos(phi), mpmath.sin(phi)
            jx, jz = case.joint[0] * cosine - case.joint[1] * sine, case.joint[1] * cosine + case.joint[0] * sine
            cx, cz = jx - case.edge[0], jz - case.edge[1]
            chord = mpmath.hypot(cx, cz)
            # pull on J: back along the arc, which leaves the chord E to J by its half angle
            back = mpmath.atan2(-cz, -cx) - half
            pull = case.length / (2 * half)
            torque = pull * (jx * mpmath.sin(back) - jz * mpmath.cos(back))
            return torque - (case.joint_square - case.tip_square) / 2, mpmath.sin(half) / half - chord / case.length

        found = mpmath.findroot(out_of_balance, (0.01, float(s.angle[i]) / 2.0 + 0.01))
        assert abs(float(found[0])) < 1e-10
        assert float(found[1]) == pytest.approx(float(s.angle[i]) / 2.0, rel=1e-10)


def test_moment_by_numeric_differentiation() -> None:
    """Whole restoring curve, weight in: central differences with Richardson's step, to 1e-8 of p d^2."""
    s = random_sections(COUNT, 23)
    for turn in (-0.15, -0.05, 0.1, 0.3):
        moment = restoring_moment(s, turn)
        for i in np.flatnonzero(np.isfinite(moment)):
            case = bare(s, int(i))
            h = 2e-3
            slopes = [
                (potential(case, turn + k) - potential(case, turn - k)) / (2.0 * k) for k in (h, h / 2.0, h / 4.0)
            ]
            once = [(4.0 * slopes[k + 1] - slopes[k]) / 3.0 for k in (0, 1)]
            slope = (16.0 * once[1] - once[0]) / 15.0
            assert abs(-slope * case.pressure - moment[i]) < 1e-8 * case.pressure * s.shape.depth[i] ** 2


@pytest.mark.parametrize("load", [1.0, 1.3])
def test_rest_by_constrained_minimisation(load: float) -> None:
    """scipy's constrained optimiser on (turn, half angle), the loop's length kept: the same rest to 1e-8 rad.

    Gradients by complex step, so that the optimum is found to rounding.
    """
    s = random_sections(COUNT, 24)
    rest = settle(s, pressure=load * s.pressure)
    for i in range(COUNT):
        case = bare(s, i)
        case = Bare(**{**case.__dict__, "pressure": load * case.pressure})
        scale = float(s.shape.depth[i]) ** 2

        def value(v: Any, case: Bare = case, scale: float = scale) -> Any:
            return at_turn(case, v[0], v[1], np)[1] / scale

        def spare(v: Any, case: Bare = case) -> Any:
            return np.sin(v[1]) / v[1] - at_turn(case, v[0], v[1], np)[0] / case.length

        def slope(function: Any, v: Any) -> Any:
            steps = 1e-30j * np.eye(2)
            return np.array([function(np.asarray(v, dtype=complex) + step).imag / 1e-30 for step in steps])

        found = minimize(
            value,
            [0.02, float(s.angle[i]) / 2.0 - 0.01],
            jac=lambda v, f=value: slope(f, v),
            constraints={"type": "eq", "fun": spare, "jac": lambda v, f=spare: slope(f, v)},
            method="SLSQP",
            options={"ftol": 1e-16, "maxiter": 200},
        )
        assert abs(found.x[0] - float(rest.turn[i])) < 1e-8
        assert found.x[1] == pytest.approx(float(rest.angle[i]) / 2.0, abs=1e-8)


def chain_at_rest(case: Bare, links: int, start_half: float) -> tuple[float, float]:
    """Turn and joint height of a chain of equal straight links from E to J under pressure and its own weight.

    Unknowns: the direction of every link and the turn. Area by the shoelace rule, weight at the middles of the links:
    no arc is assumed.
    """
    link = case.length / links
    ex, ez = case.edge

    def places(v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return (
            ex + link * np.concatenate([[0.0], np.cumsum(np.cos(v[:-1]))]),
            ez + link * np.concatenate([[0.0], np.cumsum(np.sin(v[:-1]))]),
        )

    def value(v: np.ndarray) -> tuple[float, np.ndarray]:
        x, z = places(v)
        phi = v[-1]
        kept = (case.tip_square - case.joint_square + case.joint[0] ** 2 + case.joint[1] ** 2) / 2.0
        area = -0.5 * np.sum(x[:-1] * z[1:] - x[1:] * z[:-1]) + phi * kept
        m = G / case.pressure
        loop = m * case.loop_mass * link
        energy = -area + loop * np.sum(z[:-1] + z[1:]) / 2.0 + m * case.loop_mass * case.allowance * z[-1]
        energy += m * (case.segment[0] * math.sin(phi) + case.segment[1] * math.cos(phi))
        by_x = 0.5 * np.concatenate([[0.0], z[2:] - z[:-2], [-z[-2]]])
        by_z = -0.5 * np.concatenate([[0.0], x[2:] - x[:-2], [-x[-2]]])
        by_z[1:] += loop
        by_z[-1] += m * case.loop_mass * case.allowance - loop / 2.0
        after_x, after_z = np.cumsum(by_x[::-1])[::-1][1:], np.cumsum(by_z[::-1])[::-1][1:]
        # moving J along with the turn is the constraint's part
        slopes = link * (-np.sin(v[:-1]) * after_x + np.cos(v[:-1]) * after_z)
        turn = -kept + m * (case.segment[0] * math.cos(phi) - case.segment[1] * math.sin(phi))
        return float(energy), np.concatenate([slopes, [turn]])

    def joint(phi: float) -> tuple[float, float]:
        c, s = math.cos(phi), math.sin(phi)
        return case.joint[0] * c - case.joint[1] * s, case.joint[1] * c + case.joint[0] * s

    def spare(v: np.ndarray) -> np.ndarray:
        x, z = places(v)
        jx, jz = joint(v[-1])
        return np.array([x[-1] - jx, z[-1] - jz])

    def spare_slope(v: np.ndarray) -> np.ndarray:
        jx, jz = joint(v[-1])
        return np.vstack([np.append(-link * np.sin(v[:-1]), jz), np.append(link * np.cos(v[:-1]), -jx)])

    along = math.atan2(case.joint[1] - ez, case.joint[0] - ex)
    share = (np.arange(links) + 0.5) / links
    start = np.append(along + start_half * (1.0 - 2.0 * share), 0.02)
    found = minimize(
        lambda v: value(v)[0] / case.joint_square,
        start,
        jac=lambda v: value(v)[1] / case.joint_square,
        constraints={"type": "eq", "fun": spare, "jac": spare_slope},
        method="SLSQP",
        options={"ftol": 1e-15, "maxiter": 300},
    )
    return float(found.x[-1]), joint(float(found.x[-1]))[1]


@pytest.mark.parametrize("weighed", [False, True])
def test_chain_of_many_links(weighed: bool) -> None:
    """A chain of 16 and 32 links, extrapolated: rests as cut within 1e-6 rad, and within 1e-5 with its own weight.

    So the arc's neglect of the loop's weight in its shape costs less than that (found: 2e-6).
    """
    s = random_sections(4, 25, weighed=weighed)
    for i in range(4):
        case = bare(s, i)
        coarse, fine = (chain_at_rest(case, links, float(s.angle[i]) / 2.0)[0] for links in (16, 32))
        assert 0.2 < fine / coarse < 0.3  # second order in the links' length
        assert abs((4.0 * fine - coarse) / 3.0) < (1e-5 if weighed else 1e-6)


def test_unstable_section_is_no_maximum() -> None:
    """Where K is negative, the area has a minimum as cut: both neighbours enclose more; derived."""
    shape = segment_shape(frozen_array([0.28]), math.pi / 4.0, 0.15, inboard=0.56, bulge=0.0)
    s = solve_statics(shape, [0.40], [0.05], 500.0)
    assert s.stiffness[0] < 0.0
    case = bare(s, 0)
    assert potential(case, 0.0) > max(potential(case, 0.01), potential(case, -0.01))
    assert potential(case, 1e-4) == pytest.approx(potential(case, 0.0), abs=1e-8)
