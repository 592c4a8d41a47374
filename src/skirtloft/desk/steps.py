"""What an arrow key makes of a value: one step in the unit it is written in, written the same way again."""

from __future__ import annotations

import re
from typing import Literal

from skirtloft.design.quantity import UNITS, Kind, parse_quantity
from skirtloft.design.units import format_length, format_mass
from skirtloft.errors import DesignError

Size = Literal["fine", "plain", "coarse"]
_SIMPLE = re.compile(r"\s*([+-]?\d+(?:\.\d+)?|[+-]?\.\d+)\s*([^\d\s].*?)\s*")
_BARE = re.compile(r"\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)\s*")
_FACTOR = {"fine": 0.1, "plain": 1.0, "coarse": 10.0}

# Plain step by unit [in that unit]: what a builder would turn a screw by. Common practice, no source.
STEPS: dict[str, float] = {
    "mm": 1.0, "cm": 0.1, "m": 0.01, "in": 0.125, "inch": 0.125, "inches": 0.125, '"': 0.125, "ft": 0.1, "foot": 0.1,
    "feet": 0.1, "'": 0.1, "kg": 5.0, "g": 10.0, "lb": 10.0, "lbs": 10.0, "oz": 1.0, "g/m2": 10.0, "gsm": 10.0,
    "kg/m2": 0.01, "oz/yd2": 0.5, "deg": 1.0, "°": 1.0, "rad": 0.01, "degC": 1.0, "°C": 1.0, "degF": 1.0, "°F": 1.0,
    "K": 1.0, "m2": 0.01, "cm2": 1.0, "mm2": 10.0, "ft2": 0.1, "in2": 1.0, "m3/s": 0.1, "m3/h": 100.0, "l/s": 50.0,
    "ft3/min": 100.0, "cfm": 100.0, "ft3/s": 2.0, "Pa": 10.0, "kPa": 0.01, "mbar": 0.1, "lb/ft2": 0.2, "psf": 0.2,
    "psi": 0.01, "inWG": 0.1, "inH2O": 0.1, "mmWG": 1.0, "mmH2O": 1.0, "W": 100.0, "kW": 0.5, "hp": 0.5, "rpm": 25.0,
    "r/min": 25.0, "rad/s": 2.0, "kg/m3": 0.01, "lb/ft3": 0.001, "s": 10.0, "min": 1.0, "h": 0.1, "V": 1.0, "Ah": 1.0,
    "mAh": 100.0, "ohm": 0.001, "mohm": 1.0, "N": 1.0, "kN": 0.01, "lbf": 0.5, "N/m": 1000.0, "kN/m": 1.0,
    "N/mm": 1.0, "N/5cm": 50.0, "N/50mm": 50.0, "lbf/in": 5.0,
    "kg/m": 0.01, "g/m": 5.0, "tex": 5.0, "g/km": 5.0, "lb/ft": 0.01, "Hz": 0.1,
    "m3": 0.05, "l": 50.0, "ft3": 2.0, "m/s": 0.5, "km/h": 1.0, "ft/s": 1.0, "mph": 1.0, "kn": 1.0, "kt": 1.0,
    "knots": 1.0,
}  # fmt: skip
SIXTEENTH = 0.0254 / 16.0


def stepped(text: str, kind: Kind, count: int, size: Size = "plain") -> str:
    """Return a quantity's text after `count` steps up (negative: down).

    Raises
    ------
    DesignError
        The text is no quantity of that kind.
    """
    value = parse_quantity(kind, text, kind)
    match = _SIMPLE.fullmatch(text)
    if match is None or match[2] not in STEPS:
        return _stepped_pair(value, kind, count, size)
    step = STEPS[match[2]] * _FACTOR[size]
    number = round(float(match[1]) / step) * step + count * step if size != "fine" else float(match[1]) + count * step
    return f"{_tidy(number)} {match[2]}"


def _stepped_pair(value: float, kind: Kind, count: int, size: Size) -> str:
    """Feet and inches step by sixteenths, pounds and ounces by the ounce."""
    if kind == "mass":
        return format_mass(value + count * _FACTOR[size] * 0.45359237, "imperial")
    sixteenths = {"fine": 1, "plain": 2, "coarse": 16}[size]
    return format_length((round(value / SIXTEENTH) + count * sixteenths) * SIXTEENTH, "imperial")


def stepped_number(text: str, low: float, high: float, is_whole: bool, count: int, size: Size = "plain") -> str:
    """Return a plain number's text after `count` steps, held to its range."""
    step = 1.0 if is_whole else 0.01 if high <= 20.0 else 1.0
    if not is_whole or size == "coarse":
        step *= _FACTOR[size]
    number = min(high, max(low, float(text) + count * step))
    return str(round(number)) if is_whole else _tidy(number)


def written_like(text: str, kind: Kind, value: float) -> str:
    """Return an SI value in the unit that `text` is written in."""
    match = _SIMPLE.fullmatch(text)
    if match is None or match[2] not in UNITS[kind]:
        return format_length(value, "imperial") if kind == "length" else format_mass(value, "imperial")
    factor, offset = UNITS[kind][match[2]]
    return f"{_tidy((value - float(offset)) / float(factor))} {match[2]}"


def rounded(text: str, metres: float, is_fine: bool) -> float:
    """Return a length rounded to 5 mm or a quarter inch, by the unit of `text`; fine: to 1 mm or a sixteenth."""
    match = _SIMPLE.fullmatch(text)
    is_metric = match is not None and match[2] in ("mm", "cm", "m")
    step = (0.001 if is_fine else 0.005) if is_metric else SIXTEENTH * (1.0 if is_fine else 4.0)
    return round(metres / step) * step


def with_unit_of(typed: str, old: str, kind: Kind) -> str:
    """Return a number typed without its unit with the unit the field had; anything else as typed."""
    match = _SIMPLE.fullmatch(old)
    if _BARE.fullmatch(typed) and match is not None and match[2] in UNITS[kind]:
        return f"{typed.strip()} {match[2]}"
    return typed


def is_quantity(text: str, kind: Kind) -> bool:
    """Tell whether a text is a quantity of that kind."""
    try:
        parse_quantity(kind, text, kind)
    except DesignError:
        return False
    return True


def _tidy(number: float) -> str:
    text = f"{number:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
