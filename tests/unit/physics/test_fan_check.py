"""Absurd fans are refused with their reason; a sane one is not. Limits: closed forms and ISO 2533 for sound."""

from __future__ import annotations

from dataclasses import replace

import pytest

from skirtloft.physics.fan_check import FanData, fan_problems
from tests.lift_cases import FLOWS, HUMPED, POWERS, RPM, SPEED

SANE = FanData(flow=FLOWS, pressure=HUMPED, power=POWERS, speed=SPEED, diameter=0.6)
TWO = FanData(free_flow=4.0, shut_off=1200.0, speed=SPEED, diameter=0.6)


def said(fan: FanData) -> list[tuple[str, str]]:
    return [(problem.path, problem.wrong) for problem in fan_problems(fan, sound=340.3)]


def test_sane_fans_pass() -> None:
    assert said(SANE) == []
    assert said(TWO) == []
    assert said(replace(SANE, power=())) == []


@pytest.mark.parametrize(
    "fan, path, word",
    [
        (replace(SANE, speed=11_000 * RPM), "air.fan.speed", "speed of sound"),  # pi 0.6 183 = 345.6 m/s
        (replace(SANE, pressure=(0.0,) * 8, power=()), "air.fan.points", "free-air flow"),
        (replace(TWO, shut_off=None), "air.fan.free_flow", "free-air flow"),
        (replace(TWO, shut_off=0.0), "air.fan.free_flow", "free-air flow"),
        (replace(TWO, free_flow=None), "air.fan.free_flow", "no curve"),
        (replace(TWO, free_flow=-1.0), "air.fan.free_flow", "moves air"),
        (FanData(), "air.fan", "no curve"),
        (replace(SANE, flow=FLOWS[:2], pressure=HUMPED[:2], power=()), "air.fan.points", "at least three"),
        (replace(SANE, pressure=HUMPED[:5]), "air.fan.points", "lack a value"),
        (replace(SANE, flow=(0.0, 0.5, 0.5, *FLOWS[3:])), "air.fan.points[2].flow", "must rise"),
        (replace(SANE, pressure=(*HUMPED[:-1], -5.0)), "air.fan.points[7].pressure", "blown through"),
        # 2.5 m3/s at 950 Pa is 2375 W of air
        (replace(SANE, power=(*POWERS[:5], 2374.0, *POWERS[6:])), "air.fan.points[5].power", "More comes out"),
        # tips at 75.4 m/s: 2 rho u^2 = 13 644 Pa
        (replace(TWO, shut_off=14_000.0), "air.fan.pressure", "cannot give more than"),
        # 2 u pi/4 D^2 = 42.6 m3/s
        (replace(TWO, free_flow=43.0), "air.fan.flow", "cannot pass more than"),
    ],
)
def test_refused(fan: FanData, path: str, word: str) -> None:
    found = said(fan)
    assert [place for place, _ in found] == [path]
    assert word in found[0][1]


def test_just_inside_the_limits() -> None:
    assert said(replace(TWO, shut_off=13_600.0)) == []
    assert said(replace(TWO, free_flow=42.0)) == []
    assert said(replace(SANE, speed=10_800 * RPM)) == []  # 339.3 m/s
    assert said(replace(SANE, power=(*POWERS[:5], 2375.0, *POWERS[6:]))) == []


def test_every_problem_at_once() -> None:
    found = said(replace(SANE, flow=(0.0, 0.6, 0.5, *FLOWS[3:]), speed=11_000 * RPM))
    assert [place for place, _ in found] == ["air.fan.points[2].flow", "air.fan.speed"]
