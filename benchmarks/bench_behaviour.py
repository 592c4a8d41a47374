"""What the sections of the four-seat example do, in every build: it has to stay small beside the whole flow.

Aim 15 ms for the record. Absolute times are recorded, the ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

from skirtloft.design.read import load_design
from skirtloft.physics.behaviour import section_behaviour
from skirtloft.pipeline import build
from tests.designs import EXAMPLES


def test_behaviour_is_a_small_part_of_the_flow(benchmark: Any) -> None:
    design = load_design(EXAMPLES / "four-seat.toml")
    skirt = build(design)

    def best(action: Any) -> float:
        times = []
        for _ in range(5):
            start = time.perf_counter()
            action()
            times.append(time.perf_counter() - start)
        return min(times)

    stage = best(lambda: section_behaviour(skirt.statics, skirt.rests))
    whole = best(lambda: build(design))
    benchmark.extra_info["stage_s"], benchmark.extra_info["flow_s"] = stage, whole
    benchmark(lambda: section_behaviour(skirt.statics, skirt.rests))
    assert stage < 0.25 * whole
