"""Pulls and what holds them; cloth by its weight band."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.cloth_loads import (
    CLOTH_BANDS,
    CLOTH_STRENGTHS,
    LOAD_DEFAULTS,
    STATIC_NOTE,
    ClothBand,
    cloth_band,
    cloth_loads,
    cloth_verdict,
    hole_strength,
    load_factors,
)


def test_loop_tension() -> None:
    """T = p R at 612.9 Pa: 61.3, 91.9, 122.6, 183.9 N/m (computed by hand)."""
    loads = cloth_loads([612.9], [0.10, 0.15, 0.20, 0.30], 0.15, 0.06)
    np.testing.assert_allclose(loads.loop[0], [61.3, 91.9, 122.6, 183.9], atol=0.05)
    np.testing.assert_allclose(loads.hoop, 612.9 * 0.075)
    np.testing.assert_allclose(loads.hull_hole, loads.loop * 0.06)


def test_one_row_per_load_and_one_column_per_section() -> None:
    loads = cloth_loads([300.0, 600.0], [0.1, 0.2, 0.3], 0.15, 0.05, joint_hole_pitch=0.07, diaphragm_pull=0.03)
    assert loads.loop.shape == loads.hoop.shape == loads.diaphragm.shape == (2, 3)
    np.testing.assert_allclose(loads.loop[1], 2 * loads.loop[0])
    assert loads.joint_hole[1, 2] == pytest.approx(600 * 0.3 * 0.07)
    assert loads.diaphragm_hole[1, 0] == pytest.approx(600 * 0.03 * 0.07)
    own = cloth_loads([300.0, 600.0], [[0.1, 0.2], [0.11, 0.21]], 0.15, 0.05)  # own radius in each load
    assert own.loop[1, 1] == pytest.approx(600 * 0.21)


def test_static_stress_is_far_below_cloth() -> None:
    """92 N/m against a cloth of 70 kN/m: about 760 times (computed by hand)."""
    loads = cloth_loads([612.9], [0.15], 0.15, 0.06)
    lines = {line.name: line for line in load_factors(loads, hole_strength(0.006, 0.06, 0.015), tensile=70e3)}
    assert float(lines["loop cloth"].static[0, 0]) == pytest.approx(760, abs=5)
    assert float(lines["loop cloth"].shocked[0, 0]) == pytest.approx(70e3 / 91.935 / 3.0, rel=1e-6)
    assert float(lines["loop seams and joint"].static[0, 0]) == pytest.approx(0.6 * 70e3 / 91.935, rel=1e-6)
    assert np.isinf(lines["diaphragm cloth"].static).all()
    assert "never sizes" in STATIC_NOTE


def test_a_seam_is_no_stronger_than_its_cloth() -> None:
    loads = cloth_loads([600.0], [0.15], 0.15, 0.06)
    hole = hole_strength(0.006, 0.06, 0.015)
    for seam, holds in [(10e3, 10e3), (30e3, 20e3)]:
        lines = {line.name: line for line in load_factors(loads, hole, tensile=20e3, seam=seam, shock=2.0)}
        assert float(lines["face to web seam"].static[0, 0]) == pytest.approx(holds / 45.0)
        assert float(lines["face to web seam"].shocked[0, 0]) == pytest.approx(holds / 90.0)
        assert float(lines["hull-edge hole"].static[0, 0]) == pytest.approx(float(hole.least) / (600 * 0.15 * 0.06))


def test_three_ways_a_hole_fails() -> None:
    """d S n, 2 (e - d/2) k S n, (P - d) S n with d 6, e 15, P 60 mm, S 20 kN/m, k .3 (by hand)."""
    hole = hole_strength(0.006, 0.060, 0.015, tensile=20e3, layers=2, tear=100.0)
    assert float(hole.bearing) == pytest.approx(240.0)
    assert float(hole.tear_out) == pytest.approx(288.0)
    assert float(hole.net) == pytest.approx(2160.0)
    assert float(hole.tear) == pytest.approx(200.0)
    assert float(hole.least) == pytest.approx(240.0)
    edge = hole_strength(0.006, 0.060, np.array([0.003, 0.010, 0.030]), tensile=20e3)
    np.testing.assert_allclose(edge.least, [0.0, 84.0, 120.0], atol=1e-9)
    assert float(hole_strength(0.02, 0.021, 0.1, tensile=20e3).least) == pytest.approx(20.0)  # holes nearly meet


@pytest.mark.parametrize(
    ("seats", "mass", "low"),
    [
        (1, None, 0.200),
        (2, None, 0.200),
        (3, None, 0.300),
        (4, None, 0.300),
        (5, None, 0.450),
        (8, None, 0.450),
        (9, None, 0.600),
        (12, None, 0.600),
        (40, None, 0.600),
        (None, 425.0, 0.200),
        (None, 426.0, 0.300),
        (None, 1375.0, 0.450),
        (None, 1376.0, 0.600),
        (2, 800.0, 0.450),
        (6, 300.0, 0.450),
    ],
)
def test_band_by_seats_and_mass(seats: int | None, mass: float | None, low: float) -> None:
    """Bands: common practice, no source (from memory); masses: our own choice."""
    assert cloth_band(seats=seats, mass=mass).low == low


def test_a_band_needs_seats_or_mass() -> None:
    with pytest.raises(ValueError, match="seats or mass"):
        cloth_band()


@pytest.mark.parametrize(
    ("areal", "part", "verdict"),
    [
        (0.299, "segment", "light"),
        (0.300, "segment", "usual"),
        (0.450, "segment", "usual"),
        (0.451, "segment", "heavy"),
        (0.199, "loop", "light"),
        (0.200, "loop", "usual"),
        (0.451, "loop", "heavy"),
    ],
)
def test_verdict_on_both_sides(areal: float, part: str, verdict: str) -> None:
    assert cloth_verdict(areal, CLOTH_BANDS[1], part)[0] == verdict  # type: ignore[arg-type]


def test_the_table_can_be_replaced() -> None:
    own = (ClothBand(6, 1000.0, 0.25, 0.5), ClothBand(20, 5000.0, 0.6, 0.9))
    band = cloth_band(seats=7, bands=own)
    assert cloth_verdict(0.55, band, "segment", own)[0] == "light"
    assert cloth_verdict(0.55, band, "loop", own)[0] == "usual"


def test_every_default_states_its_source() -> None:
    assert all(stated.reason and stated.source for stated in LOAD_DEFAULTS.values())
    assert all(cloth.source and cloth.tensile[0] >= LOAD_DEFAULTS["tensile"].value for cloth in CLOTH_STRENGTHS)
