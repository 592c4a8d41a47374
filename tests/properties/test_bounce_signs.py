"""What the trade knows of bounce, as signs that a model must show, and invariants.

Trade facts (common practice, no source): worse on a smooth floor than on grass; worse at more lift flow where the way
from loop to cushion is narrow; cured by a taut diaphragm, which also makes the skirt stiffer.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.bounce.at_rest import states
from skirtloft.physics.bounce.cure import diaphragm_cure
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.hover import tip_opening
from skirtloft.physics.bounce.swing_decay import fed_at_constant_pressure
from skirtloft.physics.bounce.threshold import loss_needed
from tests.bounce_cases import CC, CRAFT, SIZES, at_hover


def gap_of_same_flow(roughness: float, opening: float = 0.010) -> float:
    if roughness == 0.0:
        return opening
    return float(brentq(lambda h: float(tip_opening(h, roughness)[0]) - opening, -0.05, 0.02, xtol=1e-14))


# Need at rms roughness 0, 10, 20 mm, same flow, mouth 10 effective gaps: independent prototype.
ROUGH = {"1-seat": (0.109, 0.079, 0.047), "4-seat": (0.185, 0.135, 0.080), "10-seat": (0.208, 0.165, 0.108)}


@pytest.mark.parametrize("size", SIZES)
def test_worse_on_a_smooth_floor(size: str) -> None:
    needed = [
        float(loss_needed(*at_hover(size, gap_of_same_flow(rough), mouth=10.0, roughness=rough)[:2]))
        for rough in (0.0, 0.010, 0.020)
    ]
    assert needed[0] > needed[1] > needed[2]
    # its linear rows swept air at the height of the gap, these at that of the daylight: .0467 against .0491 at 20 mm
    assert needed == pytest.approx(list(ROUGH[size]), abs=6e-4, rel=0.045)


@pytest.mark.parametrize("size", SIZES)
def test_worse_at_more_lift_flow_where_the_mouth_is_narrow(size: str) -> None:
    narrow = [float(loss_needed(*at_hover(size, gap, mouth=10.0)[:2])) for gap in (0.005, 0.010, 0.015, 0.025)]
    assert (np.diff(narrow) > 0.0).all()
    open_mouth = [float(loss_needed(*at_hover(size, gap)[:2])) for gap in (0.005, 0.010, 0.015, 0.025)]
    assert max(open_mouth) < 0.03
    assert max(open_mouth) / min(open_mouth) < 1.6  # flat without over-pressure


@pytest.mark.parametrize("size", SIZES)
def test_worse_with_more_flow_at_the_same_gap(size: str) -> None:
    craft, runs, _, _ = at_hover(size)
    mouth = 10.0 * CC * float(runs.length[0]) * 0.010
    flow = np.array([1.0, 1.3, 1.7, 2.2]) * 1.0001 * float(states(craft, runs, gap=0.01)[1].length[0]) * 0.010 * CC
    speed = float(np.sqrt(2.0 * craft.pressure / craft.density))
    one, many = states(craft, runs, gap=np.full(4, 0.010), flow=flow * speed, mouth_area=mouth)
    assert (np.diff(loss_needed(one, many)) > 0.0).all()


@pytest.mark.parametrize("size", SIZES)
def test_cured_and_stiffened_by_a_taut_diaphragm(size: str) -> None:
    craft, runs, section, _ = at_hover(size, eps=0.02)
    d = CRAFT[size].d
    cure = diaphragm_cure(craft, runs, section, attachment=[[2.0 * d - 0.20, -0.10]], margins=[0.15, 0.25])
    assert cure.free_growth > 0.2
    assert cure.cures.all()
    assert (cure.stiffness_gain > 0.1).all()
    assert (np.diff(cure.stiffness_gain[:, 0]) > 0.0).all()


@pytest.mark.parametrize("size", SIZES)
def test_a_wider_mouth_and_more_loss_help(size: str) -> None:
    needed = [float(loss_needed(*at_hover(size, mouth=mouth)[:2])) for mouth in (7.0, 10.0, 15.0, 40.0)]
    assert (np.diff(needed) < 0.0).all()
    growth = [float(free_modes(*at_hover(size, mouth=10.0, eta=eta)[:2]).growth) for eta in (0.02, 0.1, 0.3)]
    assert (np.diff(growth) < 0.0).all()


@settings(max_examples=30, deadline=None)
@given(
    size=st.sampled_from(SIZES),
    gap=st.floats(0.006, 0.02),
    eps=st.floats(0.0, 0.03),
    scale=st.floats(0.3, 3.0),
)
def test_cloth_only_counts_per_metre(size: str, gap: float, eps: float, scale: float) -> None:
    """Twice the craft side by side, all of it doubled, bounces as one: mass, area, volume, tip line, half the duct."""
    craft, runs, _, _ = at_hover(size, gap, eps=eps)
    grown = replace(
        craft,
        mass=frozen_array(craft.mass * scale),
        area=frozen_array(craft.area * scale),
        volume=frozen_array(craft.volume * scale),
        inertance=frozen_array(craft.inertance / scale),
    )
    longer = replace(runs, length=frozen_array(runs.length * scale))
    np.testing.assert_allclose(
        np.sort_complex(free_modes(grown, longer).roots),
        np.sort_complex(free_modes(craft, runs).roots),
        rtol=1e-6,
        atol=1e-5,
    )


@settings(max_examples=30, deadline=None)
@given(size=st.sampled_from(SIZES), scale=st.floats(0.6, 4.0))
def test_tip_flow_at_constant_pressure_knows_no_size(size: str, scale: float) -> None:
    """Lengths times s, inertia s^4, stiffness s^2, pressure any: the need stays (closed form)."""
    craft, runs, _, _ = at_hover(size)
    other = replace(
        runs,
        length=frozen_array(runs.length * scale),
        gap=frozen_array(runs.gap * scale),
        tip_out=frozen_array(runs.tip_out * scale),
        inertia=frozen_array(runs.inertia * scale**4),
        stiffness=frozen_array(runs.stiffness * scale**2 * 1.7),
        tip_flow=frozen_array(runs.tip_flow * scale**2),
    )
    heavy = replace(craft, pressure=frozen_array(craft.pressure * 1.7))
    assert fed_at_constant_pressure(heavy, other)[0] == pytest.approx(
        float(fed_at_constant_pressure(craft, runs)[0]), rel=1e-6
    )
