"""Loads on water from solved skirts, against closed forms and the published hump."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.design.read import parse_design
from skirtloft.physics.water.drag import drag
from skirtloft.pipeline import Skirt, build
from skirtloft.sits.on_water import LoadOnWater, OnWater, on_water, thrust_of
from skirtloft.sits.sits import sits_of
from tests.designs import EXAMPLES, NAMES, skirt_of

THRUST = (("under_way.static_thrust", "620 N"), ("under_way.disc", "1.1 m"))


def of(skirt: Skirt) -> OnWater:
    return on_water(skirt, sits_of(skirt, skirt.design.craft.load[0].name))


def first(*changes: tuple[str, str]) -> LoadOnWater:
    return of(skirt_of("four-seat", *changes)).loads[0]


@pytest.mark.parametrize("name", NAMES)
def test_every_example_has_a_hump_and_a_hollow(name: str) -> None:
    skirt = skirt_of(name)
    water = on_water(skirt)
    assert water.has_thrust == (name == "four-seat")
    assert not water.frontal_given
    for load in water.loads:
        assert load.hollow == pytest.approx(load.craft.mass * 9.80665 / skirt.plan.tip_area / (1000.0 * 9.80665))
        assert load.craft.area == skirt.plan.tip_area
        for level in load.levels.values():
            if water.has_thrust:
                assert level.gets_over
                continue
            assert not level.gets_over
            assert -level.least_margin >= level.hump_drag  # most drag around the hump: what it needs


def test_the_hump_is_the_published_one() -> None:
    """B/L 0.449: F between 0.6523 (0.4) and 0.6273 (0.5), linear theory, sources/s05_hump.csv."""
    load = first()
    ratio = load.craft.beam / load.craft.length
    froude = load.levels["best"].hump_speed / math.sqrt(9.80665 * load.craft.length)
    assert froude == pytest.approx(np.interp(ratio, [0.4, 0.5], [0.6523, 0.6273]), abs=0.002)
    cw = float(np.interp(ratio, [0.4, 0.5], [2.1830, 2.3959]))
    force = cw * load.craft.pressure**2 * load.craft.beam / (1000.0 * 9.80665)
    assert load.levels["best"].hump_wave == pytest.approx(force, rel=0.01)


def test_thrust_is_that_of_the_file() -> None:
    """Standing still 620 N; at the hump less, by momentum theory, and the margin is thrust less drag."""
    load = first(*THRUST)
    thrust = thrust_of(skirt_of("four-seat", *THRUST))
    assert thrust is not None
    assert float(thrust(np.zeros(1))[0]) == pytest.approx(620.0)
    best = load.levels["best"]
    assert 500.0 < best.hump_thrust < 620.0
    assert best.least_margin <= best.hump_thrust - best.hump_drag + 1e-9
    assert best.gets_over
    top = best.top_speed
    total = float(np.interp(top, load.curves["best"].speed, load.curves["best"].total))
    assert total == pytest.approx(float(thrust(np.array([top]))[0]), rel=2e-3)
    assert load.fast == top


def test_points_are_a_thrust_too() -> None:
    points = '[{ speed = "0 m/s", thrust = "500 N" }, { speed = "10 m/s", thrust = "400 N" }]'
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    thrust = thrust_of(build(parse_design(f"{text}\n[under_way]\nthrust = {points}\n"), cut=False))
    assert thrust is not None
    assert float(thrust(np.array([5.0]))[0]) == pytest.approx(450.0)


def test_factors_of_the_file_replace_those_of_the_program() -> None:
    """Wave drag goes with its factor; the air's with frontal area (closed form)."""
    plain = first()
    changes = (("under_way.wave", "[0.9, 1.1, 1.3]"), ("under_way.frontal_area", "1.428 m2"))
    other = first(*changes)
    was = plain.curves["best"]  # at its own speeds: how far they go follows the top speed
    skirt = skirt_of("four-seat", *changes)
    best = drag(other.craft, was.speed, "best", on_water(skirt, sits_of(skirt, "full")).factors)
    np.testing.assert_allclose(best.wave, 1.1 * was.wave, rtol=1e-9)
    np.testing.assert_allclose(best.air, was.air * 1.428 / plain.craft.frontal_area, rtol=1e-9)
    # 2.4 m wide, (250 + 340 + 600) mm tall
    assert plain.craft.frontal_area == pytest.approx(2.4 * 1.19, rel=1e-6)


def test_salt_water_is_lower() -> None:
    """R goes with 1/rho_w."""
    fresh, salt = first(), first(("under_way.water", "salt"))
    was = fresh.curves["best"]
    np.testing.assert_allclose(drag(salt.craft, was.speed, "best").wave, was.wave / 1.025, rtol=1e-9)
    assert salt.hollow == pytest.approx(fresh.hollow / 1.025)


def test_heights_are_above_the_tips() -> None:
    load = first(("under_way.thrust_height", "1.1 m"), ("under_way.frontal_height", "0.4 m"))
    assert load.heights.thrust == pytest.approx(1.35)
    assert load.heights.intake == pytest.approx(1.35)  # left out: as the thrust line
    assert load.heights.air == pytest.approx(0.65)
    assert load.heights.centre == pytest.approx(0.87)


def test_the_bow_by_hand() -> None:
    """Thrust cut, fast: (R z_cg - R_air z_air - R_intake z_intake)/(m g) + 3 mm ahead, moments about the water."""
    load = first(*THRUST)
    held = load.bow["with the thrust cut"]
    drags, at = load.curves["best"], load.fast
    total, air, momentum = (float(np.interp(at, drags.speed, part)) for part in
                            (drags.total, drags.air, drags.momentum))  # fmt: skip
    moment = total * load.heights.centre - air * load.heights.air - momentum * load.heights.intake
    assert float(held.offset[1]) == pytest.approx(0.00263 + moment / (700.0 * 9.80665), abs=2e-4)
    curve = sits_of(skirt_of("four-seat", *THRUST), "full").loads[0].curves["bow"]["likely"]
    assert float(held.margin[1]) == pytest.approx((curve.most_held - float(held.offset[1])) / curve.extent, rel=1e-9)


def test_a_higher_thrust_line_presses_the_bow_down() -> None:
    low, high = (first(*THRUST, ("under_way.thrust_height", text)) for text in ("0.6 m", "1.6 m"))
    gain = high.bow["under thrust"].offset[0] - low.bow["under thrust"].offset[0]
    push, momentum = (float(np.interp(low.levels["best"].hump_speed, low.curves["best"].speed, part)) for part in
                      (low.push, low.curves["best"].momentum))  # fmt: skip
    # one metre higher, the intake with it: (T - R_intake) 1 m/(m g)
    assert float(gain) == pytest.approx((push - momentum) / (700.0 * 9.80665), rel=2e-3)


def test_tips_are_pulled_under_by_the_square_of_the_speed() -> None:
    """C rho/2 V^2 s (z - s/2) = held moment (0.9 of the way to straight), s a tenth of the depth."""
    from skirtloft.physics.turning import taut_limits

    skirt = skirt_of("four-seat")
    held = float(taut_limits(skirt.statics).held_moment[0, 0])
    assert held > 0.0
    assert 0.5 * 1000.0 * first().tuck ** 2 * 0.028 * (0.280 - 0.014) == pytest.approx(held, rel=1e-9)
