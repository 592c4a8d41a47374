"""Restoring curves and loads at rest in batches, against scipy's brentq on plain sums one tilt after the other.

The reference finds heave only, with sums over 2000 points round a round-cornered cushion of 300 elements. Absolute
times are recorded; the ratio, per tilt, is asserted.
"""

from __future__ import annotations

import math
import time
from typing import Any

import numpy as np
from scipy.optimize import brentq

from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.physics.attitude.lean import lean
from skirtloft.physics.attitude.rest import Rest, rest
from skirtloft.physics.attitude.tip_line import TipLine
from tests.attitude_cases import DENSITY, GRAVITY, MASS, level_flow, load_of, rounded

LINE, FINE = rounded(longest=0.04), rounded(longest=0.0055)
ANGLES, SAMPLE = np.radians(np.linspace(0.05, 5.0, 200)), 20
OFFSETS = np.random.default_rng(4).uniform(-1.0, 1.0, (40, 2)) * [0.10, 0.04]


def tilts() -> np.ndarray:
    return np.stack([0.3 * ANGLES, ANGLES], axis=-1)


def by_sums(line: TipLine, tilt: np.ndarray) -> float:
    """Heave of one tilt, `soft`."""
    high, shift, flow = line.middle @ tilt, 1.0 / np.tan(line.face_angle), level_flow(line)

    def excess(heave: float) -> float:
        clear = heave + high
        move = shift * np.maximum(0.0, -clear)
        area = line.area + float((move * (1.0 + 0.5 * line.curvature * move)) @ line.length)
        speed = math.sqrt(2.0 * MASS * GRAVITY / area / DENSITY)
        return float((np.maximum(0.0, clear) * line.discharge) @ line.length) * speed - flow

    return float(brentq(excess, -0.5, 0.5, xtol=1e-14))


def test_two_hundred_tilts_in_one_batch(benchmark: Any) -> None:
    contact, load = contact_of(LINE, "soft"), load_of(LINE)
    batch = lean(LINE, load, tilts(), contact)
    picked = np.linspace(0, len(ANGLES) - 1, SAMPLE).astype(int)
    start = time.perf_counter()
    slow_heave = [by_sums(FINE, tilts()[k]) for k in picked]
    slow = (time.perf_counter() - start) / SAMPLE
    np.testing.assert_allclose(slow_heave, batch.heave[picked], atol=1e-5)  # corners in 40 mm chords
    times = []
    for _ in range(3):
        start = time.perf_counter()
        lean(LINE, load, tilts(), contact)
        times.append(time.perf_counter() - start)
    fast = min(times) / len(ANGLES)
    benchmark.extra_info["ratio"] = slow / fast
    benchmark(lean, LINE, load, tilts(), contact)
    assert slow / fast > 1.2


def test_forty_loads_come_to_rest(benchmark: Any) -> None:
    """Aim 10 ms a load; recorded, not asserted."""
    found: Rest = benchmark(rest, LINE, load_of(LINE, height=0.3), LINE.centre + OFFSETS, "likely")
    held = found.hold == "held"
    assert held.mean() > 0.9
    np.testing.assert_allclose(found.leaning.offset[held], OFFSETS[held], atol=1e-9)
