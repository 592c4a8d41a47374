"""The rules on the cloth in use are explained with their own value in figures."""

from __future__ import annotations

import re

import pytest

from skirtloft.explain.ask import WORKINGS, why
from skirtloft.explain.rules_of_service import WORKINGS as OURS
from tests.designs import TAUT, skirt_of
from tests.unit.checks.test_service_rules import CASES

STRENGTHS = (
    ("cloth.loop.strength", "24 kN/m"),
    ("cloth.loop.tear", "100 N"),
    ("making.thread_strength", "62 N"),
    ("hull.skids.height", "40 mm"),
)


def test_every_case_is_explained() -> None:
    for rule, changes, _ in CASES:
        skirt = skirt_of("four-seat", *changes)
        finding = next(finding for finding in skirt.findings if finding.rule == rule)
        assert WORKINGS[rule].filled(skirt, finding).strip(), rule


def test_all_of_them_occur() -> None:
    skirt = skirt_of("four-seat", *TAUT, *STRENGTHS)
    assert set(OURS) <= {finding.rule for finding in skirt.findings}


@pytest.mark.parametrize(
    "rule",
    [
        "cloth-strength", "seam-strength", "hole-strength", "tear-strength", "diaphragm-vents", "diaphragm-place",
        "diaphragm-light-load",
    ],
)  # fmt: skip
def test_equation_in_figures_ends_in_the_value(rule: str) -> None:
    skirt = skirt_of("four-seat", *TAUT, *STRENGTHS)
    finding = next(finding for finding in skirt.findings if finding.rule == rule)
    figures = [float(text) for text in re.findall(r"\d+\.?\d*", WORKINGS[rule].filled(skirt, finding))]
    assert figures[-1] == pytest.approx(finding.value, rel=5e-3)


def test_why_a_hull_has_no_place() -> None:
    lines = why(skirt_of("four-seat", ("skirt.diaphragm.margin", "0.2")).design, "diaphragm-place", quick=True)
    assert any("30 mm / 622.2 mm = 0.048" in line for line in lines)
