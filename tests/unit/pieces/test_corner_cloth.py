"""Extra cloth at the hull edge of corner panels."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.segment_shape import flat_faced, segment_shape
from skirtloft.physics.statics import solve_statics
from skirtloft.pieces.corner_cloth import BEYOND, corner_cloth
from tests.designs import NAMES, skirt_of


@pytest.mark.parametrize("name", NAMES)
def test_the_largest_difference_is_that_of_either_rule(name: str) -> None:
    """Both rules solved again, corners only: flat face without weight, and a straight run at the wanted pitch."""
    skirt = skirt_of(name)
    statics, cloth = skirt.statics, skirt.corner_cloth
    shape = statics.shape
    offset, rise = -statics.hull_edge[:, 0], statics.hull_edge[:, 1] - shape.depth
    quarter = solve_statics(flat_faced(shape), offset, rise, statics.pressure).length
    run = segment_shape(shape.depth, shape.face_angle, skirt.plan.pitch, inboard=shape.inboard, drop=shape.drop)
    straight = solve_statics(run, offset, rise, statics.pressure, segment=statics.segment, loop=statics.loop).length
    corner = np.isfinite(shape.radius)
    most = max(np.abs(quarter - statics.length)[corner].max(), np.abs(straight - statics.length)[corner].max())
    assert cloth.difference == pytest.approx(float(most), rel=1e-9)
    assert cloth.wanted - most - BEYOND == pytest.approx(0.0005, abs=0.0005)
    assert cloth.cut == max(cloth.wanted, skirt.design.making.hull_edge)


def test_what_the_design_says_is_cut() -> None:
    skirt = skirt_of("four-seat", ("making.hull_edge_corner", "45 mm"))
    assert skirt.corner_cloth.cut == pytest.approx(0.045)
    wide = skirt_of("four-seat", ("making.hull_edge", "80 mm"))
    assert wide.corner_cloth.cut == pytest.approx(0.080)
    again = corner_cloth(wide.design, wide.plan, wide.statics, wide.behaviour.quarter_rule)
    assert again == wide.corner_cloth
