"""Routh's test against eigenvalues, and the characteristic polynomial."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.free import free_matrix, free_modes
from skirtloft.physics.bounce.hover import heave_craft, skirt_runs
from skirtloft.physics.bounce.hurwitz import characteristic, is_stable
from skirtloft.physics.bounce.rigid import locked_modes, locked_polynomial, modes_of
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from tests.bounce_cases import six_state_case

COUNT = 3000


def random_states(count: int, seed: int) -> tuple[HeaveCraft, SkirtRuns]:
    """Craft from half a person's to a dozen's, gaps from 0.5 mm, fans from flat to steep, some on the stalled side."""
    rng = np.random.default_rng(seed)
    area, d = rng.uniform(3.0, 40.0, count), rng.uniform(0.12, 0.45, count)
    pressure = rng.uniform(250.0, 1200.0, count)
    craft = heave_craft(
        mass=pressure * area / 9.80665,
        area=area,
        density=rng.uniform(1.0, 1.3, count),
        volume=area * (d + rng.uniform(0.03, 0.15, count)),
        steepness=rng.uniform(-0.3, 4.0, count),
        inertance=rng.uniform(0.3, 6.0, count),
        pressure=pressure,
    )
    over, weight = rng.uniform(0.0, 0.06, count), rng.uniform(0.01, 0.05, count)
    runs = skirt_runs(
        length=(4.5 * np.sqrt(area))[:, None],
        gap=np.exp(rng.uniform(np.log(0.0005), np.log(0.03), count))[:, None],
        contraction=0.537286,
        tip_out=d[:, None],
        tip_down=d[:, None],
        lever=(d**2)[:, None],
        moment=(weight * pressure * d**2 / 9.80665)[:, None],
        inertia=(12.0 * 1.225 * d**4)[:, None],
        stiffness=(rng.uniform(0.3, 6.0, count) * pressure * d**2)[:, None],
        area_rate=((weight - over) * d**2)[:, None],
        tip_flow=(0.26 * d**2)[:, None],
        over_pressure=over[:, None],
        loss_factor=rng.uniform(0.0, 0.4, count)[:, None],
    )
    return craft, runs


def test_locked_skirt_by_routh_and_by_roots() -> None:
    """The quartic: no mismatch in 3000."""
    craft, runs = random_states(COUNT, 1)
    stable = locked_modes(craft, runs).growth < 0.0
    assert 200 < np.count_nonzero(~stable) < COUNT - 200
    np.testing.assert_array_equal(is_stable(locked_polynomial(craft, runs)), stable)


def test_free_skirt_by_routh_and_by_eigenvalues() -> None:
    """Six states: no mismatch in 3000."""
    craft, runs = random_states(COUNT, 2)
    stable = free_modes(craft, runs).growth < 0.0
    assert 200 < np.count_nonzero(~stable) < COUNT - 200
    np.testing.assert_array_equal(is_stable(characteristic(free_matrix(craft, runs))), stable)


def test_the_locked_quartic_is_the_free_system_with_segments_that_cannot_turn() -> None:
    craft, runs = random_states(200, 3)
    held = SkirtRuns(**{**vars(runs), "diaphragm_stiffness": 1e12 * runs.stiffness})
    full = free_modes(craft, held).roots
    for four, six in zip(locked_modes(craft, runs).roots, full, strict=True):
        for root in four:
            assert np.abs(six - root).min() < 1e-4 * abs(root) + 1e-4


def test_characteristic_of_the_six_state_case() -> None:
    matrix = free_matrix(*six_state_case())
    np.testing.assert_allclose(characteristic(matrix), np.poly(matrix), rtol=1e-10)


@pytest.mark.parametrize("size", [1, 2, 3, 5, 8])
def test_characteristic_against_numpy(size: int) -> None:
    matrices = np.random.default_rng(size).normal(size=(20, size, size)) * 50.0
    np.testing.assert_allclose(characteristic(matrices), [np.poly(m) for m in matrices], rtol=1e-7, atol=1e-6)


def from_roots(*roots: complex) -> Floats:
    return np.asarray(np.poly(roots).real)


def test_routh_by_hand() -> None:
    assert is_stable(from_roots(-1.0, -2.0, -3.0 + 4.0j, -3.0 - 4.0j, -0.01 + 9.0j, -0.01 - 9.0j))
    assert not is_stable(from_roots(-1.0, -2.0, -3.0 + 4.0j, -3.0 - 4.0j, 0.01 + 9.0j, 0.01 - 9.0j))
    assert not is_stable(from_roots(-1.0, 2.0j, -2.0j))  # neither: it swings without end
    assert not is_stable([1.0, -1.0])
    assert is_stable([2.0, 1.0])


def test_roots_of_polynomials_against_numpy() -> None:
    coefficients = np.random.default_rng(4).uniform(0.5, 2.0, (30, 5)) * [1.0, 30.0, 2e3, 3e4, 4e5]
    modes = modes_of(coefficients)
    for row, found in zip(coefficients, modes.roots, strict=True):
        np.testing.assert_allclose(np.sort_complex(found), np.sort_complex(np.roots(row)), rtol=1e-9)
    assert (modes.growth == modes.roots.real.max(axis=-1)).all()
