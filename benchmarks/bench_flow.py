"""The whole flow to flat panels for the four-seat example, against the same sections by a general optimiser.

Reference: for each station the loop length by scipy's bounded minimiser on the enclosed area (one root of the moment
by `brentq` on the turning of the segment), one station after the other. Absolute times are recorded, the ratio is
asserted.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np

from skirtloft.design.read import load_design
from skirtloft.physics.design_case import sections_of
from skirtloft.physics.section import loop_arc
from skirtloft.pipeline import Skirt, equilibrium, support_loads
from skirtloft.shape.develop import develop
from skirtloft.shape.plan import lay_out
from tests.designs import EXAMPLES, skirt_of

GRAVITY = 9.80665


def sections_and_panels() -> None:
    design = load_design(EXAMPLES / "four-seat.toml")
    plan = lay_out(design)
    cushions = support_loads(design, plan)
    develop(plan, sections_of(equilibrium(design, plan, cushions[0].pressure)))


def by_optimiser(skirt: Skirt) -> np.ndarray:
    """Loop length of every station: the length whose area-and-weight potential is stationary at rest."""
    from scipy.optimize import brentq, minimize_scalar

    sections = skirt.sections
    found = []
    for i, (x, z) in enumerate(zip(sections.offset, sections.rise, strict=True)):

        def turned(length: float, x: float = x, z: float = z, i: int = i) -> float:
            weight = float(sections.weight_moment[i])

            def potential(phi: float) -> float:
                d = float(sections.depth[i])
                joint = np.array([2 * d * np.cos(phi), 2 * d * np.sin(phi)])
                edge = np.array([2 * d - x, z])
                chord = float(np.hypot(*(edge - joint)))
                if chord >= length:
                    return 1e3 * (chord - length)
                half = brentq(lambda h: np.sin(h) / h - chord / length, 1e-6, np.pi - 1e-9)
                radius = length / (2 * half)
                area = 0.5 * (joint[0] * edge[1] - joint[1] * edge[0]) + radius**2 * (2 * half - np.sin(2 * half)) / 2
                area += phi * sections.tip_mean_square[i] / 2
                return -sections.pressure * area + GRAVITY * weight * np.sin(phi)

            return float(minimize_scalar(potential, bounds=(-0.3, 0.3), method="bounded", options={"xatol": 1e-9}).x)

        chord = float(np.hypot(x, z))
        found.append(brentq(turned, chord * 1.02, chord * 2.2, xtol=1e-7))
    return np.array(found)


def test_flow_is_faster_than_the_optimiser(benchmark: Any) -> None:
    skirt = skirt_of("four-seat")
    sections_and_panels()  # imports and caches
    start = time.perf_counter()
    lengths = by_optimiser(skirt)
    slow = time.perf_counter() - start
    np.testing.assert_allclose(lengths, skirt.sections.length, rtol=2e-4)
    start = time.perf_counter()
    for _ in range(3):
        sections_and_panels()
    fast = (time.perf_counter() - start) / 3
    benchmark.extra_info["ratio"] = slow / fast
    benchmark.extra_info["flow_s"], benchmark.extra_info["optimiser_s"] = fast, slow
    benchmark(sections_and_panels)
    assert slow / fast > 2


def test_loop_arcs_in_one_batch(benchmark: Any) -> None:
    x, z = np.linspace(-0.1, 0.3, 10_000), np.full(10_000, 0.3)
    assert np.isfinite(benchmark(lambda: loop_arc(x, z, 0.09)).length).all()
