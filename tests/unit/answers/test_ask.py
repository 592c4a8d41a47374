"""Answers on air: every question of every kind of file, wrong requests, and what gives first against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.answers.ask import ANSWERS, Asked, answer
from skirtloft.answers.first_to_give import by_mass, by_shift, findings_with
from skirtloft.answers.subject import COMPUTED, THROUGH_GAP
from skirtloft.checks.plan_rules import cushion_centre
from skirtloft.cli import main
from skirtloft.design.model import Design
from skirtloft.design.read import load_design, parse_design
from skirtloft.errors import DesignError
from skirtloft.physics.operating import gap_at_speed
from skirtloft.pipeline import build
from tests.designs import EXAMPLES, NAMES, skirt_of

FOUR = str(EXAMPLES / "four-seat.toml")
TEXT = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")


def designs() -> dict[str, Design]:
    bare = TEXT[: TEXT.index("engine_power")] + "\n" + TEXT[TEXT.index("[cloth.loop]") :]
    losses = TEXT[: TEXT.index("[air.fan]")] + TEXT[TEXT.index("[cloth.loop]") :]
    start, end = TEXT.index("points = ["), TEXT.index("]\n", TEXT.index("points = [")) + 2
    two = TEXT[:start] + 'free_flow = "4 m3/s"\nshut_off = "1300 Pa"\n' + TEXT[end:]
    found = {name: load_design(EXAMPLES / f"{name}.toml") for name in NAMES}
    found |= {"bare": parse_design(bare), "no fan": parse_design(losses), "two numbers": parse_design(two)}
    for name, changes in {
        "both units": {"project.show": "both"},
        "imperial": {"project.show": "imperial"},
        "too weak": {"air.fan.speed": "1500 rpm"},
        "weak for one": {"air.fan.speed": "1700 rpm"},
        "leaky": {"air.leak[0].area": "900 cm2"},
        "fast": {"air.fan.speed": "6000 rpm"},
        "rough": {"air.roughness": "15 mm", "air.gap_by_run.bow": "4 mm"},
        "splitter": {"air.lift_share": "0.35"},
    }.items():
        found[name] = parse_design(TEXT, changes)
    return found


DESIGNS = designs()


@pytest.mark.parametrize("name", DESIGNS)
def test_every_question_of_every_file_has_an_answer(name: str) -> None:
    for asked in (Asked(), *(Asked(questions=(question,)) for question in ANSWERS)):
        lines, _ = answer(DESIGNS[name], asked)
        text = "\n".join(lines)
        assert len(lines) > 1
        assert "nan" not in text.replace("nanometre", "")
        assert " inf" not in text
        assert "None" not in text


@pytest.mark.parametrize("name", ["four-seat", "bare", "too weak", "imperial"])
def test_limits_of_every_file(name: str) -> None:
    text = "\n".join(answer(DESIGNS[name], Asked(limits=True))[0])
    assert "balance-sideways" in text
    assert "nan" not in text


@pytest.mark.parametrize("name", DESIGNS)
def test_no_power_without_its_caution(name: str) -> None:
    """Wherever watts or horsepower are printed, the sentence that says what they are stands below them."""
    for question in ANSWERS:
        text = " ".join("\n".join(answer(DESIGNS[name], Asked(questions=(question,)))[0]).split())
        if any(f"{unit} " in text for unit in (" W", " kW", " hp")):
            assert THROUGH_GAP in text or COMPUTED in text or "screening figure" in text, question
    text = " ".join("\n".join(answer(DESIGNS[name], Asked())[0]).split())
    assert THROUGH_GAP in text
    assert COMPUTED in text
    assert "Fans kill" in text


def test_the_first_line_and_the_exit_code_say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["air", FOUR]) == 0
    assert capsys.readouterr().out.startswith("YES")
    assert main(["air", FOUR, "--speed", "1700 rpm"]) == 1
    out = capsys.readouterr().out
    assert out.startswith("NO ")
    assert "too weak, margin -" in out
    assert main(["air", FOUR, "--gap", "17 mm", "--load", "solo"]) == 0
    assert "fan-gap" in capsys.readouterr().out.splitlines()[0]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--load", "empty"], '"two aboard"'),
        (["--mass", "480"], "unit"),
        (["--mass", "4 kg"], "20 kg"),
        (["--mass", "480 kg", "--load", "solo"], "not both"),
        (["--free-flow", "3 m3/s"], "--power"),
        (["--power", "1 hp"], "--free-flow"),
        (["--free-flow", "3 m", "--power", "1 hp"], "m3/s"),
        (["--speed", "fast"], "air.fan.speed"),
        (["--speed", "11000 rpm"], "speed of sound"),
        (["--gap", "10"], "air.gap"),
    ],
)
def test_wrong_requests_are_told(words: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["air", FOUR, *words]) == 2
    err = capsys.readouterr().err
    assert told in err
    assert "Traceback" not in err


def test_what_gives_first_by_mass_is_where_the_rule_changes() -> None:
    """Each printed mass: a little less and the rule still says better, a little more and it does not."""
    skirt = skirt_of("four-seat")
    rank = {"note": 0, "pass": 0, "warn": 1, "fail": 2}
    giving = by_mass(skirt)
    assert giving[0].rule == "segments-spare"
    for row in giving:
        for value, level in ((row.warns, 1), (row.fails, 2)):
            if value is not None:
                below, above = (
                    {f.rule: rank[f.verdict] for f in findings_with(skirt, extra_mass=value + step)}[row.rule]
                    for step in (-0.4, 0.01)
                )
                assert below < level <= above, row


def test_mass_against_the_closed_forms_of_the_air() -> None:
    """`mass_limits` solves the same limits directly: wanted gap, no gap at all, engine at the wanted gap."""
    skirt = skirt_of("four-seat")
    assert skirt.air.match is not None
    extra = dict(zip(skirt.air.match.limits.names, skirt.air.match.limits.extra[:, 0], strict=True))
    found = {row.rule: row for row in by_mass(skirt)}
    assert found["fan-gap"].warns == pytest.approx(extra["gap"], abs=0.4)
    assert found["fan-carries-load"].fails == pytest.approx(extra["fan"], abs=0.5)
    assert found["engine-power"].fails == pytest.approx(extra["engine"], abs=0.4)
    assert found["fan-stall"].warns is not None
    assert found["fan-stall"].warns < extra["stall"]  # 10 % before the stalled side itself


def test_the_least_gap_fails_before_the_fan_carries_nothing() -> None:
    """The first load passes through the least gap on its way down; then it drops out of the rule on gaps."""
    skirt = skirt_of("four-seat")
    match, least = skirt.air.match, skirt.design.air.least_gap
    assert match is not None
    found = {row.rule: row for row in by_mass(skirt)}["fan-gap"]
    assert found.fails is not None
    load = skirt.design.craft.load[0].mass
    at = gap_at_speed(
        match.fan, skirt.air.system, np.array([load + found.fails - 0.5, load + found.fails + 0.5]), match.speed
    )
    assert at.gap[0] > least > at.gap[1]


def test_shift_against_the_rule_on_balance() -> None:
    """3 % of the cushion's length from its centre, for the load that lies furthest that way; 1 % of its width."""
    skirt = skirt_of("four-seat")
    centre, length, width = cushion_centre(skirt.plan)
    x = [load.x for load in skirt.design.craft.load]
    found = {along: {g.rule: g for g in by_shift(skirt, along)} for along in ("forward", "aft", "sideways")}
    assert found["forward"]["balance-fore-aft"].warns == pytest.approx(centre + 0.03 * length - max(x), abs=1e-3)
    assert found["aft"]["balance-fore-aft"].warns == pytest.approx(min(x) - centre + 0.03 * length, abs=1e-3)
    assert found["sideways"]["balance-sideways"].warns == pytest.approx(0.01 * width, abs=1e-3)


def test_segments_may_be_lost_until_the_least_gap() -> None:
    lost = skirt_of("four-seat").air.match
    assert lost is not None
    count = int(lost.segments_lost.may_be_lost)
    gap = lost.segments_lost.gap
    assert gap[count] >= 0.003 > gap[count + 1]
    assert math.isnan(gap[-1])


def test_a_batch_of_designs_through_the_whole_flow() -> None:
    """Speeds, gaps and masses together: every design ends in findings, and each point that is none in its own rule."""
    solved = 0
    for speed in ("900 rpm", "1800 rpm", "2550 rpm", "4200 rpm"):
        for gap in ("3 mm", "12 mm", "60 mm"):
            for mass in ("250 kg", "700 kg", "1600 kg"):
                changes = {"air.fan.speed": speed, "air.gap": gap, "craft.load[0].mass": mass}
                skirt = build(parse_design(TEXT, changes))
                match = skirt.air.match
                assert match is not None
                failing = {f.rule for f in skirt.findings if f.verdict == "fail"}
                for code, rule in ((1, "fan-carries-load"), (2, "fan-on-curve"), (3, "fan-on-curve"), (4, "fan-leaks")):
                    if (match.at_speed.failure == code).any():
                        assert rule in failing
                solved += 1
    assert solved == 36


def test_an_impossible_request_is_refused_before_anything_is_built() -> None:
    with pytest.raises(DesignError):
        build(parse_design(TEXT, {"air.fan.speed": "12000 rpm"}))


@pytest.mark.parametrize(
    ("key", "band"),
    [
        ("bag.fan_efficiency", "[0, 0.5, 0.6]"),
        ("bag.fan_efficiency", "[0.9, 1.0, 1.5]"),
        ("bag.drive_efficiency", "[0.9, 1.5, 2]"),
        ("bag.bag_ratio", "[0.5, 0.6, 0.7]"),
        ("full_segment.hole_ratio", "[0, 0.5, 0.6]"),
        ("full_segment.hole_discharge", "[0.5, 0.6, 1.2]"),
        ("loop_and_segment.leakage", "[0, 1, 2]"),
    ],
)
def test_assumptions_that_cannot_be_are_refused(key: str, band: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["air", FOUR, "--compare", "--set", f"air.kinds.{key}={band}"]) == 2
    err = capsys.readouterr().err
    assert f"air.kinds.{key}" in err
    assert "Traceback" not in err


@pytest.mark.parametrize("words", [("-3 m3/s", "1 hp"), ("3 m3/s", "0 W"), ("0 m3/s", "-1 hp")])
def test_a_free_flow_or_power_that_is_none_is_refused(
    words: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["air", FOUR, f"--free-flow={words[0]}", f"--power={words[1]}"]) == 2
    assert "above zero" in capsys.readouterr().err


def test_a_fan_passes_no_more_than_its_free_flow(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["air", FOUR, "--free-flow", "0.1 m3/s", "--power", "5 hp"]) == 0
    assert "at most 0.1 m3/s is left" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(("blades", "gap"), [("metal", "100 mm"), ("plastic", "60 mm")])
def test_no_speed_is_advised_that_the_blades_do_not_stand(blades: str, gap: str) -> None:
    skirt = skirt_of("four-seat", ("air.fan.blades", blades), ("air.gap", gap))
    found = {finding.rule: finding for finding in skirt.findings}
    assert found["fan-tip-speed-at-gap"].verdict == "fail"
    assert "Take a larger fan" in found["fan-gap"].change
    assert "rpm gives" not in found["fan-carries-load"].change


def test_the_four_seat_tips_are_slow_enough_at_the_wanted_gap() -> None:
    """2282 rpm on 600 mm: 71.7 m/s (closed form: speed times half the diameter)."""
    found = {finding.rule: finding for finding in skirt_of("four-seat").findings}["fan-tip-speed-at-gap"]
    assert found.verdict == "pass"
    assert found.value == pytest.approx(2282.0 * 2.0 * math.pi / 60.0 * 0.3, rel=1e-3)


def test_getting_up_from_water_is_about_shut_off_pressure_only() -> None:
    """A curve that ends too early has no point, which is another rule's; its shut-off pressure is as it was."""
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not any(f'flow = "{q}' in line for q in ("2.", "3.", "4."))]
    found = {finding.rule: finding for finding in build(parse_design("\n".join(lines))).findings}
    assert found["fan-on-curve"].verdict == "fail"
    assert found["gets-up-from-water"].verdict == "pass"
    assert found["gets-up-from-water"].value > 0.0


@pytest.mark.parametrize(
    "line",
    ['kind = "bend"\narea = "0.3 m2"', 'kind = "frames"\narea = "0.3 m2"\nfree_area = "0.2 m2"'],
)
def test_bends_and_frames_with_a_factor_of_their_own_count(line: str) -> None:
    """Three of a kind, one after the other, cost three times one (closed form: their drops add up)."""
    text = (EXAMPLES / "four-seat.toml").read_text(encoding="utf-8")

    def factor(count: int) -> float:
        added = f'[[air.loss]]\nname = "told"\nfactor = 0.25\ncount = {count}\n' + line
        system = build(parse_design(f"{text}\n{added}\n")).air.system
        return next(float(np.ravel(loss.factor)[0]) for loss in system.losses if loss.name == "told")

    assert factor(3) == pytest.approx(3.0 * factor(1), rel=1e-12)
    assert factor(1) == pytest.approx(0.25, rel=1e-12)


def test_more_mass_is_looked_at_with_the_same_cloth() -> None:
    """Rests under the heavier loads are those of the cloth as cut; pulls on the cloth grow with the pressure."""
    skirt = skirt_of("four-seat", ("cloth.loop.strength", "0.9 kN/m"))
    (now,) = [f for f in skirt.findings if f.rule == "cloth-strength"]
    found = {f.rule: f for f in findings_with(skirt, extra_mass=skirt.design.craft.load[0].mass)}
    assert found["cloth-strength"].value == pytest.approx(now.value / 2.0, rel=0.05)  # twice the pressure, p R
    assert found["joint-under-loads"].value > 0.001  # the cloth's weight counts half: the joint comes up
    assert "cloth-strength" in {row.rule for row in by_mass(skirt)}
