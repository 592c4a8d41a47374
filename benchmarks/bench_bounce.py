"""Ten thousand heave states in one batch, and a bounce in time.

Reference, in the same run: the same states one by one, each matrix by the library and its eigenvalues by scipy. Times
are recorded; the ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

import numpy as np
from scipy.linalg import eigvals

from skirtloft.physics.bounce.at_rest import states
from skirtloft.physics.bounce.free import free_matrix
from skirtloft.physics.bounce.heave_system import heave_system, knocked
from skirtloft.physics.bounce.stability_map import stability_map
from skirtloft.physics.bounce.time_run import run_in_time
from tests.bounce_cases import CC, G, at_hover

SIDE = 100
GAPS, FLOWS = np.linspace(0.002, 0.012, SIDE), np.linspace(3.0, 9.0, SIDE)


def test_map_of_ten_thousand_states(benchmark: Any) -> None:
    """Aim 0.5 s: growth, margin by the closed form, locked skirt, all possible states."""
    craft, runs, _, _ = at_hover("4-seat")
    mouth = 10.0 * CC * float(runs.length[0]) * 0.010

    def whole() -> Any:
        return stability_map(craft, runs, gap=GAPS, flow=FLOWS, mouth_area=mouth)

    chart = benchmark(whole)
    assert np.isfinite(chart.growth).all()
    begun = time.perf_counter()
    whole()
    fast = time.perf_counter() - begun
    begun = time.perf_counter()
    for k in range(SIDE):
        one, many = states(craft, runs, gap=chart.gap[k, k], flow=chart.flow[k, k], mouth_area=mouth)
        growth = eigvals(free_matrix(one, many)).real.max()
        assert abs(growth - chart.growth[k, k]) < 1e-6 * abs(growth) + 1e-9
    slow = (time.perf_counter() - begun) / SIDE * SIDE**2
    benchmark.extra_info["map_s"], benchmark.extra_info["times_faster"] = fast, slow / fast
    assert slow / fast > 4


def test_bounce_in_time(benchmark: Any) -> None:
    """One second of a bounce that stays; recorded, not asserted."""
    craft, runs, section, turn = at_hover("4-seat", eps=0.01)
    system = heave_system(craft, runs, section, turn, gravity=G)
    motion = benchmark(run_in_time, system, knocked(system, 0.005), 1.0, samples=500)
    assert motion.finished
