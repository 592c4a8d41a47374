"""Rides of a design: what goes in is what the file and the flow say, and the trade's signs come out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.answers.rides import rides_lines
from skirtloft.physics.bounce.free import free_modes
from skirtloft.physics.bounce.hover import hover_flow
from skirtloft.physics.bounce.rigid import least_stable_gap
from skirtloft.physics.operating import gap_at_speed
from skirtloft.pipeline import build
from skirtloft.rides.cushion_air import section_air_areas
from skirtloft.rides.hover import hover_of
from skirtloft.rides.maps import BEYOND, map_of, mouth_map
from skirtloft.rides.rides_of import knock_of, with_loss
from tests.designs import NAMES, TAUT
from tests.rides_cases import NARROW, ride
from tests.unit.answers.test_ask import DESIGNS


@pytest.mark.parametrize("name", NAMES)
def test_the_working_point_is_that_of_the_air(name: str) -> None:
    skirt, rides = ride(name)
    match, craft = skirt.air.match, rides.hover.craft
    assert match is not None
    at = match.at_speed
    assert rides.hover.point.gap == pytest.approx(float(at.gap[0]), rel=1e-12)
    assert float(hover_flow(craft, rides.hover.runs)) == pytest.approx(float(at.air.lift_flow[0]), rel=1e-6)
    assert float(craft.pressure) == pytest.approx(skirt.cushions[0].pressure, rel=1e-12)
    assert rides.hover.runs.length.sum() == pytest.approx(skirt.plan.tip_perimeter, rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_steepness_is_how_the_gap_follows_the_weight(name: str) -> None:
    """A little heavier at the same fan speed: more pressure, less flow; -(Q/p) dp/dQ of what fan and losses leave.

    Leaks of the loop follow the loop's pressure, which a steepness at one pressure leaves out: 1 %.
    """
    skirt, rides = ride(name)
    match, mass = skirt.air.match, skirt.cushions[0].mass
    assert match is not None
    low, high = (gap_at_speed(match.fan, skirt.air.system, mass * by, match.speed).air for by in (0.999, 1.001))
    slope = float((high.cushion_pressure - low.cushion_pressure) / (high.lift_flow - low.lift_flow))
    tau = -slope * float(match.at_speed.air.lift_flow[0]) / skirt.cushions[0].pressure
    assert rides.hover.point.steepness == pytest.approx(tau, rel=1e-2)


@pytest.mark.parametrize("name", NAMES)
def test_the_fan_of_the_time_run_has_that_point_and_that_slope(name: str) -> None:
    _, rides = ride(name)
    fan, craft = rides.hover.point.fan, rides.hover.craft
    assert fan is not None
    flow, p = float(hover_flow(craft, rides.hover.runs)), float(craft.pressure)
    assert fan(flow) == pytest.approx(p, rel=1e-4)
    step = 0.01 * flow
    tau = -(fan(flow + step) - fan(flow - step)) / (2.0 * step) * flow / p
    assert tau == pytest.approx(float(craft.steepness), rel=1e-2)
    assert fan(-0.1 * flow) > fan(0.0) > p  # air driven back is held by losses
    assert fan(3.0 * flow) < 0.0


def test_least_gap_is_the_closed_form() -> None:
    """h = 2 p V/[S gamma (pa + p)(1 + 2/tau)] by hand for the four-seat, 101325 Pa at 0 m."""
    skirt, rides = ride("four-seat")
    craft = rides.hover.craft
    p, v, tau = float(craft.pressure), float(craft.volume), float(craft.steepness)
    by_hand = 2.0 * p * v / (skirt.plan.tip_area * 1.4 * (101325.0 + p) * (1.0 + 2.0 / tau))
    assert rides.least_gap == pytest.approx(by_hand, rel=1e-9)
    assert rides.least_gap == pytest.approx(
        float(least_stable_gap(v, skirt.plan.tip_area, p, fan_share=1.0 / tau)), rel=1e-12
    )


def test_the_air_of_a_section_is_its_polygon() -> None:
    """With a straight line in place of the arc: shoelace by hand; the arc adds its segment R^2 (b - sin b)/2."""
    skirt, _ = ride("four-seat")
    s, i = skirt.sections, list(skirt.plan.stations.runs).index("side")
    c, d, x, rise = skirt.design.hull.clearance, float(s.depth[i]), float(s.offset[i]), float(s.rise[i])
    tip, inner = x - float(s.tip_inboard[i]), x - float(s.inboard[i])
    back = inner - float(skirt.hull.width[i] * math.cos(skirt.hull.slope[i]))
    corners = [(tip, 0.0), (x, d), (0.0, d + rise), (inner, d), (back, c), (tip, c)]
    ahead = [*corners[1:], corners[0]]
    flat = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, ahead, strict=True)) / 2.0
    bow = float(s.radius[i] ** 2 * (s.angle[i] - math.sin(s.angle[i])) / 2.0)
    assert section_air_areas(skirt)[i] == pytest.approx(abs(flat) + bow, rel=1e-2)  # 24 points along the arc


def test_what_the_file_tells_is_taken() -> None:
    told = (
        ("bounce.cushion_volume", "5 m3"),
        ("bounce.duct_length", "1.2 m"),
        ("bounce.duct_area", "0.6 m2"),
        ("bounce.mouth_area", "3 m2"),
        ("bounce.mouth_discharge", "0.7"),
        ("bounce.loss_factor", "0.08"),
        ("bounce.flow_share", "0.5"),
    )
    skirt, rides = ride("four-seat", *told)
    hover = rides.hover
    assert float(hover.craft.volume) == 5.0
    assert float(hover.craft.inertance) == pytest.approx(skirt.air.density * 2.0)
    assert hover.mouth.area == pytest.approx(2.1)
    assert set(hover.runs.loss_factor.tolist()) == {0.08}
    flow, jet = float(hover_flow(hover.craft, hover.runs)), math.sqrt(2.0 * 669.93 / skirt.air.density)
    assert hover.over_pressure == pytest.approx((0.5 * flow / (2.1 * jet)) ** 2, rel=1e-3)
    assert hover.assumed == ()


def test_without_a_fan_it_says_what_it_assumes() -> None:
    hover = hover_of(build(DESIGNS["no fan"], cut=False))
    assert hover.point.gap == DESIGNS["no fan"].air.gap
    assert hover.point.steepness == 1.5
    assert {"gap", "fan steepness", "loss in the cloth"} <= {one.name for one in hover.assumed}
    assert all(one.key for one in hover.assumed)


def test_a_fan_that_does_not_carry_her_is_taken_at_the_wanted_gap() -> None:
    _, rides = ride("four-seat", ("air.fan.speed", "1700 rpm"))
    assert rides.hover.point.gap == pytest.approx(0.010)
    assert rides.hover.assumed[0].name == "working point"


def test_examples_are_quiet_with_an_open_loop_and_bounce_with_a_closed_one() -> None:
    """Signs of the model: an open loop hardly differs from the cushion; one that leaks by its feed holes bounces."""
    for name in NAMES:
        _, rides = ride(name)
        assert rides.hover.over_pressure < 0.002
        assert 2.0 < float(rides.margins.craft_margin) < 20.0
        assert float(rides.held.growth) < 0.0
        assert rides.closed_loop is not None
        assert rides.closed_loop.over_pressure > 0.2
        assert rides.closed_loop.margin < 0.2


def test_the_least_mouth_is_where_growth_changes_sign() -> None:
    _, rides = ride("four-seat")
    area = rides.least_mouth
    for by, sign in ((0.93, 1.0), (1.07, -1.0)):
        _, there = ride("four-seat", ("bounce.mouth_area", f"{area * by / 0.6:.5f} m2"))
        assert sign * float(free_modes(there.hover.craft, there.hover.runs).growth) > 0.0


def test_smooth_floor_and_more_lift_air_make_it_worse_with_a_narrow_mouth() -> None:
    """[common practice, no source]; the rough floor at the same flow, so a little lower fan speed is not in it."""
    margins = {
        key: float(ride("four-seat", NARROW, *changes)[1].margins.craft_margin)
        for key, changes in {
            "as it is": (),
            "rough": (("air.roughness", "15 mm"),),
            "slow": (("air.fan.speed", "2350 rpm"),),
            "fast": (("air.fan.speed", "2750 rpm"),),
            "shut": (("bounce.mouth_area", "0.9 m2"),),
        }.items()
    }
    assert margins["rough"] > 1.05 * margins["as it is"]
    assert margins["slow"] > margins["as it is"] > margins["fast"]
    assert margins["shut"] < 0.8 * margins["as it is"]


def test_loss_scales_the_margin_one_to_one() -> None:
    _, rides = ride("four-seat")
    craft, sections = with_loss(rides, 0.10)
    assert craft == pytest.approx(2.0 * float(rides.margins.craft_margin), rel=1e-12)
    np.testing.assert_allclose(sections, 2.0 * rides.margins.margin, rtol=1e-12)


def test_maps_agree_with_the_point_and_with_each_other() -> None:
    _, rides = ride("four-seat", NARROW)
    assert float(rides.margins.craft_margin) < 1.0
    chart, by_mouth = map_of(rides), mouth_map(rides)
    i = int(np.argmin(np.abs(by_mouth.gap - rides.hover.point.gap)))
    assert by_mouth.verdict[i, -1] == "bounces"
    assert {"bounces", "steady", "not enough air"} <= set(chart.verdict.ravel().tolist())
    assert BEYOND in by_mouth.verdict
    assert (by_mouth.verdict[0] == "air spring").all()  # 0.6 mm is below the least gap of 2.8 mm


def test_a_knock_grows_where_the_linear_model_says_so() -> None:
    _, quiet = ride("four-seat")
    assert knock_of(quiet, duration=1.5).outcome.outcome == "dies away"
    _, loud = ride("four-seat", ("bounce.mouth_area", "0.9 m2"))
    knock = knock_of(loud, drop=0.005, duration=1.5)
    assert float(loud.free.growth) > 0.0
    assert knock.outcome.outcome in ("grows", "keeps bouncing")
    assert knock.outcome.gap > 0.002


def test_other_loads_are_told_in_short_and_asked_in_full() -> None:
    _, first = ride("four-seat")
    _, solo = ride("four-seat", load=2)
    assert first.loads[2].margin == pytest.approx(float(solo.margins.craft_margin), rel=1e-9)
    assert [one.name for one in first.loads] == ["full", "two aboard", "solo"]
    assert solo.hover.craft.mass == 465.0


def test_a_loop_with_next_to_no_way_out_is_called_beyond_the_model() -> None:
    skirt, rides = ride("four-seat", ("bounce.mouth_area", "0.05 m2"))
    assert rides.hover.over_pressure > 0.5
    assert any("beyond what this model is for" in line for line in rides_lines(skirt, rides, ()))


def test_a_diaphragm_of_the_file_quiets_what_bounces_without() -> None:
    """[common practice, no source]: a taut diaphragm cures it and stiffens the sections; same way from the loop."""
    _, bare = ride("four-seat", NARROW)
    skirt, held = ride("four-seat", NARROW, *TAUT)
    assert float(bare.margins.craft_margin) < 1.0 < 2.0 < float(held.margins.craft_margin)
    assert float(bare.free.growth) > 0.0 > float(held.free.growth)
    assert held.cure.is_there
    assert held.cure.taut == held.hover.names
    assert (held.hover.runs.stiffness > bare.hover.runs.stiffness).all()
    assert any("in hover it is taut in all runs" in line for line in rides_lines(skirt, held, ()))


def test_vents_are_the_way_from_the_loop_where_the_air_goes_through_them() -> None:
    """Discharge 0.6 on the area of all vents; past the diaphragm nothing squeezes, so no over-pressure."""
    skirt, through = ride("four-seat", *TAUT, ("skirt.diaphragm.feed", "through"))
    found = skirt.service.diaphragm
    assert found is not None
    vents = sum(run.strips * run.pitch * float(run.holes.area) for run in found.runs)
    assert through.hover.mouth.area == pytest.approx(0.6 * vents)
    assert 0.01 < through.hover.over_pressure < 0.05  # sized for 2 % at the wanted gap; she hovers on more
    _, beside = ride("four-seat", *TAUT, ("skirt.diaphragm.feed", "beside"))
    assert beside.hover.over_pressure == 0.0
