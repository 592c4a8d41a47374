"""Quantities as text, one table of what is read and one of what is refused."""

from __future__ import annotations

import math

import pytest

from skirtloft.design.quantity import (
    UNITS,
    Kind,
    parse_angle,
    parse_areal_mass,
    parse_length,
    parse_mass,
    parse_quantity,
    parse_temperature,
    shown,
)
from skirtloft.errors import DesignError

# Expected values: the definitions of the units (1 in = 25.4 mm, 1 lb = 0.45359237 kg: international agreement of 1959).
LENGTHS = [
    ("260 mm", 0.260),
    ("26 cm", 0.26),
    ("2.4 m", 2.4),
    ("2.4m", 2.4),
    ("  2.4  m ", 2.4),
    (".5 in", 0.0127),
    ("1 in", 0.0254),
    ("1 inch", 0.0254),
    ("3 inches", 0.0762),
    ("1 ft", 0.3048),
    ("1 foot", 0.3048),
    ("6 feet", 1.8288),
    ("6'", 1.8288),
    ('6"', 0.1524),
    ("1 ft 3 1/2 in", 0.3937),
    ("1ft3in", 0.381),
    ("3'2\"", 0.9652),
    ("3' 2\"", 0.9652),
    ("3' 2 1/4\"", 0.97155),
    ("3\u2032 2\u2033", 0.9652),
    ("3 ft 2.5 in", 0.9779),
    ("0 ft 3 in", 0.0762),
    ("1/2 in", 0.0127),
    ("3 1/2 in", 0.0889),
    ("3 1 / 2 in", 0.0889),
    ("1/4 m", 0.25),
    ("-3 ft 2 in", -0.9652),
    ("-3 1/2 in", -0.0889),
    ("- 3 mm", -0.003),
    ("\u22123 mm", -0.003),
    ("+3 mm", 0.003),
    ("0 mm", 0.0),
    ("-0 mm", 0.0),
    ("1e3 mm", 1.0),
    ("2.5E-3 m", 0.0025),
]

REFUSED_LENGTHS = [
    ("", "empty"),
    ("   ", "empty"),
    ("260", "no unit"),
    ("-260", "no unit"),
    ("1/2", "no unit"),
    ("0", "no unit"),
    ("mm", "cannot be read"),
    ("mm 260", "cannot be read"),
    ("12,5 mm", "comma"),
    ("1,200 mm", "comma"),
    ("3 ft 2,5 in", "comma"),
    ("3 ft, 2 in", "cannot be read"),
    ("3' 2", "has no unit"),
    ("3 ft 2", "has no unit"),
    ("3 2 ft", "cannot be read"),
    ("1 1 mm", "cannot be read"),
    ("5. mm", "cannot be read"),
    ("1_000 mm", "cannot be read"),
    ("1 000 mm", "cannot be read"),
    ("0x10 mm", "not a unit"),
    ("260 MM", "not a unit"),
    ("260 Mm", "not a unit"),
    ("2 yd", "not a unit"),
    ("2 furlong", "not a unit"),
    ("2 kg", "not a unit"),
    ("1 m 20 cm", "may stand together"),
    ("2 in 3 ft", "may stand together"),
    ("1 ft 2 in 3 in", "may stand together"),
    ("1 ft 2 ft", "may stand together"),
    ("3 ft 12 in", "room for less than 12"),
    ("2.5 ft 3 in", "room for less than 12"),
    ("1/2 ft 3 in", "room for less than 12"),
    ("3 ft -2 in", "cannot be read"),
    ("--3 mm", "cannot be read"),
    ("11/2 in", "one or more"),
    ("5 3/2 in", "one or more"),
    ("1/0 in", "zero"),
    ("3''", "cannot be read"),
    ("\u00bd in", "cannot be read"),
    ("\u0663 mm", "cannot be read"),
    ("inf", "finite"),
    ("nan mm", "finite"),
    ("Infinity m", "finite"),
    ("1e999 mm", "not a unit"),
    ("9" * 61 + " mm", "too long"),
]


@pytest.mark.parametrize(("text", "metres"), LENGTHS)
def test_lengths_that_are_read(text: str, metres: float) -> None:
    """Exact to the last bit: the factors are kept as fractions."""
    assert parse_length(text) == metres


@pytest.mark.parametrize(("text", "reason"), REFUSED_LENGTHS)
def test_lengths_that_are_refused(text: str, reason: str) -> None:
    """Never a guess: one problem that shows the text, says why and offers something."""
    with pytest.raises(DesignError) as refused:
        parse_length(text, "skirt.depth")
    (problem,) = refused.value.problems
    assert problem.path == "skirt.depth"
    assert problem.given.startswith(f'"{text}'[:70])
    assert reason in problem.wrong
    assert problem.would_do


@pytest.mark.parametrize("value", [260, 2.4, 0, math.inf, math.nan, True, None, ["2 m"], {"m": 2}])
def test_only_text_is_a_quantity(value: object) -> None:
    """A bare number is refused even where it would be nought."""
    with pytest.raises(DesignError):
        parse_length(value)


def test_a_comma_offers_both_readings_where_both_are_possible() -> None:
    """Twelve hundred or one point two: the file must say."""
    with pytest.raises(DesignError) as refused:
        parse_length("1,200 mm")
    assert refused.value.problems[0].would_do == 'Write "1.200 mm" or "1200 mm".'


def test_a_near_miss_names_the_unit() -> None:
    """The nearest unit is offered."""
    for kind, text, unit in (
        ("mass", "750 Kg", '"kg"'),
        ("areal_mass", "9 oz", '"oz/yd2"'),
        ("length", "9 metre", "m,"),
    ):
        with pytest.raises(DesignError) as refused:
            parse_quantity(kind, text, "x")  # type: ignore[arg-type]
        assert unit in refused.value.problems[0].would_do


def test_masses() -> None:
    """Definitions: 1 lb = 0.45359237 kg, 16 oz = 1 lb."""
    assert parse_mass("750 kg") == 750.0
    assert parse_mass("85 g") == 0.085
    assert parse_mass("1650 lb") == pytest.approx(1650 * 0.45359237, rel=1e-15)
    assert parse_mass("2 lb 3 oz") == pytest.approx(2.1875 * 0.45359237, rel=1e-15)
    assert parse_mass("1/2 lbs") == pytest.approx(0.226796185, rel=1e-15)
    with pytest.raises(DesignError):
        parse_mass("2 lb 16 oz")


def test_cloth_masses() -> None:
    """1 oz/yd2 = 33.905747... g/m2 by the definitions of ounce and yard."""
    assert parse_areal_mass("400 g/m2") == 0.4
    assert parse_areal_mass("400 gsm") == 0.4
    assert parse_areal_mass("0.4 kg/m2") == 0.4
    assert parse_areal_mass("400 g/m\u00b2") == 0.4
    assert parse_areal_mass("1 oz/yd2") == pytest.approx(0.028349523125 / 0.9144**2, rel=1e-15)
    for text in ("400 g", "400 g/m", "400 g/m^2", "400 g/m3"):
        with pytest.raises(DesignError):
            parse_areal_mass(text)


def test_angles_and_temperatures() -> None:
    """Closed forms: 45 deg = pi/4; -40 is one temperature on both scales; absolute zero is the end."""
    assert parse_angle("45 deg") == math.pi / 4
    assert parse_angle("90\u00b0") == math.pi / 2
    assert parse_angle("0.5 rad") == 0.5
    assert parse_temperature("15 degC") == 288.15
    assert parse_temperature("59 degF") == 288.15
    assert parse_temperature("-40 degF") == parse_temperature("-40 \u00b0C") == 233.15
    assert parse_temperature("0 K") == 0.0
    for text in ("-1 K", "-300 degC", "15 C", "15"):
        with pytest.raises(DesignError):
            parse_temperature(text)


@pytest.mark.parametrize("kind", UNITS)
def test_every_unit_of_a_kind_agrees_with_the_others(kind: Kind) -> None:
    """SI value of each unit, measured in each other unit of its kind, comes back (checks factors and offsets)."""
    for unit, (factor, offset) in UNITS[kind].items():
        assert parse_quantity(kind, f"3 {unit}", "x") == float(3 * factor + offset)


def test_values_are_shown_as_in_the_file() -> None:
    """TOML spelling, one line, not endless."""
    assert shown("a\nb") == '"a b"'
    assert shown(True) == "true"
    assert shown([1, "x"]) == '[1, "x"]'
    assert shown({"a": 1}) == "a table"
    assert len(shown("x" * 500)) == 80
