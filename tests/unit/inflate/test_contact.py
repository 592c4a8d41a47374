"""Planes that nodes do not pass, what they push with, and what the supports let through."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.inflate.contact import ContactForces, ground, no_contact, planes_at, together, wedge
from skirtloft.inflate.forces import reactions
from skirtloft.inflate.press import press
from skirtloft.inflate.relax import inflate
from skirtloft.inflate.supports import hold, supports
from skirtloft.inflate.types import Cloth
from tests.inflate_cases import straight_loop


def test_a_plane_pushes_back_in_proportion_only_once_crossed() -> None:
    """2 kN/m, 3 mm beyond: 6 N back along the normal."""
    contact = planes_at([0, 1], [0.6, 0.8, 0.0], 1.0, 2e3)
    points = np.array([[0.6, 0.8, 5.0], [0.6 * 1.003, 0.8 * 1.003, 0.0]])
    out = np.zeros((2, 3))
    ContactForces(contact)(points, out)
    assert out == pytest.approx(np.array([[0.0, 0.0, 0.0], [-3.6, -4.8, 0.0]]), abs=1e-9)


def test_a_node_in_two_planes_gets_both_pushes() -> None:
    """10 mm into the ground and 5 mm past the neighbour's plane, 1 kN/m each."""
    contact = together(ground([0], 0.0, 1e3), wedge([0], [[0, 0, 0], [0.15, 0, 0]], [[1, 0, 0], [1, 0, 0]], 1e3))
    out = np.zeros((1, 3))
    ContactForces(contact)(np.array([[0.155, 0.0, -0.01]]), out)
    assert out[0] == pytest.approx([-5.0, 0.0, 10.0], abs=1e-9)
    ContactForces(contact)(np.array([[-0.02, 0.0, 1.0]]), out)
    assert out[0] == pytest.approx([-5.0 + 20.0, 0.0, 10.0], abs=1e-9)


def test_no_contact_does_nothing() -> None:
    out = np.ones((2, 3))
    ContactForces(no_contact())(np.zeros((2, 3)), out)
    assert out.tolist() == np.ones((2, 3)).tolist()


def test_supports_hold_points_planes_and_lines() -> None:
    """Pinned wins over sliding; two planes leave their common line, also when they are not square to each other."""
    slant = [np.sin(0.3), np.cos(0.3), 0.0]
    held = supports([0, 0], [([0, 1, 2], [0.0, 1.0, 0.0]), ([2], slant)])
    vectors = np.tile([1.0, 2.0, 3.0], (4, 1))
    hold(held, vectors)
    assert vectors == pytest.approx(np.array([[0, 0, 0], [1, 0, 3], [0, 0, 3], [1, 2, 3]], dtype=float), abs=1e-12)


def test_what_the_ground_pushes_the_supports_carry() -> None:
    """Statics: pushed from below, by ground above its joint, a loop lifts its supports by just that much."""
    problem = straight_loop(500.0, Cloth(), rows=16)
    free = inflate(problem)
    nodes = np.setdiff1d(np.arange(len(free.points)), problem.supports.pinned)
    low = float(free.points[nodes, 2].min())
    start = replace(problem, mesh=replace(problem.mesh, points=free.points))
    one, two = press(start, (nodes, 2e3), [low, low + 0.01])
    assert one.lift == pytest.approx(0.0, abs=0.02)
    assert two.lift > 0.3
    before, after = (reactions(problem, step.shape.points)[:, 2].sum() for step in (one, two))
    assert after - before == pytest.approx(two.lift - one.lift, rel=2e-3)


def test_pressing_stops_when_asked() -> None:
    problem = straight_loop(500.0, Cloth(), rows=8)
    steps = press(problem, (np.arange(5), 2e3), [0.0, 0.001, 0.002], stop=lambda: True)
    assert len(steps) == 1
    assert not steps[0].shape.is_settled
