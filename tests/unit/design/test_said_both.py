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
        ("13.4 N m/rad/m", "13.4 N m/rad/m (3.01 lbf ft/rad/ft)"),  # 13.4 / 4.44822
        ("x 2.40 m, P00, 45 deg, 0.2", "x 2.40 m (7 ft 10 1/2 in), P00, 45 deg, 0.2"),
        ("25 mm (1 in) wide", "25 mm (1 in) wide"),
        ("18 to 25 degC, 5 m2, 2 m/s2", "18 to 25 degC (64.4 degF to 77 degF), 5 m2 (53.82 ft2), 2 m/s2"),
        ("482.6 Pa s/m3, 162 g/m", "482.6 Pa s/m3 (0.285 lb s/ft5), 162 g/m (0.109 lb/ft)"),  # / 1690.9, / 1488.2
        ("1.225 kg/m3", "1.225 kg/m3 (0.0765 lb/ft3)"),  # / 16.0185
        ("strip 20 x 3 mm, 210 × 445 mm", "strip 20 x 3 mm, 210 × 445 mm"),
    ],
)
def test_metric_quantities_get_the_imperial_one_beside(text: str, told: str) -> None:
    assert said_both(text, "imperial") == said_both(text, "both") == told
    assert said_both(text, "metric") == text
