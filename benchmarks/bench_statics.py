"""Section statics of 10,000 random sections of any segment in one batch."""

from __future__ import annotations

import time
from typing import Any

import numpy as np
from scipy.optimize import brentq

from skirtloft.physics.loop_motion import loop_motion
from skirtloft.physics.statics import pressure_lever, solve_statics
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.physics.turning import restoring_moment, settle
from tests.statics_cases import cloths_of, random_given, shape_of

COUNT = 10_000


def test_solve_ten_thousand_sections(benchmark: Any) -> None:
    """Aim 50 ms, weight in, half of them at corners; the time itself is recorded, not asserted.

    `times_faster` is against scipy's brentq in a loop on the same moment equation, a hundred of them, in the same run.
    """
    given = random_given(COUNT, 1)
    shape = shape_of(given)
    segment, loop = cloths_of(given, shape)
    sections = benchmark(
        solve_statics, shape, given["offset"], given["rise"], given["pressure"], segment=segment, loop=loop
    )
    assert np.isfinite(sections.length).all()
    begun = time.perf_counter()
    lengths = [_length_by_scipy(sections, i) for i in range(100)]
    scipy_each = (time.perf_counter() - begun) / 100
    begun = time.perf_counter()
    solve_statics(shape, given["offset"], given["rise"], given["pressure"], segment=segment, loop=loop)
    benchmark.extra_info["times_faster"] = scipy_each * COUNT / (time.perf_counter() - begun)
    assert np.allclose(lengths, sections.length[:100], rtol=1e-9)


def _length_by_scipy(s: SectionStatics, i: int) -> float:
    """Loop length of one section by root finding for the bulge of its arc."""
    (jx, jz), (ex, ez) = (point[i] - s.shape.inner[i] for point in (s.shape.joint, s.hull_edge))
    cx, cz = jx - ex, jz - ez
    chord = float(np.hypot(cx, cz))
    lever, p = float(pressure_lever(s.shape)[i]), float(s.pressure[i])
    mass, fixed = float(s.loop.areal_mass[i]), float(s.segment.moment[i] + s.loop.areal_mass[i] * s.loop.allowance * jx)

    def length(bulge: float) -> tuple[float, float]:
        angle = 2.0 * np.arctan2(chord / 2.0, -bulge)
        return angle, angle * np.hypot(bulge, chord / 2.0)

    def left_over(bulge: float) -> float:
        angle, whole = length(bulge)
        ends = (np.asarray(value) for value in (jx, jz, ex, ez))
        rise = loop_motion(*ends, np.asarray(bulge), np.asarray(angle), np.asarray(whole)).centroid_rise
        pull = (jx * cx + jz * cz) / 2.0 + bulge * (jx * cz - jz * cx) / chord
        return float(pull - lever - 9.80665 * (fixed + mass * whole * rise) / p)

    around = float(s.bulge[i])
    return float(length(brentq(left_over, around - 0.05, around + 0.05, xtol=1e-14))[1])


def test_shapes_and_cloth_of_ten_thousand_segments(benchmark: Any) -> None:
    """Corners, edges of the faces and weight of ten thousand different segments; recorded, not asserted."""
    given = random_given(COUNT, 2)

    def both() -> Any:
        shape = shape_of(given)
        return cloths_of(given, shape)

    segment, _ = benchmark(both)
    assert np.isfinite(segment.moment).all()


def test_other_load_of_ten_thousand_sections(benchmark: Any) -> None:
    """Where the same cloth rests under 1.2 times the pressure; recorded, not asserted."""
    given = random_given(COUNT, 3)
    shape = shape_of(given)
    segment, loop = cloths_of(given, shape)
    sections = solve_statics(shape, given["offset"], given["rise"], given["pressure"], segment=segment, loop=loop)
    rest = benchmark(settle, sections, pressure=1.2 * sections.pressure)
    assert np.isfinite(rest.turn).mean() > 0.99
    left = restoring_moment(sections, rest.turn, pressure=rest.pressure) / (rest.pressure * sections.shape.depth**2)
    assert np.nanmax(np.abs(left)) < 1e-9
