"""Rules on the cloth in use on both sides of their limits, on the four-seat example changed by one value."""

from __future__ import annotations

import math

import pytest

from tests.designs import TAUT
from tests.unit.checks.test_rules import finding

LOOP = "cloth.loop.strength"
BOTH = (("cloth.segment.strength", "20 kN/m"),)


def vents(diameter: str, count: str) -> tuple[tuple[str, str], ...]:
    return (("skirt.diaphragm.vent_diameter", diameter), ("skirt.diaphragm.vents_per_pitch", count))


# rule, changes, verdict. Limits: see the rule's own source; values stand just inside and just outside.
CASES = [
    ("cloth-weight-segment", (("cloth.segment.mass", "449 g/m2"),), "pass"),  # up to 4 seats: 300 to 450 g/m2
    ("cloth-weight-segment", (("cloth.segment.mass", "451 g/m2"),), "warn"),
    ("cloth-weight-segment", (("cloth.segment.mass", "299 g/m2"),), "warn"),
    ("cloth-weight-loop", (("cloth.loop.mass", "201 g/m2"),), "pass"),  # a grade lighter: from 200 g/m2
    ("cloth-weight-loop", (("cloth.loop.mass", "199 g/m2"),), "warn"),
    ("cloth-weight-loop", (("cloth.loop.mass", "451 g/m2"),), "warn"),
    ("cloth-weight-segment", (("craft.seats", "8"),), "warn"),  # 5 to 8 seats: 450 to 700 g/m2
    ("cloth-weight-segment", (("craft.seats", "8"), ("cloth.segment.mass", "460 g/m2")), "pass"),
    ("sitting-pinched", (("hull.clearance", "263 mm"),), "pass"),  # heap 6.3 mm and 10 mm of fixing under 17 mm
    ("sitting-pinched", (("hull.clearance", "264 mm"),), "warn"),
    ("skids-clear", (("hull.skids.height", "229 mm"),), "pass"),
    ("skids-clear", (("hull.skids.height", "231 mm"),), "warn"),
    ("skids-clear", (("hull.skids.height", "251 mm"),), "fail"),
    ("diaphragm-place", (("skirt.diaphragm.margin", "0.2"),), "fail"),
    ("diaphragm-place", (("skirt.diaphragm.margin", "0.2"), ("skirt.diaphragm.steepness", "0.0501")), "fail"),
    ("diaphragm-place", TAUT, "pass"),
    ("diaphragm-place", (*TAUT, ("skirt.diaphragm.steepness", "0.307")), "pass"),
    ("diaphragm-place", (*TAUT, ("skirt.diaphragm.steepness", "0.308")), "fail"),
    ("diaphragm-clear-of-webs", TAUT, "pass"),
    ("diaphragm-clear-of-webs", (*TAUT, ("skirt.diaphragm.side.inboard", "235 mm")), "pass"),
    ("diaphragm-clear-of-webs", (*TAUT, ("skirt.diaphragm.side.inboard", "232 mm")), "fail"),
    ("diaphragm-taut", (*TAUT, ("skirt.diaphragm.margin", "0.181")), "pass"),
    ("diaphragm-taut", (*TAUT, ("skirt.diaphragm.margin", "0.178")), "warn"),
    ("diaphragm-taut", (*TAUT, ("skirt.diaphragm.margin", "0")), "fail"),
    ("diaphragm-taut", (*TAUT, ("skirt.diaphragm.heave", "0.4")), "pass"),
    ("diaphragm-taut", (*TAUT, ("skirt.diaphragm.imperfection", "0.03")), "warn"),
    ("diaphragm-margin", (*TAUT, ("skirt.diaphragm.margin", "0.25")), "pass"),
    ("diaphragm-margin", (*TAUT, ("skirt.diaphragm.margin", "0.251")), "warn"),
    ("diaphragm-margin", (*TAUT, ("skirt.diaphragm.margin", "0.149")), "warn"),
    ("diaphragm-light-load", (*TAUT, ("craft.load[2].mass", "207 kg")), "pass"),
    ("diaphragm-light-load", (*TAUT, ("craft.load[2].mass", "204 kg")), "warn"),
    ("diaphragm-vents", TAUT, "pass"),
    # holes of the file: two columns of seven of 30 mm have room; one of 200 mm between webs 150 mm apart has none
    ("diaphragm-vents", (*TAUT, *vents("30 mm", "14")), "pass"),
    ("diaphragm-vents", (*TAUT, *vents("30 mm", "12")), "warn"),
    ("diaphragm-vents", (*TAUT, *vents("30 mm", "15")), "warn"),
    ("diaphragm-vents", (*TAUT, *vents("200 mm", "1")), "warn"),
    ("diaphragm-vents", (*TAUT, ("air.gap", "11 mm")), "warn"),  # 1.05 of what 10 mm asks
    ("diaphragm-vents", (*TAUT, ("air.gap", "11 mm"), ("skirt.diaphragm.feed", "beside")), "pass"),
]


@pytest.mark.parametrize(("rule", "changes", "verdict"), CASES)
def test_rule_on_both_sides(rule: str, changes: tuple[tuple[str, str], ...], verdict: str) -> None:
    found = finding(rule, *changes)
    assert found.verdict == verdict, found
    assert found.where
    assert found.why
    assert found.change
    assert found.source


def limit_of(rule: str, key: str, unit: str, start: float, *changes: tuple[str, str]) -> float:
    """The value of `key` at which the factor is 2: it is in proportion to it."""
    found = finding(rule, (key, f"{start} {unit}"), *changes)
    return start * 2.0 / found.value


@pytest.mark.parametrize(
    ("rule", "key", "unit", "start", "changes"),
    [
        ("cloth-strength", "cloth.loop.strength", "N/m", 20_000.0, ()),
        ("seam-strength", "making.thread_strength", "N", 60.0, ()),
        ("hole-strength", "cloth.loop.strength", "N/m", 20_000.0, ()),
        ("tear-strength", "cloth.loop.tear", "N", 100.0, ()),
    ],
)
def test_strength_on_both_sides(
    rule: str, key: str, unit: str, start: float, changes: tuple[tuple[str, str], ...]
) -> None:
    """Warn below a factor of 2 in a shock, fail below 1; strengths are set high elsewhere by being left out."""
    making = () if rule != "seam-strength" else (("making.stitch_length", "20 mm"), ("making.rows", "1"))
    shock = ("making.shock", "20")
    two = limit_of(rule, key, unit, start, shock, *making, *changes)
    for share, verdict in ((1.02, "pass"), (0.98, "warn"), (0.51, "warn"), (0.49, "fail")):
        found = finding(rule, (key, f"{share * two:.4f} {unit}"), shock, *making, *changes)
        assert found.verdict == verdict, found
        assert found.value == pytest.approx(2.0 * share, rel=1e-3)


def test_factor_of_the_loop_is_strength_over_pull_and_shock() -> None:
    """24 kN/m over 3 x 143 N/m (T = p R at the bow: 670 Pa on .2134 m, from the sections)."""
    found = finding("cloth-strength", ("cloth.loop.strength", "24 kN/m"))
    assert found.value == pytest.approx(24_000.0 / (3.0 * 143.01), rel=1e-3)
    assert "no promise" in found.why


def test_a_zero_margin_is_said_to_be_slack() -> None:
    found = finding("diaphragm-taut", ("skirt.diaphragm.margin", "0"))
    assert found.verdict == "fail"
    assert "slack" in found.why


def test_a_given_place_too_high_is_told_its_height() -> None:
    """Along 437 mm, asin .3 and the line's fall of 3.24 deg: 437 tan(20.70) = 165 mm below the joint (derived)."""
    high = tuple((f"skirt.diaphragm.{run}.height", "100 mm") for run in ("bow", "side", "stern"))
    found = finding("diaphragm-place", *TAUT, *high)
    assert found.verdict == "fail"
    assert "height to" in found.change
    told = float(found.change.split("height to ")[1].split(" mm")[0])
    assert 0.0 <= told < 20.0
    fall = math.atan2(0.03, 0.53)
    assert math.degrees(fall) == pytest.approx(3.24, abs=0.01)
