"""Every rule on how it sits and on water, on both sides of its limits, and what it says helps does help."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from unittest.mock import patch

import pytest

from skirtloft.checks.finding import Finding
from skirtloft.design.model import Show
from skirtloft.design.read import load_design, parse_design
from skirtloft.explain.rules_of_ride import WORKINGS, chapter_findings
from skirtloft.physics.attitude.bounds import CAUTION
from skirtloft.pipeline import Skirt, build
from skirtloft.sits import sits_rules, water_rules
from skirtloft.sits.enough import Margin
from skirtloft.sits.on_water import on_water
from skirtloft.sits.sits import sits_of
from skirtloft.sits.sits_rules import sits_findings
from skirtloft.sits.water_rules import water_findings
from tests.designs import EXAMPLES, NAMES

Change = tuple[str, str]
THRUST = (("under_way.static_thrust", "620 N"), ("under_way.disc", "1.1 m"))


# What the skirt itself is not built from: see `test_places_and_thrust_leave_the_skirt_as_it_is`.
LATE = re.compile(r"craft\.load\[\d\]\.[xyz]|under_way\.\w+")


@cache
def built(*changes: Change, name: str = "four-seat") -> Skirt:
    design = load_design(EXAMPLES / f"{name}.toml", changes)
    if changes and all(LATE.fullmatch(key) for key, _ in changes):
        return replace(built(name=name), design=design)
    return build(design, cut=False)


@cache
def pick(rule: str, *changes: Change) -> Finding:
    """Return what one rule finds for the load that fares worst, known here: see `test_the_worst_load_is_told`."""
    solo = rule == "heel-in-a-turn" or any(key.startswith("craft.load[2]") for key, _ in changes)
    load = None if rule == "bow-held" else "solo" if solo else "full"  # it has no one load that is always worst
    return of_load(rule, load, built(*changes))


def of_load(rule: str, load: str | None, skirt: Skirt) -> Finding:
    sits = sits_of(skirt, load)
    of_sits = sits_findings(skirt, sits, rule)
    (found,) = of_sits or water_findings(skirt, sits, on_water(skirt, sits), rule)
    return found


@cache
def judged(rule: str, *changes: Change) -> Finding:
    """Return the same without what would help, which takes most of the time and is for `WOULD_DO`."""
    with patch.object(sits_rules, "help_words", unsaid), patch.object(water_rules, "help_words", unsaid):
        return pick.__wrapped__(rule, *changes)


def unsaid(margin: Margin, show: Show) -> str:
    return "left out here"


def thrust(newton: float) -> tuple[Change, ...]:
    return (("under_way.static_thrust", f"{newton} N"), THRUST[1])


def load0(**values: str) -> tuple[Change, ...]:
    return tuple((f"craft.load[0].{key}", value) for key, value in values.items())


def solo(x: str) -> tuple[Change, ...]:
    return (("craft.load[2].x", x),)


# values just inside and just outside, looked for by hand in steps; the limits are those of the rules
CASES: list[tuple[str, tuple[Change, ...], str]] = [
    ("heel-at-rest", load0(y="18 mm"), "pass"),
    ("heel-at-rest", load0(y="21 mm"), "warn"),
    ("heel-at-rest", load0(y="150 mm"), "fail"),
    ("trim-at-rest", solo("2.27 m"), "pass"),
    ("trim-at-rest", solo("2.26 m"), "warn"),
    ("trim-at-rest", solo("1.6 m"), "fail"),
    ("hull-clear-at-rest", load0(x="2.53 m"), "pass"),
    ("hull-clear-at-rest", load0(x="2.55 m"), "warn"),
    ("hull-clear-at-rest", load0(x="2.68 m"), "warn"),
    ("hull-clear-at-rest", load0(x="2.70 m"), "fail"),
    ("roll-held", load0(z="1.25 m"), "pass"),
    ("roll-held", load0(z="1.3 m"), "warn"),
    ("roll-held", load0(z="2.2 m"), "fail"),
    ("pitch-held", load0(z="4 m"), "pass"),
    ("pitch-held", load0(z="5 m"), "warn"),
    ("range-sideways", load0(y="125 mm"), "pass"),
    ("range-sideways", load0(y="132 mm"), "warn"),
    ("range-sideways", load0(y="157 mm"), "warn"),
    ("range-sideways", load0(y="165 mm"), "fail"),
    ("range-fore-aft", solo("2.10 m"), "pass"),
    ("range-fore-aft", solo("2.09 m"), "warn"),
    ("range-fore-aft", solo("2.02 m"), "warn"),
    ("range-fore-aft", solo("2.00 m"), "fail"),
    ("loll", load0(z="1.4 m"), "pass"),
    ("loll", load0(z="1.45 m"), "warn"),
    ("loll", load0(z="1.9 m"), "fail"),
    ("heel-with-a-person", (), "pass"),
    ("heel-with-a-person", load0(z="1.5 m"), "warn"),
    ("heel-in-a-turn", thrust(760.0), "pass"),
    ("heel-in-a-turn", thrust(800.0), "warn"),
    ("over-hump", thrust(460.0), "pass"),
    ("over-hump", thrust(450.0), "warn"),
    ("over-hump", thrust(280.0), "fail"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "2.9 m")), "pass"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3 m")), "warn"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3.7 m")), "warn"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3.8 m")), "fail"),
    ("bow-surface", (), "pass"),
    ("bow-tuck", (), "note"),
]


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_rule_on_both_sides(rule: str, changes: tuple[Change, ...], verdict: str) -> None:
    found = judged(rule, *changes)
    assert found.verdict == verdict, found
    assert math.isfinite(found.value)
    for words in (found.title, found.where, found.why, found.change, found.source):
        assert words
        assert "nan" not in words


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_every_rule_is_explained(rule: str, changes: tuple[Change, ...], verdict: str) -> None:
    assert WORKINGS[rule].filled(built(*changes), judged(rule, *changes)).strip()
    assert verdict in ("pass", "warn", "fail", "note")


@pytest.mark.parametrize("name", NAMES)
def test_no_example_fails_and_every_rule_has_its_working(name: str) -> None:
    found = chapter_findings(built(name=name))
    assert {finding.verdict for finding in found} <= {"pass", "note"}
    assert {finding.rule for finding in found} <= set(WORKINGS)
    # with a thrust the hump is compared with it, and a turn by it is looked at
    assert len({finding.rule for finding in found}) == len(found) == (14 if name == "four-seat" else 13)
    for finding in found[:9]:
        assert CAUTION in finding.why


def test_the_worst_load_is_told() -> None:
    """Among all loads a rule finds what it finds for the load it names, and for no other it finds worse."""
    skirt = built(*load0(y="10 mm"))
    together = chapter_findings(skirt)
    for finding in together:
        each = {load.name: of_load(finding.rule, load.name, skirt) for load in skirt.design.craft.load}
        (named,) = (name for name in each if f"load {name!r}" in finding.where)
        assert each[named] == finding
        # values that have no limit of their own are speeds under which nothing happens: the least is the worst
        worst = max if finding.high is not None else min
        assert finding.value == worst(one.value for one in each.values())


def test_places_and_thrust_leave_the_skirt_as_it_is() -> None:
    """Built anew from the file with the change in it, the rules find the same."""
    changes = (*load0(x="2.36 m", y="10 mm", z="0.7 m"), *thrust(700.0), ("under_way.thrust_height", "0.9 m"))
    anew = build(load_design(EXAMPLES / "four-seat.toml", changes), cut=False)
    assert chapter_findings(anew) == chapter_findings(built(*changes)) != chapter_findings(built())


def test_one_rule_alone_is_all_that_is_asked() -> None:
    skirt = built()
    assert [found.rule for found in chapter_findings(skirt, "roll-held")] == ["roll-held"]
    assert [found.rule for found in chapter_findings(skirt, "bow-tuck")] == ["bow-tuck"]
    assert chapter_findings(skirt, "thrust-told") == ()  # a thrust is told


@pytest.mark.parametrize(
    ("rule", "changes"),
    [("pitch-held", load0(z="5 m")), ("heel-in-a-turn", thrust(800.0)), ("hull-clear-at-rest", load0(x="2.55 m"))],
)
def test_words_on_what_helps(rule: str, changes: tuple[Change, ...]) -> None:
    """For the rules and verdicts that `WOULD_DO` leaves out."""
    words = pick(rule, *changes).change
    assert "solved again" in words
    assert "nan" not in words


# a change told, as it stands in the words -> the last part of the key in the file, and the sign of the amount
SAID: dict[str, tuple[str, float]] = {
    r"the centre of gravity (?P<step>[\d.]+ mm) lower": ("z", -1.0),
    r"the centre of gravity (?P<step>[\d.]+ mm) to starboard": ("y", -1.0),
    r"the centre of gravity (?P<step>[\d.]+ mm) farther aft": ("x", -1.0),
    r"the centre of gravity (?P<step>[\d.]+ mm) farther forward": ("x", 1.0),
    r"(?P<step>[\d.]+ kg) less mass": ("mass", -1.0),
    r"(?P<step>[\d.]+ N) more thrust standing still": ("static_thrust", 1.0),
    r"(?P<step>[\d.]+ N) less thrust standing still": ("static_thrust", -1.0),
    r"a thrust line (?P<step>[\d.]+ mm) lower": ("thrust_height", -1.0),
    r"the edge of the flat bottom at the bow (?P<step>[\d.]+ mm) nearer": ("bow", -1.0),
}
OWN = {
    "craft.load[0].z": 0.62, "craft.load[0].y": 0.0, "craft.load[0].x": 2.35, "craft.load[2].x": 2.30,
    "craft.load[0].mass": 700.0, "under_way.static_thrust": 620.0,
}  # fmt: skip
FLAT = (("hull.bottom.bow", "1.1 m"), ("hull.bottom.side", "0.7 m"), ("hull.bottom.stern", "0.7 m"))
WOULD_DO: list[tuple[str, tuple[Change, ...], str]] = [
    ("heel-at-rest", load0(y="40 mm"), "craft.load[0].y"),
    ("trim-at-rest", solo("1.6 m"), "craft.load[2].x"),  # nothing holds it as it is
    ("hull-clear-at-rest", load0(x="2.70 m"), "craft.load[0].x"),
    ("range-sideways", load0(y="165 mm"), "craft.load[0].y"),
    ("range-fore-aft", solo("2.00 m"), "craft.load[2].x"),
    ("roll-held", load0(z="1.9 m"), "craft.load[0].z"),
    ("loll", load0(z="1.9 m"), "craft.load[0].z"),  # it goes over
    ("heel-with-a-person", load0(z="1.9 m"), "craft.load[0].z"),
    ("over-hump", thrust(450.0), "under_way.static_thrust"),
    ("over-hump", thrust(450.0), "craft.load[0].mass"),
    ("bow-held", (("under_way.thrust_height", "3 m"),), "craft.load[2].x"),
    ("bow-held", (("under_way.thrust_height", "3.8 m"),), "under_way.static_thrust"),
    ("bow-surface", FLAT, "hull.bottom.bow"),
]


@pytest.mark.parametrize(("rule", "changes", "key"), WOULD_DO)
def test_what_would_do_does(rule: str, changes: tuple[Change, ...], key: str) -> None:
    """The amount that is told, put into the file, makes the rule pass."""
    before = pick(rule, *changes)
    assert before.verdict in ("warn", "fail")
    last = key.split(".")[-1]
    told = [after for words, (name, _) in SAID.items() if name == last for after in _amounts(words, before.change)]
    assert len(told) == 1, before.change
    unit = told[0].split()[1]
    was = dict(changes).get(key) or f"{OWN[key] * (1000.0 if unit == 'mm' else 1.0)} {unit}"
    way = next(way for words, (name, way) in SAID.items() if name == last and _amounts(words, before.change))
    now = f"{_plain(was) + way * _plain(told[0])} {'m' if unit == 'mm' else unit}"
    assert "nan" not in before.change
    after = judged(rule, *(one for one in changes if one[0] != key), (key, now))
    assert after.verdict == "pass", (before.change, after)


def _amounts(words: str, change: str) -> list[str]:
    """Return the amount told with a change: "10 mm lower: ..., and 610 mm would do", or "610 mm lower would do"."""
    found = re.search(rf"{words}[^;]*?: [^;]*, and ([\d.]+ \w+) would do", change, re.IGNORECASE)
    if found is not None:
        return [found[2]]
    alone = re.search(rf"{words}[^;:]* would do", change, re.IGNORECASE)
    return [] if alone is None else [alone["step"]]


def _plain(text: str) -> float:
    number, unit = text.split()
    return float(number) * (0.001 if unit == "mm" else 1.0)


def test_little_less_would_not_do() -> None:
    """Heel with 40 mm to port: 22 mm back bring it below the limit, 19 mm do not."""
    assert "and 22 mm would do" in pick("heel-at-rest", *load0(y="40 mm")).change
    assert judged("heel-at-rest", *load0(y="21 mm")).verdict == "warn"
    assert judged("heel-at-rest", *load0(y="18 mm")).verdict == "pass"


def test_the_bow_tuck_says_what_moves_it() -> None:
    """Tuck speed goes with the root of the loop's moment, so of pressure and mass: v/(2 m) for each kilogram."""
    found = pick("bow-tuck")
    match = re.search(r"10 kg more mass: ([\d.]+) m/s more", found.change)
    assert match is not None, found.change
    assert float(match[1]) == pytest.approx(10.0 * found.value / (2.0 * 700.0), rel=0.05)


def test_no_thrust_told_says_how_much() -> None:
    """Written at the hump with a disc so large that thrust hardly falls with speed, what it names is enough."""
    skirt = built(name="one-seat")
    (note,) = chapter_findings(skirt, "thrust-told")
    assert note.verdict == "note"
    assert WORKINGS["thrust-told"].filled(skirt, note).strip()
    newton = 1.01 * note.value
    points = f'[{{ speed = "0 m/s", thrust = "{newton} N" }}, {{ speed = "30 m/s", thrust = "{newton} N" }}]'
    text = (EXAMPLES / "one-seat.toml").read_text(encoding="utf-8")
    told = build(parse_design(f"{text}\n[under_way]\nthrust = {points}\n"), cut=False)
    (after,) = chapter_findings(told, "over-hump")
    assert after.verdict == "pass"
    assert skirt.design.under_way.static_thrust is None


def test_mass_and_thrust_trade_as_told() -> None:
    """Wave drag goes with mass squared: 2/m of it per kilogram at the hump (closed form)."""
    change = pick("over-hump", *thrust(400.0)).change
    match = re.search(r"10 kg less mass: ([\d.]+) N more", change)
    assert match is not None, change
    wave = 1.2 * 225.0  # N at the hump, factors high, see test_on_water
    assert float(match[1]) == pytest.approx(10.0 * 2.0 * wave / 700.0, rel=0.06)


def test_a_steep_enough_bow_surface() -> None:
    """A flat bottom that ends far inboard leaves a surface of some degrees: less than what the bow comes down by."""
    found = pick("bow-surface", ("hull.bottom.bow", "1.1 m"))
    assert found.verdict in ("warn", "fail")
    assert "flat bottom at the bow" in found.change
