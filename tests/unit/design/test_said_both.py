"""Sentences told in both systems: values against the inch, the pound and standard gravity by definition."""

from __future__ import annotations

import pytest

from skirtloft.design.said_both import said_both


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("-15 mm (wanted more than 0 mm) at P00.", "-15 mm (-9/16 in) (wanted more than 0 mm) at P00."),
        ("a pull of 424 N/m.", "a pull of 424 N/m (29.1 lbf/ft)."),  # 424 / 14.5939
        ("8.6 N in a hole", "8.6 N (1.93 lbf) in a hole"),  # 8.6 / 4.44822
        ("100 to 200 kg, 569 Pa", "100 to 200 kg (220.5 lb to 440.9 lb), 569 Pa (11.9 lb/ft2)"),
        ("13.4 N m/rad/m", "13.4 N m/rad/m"),
        ("x 2.40 m, P00, 45 deg, 0.2", "x 2.40 m, P00, 45 deg, 0.2"),
        ("25 mm (1 in) wide", "25 mm (1 in) wide"),
    ],
)
def test_metric_quantities_get_the_imperial_one_beside(text: str, told: str) -> None:
    assert said_both(text, "imperial") == said_both(text, "both") == told
    assert said_both(text, "metric") == text
