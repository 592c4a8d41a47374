"""Standard atmosphere.

Source: ISO 2533:1975; sources/s09_iso2533.csv holds its values (geopotential altitude), computed from the constants of
the standard. Tolerance: the digits of the table. Dry air at 101325 Pa and 0, 20, 35 degC: any engineering table.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from skirtloft.physics.air import air_density, standard_pressure, standard_temperature

SOURCE = Path(__file__).parents[2] / "sources" / "s09_iso2533.csv"


def rows() -> list[dict[str, str]]:
    return list(csv.DictReader(SOURCE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["H_m"])
def test_table(row: dict[str, str]) -> None:
    altitude = float(row["H_m"])
    assert standard_temperature(altitude) == pytest.approx(float(row["T_K"]), abs=5e-4)
    assert standard_pressure(altitude) == pytest.approx(float(row["p_Pa"]), abs=6e-3)
    assert air_density(altitude) == pytest.approx(float(row["rho_kg_m3"]), abs=6e-7)


@pytest.mark.parametrize("celsius, density", [(0.0, 1.2923), (15.0, 1.2250), (20.0, 1.2041), (35.0, 1.1455)])
def test_dry_air_at_sea_level(celsius: float, density: float) -> None:
    assert air_density(0.0, celsius + 273.15) == pytest.approx(density, abs=6e-5)


def test_given_temperature_keeps_the_pressure_of_the_altitude() -> None:
    warm = air_density(2000.0, 303.15)
    assert warm == pytest.approx(air_density(2000.0) * 275.15 / 303.15, rel=1e-12)  # p/(R T), T = 275.15 K in the table


@pytest.mark.parametrize("height, ratio", [(500.0, 0.9529), (1000.0, 0.9075), (2000.0, 0.8217), (3000.0, 0.7423)])
def test_density_ratio_of_an_engineering_table(height: float, ratio: float) -> None:
    """Published over geometric altitude; geopotential H = R h/(R + h), R 6356766 m (ISO 2533). Four digits: 1e-4."""
    geopotential = 6356766.0 * height / (6356766.0 + height)
    assert air_density(geopotential) / air_density(0.0) == pytest.approx(ratio, abs=1e-4)
