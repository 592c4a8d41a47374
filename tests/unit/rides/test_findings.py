"""Findings on heave and bounce: both sides of every limit, none of them fails, the change comes from the slopes."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from skirtloft.checks.finding import Finding
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
    """The share that the slope names brings the margin near 2: the slope itself changes on the way."""
    change = findings("four-seat", ("bounce.mouth_area", "1.8 m2"))["bounce-margin"].change
    told = re.search(r"wider way from loop to cushion, by (\d+)%", change)
    assert told is not None
    wider = 1.8 * (1.0 + float(told[1]) / 100.0)
    mended = findings("four-seat", ("bounce.mouth_area", f"{wider:.4f} m2"))["bounce-margin"]
    assert mended.value == pytest.approx(2.0, rel=0.35)


def test_change_words_follow_the_slopes() -> None:
    """(2/1)^(1/2) = 1.414; by -1 half of it; 0.1 is not enough within a factor of two (closed form)."""
    mouth = Sensitivity("mouth area", 2.0, False)
    assert "a wider way from loop to cushion, by 41% for a margin of 2 (10 % more mouth area moves it by +21%)" in (
        change_of((mouth,), 1.0)
    )
    assert "less gap, by 50%" in change_of((Sensitivity("gap", -1.0, True), mouth), 1.0)
    assert "not enough within a factor of 2" in change_of((Sensitivity("gap", 0.1, True),), 1.0)
    loss = Sensitivity("loss factor", 1.0, False)
    both = change_of((loss, mouth), 1.0)
    assert both.startswith("Measure the loss first")
    assert "wider way" in both
    assert "tip" not in change_of((Sensitivity("tip-flow inertia", -3.0, False), mouth), 1.0)
    assert change_of((Sensitivity("gap", float("nan"), True),), 1.0).startswith("No single input")


def test_a_stalled_fan_has_no_safe_gap() -> None:
    _, rides = ride("four-seat")
    found = {one.rule: one for one in rides_findings(replace(rides, least_gap=float("nan")))}
    assert found["heave-gap"].verdict == "warn"
    assert found["heave-gap"].value == 0.0
    assert "stalled side" in found["heave-gap"].change
