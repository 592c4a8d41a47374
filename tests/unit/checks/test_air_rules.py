"""Every rule on the lift air on both sides of its limits, on the four-seat example changed where it must be."""

from __future__ import annotations

import pytest

from skirtloft.checks.finding import Finding
from skirtloft.design.read import parse_design
from skirtloft.errors import DesignError
from skirtloft.pipeline import Skirt, build
from tests.designs import EXAMPLES, skirt_of

FOUR = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
POINTS = FOUR[FOUR.index("points = [") : FOUR.index("]\n", FOUR.index("points = [")) + 2]


def curve(*points: tuple[float, float]) -> str:
    rows = "".join(f'    {{ flow = "{q} m3/s", pressure = "{p} Pa" }},\n' for q, p in points)
    return f"points = [\n{rows}]\n"


def skirt_with(fan: str = POINTS, more: str = "", *changes: tuple[str, str]) -> Skirt:
    text = FOUR.replace(POINTS, fan).replace("[cloth.loop]", more + "\n[cloth.loop]", 1)
    return build(parse_design(text, changes))


def pick(skirt: Skirt, rule: str) -> Finding:
    found = [f for f in skirt.findings if f.rule == rule]
    assert len(found) == 1, f"{rule} found {len(found)} times"
    for words in (found[0].where, found[0].why, found[0].change, found[0].source):
        assert words
    return found[0]


def speed(rpm: float) -> tuple[str, str]:
    return ("air.fan.speed", f"{rpm} rpm")


# rule, changes, verdict; values just inside and just outside, found by the closed forms named.
CASES = [
    # most surplus goes with speed squared: 670 Pa of cushion against 1370 Pa at 2600 rpm
    ("fan-carries-load", (speed(1840),), "pass"),
    ("fan-carries-load", (speed(1700),), "fail"),
    # least gap 3 mm, wanted 10 mm; 2282 rpm gives 10 mm
    ("fan-gap", (speed(2290),), "pass"),
    ("fan-gap", (speed(2270),), "warn"),
    ("fan-gap", (speed(1820),), "fail"),
    # tips at n D/2: 115 m/s at 3661 rpm, 167 m/s at 5316 rpm
    ("fan-tip-speed", (speed(3655),), "pass"),
    ("fan-tip-speed", (speed(3670),), "warn"),
    ("fan-tip-speed", (speed(5310),), "warn"),
    ("fan-tip-speed", (speed(5325),), "fail"),
    ("fan-tip-speed", (speed(5325), ("air.fan.blades", "metal")), "warn"),
    # area ratio: 94 holes of 58 mm give 3.486; it goes with the square of the diameter
    ("feed-choked", (("air.loss[5].diameter", "54 mm"),), "pass"),
    ("feed-choked", (("air.loss[5].diameter", "53 mm"),), "warn"),
    ("feed-choked", (("air.loss[5].diameter", "43 mm"),), "fail"),
    # 3790 W needed for the heaviest load: reserve 1.5 asks for 5.69 kW
    ("engine-power", (("air.engine_power", "5.75 kW"),), "pass"),
    ("engine-power", (("air.engine_power", "5.6 kW"),), "warn"),
    ("engine-power", (("air.engine_power", "3.7 kW"),), "fail"),
    # shut-off at 2550 rpm is 1330 (2550/2600)^2 1.2386/1.2 = 1320 Pa; 692 Pa under the hull; holes: head of water
    ("gets-up-from-water", (("air.water.hole_height", "-20 mm"),), "pass"),
    ("gets-up-from-water", (("air.water.hole_height", "-40 mm"),), "fail"),
    ("gets-up-from-water", (("air.water.aboard", "590 kg"),), "pass"),
    ("gets-up-from-water", (("air.water.aboard", "620 kg"),), "fail"),
    ("segments-spare", (speed(2550),), "pass"),
    ("segments-spare", (speed(2500),), "warn"),
    ("fan-leaks", (), "pass"),
    ("fan-leaks", (("air.leak[0].area", "700 cm2"),), "fail"),
    ("fan-on-curve", (), "pass"),
    ("fan-on-curve", (("air.loss[5].diameter", "120 mm"), speed(5200)), "fail"),
]


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_rule_on_both_sides(rule: str, changes: tuple[tuple[str, str], ...], verdict: str) -> None:
    found = pick(skirt_of("four-seat", *changes), rule)
    assert found.verdict == verdict, found


SHORT = curve((0.0, 1330.0), (1.4, 1370.0), (2.0, 1320.0))
LATE = curve((2.9, 900.0), (3.2, 830.0), (3.8, 350.0))
HUMPED = curve((0.0, 500.0), (1.4, 700.0), (2.4, 1250.0), (2.6, 1160.0), (3.2, 830.0), (3.8, 350.0))
RISING = curve((0.0, 900.0), (3.0, 1100.0), (3.8, 300.0))
STEEP = curve((0.0, 200.0), (0.8, 300.0), (1.6, 560.0), (2.4, 876.0), (3.2, 1200.0), (3.8, 300.0))


def test_off_the_curve_at_either_end_names_the_margin() -> None:
    """At the last point 1320 Pa is more than the system asks for; before 2.9 m3/s it asks for more than 900 Pa."""
    beyond = pick(skirt_with(SHORT), "fan-on-curve")
    assert beyond.verdict == "fail"
    assert beyond.value > 100.0
    before = pick(skirt_with(LATE, "", speed(2300)), "fan-on-curve")
    assert before.verdict == "fail"
    assert before.value > 0.0
    assert "before" in before.why


def test_stall_and_a_second_meeting() -> None:
    good = skirt_of("four-seat")
    assert pick(good, "fan-stall").verdict == pick(good, "fan-one-point").verdict == "pass"
    humped = skirt_with(HUMPED)
    assert pick(humped, "fan-one-point").verdict == "warn"
    assert pick(humped, "gets-up-from-water").verdict == "fail"
    assert pick(skirt_with(RISING), "fan-stall").verdict == "warn"  # point below 3 m3/s, to where it rises


def test_a_point_that_does_not_hold_itself() -> None:
    """887 Pa at 2.38 m3/s: losses rise by 183 Pa s/m3 there, similar points by 746, a steep fan by 400."""
    assert pick(skirt_of("four-seat"), "fan-stable").value > 0.0
    found = pick(skirt_with(STEEP), "fan-stable")
    assert found.verdict == "fail"
    assert found.value < 0.0


def test_two_numbers_are_an_estimate() -> None:
    skirt = skirt_with('free_flow = "4 m3/s"\nshut_off = "1400 Pa"\n')
    assert pick(skirt, "fan-estimated").verdict == "note"
    assert not [f for f in skirt_of("four-seat").findings if f.rule == "fan-estimated"]


def test_a_fan_without_losses_gets_a_note() -> None:
    start, end = FOUR.index('[[air.loss]]\nkind = "guard"'), FOUR.index("[air.fan]")
    skirt = build(parse_design(FOUR[:start] + FOUR[end:]))
    assert pick(skirt, "losses-told").verdict == "note"
    assert not [f for f in skirt.findings if f.rule == "feed-choked"]


BATTERY = '[air.battery]\nvoltage = "48 V"\ncapacity = "{capacity} Ah"\nresistance = "{resistance} mohm"\n'


@pytest.mark.parametrize(
    ("capacity", "resistance", "gives", "lasts"),
    [
        # 3790 W/(.88 .96) = 4487 W; 48 V through R gives 48^2/(4 R) = 4800 W at 120 mohm, 4430 W at 130 mohm
        (200.0, 120.0, "pass", "pass"),
        (200.0, 130.0, "fail", "warn"),
        # without resistance 93.5 A: 10 min take 15.6 Ah, of 80 % of 19.5 Ah
        (19.7, 0.0, "pass", "pass"),
        (19.2, 0.0, "pass", "warn"),
    ],
)
def test_battery(capacity: float, resistance: float, gives: str, lasts: str) -> None:
    skirt = skirt_with(POINTS, BATTERY.format(capacity=capacity, resistance=resistance))
    assert pick(skirt, "battery-can-give").verdict == gives
    assert pick(skirt, "battery-lasts").verdict == lasts


def test_without_a_fan_only_the_feed_is_judged() -> None:
    text = FOUR[: FOUR.index("[air.fan]")] + FOUR[FOUR.index("[cloth.loop]") :]
    rules = {f.rule for f in build(parse_design(text)).findings}
    assert "feed-choked" in rules
    assert not {rule for rule in rules if rule.startswith("fan")}


REFUSED = {
    "tips above the speed of sound": (POINTS, (speed(11000),), "air.fan.speed", "speed of sound"),
    "tested above the speed of sound": (
        POINTS, (("air.fan.tested_speed", "11000 rpm"),), "air.fan.tested_speed", "speed of sound",
    ),
    "free flow as a working flow": ('free_flow = "6 m3/s"\n', (), "air.fan.free_flow", "blows against nothing"),
    "free flow as the only point": (curve((6.0, 0.0)), (), "air.fan.points", "blows against nothing"),
    "two points": (curve((0.0, 900.0), (3.0, 100.0)), (), "air.fan.points", "at least three"),
    "flows out of order": (
        curve((1.0, 900.0), (0.5, 700.0), (3.0, 100.0)), (), "air.fan.points[1].flow", "rise from point to point",
    ),
    "pressure in the wrong unit": (
        curve((0.0, 90000.0), (1.0, 80000.0), (3.0, 100.0)), (), "air.fan.pressure", "cannot give more",
    ),
    "more out than in": (
        POINTS.replace('"4.9 kW"', '"0.9 kW"'), (), "air.fan.points[4].power", "More comes out than goes in",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_absurd_fans_are_refused_with_the_reason(case: str) -> None:
    fan, changes, path, words = REFUSED[case]
    with pytest.raises(DesignError) as refused:
        skirt_with(fan, "", *changes)
    (problem,) = refused.value.problems
    assert problem.path == path
    assert words in problem.wrong
    assert problem.would_do
