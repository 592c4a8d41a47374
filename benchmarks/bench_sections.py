"""Ten thousand sections in one batch, against scipy's minimiser on the same sections one after the other.

The reference does less than the program: it is given the loop length and only finds the turn at which the energy of
the section is least (tests/section_cases.py). Absolute times are recorded; the ratio, per section, is asserted.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np

from skirtloft.physics.cloth import segment_weight
from skirtloft.physics.section import impossible, solve_sections
from skirtloft.physics.types import Sections
from tests.section_cases import Case, potential

COUNT, SAMPLE = 10_000, 10
SEGMENT = segment_weight(depth=0.28, pitch=0.15, areal_mass=0.4, seam=0.025, hem=0.015, tip_trim=0.015, joint=0.025)
_RANDOM = np.random.default_rng(20)
OFFSET, RISE = _RANDOM.uniform(-0.1, 0.25, COUNT), _RANDOM.uniform(0.12, 0.45, COUNT)


def batch() -> Sections:
    return solve_sections(
        OFFSET,
        RISE,
        depth=0.28,
        pitch=0.15,
        pressure=500.0,
        segment=SEGMENT,
        loop_areal_mass=0.3,
        loop_joint_allowance=0.025,
    )


def rest_angle(x: float, z: float, length: float) -> float:
    from scipy.optimize import minimize_scalar

    case = Case(0.28, 0.15, x, z, 500.0, SEGMENT.moment, SEGMENT.height_moment, 0.3, 0.025)
    found = minimize_scalar(
        lambda phi: potential(case, length, phi), bounds=(-0.011, 0.01), method="bounded", options={"xatol": 1e-9}
    )
    return float(found.x)


def test_ten_thousand_sections_in_one_batch(benchmark: Any) -> None:
    sections = batch()
    assert impossible(sections).size == 0
    picked = np.linspace(0, COUNT - 1, SAMPLE).astype(int)
    start = time.perf_counter()
    turned = [rest_angle(OFFSET[i], RISE[i], sections.length[i]) for i in picked]
    slow = (time.perf_counter() - start) / SAMPLE
    assert np.abs(turned).max() < 1e-6
    times = []
    for _ in range(3):
        start = time.perf_counter()
        batch()
        times.append(time.perf_counter() - start)
    fast = min(times) / COUNT
    benchmark.extra_info["ratio"] = slow / fast
    benchmark.extra_info["batch_s"], benchmark.extra_info["optimiser_s_each"] = min(times), slow
    benchmark(batch)
    assert slow / fast > 50
