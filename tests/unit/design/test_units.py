"""SI to words: the digits a builder can use, in both systems."""

from __future__ import annotations

import math

import pytest

from skirtloft.design.units import (
    format_angle,
    format_area,
    format_areal_mass,
    format_flow,
    format_force,
    format_length,
    format_line_load,
    format_line_moment,
    format_mass,
    format_power,
    format_pressure,
    format_temperature,
    format_whole_length,
)

# Imperial values: definitions of the units; fractions by hand.


@pytest.mark.parametrize(
    ("value", "metric", "imperial"),
    [
        (0.0, "0 mm", "0 in"),
        (0.0004, "0.4 mm", "0 in"),
        (0.0127, "12.7 mm", "1/2 in"),
        (0.2625, "262.5 mm", "10 5/16 in"),
        (0.26251, "262.5 mm", "10 5/16 in"),
        (0.3047, "304.7 mm", "1 ft"),
        (0.9999, "999.9 mm", "3 ft 3 3/8 in"),
        (0.99996, "1.000 m", "3 ft 3 3/8 in"),
        (2.3456, "2.346 m", "7 ft 8 3/8 in"),
        (-0.05, "-50 mm", "-1 15/16 in"),
        (-0.00001, "0 mm", "0 in"),
        (-1.2, "-1.200 m", "-3 ft 11 1/4 in"),
    ],
)
def test_lengths(value: float, metric: str, imperial: str) -> None:
    """0.1 mm below a metre, 1 mm above; feet and inches to the sixteenth, carried into feet."""
    assert format_length(value) == metric
    assert format_length(value, "imperial") == imperial
    assert format_length(value, "both") == f"{metric} ({imperial})"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (format_pressure(612.916, "both"), "613 Pa (12.8 lb/ft2)"),
        (format_pressure(1234.4), "1234 Pa"),
        (format_line_load(100.0, "both"), "100 N/m (6.85 lbf/ft)"),  # 100/14.5939
        (format_line_moment(45.5, "both"), "45.5 N m/m (10.2 lbf ft/ft)"),  # 45.5/4.44822
        (format_flow(2.0385, "both"), "2.04 m3/s (4319 ft3/min)"),
        (format_power(3540.0, "both"), "3.54 kW (4.75 hp)"),
        (format_power(850.3), "850 W"),
        (format_force(183.6, "both"), "184 N (41.3 lbf)"),
        (format_mass(750.0, "both"), "750 kg (1653 lb)"),
        (format_mass(0.0853, "both"), "85.3 g (3.01 oz)"),
        (format_area(7.903811, "both"), "7.904 m2 (85.08 ft2)"),
        (format_areal_mass(0.4, "both"), "400 g/m2 (11.8 oz/yd2)"),
        (format_temperature(288.15, "both"), "15 degC (59 degF)"),
        (format_angle(math.pi / 16), "11.25 deg"),
        (format_angle(math.pi / 4), "45 deg"),
        (format_pressure(0.0), "0 Pa"),
        (format_power(-1500.0), "-1.5 kW"),
    ],
)
def test_other_quantities(text: str, expected: str) -> None:
    """lb/ft2 = 47.880 Pa, hp = 745.70 W, ft3 = 0.0283168 m3, oz/yd2 = 33.906 g/m2 (definitions)."""
    assert text == expected


def test_the_published_pressure_and_flow_in_feet_and_pounds() -> None:
    """A student report: 650 lb on 7 x 10 ft gives 9.29 lb/ft2, and 67.0 ft3/s is 4020 ft3/min."""
    assert format_pressure(650 * 0.45359237 * 9.80665 / (70 * 0.3048**2), "imperial") == "9.29 lb/ft2"
    assert format_flow(67.0 * 0.3048**3, "imperial") == "4020 ft3/min"


def test_whole_length_is_rounded_once_in_each_unit() -> None:
    """76.54 mm are 3.013 in, so 3 in; from 77 mm they would come out as 3 1/16 in."""
    assert format_whole_length(0.07654, "metric") == "77 mm"
    assert format_whole_length(0.07654, "imperial") == "3 in"
