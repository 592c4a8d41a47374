"""The air stage of the four-seat example: fan, losses, limits, segments lost and start from water, in every build.

It has to stay small beside the whole flow, which is solved again at every change. Absolute times are recorded, the
ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

from skirtloft.design.read import load_design
from skirtloft.lift.match import match_air
from skirtloft.pipeline import build
from skirtloft.shape.plan import lay_out
from tests.designs import EXAMPLES


def test_air_is_a_small_part_of_the_flow(benchmark: Any) -> None:
    design = load_design(EXAMPLES / "four-seat.toml")
    plan = lay_out(design)
    build(design)  # imports and caches

    def best(action: Any) -> float:
        times = []
        for _ in range(5):
            start = time.perf_counter()
            action()
            times.append(time.perf_counter() - start)
        return min(times)

    stage, whole = best(lambda: match_air(design, plan)), best(lambda: build(design))
    benchmark.extra_info["stage_s"], benchmark.extra_info["flow_s"] = stage, whole
    benchmark(lambda: match_air(design, plan))
    assert stage < 0.25 * whole
