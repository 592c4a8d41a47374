"""Wave drag of a rectangular pressure in deep water.

Source: sources/s05_wave_drag_rectangle_deep.csv and s05_hump.csv, computed once from linear theory (Gauss panels and
tail; second opinion at four points agreed to 6e-6). Tolerance: 2e-5 on the table (its own error was found to be 1.7e-5
at worst, by a longer sum), the digits of the hump's. 2-D limit: Lamb. Published form R = Cw p^2 B/(rho g) and peaks
near F 0.56 and 0.33: Newman and Poole, in Yun and Bliault, 2000, pp. 86 to 88.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from skirtloft.physics.water.wave_drag import (
    FRESH_WATER,
    breaking_speed,
    hollow_depth,
    primary_hump,
    two_dimensional_limit,
    wave_coefficient,
    wave_drag,
)

SOURCES = Path(__file__).parents[2] / "sources"


def rows(name: str) -> list[dict[str, float]]:
    lines = (SOURCES / name).read_text(encoding="utf-8").splitlines()
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [{key: float(value) for key, value in row.items()} for row in table]


WAVE, HUMP = rows("s05_wave_drag_rectangle_deep.csv"), rows("s05_hump.csv")


def test_tables_are_whole() -> None:
    assert len(WAVE) == 18
    assert len(HUMP) == 8


@pytest.mark.parametrize("ratio", ["0.25", "0.50", "0.60", "1.00"])
def test_table(ratio: str) -> None:
    found = wave_coefficient([row["F"] for row in WAVE], float(ratio))
    assert found == pytest.approx([row[f"Cw_BL{ratio}"] for row in WAVE], abs=2e-5)


def test_two_dimensional_limit() -> None:
    froude = np.array([row["F"] for row in WAVE])
    limit = two_dimensional_limit(froude)
    assert limit == pytest.approx([row["Cw_2D_BLinf"] for row in WAVE], abs=1e-5)
    wide, wider = (np.abs(wave_coefficient(froude, ratio) - limit) for ratio in (1e3, 1e4))
    assert wide.max() < 2e-3
    assert wider == pytest.approx(wide / 10, rel=0.05, abs=2e-6)  # what the ends of the beam do falls with 1/B


@pytest.mark.parametrize("row", HUMP, ids=lambda row: f"{row['B_over_L']:g}")
def test_primary_hump(row: dict[str, float]) -> None:
    hump = primary_hump(row["B_over_L"])
    assert float(hump.froude) == pytest.approx(row["F_primary_hump"], abs=1.1e-4)
    assert float(hump.coefficient) == pytest.approx(row["Cw_hump"], abs=6e-5)


def test_humps_of_many_at_once() -> None:
    found = primary_hump([[0.25, 0.5], [1.0, 2.0]])
    assert found.froude.shape == (2, 2)
    assert found.coefficient[0, 1] == pytest.approx(2.3959, abs=6e-5)


def test_worked_example() -> None:
    """500 kg, 4 by 2 m, fresh water: hump 3.929 m/s, 183.6 N, R/W .03744; 112.0 N at F 1 and 61.6 N at F 1.5 (s05)."""
    p, root = 500 * 9.80665 / 8.0, math.sqrt(9.80665 * 4.0)
    speed = float(primary_hump(0.5).froude) * root
    assert speed == pytest.approx(3.929, abs=6e-4)
    drag = wave_drag([speed, root, 1.5 * root], p, 4.0, 2.0)
    assert drag == pytest.approx([183.6, 112.0, 61.6], abs=0.06)
    assert drag[0] / (500 * 9.80665) == pytest.approx(0.03744, abs=6e-6)
    assert wave_drag(speed, p, 4.0, 2.0, water_density=1025.0) == pytest.approx(drag[0] / 1.025, rel=1e-12)
    assert 1000 * hollow_depth(p) == pytest.approx(62.5, abs=0.05)


@pytest.mark.parametrize("froude, ratio", [(0.28, 0.5), (0.6, 0.3), (1.0, 1.0), (2.5, 1.0)])
def test_the_integral_summed_straight_on(froude: float, ratio: float) -> None:
    """Gauss panels of half a turn of the beam's phase up to u = 6.5, the mean beyond."""
    length = 1 / froude**2
    beam = ratio * length
    last = 6.5
    turns = np.arange(1, int(beam * math.sinh(2 * last) / 2 / math.pi))
    edges = np.union1d(0.5 * np.arcsinh(2 * math.pi * turns / beam), np.linspace(0, 5, 300))
    half = np.diff(edges) / 2
    nodes, weights = np.polynomial.legendre.leggauss(16)
    u = (edges[:-1] + half)[:, None] + half[:, None] * nodes
    value = (np.sin(length / 2 * np.cosh(u)) * np.sin(beam / 2 * np.cosh(u) * np.sinh(u)) / np.sinh(u)) ** 2
    whole = float((value @ weights) @ half) + 0.25 * (1 / math.tanh(edges[-1]) - 1)
    assert float(wave_coefficient(froude, ratio)) == pytest.approx(16 / (math.pi * beam) * whole, abs=3e-6)


def test_low_speeds_stay_sound() -> None:
    """At low F the mean of Cw over a period of 1/F^2 is that of 4 sin^2, 2, less what the ends of the beam take."""
    inverse = np.linspace(90.0, 90.0 + 4 * math.pi, 200, endpoint=False)
    found = wave_coefficient(1 / np.sqrt(inverse), 4.0)
    assert found.min() >= 0.0
    assert found.mean() == pytest.approx(2.0, rel=0.03)
    assert np.isnan(wave_coefficient(0.01, 0.5))
    assert np.isnan(wave_coefficient(float("nan"), 0.5))


def test_speed_below_which_waves_break() -> None:
    """Height 8 p/(rho g) over length 2 pi U^2/g is 1/7 (Lamb's waves; Everest and Hogben's limit)."""
    u = float(breaking_speed(613.0))
    height, length = 8 * 613.0 / (FRESH_WATER * 9.80665), 2 * math.pi * u**2 / 9.80665
    assert height / length == pytest.approx(1 / 7, rel=1e-12)
