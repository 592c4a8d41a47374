"""Worked examples of cushion pressure and escape flow.

Source: sources/s02_cushion_examples.csv. A: student lift report (650 lb on 7 x 10 ft, gap 1/2 in, Cd 0.53; 9.29 lb/ft2,
67 ft3/s cut off in print); B: school guide no. 15, 2005; C, C2: physics exercise (statement only, answers recomputed);
D to F: one reference craft, recomputed by hand. Tolerance 1e-3: three to five digits are printed. C and C2 use g = 9.8.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from skirtloft.physics.cushion import air_power, cushion_pressure, escape_flow, jet_speed, support

SOURCE = Path(__file__).parents[2] / "sources" / "s02_cushion_examples.csv"
POUND, FOOT = 0.45359237, 0.3048  # exact, international yard and pound agreement of 1959
TOLERANCE = 1e-3


def rows() -> list[dict[str, str]]:
    lines = SOURCE.read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


FLOWING = [row for row in rows() if row["Q_m3_s"]]


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_pressure(row: dict[str, str]) -> None:
    gravity = float(row["g_m_s2"]) / 9.80665  # the exercise rounds g
    pressure = cushion_pressure(float(row["mass_kg"]) * gravity, float(row["area_m2"]))
    assert pressure == pytest.approx(float(row["p_Pa"]), rel=TOLERANCE)


def test_most_examples_have_a_flow() -> None:
    assert len(FLOWING) == 7


@pytest.mark.parametrize("row", FLOWING, ids=lambda row: row["id"])
def test_flow_and_power(row: dict[str, str]) -> None:
    pressure, density = float(row["p_Pa"]), float(row["rho_kg_m3"])
    assert jet_speed(pressure, density) == pytest.approx(float(row["jet_v_m_s"]), rel=TOLERANCE)
    flow = escape_flow(pressure, float(row["gap_m"]), float(row["perimeter_m"]), float(row["Cd"]), density)
    digits = 0.5 * 10.0 ** -len(row["Q_m3_s"].partition(".")[2])
    assert flow == pytest.approx(float(row["Q_m3_s"]), rel=TOLERANCE, abs=digits)
    assert air_power(pressure, flow) == pytest.approx(float(row["air_power_W"]), rel=TOLERANCE, abs=0.06)


def test_student_report_as_printed() -> None:
    """9.29 lb/ft2; speed Cd v = 47.34 ft/s; 204 in2 of gap; rho .002329 slug/ft3 is the density that gives 47.33."""
    area = 70.0 * FOOT**2
    pressure = cushion_pressure(650.0 * POUND, area)
    pounds_per_square_foot = pressure * FOOT**2 / (POUND * 9.80665)
    assert pounds_per_square_foot == pytest.approx(9.29, abs=5e-3)
    density = 0.002329 * 14.593903 / FOOT**3
    assert 0.53 * jet_speed(pressure, density) / FOOT == pytest.approx(47.34, abs=0.015)
    flow = escape_flow(pressure, 0.5 * FOOT / 12.0, 34.0 * FOOT, 0.53, density)
    assert flow / FOOT**3 == pytest.approx(67.0, abs=0.1)


def test_reference_craft() -> None:
    """500 kg, 4 x 2 m, 12 m, 10 mm, Cd .537: p 612.92 Pa, jet 31.634 m/s, 2.0385 m3/s, 1249 W (row F)."""
    (cushion,) = support(
        [("full", 500.0)],
        area=8.0,
        perimeter=12.0,
        gap=0.01,
        discharge=0.537,
        density=1.225,
        fan_efficiency=0.5,
        drive_efficiency=0.9,
        losses=1.3,
        reserve=1.5,
    )
    assert cushion.pressure == pytest.approx(612.92, abs=5e-3)
    assert jet_speed(cushion.pressure, 1.225) == pytest.approx(31.634, abs=5e-4)
    assert cushion.flow == pytest.approx(2.0385, abs=5e-5)
    assert cushion.air_power == pytest.approx(1249.4, abs=0.05)
    assert cushion.engine_power == pytest.approx(1249.4 * 1.3 * 1.5 / (0.5 * 0.9), rel=1e-4)  # closed form
