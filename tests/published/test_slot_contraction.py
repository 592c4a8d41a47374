"""Contraction of a plane slot: classical free-streamline theory.

Source: sources/s01_slot_contraction.csv, computed once to 30 digits from the integral of the theory (Helmholtz; von
Mises, 1917, VDI-Zeitschrift 61); exact cases pi/(pi + 2) at 90 deg and 1/2 at 180 deg. Tolerance: the table's digits.
Yun and Bliault, 2000, p. 63 give a fit of plenum theory; it is held to 0.014, what it was found to differ by.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import mpmath
import pytest

from skirtloft.physics.air import contraction_coefficient

SOURCE = Path(__file__).parents[2] / "sources" / "s01_slot_contraction.csv"


def rows() -> list[tuple[float, float]]:
    lines = SOURCE.read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [(float(row["face_slope_outward_from_horizontal_deg"]), float(row["Cc_closed_form"])) for row in table]


def test_table_holds_the_whole_range() -> None:
    assert len(rows()) == 27


@pytest.mark.parametrize("face_deg, published", rows())
def test_table(face_deg: float, published: float) -> None:
    assert contraction_coefficient(math.radians(face_deg)) == pytest.approx(published, abs=6e-9)


def test_exact_cases() -> None:
    assert contraction_coefficient(math.pi / 2.0) == pytest.approx(math.pi / (math.pi + 2.0), rel=1e-15)
    assert contraction_coefficient(0.0) == pytest.approx(0.5, rel=1e-15)
    assert contraction_coefficient(math.pi) == pytest.approx(1.0, rel=1e-15)  # no turn, no contraction
    assert contraction_coefficient(math.pi - 1e-12) == pytest.approx(1.0, abs=1e-11)


@pytest.mark.parametrize("face_deg", [0.5, 33.0, 45.0, 71.0, 89.9, 134.0, 179.0])
def test_integral_of_the_theory(face_deg: float) -> None:
    """1/Cc = 1 + (2/pi) Int_0^{pi/2} sin(2 beta s/pi) cot(s) ds, by mpmath."""
    beta = mpmath.pi - mpmath.radians(mpmath.mpf(face_deg))
    integral = mpmath.quad(lambda s: mpmath.sin(2 * beta * s / mpmath.pi) * mpmath.cot(s), [0, mpmath.pi / 2])
    assert contraction_coefficient(math.radians(face_deg)) == pytest.approx(
        float(1 / (1 + 2 / mpmath.pi * integral)), rel=1e-12
    )


@pytest.mark.parametrize("degrees", [15.0, 30.0, 45.0, 60.0, 75.0, 90.0])
def test_yun_and_bliault_fit(degrees: float) -> None:
    fit = 0.5 + 0.4e-3 * degrees + 0.109e-4 * degrees**2
    assert contraction_coefficient(math.radians(degrees)) == pytest.approx(fit, abs=0.014)
