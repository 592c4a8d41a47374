"""What must hold of units for any number: round trips, and that the unit of entry does not matter."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from skirtloft.design.quantity import (
    UNITS,
    Kind,
    parse_length,
    parse_mass,
    parse_quantity,
    parse_temperature,
)
from skirtloft.design.read import parse_design
from skirtloft.design.start import new_design
from skirtloft.design.units import format_length, format_mass, format_temperature
from skirtloft.errors import DesignError

lengths = st.floats(-50.0, 50.0, allow_nan=False)
millimetres = st.integers(-50_000, 50_000)
sixteenths = st.integers(-20_000, 20_000)


@given(millimetres)
def test_metres_millimetres_and_centimetres_are_one(count: int) -> None:
    """Whole millimetres give the same float in every metric unit, and the nearest one to the truth."""
    texts = (f"{count} mm", f"{count / 10:.1f} cm", f"{count / 1000:.3f} m")
    assert {parse_length(text) for text in texts} == {float(Fraction(count, 1000))}


@given(sixteenths)
def test_imperial_words_read_back_as_themselves(count: int) -> None:
    """Sixteenths of an inch are written and read without loss."""
    value = float(Fraction(count, 16) * Fraction("0.0254"))
    assert parse_length(format_length(value, "imperial")) == value


@given(lengths)
def test_words_are_near_the_length(value: float) -> None:
    """Within half the last digit shown: 0.05 mm below a metre, 0.5 mm above, 1/32 in."""
    metric = parse_length(format_length(value))
    assert abs(metric - value) <= (0.5e-4 if abs(value) < 0.999 else 0.5e-3) + 1e-12
    assert abs(parse_length(format_length(value, "imperial")) - value) <= 0.0254 / 32 + 1e-12


@given(st.floats(0.001, 10_000.0))
def test_masses_and_temperatures_come_back(value: float) -> None:
    """Three significant digits or better."""
    for show in ("metric", "imperial"):
        assert parse_mass(format_mass(value, show)) == pytest.approx(value, rel=6e-3)  # type: ignore[arg-type]
    kelvin = 200.0 + value / 100.0
    for show in ("metric", "imperial"):
        assert parse_temperature(format_temperature(kelvin, show)) == pytest.approx(kelvin, abs=0.051)  # type: ignore[arg-type]


@given(st.sampled_from(sorted(UNITS)), st.data(), st.decimals(-1000, 1000, places=4, allow_nan=False))
def test_a_quantity_is_its_number_times_its_unit(kind: Kind, data: st.DataObject, number: object) -> None:
    """SI = factor * number + offset, sign and blanks included."""
    unit = data.draw(st.sampled_from(sorted(UNITS[kind])))
    blank = data.draw(st.sampled_from(["", " ", "  "]))
    factor, offset = UNITS[kind][unit]
    expected = Fraction(str(number)) * factor + offset
    text = f"{number:f}{blank}{unit}"
    if kind == "temperature" and expected < 0:
        with pytest.raises(DesignError):
            parse_quantity(kind, text, "x")
    else:
        assert parse_quantity(kind, text, "x") == float(expected)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No other exception, no number that is not finite."""
    for kind in UNITS:
        try:
            value = parse_quantity(kind, text, "x")
        except DesignError:
            continue
        assert math.isfinite(value)


@given(st.text(alphabet="0123456789 ./'\"-+,eftinm", max_size=14))
def test_text_that_looks_like_a_length_is_read_or_refused(text: str) -> None:
    """Nearer to the mark than any text; what is read has a unit in it."""
    try:
        parse_length(text)
    except DesignError:
        return
    assert any(unit in text for unit in UNITS["length"])


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 15))
def test_feet_inches_and_fractions_add_up(feet: int, inches: int, part: int) -> None:
    """Closed form: ((12 feet + inches) + part/16) 25.4 mm."""
    expected = float((12 * feet + inches + Fraction(part, 16)) * Fraction("0.0254"))
    assert parse_length(f"{feet} ft {inches} {part}/16 in") == expected
    assert parse_length(f"-{feet}' {inches} {part}/16\"") == -expected


@given(st.integers(3, 30))
def test_the_unit_of_entry_does_not_matter(sixteenth: int) -> None:
    """The same design, the depth written in inches, feet or millimetres, is the same record."""
    text, _ = new_design("x", 4)
    inches = Fraction(160 + sixteenth, 16)
    spellings = (
        f"{float(inches)} in",
        f"{inches.numerator // inches.denominator} {inches.numerator % inches.denominator}/{inches.denominator} in",
        f"{float(inches * Fraction('25.4')):.10g} mm",
    )
    designs = [parse_design(text, {"skirt.depth": spelling}) for spelling in spellings]
    assert designs[0] == designs[1] == designs[2]
