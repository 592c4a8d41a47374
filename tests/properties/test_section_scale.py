"""A section and its model: lengths by k, pressure by k, cloth per area by k keep every angle.

Closed form: a craft of k^3 the mass on k^2 the area has k times the pressure; lengths by k and cloth per area by k make
the cloth's mass per metre of joint go by k^2 and its moment about I by k^3, as p times area times lever does.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.physics.cloth import segment_weight
from skirtloft.physics.section import solve_sections
from skirtloft.physics.types import Sections

ALLOWANCES = {"seam": 0.025, "hem": 0.015, "tip_trim": 0.015, "joint": 0.025}


def solved(k: float, x: float, z: float, pitch: float, areal: float) -> Sections:
    segment = segment_weight(
        depth=0.28 * k, pitch=pitch * k, areal_mass=areal * k, **{name: k * size for name, size in ALLOWANCES.items()}
    )
    return solve_sections(
        np.array([x, x - 0.2]) * k,
        np.array([z, z]) * k,
        depth=0.28 * k,
        pitch=pitch * k,
        pressure=500.0 * k,
        segment=segment,
        loop_areal_mass=areal * k,
        loop_joint_allowance=0.025 * k,
    )


@settings(max_examples=60, deadline=None)
@given(
    k=st.floats(0.2, 8.0),
    x=st.floats(0.0, 0.3),
    z=st.floats(0.15, 0.5),
    pitch=st.floats(0.05, 0.2),
    areal=st.floats(0.0, 1.0),
)
def test_scale(k: float, x: float, z: float, pitch: float, areal: float) -> None:
    small, large = solved(1.0, x, z, pitch, areal), solved(k, x, z, pitch, areal)
    for name, power in [
        ("centre_inset", 1),
        ("centre_z", 1),
        ("radius", 1),
        ("length", 1),
        ("quarter_rule_length", 1),
        ("angle", 0),
        ("start_angle", 0),
        ("end_angle", 0),
        ("tension", 2),
        ("stiffness", 3),
        ("weight_moment", 3),
        ("tip_mean_square", 2),
    ]:
        expected = np.asarray(getattr(small, name)) * k**power
        # rounding: end angles and centre heights pass through zero, so compare on the size of the section
        scale = max(1.0, float(np.abs(expected).max()))
        assert np.asarray(getattr(large, name)) == pytest.approx(expected, rel=1e-10, abs=1e-12 * scale), name
