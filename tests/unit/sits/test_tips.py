"""The solved skirt as the attitude sees it: plan, heights, stiffness and air are those of the skirt."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.physics.attitude.bounds import contact_of
from skirtloft.physics.attitude.lean import lean
from skirtloft.physics.attitude.tip_line import extent
from skirtloft.pipeline import Skirt
from skirtloft.service.diaphragm import added_stiffness
from skirtloft.sits.tips import centre_height, flies, hover_load, hull_points, tip_places, tips_drop, tips_of
from tests.designs import NAMES, TAUT, skirt_of


@pytest.mark.parametrize("name", NAMES)
def test_the_plan_is_that_of_the_skirt(name: str) -> None:
    """Chords of 7.5 deg in corners: area 4e-4 low, by (theta - sin theta)/2 r^2 a chord."""
    skirt = skirt_of(name)
    line = tips_of(skirt, 0)
    assert line.area == pytest.approx(skirt.plan.tip_area, rel=6e-4)
    assert line.area < skirt.plan.tip_area
    assert line.length.sum() == pytest.approx(skirt.plan.tip_perimeter, rel=3e-4)
    from skirtloft.checks.plan_rules import cushion_centre

    middle, long, wide = cushion_centre(skirt.plan)
    assert line.centre[0] == pytest.approx(middle, abs=1e-3)
    assert line.centre[1] == pytest.approx(0.0, abs=1e-12)
    assert extent(line, (1.0, 0.0)) == pytest.approx(long, abs=2e-3)
    assert extent(line, (0.0, 1.0)) == pytest.approx(wide, abs=2e-3)


def test_port_and_starboard_are_alike() -> None:
    line = tips_of(skirt_of("four-seat"), 0)
    half = len(line.length) // 2
    np.testing.assert_allclose(line.middle[:half], line.middle[::-1][:half] * [1.0, -1.0], atol=1e-12)
    for values in (line.stiffness, line.lever, line.drop, line.face_angle, line.curvature):
        np.testing.assert_array_equal(values[:half], values[::-1][:half])


def test_sections_of_the_sides() -> None:
    """On a side run: lever d - pi/8 w/sin 45 less than the web's, drop d, K and limit those of the station."""
    skirt = skirt_of("four-seat")
    line = tips_of(skirt, 0)
    i = skirt.plan.stations.ids.index("P11")
    k = int(np.argmin(np.abs(line.middle - [0.0 - 0.4, 1.0]).sum(axis=1)))
    shape = skirt.statics.shape
    web = float(shape.tip[i, 0] - shape.inner[i, 0])
    bulge = math.pi / 8.0 * float(shape.pitch[i]) / math.sin(math.pi / 4.0)  # half round, see `plan.tip_inset`
    assert line.lever[k] == pytest.approx(web + bulge, rel=2e-3)
    assert line.drop[k] == pytest.approx(0.280, rel=1e-9)
    assert line.stiffness[k] == pytest.approx(float(skirt.statics.stiffness[i]) / skirt.cushions[0].pressure, rel=2e-3)


def test_bends_are_those_of_the_tip_line() -> None:
    """Joint radius 750 mm less the inset of 197 mm: 1.807 per metre."""
    skirt = skirt_of("four-seat")
    line = tips_of(skirt, 0)
    assert set(np.round(line.curvature, 2)) == {0.0, 1.81, round(1.0 / (1.5 - skirt.plan.tip_inset), 2)}
    assert math.degrees(float((line.curvature * line.length).sum())) == pytest.approx(360.0, rel=1e-3)


def test_heights_are_above_the_tips() -> None:
    """Clearance 250 mm + z 620 mm; a lighter load lets the tips down a little."""
    skirt = skirt_of("four-seat")
    assert centre_height(skirt, 0) == pytest.approx(0.870, abs=1e-9)
    assert 0.0005 < tips_drop(skirt, 2) < 0.003
    assert centre_height(skirt, 2) == pytest.approx(0.250 + 0.570 + tips_drop(skirt, 2), abs=1e-12)
    hull = hull_points(skirt, 0)
    assert hull[:, 2].min() == pytest.approx(0.250, abs=1e-9)
    assert hull_points(skirt, 2)[:, 2].min() == pytest.approx(0.250 + tips_drop(skirt, 2), abs=1e-9)


def level(skirt: Skirt, load: int) -> tuple[float, float]:
    line, hover = tips_of(skirt, load), hover_load(skirt, load)
    found = lean(line, hover, np.zeros(2), contact_of(line, "likely"))
    return float(found.least_gap), float(found.flow)


@pytest.mark.parametrize("load", [0, 1, 2])
def test_level_it_hovers_where_the_fan_says(load: int) -> None:
    """Gap and flow of the air chapter, up to the corners' chords."""
    skirt = skirt_of("four-seat")
    assert skirt.air.match is not None
    gap, flow = level(skirt, load)
    assert gap == pytest.approx(float(skirt.air.match.at_speed.gap[load]), rel=2e-3)
    assert flow == pytest.approx(float(skirt.air.match.at_speed.air.cushion_flow[load]), rel=1e-3)


def test_the_flow_follows_the_fan_as_the_pressure_falls() -> None:
    """5 % less pressure: as a load 5 % lighter finds it."""
    from skirtloft.physics.operating import gap_at_speed

    skirt = skirt_of("four-seat")
    flow = hover_load(skirt, 0).flow
    assert callable(flow)
    match = skirt.air.match
    assert match is not None
    light = gap_at_speed(match.fan, skirt.air.system, np.array([0.95 * 700.0]), match.speed).air
    assert float(flow(light.cushion_pressure)[0]) == pytest.approx(float(light.cushion_flow[0]), rel=1e-4)


@pytest.mark.parametrize("changes", [(), (("air.fan.speed", "1500 rpm"),)])
def test_without_a_working_point_the_wanted_gap_is_taken(changes: tuple[tuple[str, str], ...]) -> None:
    skirt = skirt_of("four-seat", *changes)
    assert flies(skirt, 0) == (not changes)
    if changes:
        assert level(skirt, 0)[0] == pytest.approx(0.010, rel=2e-3)


def test_a_taut_diaphragm_of_the_file_makes_the_tips_stiffer() -> None:
    skirt = skirt_of("four-seat", *TAUT)
    result = skirt.service.diaphragm
    assert result is not None
    with_it, without = tips_of(skirt, 0), tips_of(skirt, 0, diaphragm=False)
    own = result.sized.stretch_stiffness + result.sized.turn_stiffness  # N m/rad/m
    at = 0.5 * (tip_places(skirt.plan)[:-1] + tip_places(skirt.plan)[1:])
    more = np.interp(at, skirt.plan.stations.at, own) / skirt.cushions[0].pressure
    np.testing.assert_allclose((with_it.stiffness - without.stiffness)[: len(at)], more, rtol=1e-9)
    # slack, it adds nothing: it takes 166 to 197 Pa to draw it taut
    for pressure, held in ((150.0, False), (250.0, True)):
        stiffer = added_stiffness(result, pressure)
        assert stiffer is not None
        assert bool((stiffer > 0.0).all()) == held
    assert added_stiffness(None, 600.0) is None
