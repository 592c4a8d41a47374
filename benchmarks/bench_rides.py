"""The whole chapter on heave and bounce of one design: hover, margins, mechanisms, cure, slopes, maps, a knock.

Reference, in the same run: the build of the design without pieces. Times are recorded; the ratio is asserted.
"""

from __future__ import annotations

import time
from typing import Any

from skirtloft.pipeline import build
from skirtloft.rides.maps import map_of, mouth_map
from skirtloft.rides.rides_of import knock_of, rides_of
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
