"""Loss needed: closed form against eigenvalues, several runs together, mechanisms apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.bounce.free import free_matrix, free_modes
from skirtloft.physics.bounce.hover import each_alone, rest_area_rate, skirt_runs
from skirtloft.physics.bounce.threshold import (
    MECHANISMS,
    bounce_margins,
    craft_loss_needed,
    loss_needed,
    margin_of_loss,
    neutral_swing,
    with_mechanisms,
)
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from tests.bounce_cases import SIZES, G, at_hover, six_state_case

CASES = [(size, gap, eps) for size in SIZES for gap in (0.005, 0.010, 0.015, 0.025) for eps in (0.0, 0.02)]


def with_loss(runs: SkirtRuns, eta: float) -> SkirtRuns:
    return replace(runs, loss_factor=frozen_array(np.full(runs.length.shape, eta)))


@pytest.mark.parametrize("size, gap, eps", CASES)
def test_closed_form_is_where_the_eigenvalues_cross(size: str, gap: float, eps: float) -> None:
    craft, runs, _, _ = at_hover(size, gap, eps=eps)
    needed = float(loss_needed(craft, runs))
    assert 0.01 < needed < 1.5
    below, above = (free_modes(craft, with_loss(runs, needed * f)).growth for f in (0.999, 1.001))
    assert below > 0.0 > above
    assert float(craft_loss_needed(craft, runs)) == pytest.approx(needed, rel=1e-8)
    at = free_modes(craft, with_loss(runs, needed))
    assert at.frequency == pytest.approx(float(neutral_swing(craft, runs).frequency), rel=1e-6)


def test_a_batch_is_its_cases_one_by_one() -> None:
    states = [at_hover("4-seat", gap)[:2] for gap in (0.002, 0.01, 0.02)]
    craft = HeaveCraft(**{k: np.stack([vars(c)[k] for c, _ in states]) for k in vars(states[0][0])})
    runs = SkirtRuns(**{k: np.stack([vars(r)[k] for _, r in states]) for k in vars(states[0][1])})
    np.testing.assert_allclose(loss_needed(craft, runs), [float(loss_needed(*state)) for state in states], rtol=1e-12)


def test_a_batch_with_cases_that_nothing_stops() -> None:
    """The ten-seat at 2 mm is below the least gap: inf there, and the others are untouched."""
    states = [at_hover("10-seat", gap)[:2] for gap in (0.002, 0.01)]
    craft = HeaveCraft(**{k: np.stack([vars(c)[k] for c, _ in states]) for k in vars(states[0][0])})
    runs = SkirtRuns(**{k: np.stack([vars(r)[k] for _, r in states]) for k in vars(states[0][1])})
    found = loss_needed(craft, runs)
    assert np.isinf(found[0])
    assert found[1] == pytest.approx(float(loss_needed(*states[1])), rel=1e-12)


def split(runs: SkirtRuns, shares: tuple[float, ...]) -> SkirtRuns:
    many = {name: np.repeat(value, len(shares)) for name, value in vars(runs).items()}
    return skirt_runs(**{**many, "length": runs.length[0] * np.array(shares)})


def test_one_run_cut_into_three_is_the_same_craft() -> None:
    craft, runs = six_state_case()
    three = split(runs, (0.2, 0.5, 0.3))
    one, cut = free_modes(craft, runs).roots, free_modes(craft, three).roots
    for root in one:
        assert np.abs(cut - root).min() < 1e-8 * abs(root)
    assert free_matrix(craft, three).shape == (10, 10)
    assert float(craft_loss_needed(craft, three)) == pytest.approx(float(loss_needed(craft, runs)), rel=1e-7)
    margins = bounce_margins(craft, three)
    np.testing.assert_allclose(margins.needed, float(loss_needed(craft, runs)), rtol=1e-9)


def test_a_stiff_bow_helps_the_craft_but_not_the_worst_section() -> None:
    """A bow of 30 % of the tip line, five times as stiff, calms the rest: craft needs less than its worst section."""
    craft, runs = six_state_case()
    bow = split(runs, (0.7, 0.3))
    bow = replace(bow, stiffness=frozen_array(bow.stiffness * [1.0, 5.0]))
    margins = bounce_margins(craft, bow)
    assert margins.margin[0] < margins.margin[1]
    assert 0.0 < margins.craft_needed < margins.needed.max()
    assert margins.craft_margin == pytest.approx(0.1 / float(margins.craft_needed), rel=1e-12)
    with pytest.raises(ValueError, match="each_alone"):
        loss_needed(craft, bow)


def test_each_alone_goes_all_the_way_round() -> None:
    craft, runs = six_state_case()
    one, alone = each_alone(craft, split(runs, (0.2, 0.8)))
    np.testing.assert_allclose(alone.length[:, 0], runs.length[0])
    assert one.mass.shape == (1,)


class TestMechanisms:
    def test_tip_flow_alone_needs_little_and_over_pressure_much(self) -> None:
        """Four-seat at 10 mm: 0.028 without over-pressure (independent prototype)."""
        craft, runs, _, _ = at_hover("4-seat", eps=0.02)
        margins = bounce_margins(craft, runs)
        assert margins.alone["tip flow"][0] == pytest.approx(0.028, abs=6e-4)
        assert margins.alone["none"][0] == 0.0  # uniform pressure and no inertia: steady without loss
        assert margins.alone["lip suction"][0] == 0.0
        assert margins.without["tip flow"][0] == pytest.approx(margins.alone["loop over-pressure"][0], rel=1e-9)
        assert margins.drives[0] == "loop over-pressure"
        assert bounce_margins(*at_hover("4-seat", eps=0.0)[:2]).drives[0] == "tip flow"

    def test_leaving_out_keeps_the_segment_at_rest(self) -> None:
        craft, runs, _, _ = at_hover("4-seat", eps=0.02, lip_strength=0.3)
        bare = with_mechanisms(runs, ())
        weight = rest_area_rate(craft.pressure, runs.lever, runs.moment, gravity=G)
        np.testing.assert_allclose(bare.area_rate, weight, rtol=1e-9)
        assert not np.any(bare.over_pressure + bare.lip_strength + bare.tip_flow)
        np.testing.assert_allclose(with_mechanisms(runs, MECHANISMS).area_rate, runs.area_rate, rtol=1e-12)

    def test_small_over_pressure_presses_open_and_large_presses_shut(self) -> None:
        """Sign of the quasi-steady coupling turns where eps (1 + 2/tau) = m_x g/(p0 d^2): closed form."""
        for size in SIZES:
            craft, runs, _, _ = at_hover(size)
            limit = float(runs.moment[0] * G / (craft.pressure * runs.lever[0])) / (1.0 + 2.0 / 1.5)
            shut = []
            for eps in (0.5 * limit, 2.0 * limit):
                one, many, _, _ = at_hover(size, eps=eps)
                rate = float(many.area_rate[0])
                # steady: p falls by dp, fan flow rises by dp Q0/(tau p0): moment per dp against that of the pressure
                steady = rate - 2.0 * eps * (rate + float(many.lever[0])) / 1.5
                shut.append(steady < 0.0)
                assert one.pressure == craft.pressure
            assert shut == [False, True]

    def test_quiet_sections_have_a_margin_without_bound(self) -> None:
        assert margin_of_loss(0.1, [0.0, 0.2, np.inf]).tolist() == [np.inf, 0.5, 0.0]
