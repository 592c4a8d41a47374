"""Every rule on how it sits and on water, on both sides of its limits, and what it says helps does help."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest

from skirtloft.checks.finding import Finding
from skirtloft.design.read import load_design
from skirtloft.explain.rules_of_ride import WORKINGS, chapter_findings
from skirtloft.physics.attitude.bounds import CAUTION
from skirtloft.pipeline import Skirt, build
from tests.designs import EXAMPLES, NAMES

Change = tuple[str, str]
THRUST = (("under_way.static_thrust", "620 N"), ("under_way.disc", "1.1 m"))


@cache
def solved(*changes: Change, name: str = "four-seat") -> tuple[Skirt, tuple[Finding, ...]]:
    skirt = build(load_design(EXAMPLES / f"{name}.toml", changes), cut=False)
    return skirt, chapter_findings(skirt)


def pick(rule: str, *changes: Change) -> Finding:
    (found,) = (finding for finding in solved(*changes)[1] if finding.rule == rule)
    return found


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
    ("thrust-told", (), "note"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "2.9 m")), "pass"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3 m")), "warn"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3.7 m")), "warn"),
    ("bow-held", (*THRUST, ("under_way.thrust_height", "3.8 m")), "fail"),
    ("bow-surface", (), "pass"),
    ("bow-tuck", (), "note"),
]


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_rule_on_both_sides(rule: str, changes: tuple[Change, ...], verdict: str) -> None:
    found = pick(rule, *changes)
    assert found.verdict == verdict, found
    assert math.isfinite(found.value)
    for words in (found.title, found.where, found.why, found.change, found.source):
        assert words
        assert "nan" not in words


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_every_rule_is_explained(rule: str, changes: tuple[Change, ...], verdict: str) -> None:
    skirt, _ = solved(*changes)
    assert WORKINGS[rule].filled(skirt, pick(rule, *changes)).strip()
    assert verdict in ("pass", "warn", "fail", "note")


@pytest.mark.parametrize("name", NAMES)
def test_no_example_fails_and_every_rule_has_its_working(name: str) -> None:
    _, found = solved(name=name)
    assert {finding.verdict for finding in found} <= {"pass", "note"}
    assert {finding.rule for finding in found} <= set(WORKINGS)
    assert len({finding.rule for finding in found}) == len(found) == 13
    for finding in found[:9]:
        assert CAUTION in finding.why


def test_what_would_do_does() -> None:
    """Heel with 40 mm to port: the shift named brings it below the limit, to the straight line's few per cent."""
    changes = load0(y="40 mm")
    change = pick("heel-at-rest", *changes).change
    match = re.search(r"craft\.load\.y\): [\d.]+ deg less, so about ([\d.]+) mm would do", change)
    assert match is not None, change
    after = 40.0 - float(match[1])
    assert math.degrees(pick("heel-at-rest", *load0(y=f"{after} mm")).value) == pytest.approx(2.0, abs=0.25)


def test_the_thrust_that_would_do_does() -> None:
    """At 400 N high drag is not overcome; the thrust named at the hump is missing there (falls with speed by 10 %)."""
    change = pick("over-hump", *thrust(400.0)).change
    match = re.search(r"10 N more thrust: 10 N more, so about (\d+) N would do", change)
    assert match is not None, change
    short = -pick("over-hump", *thrust(400.0)).value
    assert float(match[1]) == pytest.approx(short, rel=0.06)
    assert pick("over-hump", *thrust(400.0 + 1.25 * float(match[1]))).verdict == "pass"


def test_mass_and_thrust_trade_as_told() -> None:
    """Wave drag goes with mass squared: 2/m of it per kilogram at the hump (closed form)."""
    change = pick("over-hump", *thrust(400.0)).change
    match = re.search(r"10 kg less mass: ([\d.]+) N more", change)
    assert match is not None, change
    wave = 225.0  # N at the hump, see test_on_water
    assert float(match[1]) == pytest.approx(10.0 * 2.0 * wave / 700.0, rel=0.06)


def test_a_steep_enough_bow_surface() -> None:
    """A flat bottom that ends far inboard leaves a surface of some degrees: less than what the bow comes down by."""
    found = pick("bow-surface", ("hull.bottom.bow", "1.1 m"))
    assert found.verdict in ("warn", "fail")
    assert "steeper" in found.change
