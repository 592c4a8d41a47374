"""Arcs of fixed length: spherical Bessel functions from scipy, and rates by differences."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import spherical_jn

from skirtloft.physics.arc import centroid_share, chord_rates, chord_share, half_angle_of

HALF = np.array([1e-6, 1e-3, 0.1, 0.2999, 0.3001, 1.0, np.pi / 2.0, 2.5, 3.1])


def test_shares_are_spherical_bessel_functions() -> None:
    assert chord_share(HALF) == pytest.approx(spherical_jn(0, HALF), rel=1e-14)
    assert centroid_share(HALF) == pytest.approx(spherical_jn(1, HALF), rel=4e-14)


def test_half_angle_comes_back() -> None:
    assert half_angle_of(chord_share(HALF[2:])) == pytest.approx(HALF[2:], rel=1e-12)
    assert half_angle_of(np.array([1.0, 2.0 / np.pi])) == pytest.approx([0.0, np.pi / 2.0], abs=1e-12)


@pytest.mark.parametrize("half", [0.25, 0.8, 1.5, 2.0, 2.6, 3.0])
def test_rates_are_those_of_the_moved_chord(half: float) -> None:
    """Central differences over the half angle at length 0.7; c = L sin(h)/h, s = -R cos(h), t = s + c/(2 h)."""
    length = 0.7

    def shape(h: float) -> np.ndarray:
        radius = length / (2.0 * h)
        chord = 2.0 * radius * np.sin(h)
        return np.array([chord, -radius * np.cos(h), -radius * np.cos(h) + chord / (2.0 * h)])

    step = 1e-4
    change = shape(half + step) - shape(half - step)
    rates = chord_rates(np.array(2.0 * half), np.array(length))
    assert float(rates.centre) == pytest.approx(change[1] / change[0], rel=2e-6)
    assert float(rates.centroid) == pytest.approx(change[2] / change[0], rel=2e-6)
    up = chord_rates(np.array(2.0 * (half + step)), np.array(length)).centroid
    down = chord_rates(np.array(2.0 * (half - step)), np.array(length)).centroid
    assert float(rates.centroid_second) == pytest.approx(float(up - down) / change[0], rel=2e-6)


def test_kappa_changes_sign_where_it_should() -> None:
    """kappa < 0 only for b < 320.67 deg; kappa -> -12/b^3 as b -> 0 (derived)."""
    angles = np.radians([320.6, 320.7])
    before, after = chord_rates(angles, np.ones(2)).centre
    assert before < 0.0 < after
    small = np.array(0.01)
    assert float(chord_rates(small, np.ones(())).centre) == pytest.approx(-12.0 / 0.01**3, rel=1e-4)
