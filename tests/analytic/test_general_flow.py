"""The flow for any segment against the trade's segment by its own closed form, and the tip line by two ways."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.maths.curves import area_to_axis, path_length
from skirtloft.physics.cloth import segment_weight
from skirtloft.physics.section import solve_sections
from skirtloft.shape.own_pitch import station_pitches, station_runs
from skirtloft.shape.segment_field import area_and_perimeter
from tests.designs import NAMES, skirt_of


@pytest.mark.parametrize("name", NAMES)
def test_straight_runs_are_those_of_the_trade(name: str) -> None:
    """Face 45 deg, right angle at the tip, level fixing: `solve_sections` gets there its own way."""
    skirt = skirt_of(name)
    design, stations, sections = skirt.design, skirt.plan.stations, skirt.sections
    making = design.making
    straight = {k for k, run in enumerate(skirt.plan.runs) if math.isinf(run.radius)}
    runs = np.array(station_runs(skirt.plan))
    compared = 0
    for k in straight:
        mine = np.flatnonzero(runs == k)
        pitch = skirt.plan.runs[k].fitted_pitch
        weight = segment_weight(
            depth=design.skirt.depth,
            pitch=pitch,
            areal_mass=design.cloth.segment.mass,
            seam=making.seam,
            hem=making.hem,
            tip_trim=making.tip_trim,
            joint=making.joint,
        )
        trade = solve_sections(
            stations.offset[mine],
            stations.hull_z[mine] - design.skirt.depth,
            depth=design.skirt.depth,
            pitch=pitch,
            pressure=sections.pressure,
            segment=weight,
            loop_areal_mass=design.cloth.loop.mass,
            loop_joint_allowance=making.joint,
        )
        for field, tolerance in (
            ("length", 1e-9), ("quarter_rule_length", 1e-12), ("radius", 1e-9), ("angle", 1e-9), ("centre_inset", 1e-9),
            ("tip_mean_square", 1e-12), ("weight_moment", 1e-9), ("tension", 1e-6), ("stiffness", 1e-6),
        ):  # fmt: skip
            np.testing.assert_allclose(getattr(sections, field)[mine], getattr(trade, field), rtol=0, atol=tolerance)
        compared += len(mine)
    assert compared >= 6


@pytest.mark.parametrize("name", NAMES)
def test_corners_are_by_their_own_pitch(name: str) -> None:
    """At a corner the tip is narrower than the joint, so the pressure on it has the smaller mean square."""
    skirt = skirt_of(name)
    pitch, radius = station_pitches(skirt.plan)
    runs = station_runs(skirt.plan)
    inside = [i for i, run in enumerate(skirt.plan.stations.runs) if run.endswith("corner")]
    for i in inside:
        run = skirt.plan.runs[runs[i]]
        assert (pitch[i], radius[i]) == pytest.approx((run.fitted_pitch, run.radius), rel=1e-12)
        flat, d, w = 2.0 * skirt.design.skirt.depth**2, skirt.design.skirt.depth, pitch[i]
        whole = flat + 2.0 * d * math.pi * math.sqrt(2.0) / 8.0 * w + w**2 / 3.0  # straight run of this pitch (derived)
        assert flat < skirt.sections.tip_mean_square[i] < whole
    ends = [i for i in range(1, len(runs)) if (i in inside) != (i - 1 in inside)]
    assert ends  # the station beside the corner belongs to the run
    for i in ends:
        k = i if i not in inside else i - 1
        assert math.isinf(radius[k])


@pytest.mark.parametrize("name", NAMES)
def test_tip_line_by_quadrature_and_in_closed_form(name: str) -> None:
    """S - delta P + pi delta^2 and P - 2 pi delta (Steiner) against Gauss's rule along the joint line."""
    plan = skirt_of(name).plan
    taken, perimeter = area_and_perimeter(plan.joint_line, plan.segments, plan.pitch)
    assert 2.0 * area_to_axis(plan.joint_line) - taken == pytest.approx(plan.tip_area, rel=1e-13)
    assert perimeter == pytest.approx(plan.tip_perimeter, rel=1e-13)
    assert 2.0 * path_length(plan.joint_line) == plan.joint_perimeter
