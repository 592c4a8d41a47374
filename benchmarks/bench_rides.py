"""The whole chapter on heave and bounce of one design: hover, margins, mechanisms, cure, slopes, maps, a knock.

Reference, in the same run: the build of the design without pieces. Times are recorded; the ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

from skirtloft.pipeline import build
from skirtloft.rides.findings import rides_findings
from skirtloft.rides.maps import map_of, mouth_map
from skirtloft.rides.rides_of import knock_of, rides_of
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import sits_of
from skirtloft.sits.sits_rules import sits_findings
from skirtloft.sits.water_rules import water_findings
from tests.rides_cases import ride


def test_rides_of_a_design(benchmark: Any) -> None:
    """Aim 1 s in process with maps and a run of 1.5 s; no dearer than a dozen builds (some 0.1 s each)."""
    skirt, _ = ride("four-seat")

    def whole() -> Any:
        rides = rides_of(skirt)
        return map_of(rides), mouth_map(rides), knock_of(rides, duration=1.5)

    assert benchmark(whole)[2].motion.finished
    begun = time.perf_counter()
    whole()
    chapter = time.perf_counter() - begun
    begun = time.perf_counter()
    build(skirt.design, cut=False)
    assert chapter < 40.0 * (time.perf_counter() - begun)


def test_how_it_sits_turns_and_rides(benchmark: Any) -> None:
    """Attitude, water, heave and bounce of three loads with every finding: aim 1 s, no dearer than 30 builds."""
    skirt, _ = ride("four-seat")

    def whole() -> int:
        sits = sits_of(skirt)
        water, rides = on_water(skirt, sits), rides_of(skirt)
        found = (*sits_findings(skirt, sits), *water_findings(skirt, sits, water), *rides_findings(rides))
        return len(found)

    assert benchmark.pedantic(whole, rounds=3) > 20
    times = {}
    for name, work in (("chapter", whole), ("build", lambda: build(skirt.design, cut=False))):
        begun = time.perf_counter()
        work()
        times[name] = time.perf_counter() - begun
    benchmark.extra_info["chapter_s"], benchmark.extra_info["builds"] = (
        times["chapter"],
        times["chapter"] / times["build"],
    )
    assert times["chapter"] < 30.0 * times["build"]
