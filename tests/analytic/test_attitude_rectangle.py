"""Attitude of a rectangular cushion, against its closed form.

Closed form, our own derivation: rectangle L by B without corner squares, heel t, flow of an even gap h, c = cot(face),
u the gap of the high side, s = t B - u the sink of the low one:
Cd (L u + u^2/t) sqrt(2 W/(rho A)) = Q, A = L B + L s c + c s^2/t,
e = [L s c (B + s c)/2 + (c s^2/t)(B/2 - s/(3 t))]/A. Firm: pressure p k s per metre more, with its own u and s.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.physics.attitude.bounds import BOUNDS, contact_of
from skirtloft.physics.attitude.lean import HoverLoad, lean
from tests.attitude_cases import DENSITY, DISCHARGE, GAP, GRAVITY, MASS, STIFFNESS, box, load_of

# 500 kg, rho 1.225, Cd .537286, h 10 mm, no height of the centre of gravity: L, B, deg, u mm, s mm, A, p, soft, firm %.
# Numbers worked from the closed form above; soft columns u, s, A and p are those of soft.
TABLE = [
    (4, 2, 0.5, 18.727, 0.0, 8.000000, 612.916, 0.0, None),
    (4, 2, 1.0, 22.716, 12.191, 8.057278, 608.559, 0.3450, 1.2856),
    (4, 2, 2.0, 25.701, 44.112, 8.232192, 595.628, 1.2913, 4.5755),
    (4, 2, 3.0, 27.242, 77.477, 8.424554, 582.028, 2.2554, 7.6266),
    (2, 4, 1.0, 31.738, 38.075, 8.159215, 600.955, 0.7950, 2.8626),
    (2, 4, 2.0, 39.478, 100.149, 8.487628, 577.703, 2.0927, 6.8753),
]


@pytest.mark.parametrize("axis", ["roll", "pitch"])
@pytest.mark.parametrize("length, beam, degrees, u, s, area, pressure, soft, firm", TABLE)
def test_table(
    axis: str, length: float, beam: float, degrees: float, u: float, s: float, area: float, pressure: float,
    soft: float, firm: float | None,
) -> None:  # fmt: skip
    """Each row as heel, and turned a quarter as trim: to the digits of the table."""
    line = box(length, beam) if axis == "roll" else box(beam, length)
    tilt = [0.0, math.radians(degrees)] if axis == "roll" else [math.radians(degrees), 0.0]
    held = lean(line, load_of(line), tilt, contact_of(line, "soft"))
    low = 1 if axis == "roll" else 0
    assert 1000 * held.most_gap == pytest.approx(u, abs=6e-4)
    assert max(0.0, -1000 * float(held.least_gap)) == pytest.approx(s, abs=6e-4)
    assert held.area == pytest.approx(area, abs=6e-7)
    assert held.pressure == pytest.approx(pressure, abs=6e-4)
    assert -100 * held.offset[low] / beam == pytest.approx(soft, abs=6e-5)
    assert held.offset[1 - low] == pytest.approx(0.0, abs=1e-12)
    if firm is not None:
        stiff = lean(line, load_of(line), tilt, contact_of(line, "firm"))
        assert -100 * stiff.offset[low] / beam == pytest.approx(firm, abs=6e-5)


def closed_form(length: float, beam: float, t: float, c: float, k: float) -> tuple[float, float]:
    """High gap [m] and balanced offset [m], pressed tips counted with k."""
    area, weight = length * beam, MASS * GRAVITY
    flow = DISCHARGE * 2 * (length + beam) * GAP * math.sqrt(2 * weight / area / DENSITY)

    def carried(u: float) -> float:
        s = t * beam - u
        return area + (c + k) * (length * s + s * s / t)

    def excess(u: float) -> float:
        return DISCHARGE * (length * u + u * u / t) * math.sqrt(2 * weight / DENSITY / carried(u)) - flow

    u = brentq(excess, 1e-9, t * beam, xtol=1e-15)
    s = t * beam - u
    moment = length * s * c * (beam + s * c) / 2 + c * s * s / t * (beam / 2 - s / (3 * t))
    moment += k * (length * s * (beam / 2 + s * c) + s * s / t * (beam / 2 - s / (3 * t)))
    return u, moment / carried(u)


@pytest.mark.parametrize("face", [35.0, 45.0, 55.0])
@pytest.mark.parametrize("degrees", [0.8, 1.7, 3.3])
@pytest.mark.parametrize("longest", [np.inf, 0.07])
def test_closed_form_at_any_face_angle_and_any_division(face: float, degrees: float, longest: float) -> None:
    t, c = math.radians(degrees), 1.0 / math.tan(math.radians(face))
    line = box(3.7, 1.9, longest=longest, face_angle=math.radians(face))
    for bound, k in (("soft", 0.0), ("firm", STIFFNESS / math.tan(math.radians(face)) ** 2)):
        u, e = closed_form(3.7, 1.9, t, c, k)
        held = lean(line, load_of(line), [0.0, t], contact_of(line, bound))  # type: ignore[arg-type]
        assert float(held.most_gap) == pytest.approx(u, rel=1e-10)
        assert -float(held.offset[1]) == pytest.approx(e, rel=1e-10)


def test_long_edge_alone_with_the_heave_held() -> None:
    """0.436 % of the beam per degree at 45 deg: e/B = (t/4) cot(face), one edge sunk by t B/2 at zero gap."""
    length, beam, t = 1000.0, 2.0, math.radians(0.1)  # so long that the ends do not count
    line = box(length, beam)
    s = t * beam / 2
    # a flow that holds heave 0: the gap is then t B/2 along the high side
    pressure = MASS * GRAVITY / (line.area + length * s)
    flow = DISCHARGE * (length * s + s * s / t) * math.sqrt(2 * pressure / DENSITY)
    held = lean(line, HoverLoad(MASS, flow, DENSITY), [0.0, t], contact_of(line, "soft"))
    assert float(held.heave) == pytest.approx(0.0, abs=1e-5)
    assert -100 * float(held.offset[1]) / beam / 0.1 == pytest.approx(0.4363, rel=2e-3)


def test_one_edge_sunk_and_the_other_at_a_tiny_gap() -> None:
    """0.873 % per degree at 45 deg: the low edge is sunk by t B."""
    length, beam, t = 1000.0, 2.0, math.radians(0.1)
    line = box(length, beam)
    held = lean(line, HoverLoad(MASS, 1e-4, DENSITY), [0.0, t], contact_of(line, "soft"))
    assert -100 * float(held.offset[1]) / beam / 0.1 == pytest.approx(0.8727, rel=3e-3)


def test_inside_the_gap_nothing_moves_but_the_height_of_the_centre_of_gravity() -> None:
    """-1.745 % z/B per degree: the centre of gravity moves z t to the low side."""
    line = box(4.0, 2.0)
    for bound in BOUNDS:
        held = lean(line, load_of(line, height=0.6), [0.0, math.radians(0.4)], contact_of(line, bound))
        assert held.lift_centre == pytest.approx([0.0, 0.0], abs=1e-12)
        assert -100 * float(held.offset[1]) / 2.0 / 0.4 == pytest.approx(-1.7453 * 0.6 / 2.0, rel=1e-4)
