"""The stability map, the diaphragm that cures, and the inputs that count."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from skirtloft.maths.frozen import frozen_array
from skirtloft.physics.bounce.at_rest import runs_at_rest, states
from skirtloft.physics.bounce.cure import diaphragm_cure
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.hover import rest_area_rate
from skirtloft.physics.bounce.inertia import moved_air_inertia
from skirtloft.physics.bounce.rigid import locked_modes
from skirtloft.physics.bounce.sensitivities import bounce_sensitivities, least_margin
from skirtloft.physics.bounce.stability_map import stability_map
from skirtloft.physics.bounce.threshold import loss_needed
from skirtloft.physics.bounce.types import HeaveCraft, SkirtRuns
from tests.bounce_cases import CC, CRAFT, RHO, at_hover, section_of

FIXING = {size: [[2.0 * CRAFT[size].d - 0.20, -0.10]] for size in CRAFT}  # D 0.2 m inboard of J, 0.1 m below


def mouth_of(runs: SkirtRuns, times: float = 10.0) -> float:
    return times * CC * float(runs.length[0]) * 0.010


class TestMap:
    def test_every_state_is_what_the_single_call_says(self) -> None:
        craft, runs, _, _ = at_hover("10-seat", eta=0.1)
        mouth = mouth_of(runs)
        chart = stability_map(craft, runs, gap=[0.002, 0.01, 0.02], flow=[0.9, 4.5, 9.0], mouth_area=mouth)
        assert chart.verdict[0, 0] == "air spring"
        for a in range(3):
            for b in range(3):
                one, many = states(craft, runs, gap=chart.gap[a, b], flow=chart.flow[a, b], mouth_area=mouth)
                if np.isnan(one.leak_area):
                    assert chart.verdict[a, b] == "not enough air"
                    assert np.isnan(chart.growth[a, b])
                    assert np.isnan(chart.margin[a, b])
                    continue
                modes = free_modes(one, many)
                assert chart.growth[a, b] == pytest.approx(float(modes.growth), rel=1e-9)
                if locked_modes(one, many).growth >= 0.0:
                    assert chart.margin[a, b] == 0.0
                else:
                    expected = 0.1 / float(loss_needed(one, many))
                    assert chart.margin[a, b] == pytest.approx(expected, rel=1e-6)
                    assert chart.verdict[a, b] == ("bounces" if modes.growth >= 0.0 else "steady")

    def test_margin_one_is_where_the_verdict_turns(self) -> None:
        craft, runs, _, _ = at_hover("4-seat", eta=0.15)
        chart = stability_map(
            craft, runs, gap=np.linspace(0.004, 0.02, 25), flow=np.linspace(1.0, 5.0, 25), mouth_area=mouth_of(runs)
        )
        there = np.isin(chart.verdict, ("steady", "bounces"))
        assert 100 < np.count_nonzero(chart.verdict[there] == "bounces") < np.count_nonzero(there) - 10
        np.testing.assert_array_equal((chart.margin > 1.0)[there], (chart.verdict == "steady")[there])


class TestCure:
    def test_margins_taut_and_pull(self) -> None:
        craft, runs, section, _ = at_hover("4-seat", eps=0.02)
        cure = diaphragm_cure(craft, runs, section, attachment=FIXING["4-seat"])
        assert cure.free_growth > 0.0 > cure.locked_growth
        assert (np.diff(cure.tension[:, 0]) > 0.0).all()
        assert (np.diff(cure.length_share[:, 0]) < 0.0).all()
        # [m_x (g + a)/p_min]/d^2 with a = g/2, p_min = p/2: .1 - over the weightless balance; less m_x g/(p d^2)
        weight = 0.10772386 * 9.80665 / (629.33 * 0.26**2)
        assert cure.least_margin[0] == pytest.approx(2.0 * weight / (1.0 + weight), rel=1e-4)
        assert cure.cures.tolist() == [False, True, True, True, True, True]

    def test_the_section_is_a_quarter_stiffer_at_a_quarter_of_margin(self) -> None:
        """+26 % over the loop in balance without weight, k 2.847 -> 3.251 (.15) -> 3.586 (.25): prototype."""
        craft, _, _, _ = at_hover("1-seat")
        section, _, _ = section_of(CRAFT["1-seat"], weight=False)
        bare = replace(section, moment=frozen_array(0.0 * section.moment))
        _, runs, _, _ = at_hover("1-seat")
        flat = replace(runs, stiffness=frozen_array([2.8468 * 464.0536 * 0.18**2]))
        cure = diaphragm_cure(craft, flat, bare, attachment=FIXING["1-seat"], margins=[0.15, 0.25])
        np.testing.assert_allclose(2.8468 * (1.0 + cure.stiffness_gain[:, 0]), [3.251, 3.586], atol=6e-4)

    def test_growth_is_that_of_the_skirt_with_that_diaphragm(self) -> None:
        """Loop cut for 2a/d - 1, 50 kN/m cloth over the span, T l'' for the turning pull: put together by hand."""
        craft, runs, section, _ = at_hover("4-seat", eps=0.02)
        weight = 0.10772386 * 9.80665 / (craft.pressure * 0.26**2)
        cure = diaphragm_cure(craft, runs, section, attachment=FIXING["4-seat"], margins=[0.15])
        span, down = np.hypot(0.20, 0.10), 0.10 / np.hypot(0.20, 0.10)
        lever = 2.0 * 0.26 * down
        turning = cure.tension[0, 0] * ((4 * 0.26**2 - lever**2) / span - 2.0 * 0.26 * 0.20 / span)
        stiffness = 50e3 / span * lever**2 + turning
        by_hand = at_hover("4-seat", eps=0.02, margin=float(1.15 * (1.0 + weight) - 1.0), diaphragm=float(stiffness))
        assert cure.growth[0] == pytest.approx(float(free_modes(*by_hand[:2]).growth), rel=2e-3)

    def test_the_air_spring_is_not_cured(self) -> None:
        craft, runs, section, _ = at_hover("10-seat", 0.002)
        cure = diaphragm_cure(craft, runs, section, attachment=FIXING["10-seat"])
        assert cure.locked_growth > 0.0
        assert not cure.cures.any()

    def test_a_diaphragm_that_pulls_up_is_no_cure(self) -> None:
        """D above the line I-J lifts the joint: never taut, so nothing changes."""
        craft, runs, section, _ = at_hover("4-seat", eps=0.02)
        cure = diaphragm_cure(craft, runs, section, attachment=[[0.32, 0.10]])
        assert not cure.taut.any()
        assert not cure.cures.any()
        np.testing.assert_allclose(cure.growth, cure.free_growth, rtol=1e-12)


class TestInputs:
    def found(self, **more: float):
        craft, runs, _, _ = at_hover("4-seat", mouth=10.0, **more)
        cloth = frozen_array(runs.inertia - self.air())
        found = bounce_sensitivities(craft, runs, cloth_inertia=cloth, mouth_area=mouth_of(runs))
        return craft, runs, {one.name: one for one in found}, found

    def test_strongest_first(self) -> None:
        _, _, _, found = self.found()
        slopes = [abs(one.slope) for one in found]
        assert slopes == sorted(slopes, reverse=True)
        assert found[0].name == "mouth area"
        assert not found[0].is_measured

    def test_against_finite_changes(self) -> None:
        """Mouth, gap and volume from the states themselves, 1 % either way."""
        craft, runs, by_name, _ = self.found()
        mouth = mouth_of(runs)

        def margin(gap: float = 1.0, wide: float = 1.0, volume: float = 1.0) -> float:
            one, many = states(craft, runs, gap=0.010 * gap, mouth_area=mouth * wide)
            return float(least_margin(replace(one, volume=frozen_array(one.volume * volume)), many))

        for name, key in (("gap", "gap"), ("mouth area", "wide"), ("cushion volume", "volume")):
            slope = np.log(margin(**{key: 1.01}) / margin(**{key: 0.99})) / np.log(1.01 / 0.99)
            assert by_name[name].slope == pytest.approx(slope, rel=1e-4, abs=1e-6)

    def test_section_stiffness_and_all_up_mass(self) -> None:
        """Stiffness straight; mass by the same skirt under a little more and less load, put at rest again."""
        craft, runs, by_name, _ = self.found()
        stiff = [replace(runs, stiffness=frozen_array(f * runs.stiffness)) for f in (0.99, 1.01)]
        straight = [float(least_margin(craft, one)) for one in stiff]
        slope = np.log(straight[1] / straight[0]) / np.log(1.01 / 0.99)
        assert by_name["section stiffness"].slope == pytest.approx(slope, rel=1e-4)
        needed = [self.need(load=f) for f in (0.99, 1.01)]
        slope = -np.log(needed[1] / needed[0]) / np.log(1.01 / 0.99)
        assert by_name["all-up mass"].slope == pytest.approx(
            slope, abs=0.03
        )  # the sensitivity leaves the small turn out
        assert by_name["all-up mass"].slope == pytest.approx(self.slope_by_hand(load=True), rel=1e-4)

    def test_loss_counts_one_for_one(self) -> None:
        assert self.found()[2]["loss factor"].slope == pytest.approx(1.0, rel=1e-9)

    def test_cloth_mass(self) -> None:
        """The same loop with 1 % more and less cloth, put at rest again."""
        needed = [self.need(cloth=f) for f in (0.99, 1.01)]
        slope = -np.log(needed[1] / needed[0]) / np.log(1.01 / 0.99)
        found = self.found()[2]["cloth mass"].slope
        assert found == pytest.approx(slope, abs=0.03)  # the sensitivity leaves the small turn out
        assert found == pytest.approx(self.slope_by_hand(load=False), rel=1e-4)

    def slope_by_hand(self, *, load: bool) -> float:
        """As the sensitivities do it: pressure and stiffness by the load, or weight and inertia by the cloth."""
        craft, runs, _, _ = self.found()
        margins = []
        for f in (0.99, 1.01):
            by, cloth = (f, 1.0) if load else (1.0, f)
            one = replace(craft, mass=frozen_array(craft.mass * by), pressure=frozen_array(craft.pressure * by))
            inertia = runs.inertia + (cloth - 1.0) * (runs.inertia - self.air())
            rate = rest_area_rate(one.pressure, runs.lever, runs.moment * cloth, runs.over_pressure, gravity=9.81)
            other = replace(
                runs,
                moment=frozen_array(runs.moment * cloth),
                inertia=frozen_array(inertia),
                stiffness=frozen_array(runs.stiffness * by),
                area_rate=frozen_array(rate),
            )
            margins.append(float(least_margin(one, other)))
        return float(np.log(margins[1] / margins[0]) / np.log(1.01 / 0.99))

    def air(self) -> float:
        chord = section_of(CRAFT["4-seat"])[2]
        return float(moved_air_inertia(RHO, np.sqrt(2.0) * 0.26, 0.0, chord, 0.52))

    def need(self, load: float = 1.0, cloth: float = 1.0) -> float:
        """Loss needed by the four-seat's skirt as cut, under another load or of another cloth."""
        craft, runs, section, _ = at_hover("4-seat", mouth=10.0)
        air = self.air()
        heavier = replace(craft, mass=frozen_array(craft.mass * load), pressure=frozen_array(craft.pressure * load))
        again, _ = runs_at_rest(
            heavier,
            replace(section, moment=frozen_array(section.moment * cloth)),
            length=runs.length,
            gap=runs.gap,
            contraction=CC,
            inertia=air + cloth * (runs.inertia - air),
            over_pressure=runs.over_pressure,
            gravity=9.81,
        )
        return float(loss_needed(heavier, again))

    def test_inputs_that_are_there_only_sometimes(self) -> None:
        names = self.found(roughness=0.005, lip_strength=0.2)[2]
        assert {"ground roughness", "lip suction"} <= names.keys()
        craft, runs, _, _ = at_hover("4-seat", eps=0.01)
        plain = bounce_sensitivities(craft, runs, cloth_inertia=frozen_array(0.7 * runs.inertia))
        assert "loop over-pressure" in {one.name for one in plain}
        assert "mouth area" not in {one.name for one in plain}

    def test_no_slope_where_there_is_no_margin(self) -> None:
        craft, runs, _, _ = at_hover("10-seat", 0.002)
        found = bounce_sensitivities(craft, runs, cloth_inertia=frozen_array(0.7 * runs.inertia))
        assert np.isnan([one.slope for one in found]).sum() >= len(found) - 3


def test_a_batch_of_craft_as_records() -> None:
    craft, runs, _, _ = at_hover("4-seat")
    assert isinstance(craft, HeaveCraft)
    with pytest.raises(ValueError, match="read-only"):
        runs.gap[0] = 1.0
