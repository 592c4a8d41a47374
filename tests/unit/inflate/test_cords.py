"""Cords and masses along a line: pull, energy, weight."""

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.inflate.cords import CordForces
from skirtloft.inflate.forces import Forces, moving_masses, node_masses, potential
from skirtloft.inflate.types import Cords, frozen_indices
from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.air import GRAVITY
from tests.inflate_cases import CLOTH, straight_loop

POINTS = np.array([[0.0, 0.0, 0.0], [1.1, 0.0, 0.0], [1.1, 0.9, 0.0]])
CORDS = Cords(frozen_indices([[0, 1], [1, 2]]), frozen_array([1.0, 1.0]), frozen_array([500.0, 500.0]))


def test_a_cord_pulls_by_its_strain_and_never_pushes():
    pull, way = CordForces(CORDS).pulls(POINTS)
    assert pull == pytest.approx([50.0, 0.0])  # 10 % longer; 10 % shorter
    assert way[0] == pytest.approx([1.0, 0.0, 0.0])
    out = np.zeros((3, 3))
    CordForces(CORDS)(POINTS, out)
    assert out == pytest.approx(np.array([[50.0, 0, 0], [-50.0, 0, 0], [0, 0, 0]]))


def test_its_energy_is_half_pull_times_stretch():
    assert CordForces(CORDS).energy(POINTS) == pytest.approx(50.0 * 0.1 / 2.0)
    assert CordForces(None).energy(POINTS) == 0.0


def test_forces_are_the_slope_of_the_potential():
    case = straight_loop(500.0, CLOTH, rows=8)
    ends = frozen_indices([[12, 13], [13, 14]])
    lumped = np.zeros(len(case.mesh.points))
    lumped[17] = 0.4
    case = replace(
        case,
        cords=Cords(ends, frozen_array([0.012, 0.012]), frozen_array([800.0, 800.0])),
        loads=replace(case.loads, lumped=frozen_array(lumped)),
    )
    points, out = np.array(case.mesh.points), np.empty_like(case.mesh.points)
    Forces(case, fast=False)(points, case.cloth, out)
    for node, axis in ((13, 0), (13, 1), (17, 2)):
        step = np.zeros_like(points)
        step[node, axis] = 1e-7
        slope = (potential(case, points + step) - potential(case, points - step)) / 2e-7
        assert out[node, axis] == pytest.approx(-slope, rel=1e-4, abs=1e-4)


def test_masses_hang_and_slow():
    case = straight_loop(500.0, CLOTH, rows=8)
    lumped = np.zeros(len(case.mesh.points))
    lumped[17] = 0.4
    heavy = replace(case, loads=replace(case.loads, lumped=frozen_array(lumped)), cords=CORDS)
    assert node_masses(heavy)[17] == pytest.approx(node_masses(case)[17] + 0.4)
    out, plain = np.empty_like(case.mesh.points), np.empty_like(case.mesh.points)
    Forces(replace(heavy, cords=None), fast=False)(case.mesh.points, case.cloth, out)
    Forces(case, fast=False)(case.mesh.points, case.cloth, plain)
    assert (plain - out)[17, 2] == pytest.approx(0.4 * GRAVITY)
    added = moving_masses(heavy, CLOTH) - moving_masses(case, CLOTH)
    assert added[:3] == pytest.approx([300.0, 600.0, 300.0])  # 0.6 of every spring's 500 N/m
