"""Second opinion: scipy's minimiser on minus the enclosed area (and the weight) at fixed loop length.

The lengths the program gives must leave the segment unturned, and the curvature of the energy there must be K.
"""

from __future__ import annotations

import pytest
from scipy.optimize import minimize_scalar

from skirtloft.physics.section import solve_sections
from skirtloft.physics.types import Sections, SegmentWeight
from tests.section_cases import CASES, Case, potential


def solved(case: Case, pitch: float | None = None) -> Sections:
    return solve_sections(
        [case.offset],
        [case.rise],
        depth=case.depth,
        pitch=case.pitch if pitch is None else pitch,
        pressure=case.pressure,
        segment=SegmentWeight(0.0, case.moment, case.height_moment),
        loop_areal_mass=case.areal_mass,
        loop_joint_allowance=case.allowance,
    )


def rest_angle(case: Case, length: float) -> float:
    found = minimize_scalar(
        lambda phi: potential(case, length, phi), bounds=(-0.021, 0.02), method="bounded", options={"xatol": 1e-10}
    )
    return float(found.x)


@pytest.mark.parametrize("case", CASES)
def test_segment_rests_unturned(case: Case) -> None:
    """To 1e-6 rad: what a minimiser can see of an energy that has 16 digits."""
    length = float(solved(case).length[0])
    assert abs(rest_angle(case, length)) < 1e-6


@pytest.mark.parametrize("case", CASES)
def test_a_little_more_loop_turns_it(case: Case) -> None:
    """The comparison above can fail: 0.2 % of length is seen."""
    assert abs(rest_angle(case, 1.002 * float(solved(case).length[0]))) > 1e-4


@pytest.mark.parametrize("case", CASES)
def test_curvature_of_the_energy_is_the_stiffness(case: Case) -> None:
    """Central differences at three steps, extrapolated twice (error order 6); asked to 1e-5."""
    sections = solved(case)
    length = float(sections.length[0])
    rest = potential(case, length, 0.0)

    def second(step: float) -> float:
        return (potential(case, length, step) - 2.0 * rest + potential(case, length, -step)) / step**2

    coarse, middle, fine = second(0.008), second(0.004), second(0.002)
    once, twice = (4.0 * middle - coarse) / 3.0, (4.0 * fine - middle) / 3.0
    assert (16.0 * twice - once) / 15.0 == pytest.approx(float(sections.stiffness[0]), rel=1e-5)


def test_weight_takes_part_in_the_stiffness() -> None:
    """Cloth below I steadies, the loop's own part is counted: without either the curvature would be missed."""
    heavy = Case(0.28, 0.15, 0.23, 0.22, 150.0, 0.29, -0.5, 0.8, 0.025)
    with_height = float(solved(heavy).stiffness[0])
    without = float(solved(Case(0.28, 0.15, 0.23, 0.22, 150.0, 0.29, 0.0, 0.8, 0.025)).stiffness[0])
    assert with_height - without == pytest.approx(9.80665 * 0.5, rel=1e-9)  # closed form: -g m_z
