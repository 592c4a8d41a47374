"""Heave of a rigid plenum: sources/s04_heave_examples.csv.

First row: a published air-cushion suspension exercise, 4500 z'' = 6.5 p, flows -0.004 p in and 0.004 p + 640 z out,
1.5e-6 p' stored; its roots and all other rows were computed from the cubic in the file's first line by a second hand.
Tolerance: half a unit of the last printed digit.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest

from skirtloft.physics.bounce.rigid import cubic_heave, least_stable_gap, modes_of

SOURCE = Path(__file__).parents[2] / "sources" / "s04_heave_examples.csv"
LINES = [line for line in SOURCE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
ROWS = [row for row in csv.DictReader(LINES) if row["case"].startswith("ref")]


def printed(text: str) -> tuple[list[complex], list[float]]:
    """Roots of a text like "-46.6; -31.5+-60.1j" with positive imaginary parts, and half a unit of the last digit."""
    roots, halves = [], []
    for part in text.split(";"):
        numbers = re.findall(r"-?\d+\.\d+", part.replace("+-", " "))
        roots.append(complex(*map(float, numbers)))
        halves.append(0.51 * 10.0 ** -min(len(number.partition(".")[2]) for number in numbers))
    return roots, halves


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['case']} {row['h0_m']} {row['kf_m3_s_Pa']}")
def test_roots_of_the_reference_craft(row: dict[str, str]) -> None:
    value = {k: float(row[k]) for k in ("M_kg", "S_m2", "V_m3", "p0_Pa", "Q0_m3_s", "h0_m", "kf_m3_s_Pa", "n", "pa_Pa")}
    # the file's pressure and flow are rounded: 500 g/8 and 0.6 x 12 m x gap x jet speed at 1.225 kg/m3
    pressure = value["M_kg"] * 9.80665 / value["S_m2"]
    flow = 0.6 * 12.0 * value["h0_m"] * np.sqrt(2.0 * pressure / 1.225)
    assert pressure == pytest.approx(value["p0_Pa"], abs=5.1e-3)
    assert flow == pytest.approx(value["Q0_m3_s"], abs=5.1e-5)
    compliance = value["V_m3"] / (value["n"] * value["pa_Pa"])
    per_pressure = flow / (2.0 * pressure) + value["kf_m3_s_Pa"]
    modes = modes_of(cubic_heave(value["M_kg"], value["S_m2"], compliance, per_pressure, flow / value["h0_m"]))
    roots, halves = printed(row["roots_per_s"])
    found = sorted(modes.roots[modes.roots.imag >= 0.0], key=lambda root: root.imag)
    for root, known, half in zip(found, roots, halves, strict=True):
        assert root.real == pytest.approx(known.real, abs=half)
        assert root.imag == pytest.approx(known.imag, abs=half)
    assert (modes.growth < 0.0) == (row["stable"] == "yes")


def test_the_file_has_the_rows_that_are_used() -> None:
    assert len(ROWS) == 6


def test_published_suspension_exercise() -> None:
    modes = modes_of(cubic_heave(4500.0, 6.5, 1.5e-6, 0.008, 640.0))
    (row,) = [row for row in csv.DictReader(LINES) if row["case"].startswith("published")]
    roots, _ = printed(row["roots_per_s"])
    assert min(modes.roots.real) == pytest.approx(roots[0].real, abs=5e-4)
    assert modes.growth == pytest.approx(roots[1].real, abs=5e-7)
    assert modes.frequency == pytest.approx(roots[1].imag, abs=5e-6)  # with 30 digits 10.7353920: the file is 3e-6 off
    assert modes.frequency == pytest.approx(10.7353919515, rel=1e-10)
    assert modes.frequency / (2.0 * np.pi) == pytest.approx(1.709, abs=5e-4)
    assert modes.damping == pytest.approx(0.0536, abs=5e-5)


def test_least_gap_at_constant_flow() -> None:
    """2 p0 (V/S)/(n pa): 2.59 mm in the file, with the atmosphere alone in the compression."""
    assert least_stable_gap(2.4, 8.0, 612.92, atmosphere=101325.0 - 612.92) == pytest.approx(0.00259, abs=5.1e-6)


def test_absolute_pressure_in_the_compression() -> None:
    """The same craft with pa + p: roots -46.79202, -31.84628 +- 60.14047i and 2.57684 mm, computed by a second hand."""
    pressure = 500.0 * 9.80665 / 8.0
    compliance = 2.4 / (1.4 * (101325.0 + pressure))
    flow = 0.6 * 12.0 * 0.01 * np.sqrt(2.0 * pressure / 1.225)
    modes = modes_of(cubic_heave(500.0, 8.0, compliance, flow / (2.0 * pressure), flow / 0.01))
    assert min(modes.roots.real) == pytest.approx(-46.79202, abs=5.1e-6)
    assert modes.growth == pytest.approx(-31.84628, abs=5.1e-6)
    assert modes.frequency == pytest.approx(60.14047, abs=5.1e-6)
    assert least_stable_gap(2.4, 8.0, pressure) == pytest.approx(2.57684e-3, abs=5.1e-9)
