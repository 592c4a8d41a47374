"""Findings on heave and bounce: both sides of every limit, none of them fails, the change comes from the slopes."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from skirtloft.checks.finding import Finding
from skirtloft.maths.frozen import Floats
from skirtloft.physics.bounce.sensitivities import Sensitivity
from skirtloft.rides.findings import change_of, rides_findings
from tests.rides_cases import NARROW, ride


def findings(name: str, *changes: tuple[str, str]) -> dict[str, Finding]:
    found = rides_findings(ride(name, *changes)[1])
    return {one.rule: one for one in reversed(found)}  # of the sections the worst


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        ("bounce-margin", (), (NARROW,)),
        ("bounce-section", (), (NARROW,)),
        ("loop-mouth", (), (NARROW,)),
        ("heave-gap", (), (("bounce.cushion_volume", "14 m3"),)),
        ("heave-held", (), (("bounce.cushion_volume", "40 m3"),)),
    ],
)
def test_both_sides_of_every_limit(
    rule: str, good: tuple[tuple[str, str], ...], bad: tuple[tuple[str, str], ...]
) -> None:
    inside, outside = findings("four-seat", *good)[rule], findings("four-seat", *bad)[rule]
    assert inside.verdict == "pass"
    assert outside.verdict == "warn"  # screening: never "fail"
    assert outside.low is not None
    assert not outside.value > outside.low
    assert inside.value > outside.low
    assert "screening" in outside.source


def test_just_inside_and_outside_the_wanted_margin() -> None:
    margin = float(ride("four-seat")[1].margins.craft_margin)
    for wanted, verdict in ((1.98, "warn"), (2.02, "pass")):
        loss = 0.05 * wanted / margin
        found = findings("four-seat", ("bounce.loss_factor", f"{loss:.6f}"))["bounce-margin"]
        assert found.value == pytest.approx(wanted, rel=1e-4)
        assert found.verdict == verdict


def test_heave_and_bounce_have_their_own_cures() -> None:
    heaving = findings("four-seat", ("bounce.cushion_volume", "40 m3"))
    assert "No diaphragm cures it" in heaving["heave-held"].why
    assert "diaphragm" not in heaving["bounce-margin"].change
    bouncing = findings("four-seat", NARROW)
    assert bouncing["heave-held"].verdict == "pass"
    assert "wider way from loop to cushion" in bouncing["bounce-margin"].change
    assert "A taut diaphragm of margin" in bouncing["bounce-margin"].change


def test_the_change_of_the_gap_would_do() -> None:
    """The volume it names makes the ratio the wanted one: put it in and look."""
    changes = (("bounce.cushion_volume", "14 m3"),)
    told = re.search(r"no more than ([\d.]+) m3", findings("four-seat", *changes)["heave-gap"].change)
    assert told is not None
    mended = findings("four-seat", ("bounce.cushion_volume", f"{float(told[1])} m3"))["heave-gap"]
    assert mended.value == pytest.approx(2.0, rel=5e-3)


def test_the_change_of_a_margin_would_do() -> None:
    """The share that it names, put into the file, makes the rule pass; two per cent less of the way do not."""
    before = findings("four-seat", ("bounce.mouth_area", "2 m2"))
    for rule, short in (("bounce-margin", True), ("bounce-section", False)):
        told = re.search(r"wider way from loop to cushion, by (\d+) % for a margin of 2 \(solved", before[rule].change)
        assert told is not None, before[rule].change
        share = float(told[1]) / 100.0
        assert findings("four-seat", ("bounce.mouth_area", f"{2.0 * (1.0 + share):.6f} m2"))[rule].verdict == "pass"
        less = ("bounce.mouth_area", f"{2.0 * (0.98 + share):.6f} m2")
        assert not short or findings("four-seat", less)[rule].verdict == "warn"


def test_heave_comes_before_bounce() -> None:
    """Where the cushion's own air heaves her, the change of every margin is the one that stops that."""
    found = findings("four-seat", ("bounce.cushion_volume", "40 m3"))
    assert found["bounce-margin"].change == found["bounce-section"].change == found["heave-held"].change
    told = re.search(r"no more than ([\d.]+) m3", found["bounce-margin"].change)
    assert told is not None
    mended = findings("four-seat", ("bounce.cushion_volume", f"{told[1]} m3"))
    assert mended["heave-held"].verdict == mended["bounce-margin"].verdict == "pass"


def test_change_words_follow_the_margins() -> None:
    """A margin that goes with the square of the mouth: (2/1)^(1/2) = 1.414; with 1/gap: half of it (closed forms)."""

    def at(name: str, by: Floats) -> Floats:
        return np.asarray({"mouth area": by**2, "gap": 1.0 / by, "cloth mass": by**0.1}[name])

    mouth, gap = Sensitivity("mouth area", 2.0, False), Sensitivity("gap", -1.0, True)
    assert "a wider way from loop to cushion, by 42 % for a margin of 2 (solved again; 10 % more mouth area" in (
        change_of((mouth,), 1.0, at)
    )
    assert "less gap, by 50 %" in change_of((gap, mouth), 1.0, at)
    weak = Sensitivity("cloth mass", 0.1, True)
    assert "not enough within a factor of 2" in change_of((weak,), 1.0, at)
    assert "What would do: less gap, by 50 %" not in change_of((weak,), 1.0, at)
    assert "less gap, by 50 %" in change_of((weak, gap), 1.0, at)  # the first that gets there
    loss = Sensitivity("loss factor", 1.0, False)
    both = change_of((loss, mouth), 1.0, at)
    assert both.startswith("Measure the loss first")
    assert "wider way" in both
    assert "tip" not in change_of((Sensitivity("tip-flow inertia", -3.0, False), mouth), 1.0, at)
    assert change_of((Sensitivity("gap", float("nan"), True),), 1.0, at).startswith("No single input")


def test_a_stalled_fan_has_no_safe_gap() -> None:
    _, rides = ride("four-seat")
    found = {one.rule: one for one in rides_findings(replace(rides, least_gap=float("nan")))}
    assert found["heave-gap"].verdict == "warn"
    assert found["heave-gap"].value == 0.0
    assert "stalled side" in found["heave-gap"].change
