"""Speed of sound of ISO 2533:1975 (sources/s09_iso2533.csv). Tolerance: half a unit of the last printed digit."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from skirtloft.physics.fan import sound_speed

SOURCE = Path(__file__).parents[2] / "sources" / "s09_iso2533.csv"


@pytest.mark.parametrize(
    "row", list(csv.DictReader(SOURCE.read_text(encoding="utf-8").splitlines())), ids=lambda row: row["H_m"]
)
def test_sound_speed(row: dict[str, str]) -> None:
    assert sound_speed(float(row["T_K"])) == pytest.approx(float(row["a_m_s"]), abs=5.1e-5)
