"""The air block of the results: documented, its numbers agree with each other, energy closes at the design."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from skirtloft.design.read import parse_design
from skirtloft.export.json import render
from skirtloft.pipeline import build
from skirtloft.results import results
from tests.designs import EXAMPLES, NAMES, skirt_of

DOCS = Path(__file__).parents[2] / "docs" / "results.md"


def block(name: str, *changes: tuple[str, str]) -> dict[str, Any]:
    return json.loads(render(results(skirt_of(name, *changes), "x")))["air"]  # type: ignore[no-any-return]


def keys(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for item in value.values() for key in keys(item)}
    return {key for item in value for key in keys(item)} if isinstance(value, list) else set()


@pytest.mark.parametrize("name", NAMES)
def test_every_key_is_documented(name: str) -> None:
    text = DOCS.read_text(encoding="utf-8")
    told = {word.removesuffix("[]").rpartition(".")[2] for word in re.findall(r"`([^`]+)`", text)}
    assert sorted(keys(block(name)) - told) == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("index", [0, 1])
def test_watts_sum_to_the_engine_and_the_air_to_the_fan(name: str, index: int) -> None:
    """The energy balance at the design, on the arrays that the results are made from: 1e-9."""
    air = skirt_of(name).air
    need = air.need.fan_pressure[index] * air.need.fan_flow[index]
    assert air.need_watts.power[:, index].sum() == pytest.approx(need, rel=1e-9)
    if air.match is not None:
        engine = air.match.at_speed.engine_power[index]
        assert air.match.watts.power[:, index].sum() == pytest.approx(engine, rel=1e-9)


def test_needed_air_is_the_air_of_the_loads() -> None:
    """The gap flow of the lift path is that of the cushion: Q = Cd h L sqrt(2 p/rho), no losses, leaks beside it."""
    for name in NAMES:
        skirt = skirt_of(name)
        for i, cushion in enumerate(skirt.cushions):
            assert skirt.air.need.gap_flow[i] == pytest.approx(cushion.flow, rel=1e-12)
            assert skirt.air.need.cushion_pressure[i] == pytest.approx(cushion.pressure, rel=1e-12)
            assert cushion.air_power == pytest.approx(cushion.pressure * cushion.flow, rel=1e-12)
        assert sum(skirt.air.system.escape.length) == pytest.approx(skirt.plan.tip_perimeter, rel=1e-12)
        assert sum(skirt.air.segments) == sum(p.quantity for p in skirt.pieces if p.kind == "face")


def test_a_failure_is_told_with_its_margin() -> None:
    load = block("four-seat", ("air.fan.speed", "1700 rpm"))["loads"][0]
    failure = load["at_set_speed"]["failure"]
    assert failure["name"] == "too weak"
    assert failure["margin"] < 0.0
    assert failure["unit"] == "Pa"
    assert load["at_set_speed"]["gap_m"] is None
    assert load["at_wanted_gap"]["failure"] is None


def test_without_fan_and_losses_there_is_what_a_fan_must_give() -> None:
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    bare = text[: text.index("engine_power")] + "\n" + text[text.index("[cloth.loop]") :]
    air = json.loads(render(results(build(parse_design(bare)), "x")))["air"]
    assert air["limits"] is air["watts"] is air["start_up"] is air["loads"][0]["at_set_speed"] is None
    needed = air["loads"][0]["needed"]
    assert needed["fan_pressure_pa"] == needed["cushion_pressure_pa"]


def test_a_run_that_hangs_higher_lets_out_more() -> None:
    """Offsets add to the gap run by run; a corner takes the mean of its neighbours (closed form)."""
    even, higher = skirt_of("four-seat").air, skirt_of("four-seat", ("air.gap_by_run.stern", "5 mm")).air
    lift = dict(zip(higher.runs, higher.system.escape.lift, strict=True))
    assert lift["stern"] == pytest.approx(0.005)
    assert lift["stern_corner"] == pytest.approx(0.0025)
    assert lift["side"] == lift["bow"] == 0.0
    length = dict(zip(even.runs, even.system.escape.length, strict=True))
    share = (0.005 * length["stern"] + 0.0025 * length["stern_corner"]) / (0.01 * sum(length.values()))
    assert higher.need.gap_flow[0] / even.need.gap_flow[0] - 1.0 == pytest.approx(share, rel=1e-9)
    assert math.isfinite(higher.need.fan_flow[0])
