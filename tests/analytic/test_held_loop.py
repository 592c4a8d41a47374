"""The loop sewn from its flat panels and inflated, hull edge and joint line held, against an independent prototype.

"Prototype, 2026": another program, flattening and inflating the same corners (12 x 32 cells a panel, 1000 Pa, threads
of 200 and 160 kN/m, 6 kN/m in shear); no published source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

import numpy as np
import pytest

from skirtloft.inflate.held_loop import Standing, held_loop, standing
from skirtloft.inflate.relax import Settings, inflate
from skirtloft.inflate.types import Cloth
from skirtloft.shape.flatten.cloth_fit import Weave
from skirtloft.shape.flatten.patch import SectionAt
from skirtloft.shape.flatten.row import FlatRow, Flattening, flatten_row, panel_row
from skirtloft.shape.flatten.strain import report_strain
from studies.held_loop.measure import Case, strips, strips_set_out
from tests.corner_cases import corner_places, corner_surface

NET = Cloth(stiffness=200e3, law="net", compression=2e3, weft=0.8, shear=0.03)
AROUND = Weave(way="around", line="middle")
SETTLED = Settings(tolerance=2e-6)


def inflated(case: str, places: np.ndarray, columns: int, rows: int) -> Standing:
    surface = corner_surface(case)
    return stands(surface, flatten_row(surface, panel_row(places), Flattening(columns, rows, AROUND)))


def stands(surface: SectionAt, flat: FlatRow) -> Standing:
    problem = held_loop(flat, surface, NET, 1000.0)
    shape = inflate(problem, SETTLED)
    assert shape.is_settled
    return standing(flat, surface, problem, shape)


def test_torus_panel_between_planes_of_symmetry() -> None:
    # All panels of the torus are alike, so that one between mirrors stands for the corner of six.
    # Prototype, 2026: largest 3.11 mm, root mean square 1.40, 95 % of thread stretch below .17 %.
    found = inflated("T", corner_places(7)[:2], 12, 32)
    assert found.largest == pytest.approx(3.11e-3, rel=0.04)
    assert found.mean == pytest.approx(1.40e-3, rel=0.06)
    assert 100.0 * found.thread_p95 == pytest.approx(0.17, abs=0.015)


@pytest.mark.parametrize(
    "cut, largest, mean, thread", [(strips, 6.72e-3, 2.49e-3, 0.28), (strips_set_out, 6.21e-3, 1.74e-3, 0.18)]
)
def test_torus_strip_unrolled_without_strain(
    cut: Callable[[Case], FlatRow], largest: float, mean: float, thread: float
) -> None:
    # Prototype, 2026: the strip as it is, and set out, in seven sections. One panel between mirrors, as above.
    surface = corner_surface("T")
    one = flatten_row(surface, panel_row(corner_places(7)[:2]), Flattening(12, 32, AROUND))
    found = stands(surface, replace(one, flat=cut(Case("T", 7, "strips")).flat[2:3]))
    assert found.largest == pytest.approx(largest, rel=0.02)
    assert found.mean == pytest.approx(mean, rel=0.05)
    assert 100.0 * found.thread_p95 == pytest.approx(thread, abs=0.015)


@pytest.mark.parametrize(
    "case, largest, mean", [("S", 3.56e-3, 1.07e-3), ("V", 3.17e-3, 1.26e-3), ("P", 3.61e-3, 1.13e-3)]
)
def test_corner_of_six_panels(case: str, largest: float, mean: float) -> None:
    # Prototype, 2026; here on a coarser mesh, to be done in seconds: 12 x 32 gives S 3.55 and 1.16, V 3.20 and 1.30,
    # P 3.83 and 1.36.
    found = inflated(case, corner_places(7), 6, 16)
    assert found.largest < 5e-3
    assert found.largest == pytest.approx(largest, rel=0.15)
    assert found.mean == pytest.approx(mean, rel=0.3)


@pytest.mark.parametrize("end, largest", [("mean", 4.1e-3), ("arc", 4.8e-3)])
def test_corner_sewn_to_straight_panels(end: Literal["mean", "arc"], largest: float) -> None:
    # Prototype, 2026: S in seven sections, 4.1 and 4.8 mm; here 12 x 32 gives 4.02 and 4.62.
    surface = corner_surface("S")
    row = panel_row(corner_places(7), to_straight=(True, True))
    found = stands(surface, flatten_row(surface, row, Flattening(6, 16, AROUND, corner_end=end)))
    assert found.largest < 5e-3
    assert found.largest == pytest.approx(largest, rel=0.1)


def test_half_of_a_panel_across_a_plane_of_symmetry_stands_as_the_whole() -> None:
    surface, places = corner_surface("T"), corner_places(7)
    whole = stands(surface, flatten_row(surface, panel_row(places[1:3]), Flattening(6, 16, AROUND)))
    middle = places[[1, 2]].mean()
    row = panel_row([middle, places[2]], across=(True, False))
    half = stands(surface, flatten_row(surface, row, Flattening(6, 16, AROUND)))
    assert len(half.away) < 0.6 * len(whole.away)
    assert half.largest == pytest.approx(whole.largest, rel=1e-3)
    assert half.mean == pytest.approx(whole.mean, rel=2e-3)


def test_narrower_panels_stand_nearer_and_below_the_rule_of_thumb() -> None:
    surface, wide, narrow = corner_surface("T"), corner_places(7)[:2], corner_places(13)[:2]
    away = [inflated("T", places, 8, 24).largest for places in (wide, narrow)]
    assert away[1] < 0.45 * away[0]
    for places, found in zip((wide, narrow), away, strict=True):
        report = report_strain(flatten_row(surface, panel_row(places), Flattening(8, 24)))[0]
        assert 0.6 * report.deviation < found < 1.25 * report.deviation
