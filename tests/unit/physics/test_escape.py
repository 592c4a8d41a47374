"""Gap and leaks; expected numbers are closed forms or numerical integrals done here."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from skirtloft.physics.escape import common_gap, escape_runs, leak, leak_area, mean_opening, opening_area


@pytest.mark.parametrize("gap", [-0.02, 0.0, 0.004, 0.03])
def test_rough_ground_is_the_mean_over_the_heights(gap: float) -> None:
    rough = 0.012
    mean, _ = quad(lambda height: max(0.0, gap - height) * norm.pdf(height, scale=rough), -0.1, gap)
    assert float(mean_opening(gap, rough)) == pytest.approx(mean, rel=1e-7)


def test_smooth_and_rough_cases_side_by_side() -> None:
    # s phi(0) = s/sqrt(2 pi) at no gap
    assert mean_opening([0.01, -0.01, 0.0], [0.0, 0.0, 0.02]) == pytest.approx([0.01, 0.0, 0.02 / np.sqrt(2 * np.pi)])


def test_discharge_from_theory_or_as_given() -> None:
    theory = escape_runs(["bow", "side"], [2.0, 8.0], face_angle=np.radians([45.0, 90.0]))
    # Free-streamline theory: Cc of a face at 45 deg and pi/(pi + 2) for an upright one.
    assert theory.discharge == pytest.approx([0.537286, np.pi / (np.pi + 2.0)], abs=1e-6)
    assert escape_runs(["bow"], [2.0], discharge=0.6).discharge.tolist() == [0.6]


@pytest.mark.parametrize("roughness", [0.0, 0.015, [0.0, 0.01, 0.03]])
def test_gap_and_area_round_trip(roughness: object) -> None:
    runs = escape_runs(["a", "b", "c"], [2.0, 8.0, 2.0], lift=[0.004, 0.0, -0.006], roughness=roughness)
    gaps = np.array([0.0005, 0.003, 0.01, 0.05])
    area = opening_area(runs, gaps).sum(axis=-1)
    assert common_gap(runs, area) == pytest.approx(gaps, abs=1e-12)


def test_one_even_smooth_gap() -> None:
    runs = escape_runs(["all"], [12.0], discharge=0.5)
    assert float(common_gap(runs, 0.06)) == pytest.approx(0.01, rel=1e-14)
    assert float(common_gap(runs, 0.0)) == 0.0


def test_batches_of_lengths() -> None:
    runs = escape_runs(["a", "b"], [[2.0, 4.0], [3.0, 5.0]], discharge=0.5, lift=[0.0, 0.002])
    # 0.5 (2 * 0.01 + 4 * 0.012) and 0.5 (3 * 0.01 + 5 * 0.012)
    assert opening_area(runs, [0.01, 0.01]).sum(axis=-1) == pytest.approx([0.034, 0.045])
    assert common_gap(runs, [0.034, 0.045]) == pytest.approx([0.01, 0.01])


def test_leaks_by_place() -> None:
    leaks = (leak("a", 0.001), leak("b", [0.002, 0.004], discharge=0.5), leak("c", 0.003, place="loop"))
    assert leak_area(leaks, "cushion") == pytest.approx([0.0016, 0.0026])
    assert float(leak_area(leaks, "loop")) == pytest.approx(0.0018)
