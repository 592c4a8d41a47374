"""The cloth in use of the four-seat example, in every build: it has to stay small beside the whole flow.

Absolute times are recorded, the ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

from skirtloft.checks.service_rules import service_findings
from skirtloft.pipeline import Skirt, build
from skirtloft.service.diaphragm import diaphragm_result
from skirtloft.service.in_service import in_service
from skirtloft.shape.diaphragm_place import diaphragm_place
from tests.designs import TAUT, skirt_of


def stage(skirt: Skirt) -> None:
    design, plan = skirt.design, skirt.plan
    diaphragm = diaphragm_result(design, plan, skirt.statics, diaphragm_place(design, plan))
    service = in_service(design, plan, skirt.cushions, (skirt.statics, skirt.rests, skirt.pieces), diaphragm)
    service_findings(design, plan, skirt.cushions, service)


def best(action: Any) -> float:
    times = []
    for _ in range(5):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)


def test_cloth_in_use_is_a_small_part_of_the_flow(benchmark: Any) -> None:
    """Aim 15 ms of a build of some 250 ms."""
    plain, taut = skirt_of("four-seat"), skirt_of("four-seat", *TAUT)
    whole = best(lambda: build(plain.design))
    for name, skirt in (("plain", plain), ("taut", taut)):
        benchmark.extra_info[f"{name}_s"] = best(lambda skirt=skirt: stage(skirt))
    benchmark.extra_info["flow_s"] = whole
    benchmark(lambda: stage(plain))
    assert benchmark.extra_info["plain_s"] < 0.1 * whole
    assert benchmark.extra_info["taut_s"] < 0.15 * whole
