"""Quantities as builders write them: ``260 mm``, ``1 ft 3 1/2 in``, ``12 oz/yd2`` to SI floats.

Our own small parser, because a wrong guess is cut into cloth: only what can mean one thing is read, and everything
else is refused with a hint. `skirtloft.design.units` offers these readers together with the way back to text.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import Literal

from skirtloft.errors import DesignError, Problem

Kind = Literal[
    "length",
    "mass",
    "areal_mass",
    "angle",
    "temperature",
    "area",
    "flow",
    "pressure",
    "power",
    "rotation",
    "density",
    "duration",
    "voltage",
    "charge",
    "resistance",
    "force",
    "line_force",
    "line_mass",
    "frequency",
]

INCH = 0.0254
FOOT = 0.3048
YARD = 0.9144
POUND = 0.45359237
OUNCE = 0.028349523125

_ONE = Fraction(1)
_DEGREE = Fraction(math.pi) / 180
_DEGREE_F = Fraction(5, 9)
_OUNCE_PER_YARD2 = Fraction("0.028349523125") / Fraction("0.9144") ** 2
_NONE = Fraction(0)
_GRAVITY = Fraction("9.80665")
_POUND, _FOOT, _INCH = Fraction("0.45359237"), Fraction("0.3048"), Fraction("0.0254")
_RPM = Fraction(math.pi) / 30
_HORSEPOWER = 550 * _FOOT * _POUND * _GRAVITY
_WATER_INCH = Fraction("249.08891")

# kind -> unit -> (factor, offset), SI = factor * number + offset; exact, so that "700 mm" and "0.7 m" are one float.
# Definitions: international yard and pound agreement of 1959; kelvin and Celsius of the SI, Fahrenheit by them;
# mechanical horsepower 550 ft lbf/s; inch of water at 4 degC and standard gravity, NIST SP 811.
UNITS: dict[Kind, dict[str, tuple[Fraction, Fraction]]] = {
    "length": {
        "mm": (Fraction("0.001"), Fraction(0)),
        "cm": (Fraction("0.01"), Fraction(0)),
        "m": (_ONE, Fraction(0)),
        **dict.fromkeys(("in", "inch", "inches", '"'), (Fraction("0.0254"), Fraction(0))),
        **dict.fromkeys(("ft", "foot", "feet", "'"), (Fraction("0.3048"), Fraction(0))),
    },
    "mass": {
        "kg": (_ONE, Fraction(0)),
        "g": (Fraction("0.001"), Fraction(0)),
        **dict.fromkeys(("lb", "lbs"), (Fraction("0.45359237"), Fraction(0))),
        "oz": (Fraction("0.028349523125"), Fraction(0)),
    },
    "areal_mass": {
        **dict.fromkeys(("g/m2", "gsm"), (Fraction("0.001"), Fraction(0))),
        "kg/m2": (_ONE, Fraction(0)),
        "oz/yd2": (_OUNCE_PER_YARD2, Fraction(0)),
    },
    "angle": {**dict.fromkeys(("deg", "°"), (_DEGREE, Fraction(0))), "rad": (_ONE, Fraction(0))},
    "temperature": {
        **dict.fromkeys(("degC", "°C"), (_ONE, Fraction("273.15"))),
        **dict.fromkeys(("degF", "°F"), (_DEGREE_F, Fraction("459.67") * _DEGREE_F)),
        "K": (_ONE, Fraction(0)),
    },
    "area": {
        "m2": (_ONE, _NONE),
        "cm2": (Fraction("0.0001"), _NONE),
        "mm2": (Fraction("0.000001"), _NONE),
        "ft2": (_FOOT**2, _NONE),
        "in2": (_INCH**2, _NONE),
    },
    "flow": {
        "m3/s": (_ONE, _NONE),
        "m3/h": (Fraction(1, 3600), _NONE),
        "l/s": (Fraction("0.001"), _NONE),
        **dict.fromkeys(("ft3/min", "cfm"), (_FOOT**3 / 60, _NONE)),
        "ft3/s": (_FOOT**3, _NONE),
    },
    "pressure": {
        "Pa": (_ONE, _NONE),
        "kPa": (Fraction(1000), _NONE),
        "mbar": (Fraction(100), _NONE),
        **dict.fromkeys(("lb/ft2", "psf"), (_POUND * _GRAVITY / _FOOT**2, _NONE)),
        "psi": (_POUND * _GRAVITY / _INCH**2, _NONE),
        **dict.fromkeys(("inWG", "inH2O"), (_WATER_INCH, _NONE)),
        **dict.fromkeys(("mmWG", "mmH2O"), (_GRAVITY, _NONE)),
    },
    "power": {"W": (_ONE, _NONE), "kW": (Fraction(1000), _NONE), "hp": (_HORSEPOWER, _NONE)},
    "rotation": {**dict.fromkeys(("rpm", "r/min"), (_RPM, _NONE)), "rad/s": (_ONE, _NONE)},
    "density": {"kg/m3": (_ONE, _NONE), "lb/ft3": (_POUND / _FOOT**3, _NONE)},
    "duration": {"s": (_ONE, _NONE), "min": (Fraction(60), _NONE), "h": (Fraction(3600), _NONE)},
    "voltage": {"V": (_ONE, _NONE)},
    "charge": {"Ah": (Fraction(3600), _NONE), "mAh": (Fraction("3.6"), _NONE)},
    "resistance": {"ohm": (_ONE, _NONE), "mohm": (Fraction("0.001"), _NONE)},
    "force": {"N": (_ONE, _NONE), "kN": (Fraction(1000), _NONE), "lbf": (_POUND * _GRAVITY, _NONE)},
    "line_force": {  # data sheets give the strength of a strip 50 mm wide
        "N/m": (_ONE, _NONE),
        "kN/m": (Fraction(1000), _NONE),
        "N/mm": (Fraction(1000), _NONE),
        **dict.fromkeys(("N/5cm", "N/50mm"), (Fraction(20), _NONE)),
        "lbf/in": (_POUND * _GRAVITY / _INCH, _NONE),
    },
    "line_mass": {
        "kg/m": (_ONE, _NONE),
        "g/m": (Fraction("0.001"), _NONE),
        **dict.fromkeys(("tex", "g/km"), (Fraction("0.000001"), _NONE)),
        "lb/ft": (_POUND / _FOOT, _NONE),
    },
    "frequency": {"Hz": (_ONE, _NONE)},
}

EXAMPLES: dict[Kind, str] = {
    "length": '"260 mm", "2.4 m" or "1 ft 3 1/2 in"',
    "mass": '"750 kg" or "1650 lb"',
    "areal_mass": '"400 g/m2" or "12 oz/yd2"',
    "angle": '"45 deg"',
    "temperature": '"15 degC" or "59 degF"',
    "area": '"0.25 m2" or "390 in2"',
    "flow": '"2.4 m3/s" or "5100 ft3/min"',
    "pressure": '"1200 Pa" or "4.8 inWG"',
    "power": '"7.5 kW" or "10 hp"',
    "rotation": '"2400 rpm"',
    "density": '"1.2 kg/m3" or "0.075 lb/ft3"',
    "duration": '"20 min"',
    "voltage": '"48 V"',
    "charge": '"60 Ah"',
    "resistance": '"12 mohm"',
    "force": '"62 N" or "14 lbf"',
    "line_force": '"20 kN/m", "1200 N/50mm" or "115 lbf/in"',
    "line_mass": '"162 g/m" or "90 tex"',
    "frequency": '"9 Hz"',
}

LONGEST = 60  # letters in a quantity

FEET = ("ft", "foot", "feet", "'")
INCHES = ("in", "inch", "inches", '"')


@dataclass(frozen=True)
class _Pair:
    """A unit and the smaller one that may follow it: their spellings, names, and how many make one."""

    large: tuple[str, ...]
    small: tuple[str, ...]
    large_name: str
    small_name: str
    ratio: int


PAIRS: dict[Kind, _Pair] = {
    "length": _Pair(FEET, INCHES, "feet", "inches", 12),
    "mass": _Pair(("lb", "lbs"), ("oz",), "pounds", "ounces", 16),
}

_DECIMAL = r"(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,2})?"
_NUMBER = rf"(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|{_DECIMAL})"
_UNIT = r"[A-Za-z]+(?:/[A-Za-z]+2?)?|°[CF]?|'|\""
# Of kinds that never add two terms ("1ft3in" is a length).
_POWERED_UNIT = r"[A-Za-z]+(?:2O|[23])?(?:/(?:50?)?[A-Za-z]+[23]?)?"
_TERM = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})", re.ASCII)
_POWERED_TERM = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>{_POWERED_UNIT})", re.ASCII)
_FIRST_KINDS = ("length", "mass", "areal_mass", "angle", "temperature")
_ALONE = re.compile(rf"[+-]?\s*(?:{_NUMBER})", re.ASCII)


class _RefusedError(Exception):
    """Text that is not a quantity: what is wrong, and what would do."""

    def __init__(self, wrong: str, would_do: str) -> None:
        self.wrong, self.would_do = wrong, would_do
        super().__init__(wrong)


def parse_length(text: object, path: str = "length") -> float:
    """Return a length [m] from text such as ``260 mm``, ``2.4 m``, ``1 ft 3 1/2 in`` or ``3' 2"``.

    Raises
    ------
    DesignError
        With one problem at `path` for anything that is not one unambiguous length.

    Examples
    --------
    >>> parse_length("1 ft 3 1/2 in")
    0.3937
    """
    return parse_quantity("length", text, path)


def parse_mass(text: object, path: str = "mass") -> float:
    """Return a mass [kg] from text such as ``750 kg`` or ``1650 lb``; raises DesignError as `parse_length`."""
    return parse_quantity("mass", text, path)


def parse_areal_mass(text: object, path: str = "areal mass") -> float:
    """Return a cloth mass [kg/m2] from text such as ``400 g/m2`` or ``12 oz/yd2``; raises DesignError."""
    return parse_quantity("areal_mass", text, path)


def parse_angle(text: object, path: str = "angle") -> float:
    """Return an angle [rad] from text such as ``45 deg``; raises DesignError as `parse_length`."""
    return parse_quantity("angle", text, path)


def parse_temperature(text: object, path: str = "temperature") -> float:
    """Return a temperature [K] from text such as ``15 degC`` or ``59 degF``; raises DesignError."""
    return parse_quantity("temperature", text, path)


def parse_quantity(kind: Kind, text: object, path: str) -> float:
    """Return the SI value of `text` read as a quantity of `kind`.

    Parameters
    ----------
    kind : Kind
        "length", "mass", "flow" ...; see `UNITS`.
    text : object
        As it came from the file; anything but text is refused.
    path : str
        Place named in the problem.

    Raises
    ------
    DesignError
        With one problem: bare number, no number, decimal comma, unknown unit, mixed-up feet and inches, not finite.
    """
    try:
        return _read(kind, text)
    except _RefusedError as refused:
        raise DesignError([Problem(path, shown(text), refused.wrong, refused.would_do)]) from None


def shown(value: object) -> str:
    """Return a value as it stands in a TOML file, shortened, for the `given` of a problem."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = '"' + "".join(letter if letter.isprintable() else " " for letter in value) + '"'
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list):
        text = "[" + ", ".join(shown(entry) for entry in value) + "]"
    else:
        text = str(value)
    return text if len(text) <= 80 else text[:77] + "..."


def _read(kind: Kind, value: object) -> float:
    example = f"Write it with its unit, for example {EXAMPLES[kind]}."
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise _RefusedError("A bare number has no unit.", example)
    if not isinstance(value, str):
        raise _RefusedError("This is not a quantity.", example)
    text = _tidy(value)
    if not text:
        raise _RefusedError("It is empty.", example)
    if len(text) > LONGEST:
        raise _RefusedError("It is too long for a quantity.", example)
    _refuse_known_traps(text, example)
    sign, body = (-1, text[1:]) if text[0] == "-" else (1, text.removeprefix("+"))
    result = _sum_terms(kind, sign, _split(kind, body.strip(), example))
    if kind == "temperature" and result < 0:
        raise _RefusedError("It is below absolute zero.", example)
    return float(result)


def _tidy(text: str) -> str:
    swaps = {
        "\u2032": "'", "\u2033": '"', "\u00b2": "2", "\u00b3": "3", "\u03a9": "ohm",
        "\u2212": "-", "\u00a0": " ", "\u202f": " ", "\u00ba": "°",
    }  # fmt: skip
    return "".join(swaps.get(letter, letter) for letter in text).strip()


def _refuse_known_traps(text: str, example: str) -> None:
    if re.search(r"\d\s*,\s*\d", text):
        with_point, without = re.sub(r"\s*,\s*", ".", text), re.sub(r"\s*,\s*", "", text)
        also = f' or "{without}"' if re.search(r",\s*\d{3}(?!\d)", text) else ""
        raise _RefusedError("A comma can mean two things, so it is not read.", f'Write "{with_point}"{also}.')
    if re.match(r"[+-]?\s*(nan|inf)", text, re.IGNORECASE) and not text.lower().startswith(("in ", "inch")):
        raise _RefusedError("It is not a finite number.", example)
    if _ALONE.fullmatch(text):
        raise _RefusedError("A bare number has no unit.", example)


def _split(kind: Kind, body: str, example: str) -> list[tuple[Fraction, str]]:
    terms: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(body):
        term = (_TERM if kind in _FIRST_KINDS else _POWERED_TERM).match(body, at)
        if term is None:
            rest = body[at:].strip()
            wrong = (
                f'"{rest}" has no unit.' if _ALONE.fullmatch(rest) else f'"{rest}" cannot be read as a number and unit.'
            )
            raise _RefusedError(wrong, example)
        terms.append((_number(term["number"]), _known(kind, term["unit"])))
        at = term.end()
    return terms


def _number(text: str) -> Fraction:
    if "/" not in text:
        return Fraction(text)
    top, bottom = text.split("/")
    whole, _, numerator = top.strip().rpartition(" ")
    if int(bottom) == 0:
        raise _RefusedError(f'"{text}" divides by zero.', 'Write a fraction such as "1/2".')
    fraction = Fraction(int(numerator), int(bottom))
    if fraction >= 1:
        raise _RefusedError(
            f'"{text}" has a fraction of one or more: perhaps a space is missing.', 'Write, for example, "3 1/2 in".'
        )
    return (int(whole) if whole else 0) + fraction


def _known(kind: Kind, unit: str) -> str:
    table = UNITS[kind]
    if unit in table:
        return unit
    near = get_close_matches(unit.lower(), table, n=1, cutoff=0.6)
    if kind == "areal_mass" and unit == "oz":
        near = ["oz/yd2"]
    if not near:
        raise _RefusedError(f'"{unit}" is not a unit of {kind.replace("_", " ")} here.', f"Units: {_listed(kind)}.")
    raise _RefusedError(f'"{unit}" is not a unit here.', f'Perhaps "{near[0]}"; units read here: {_listed(kind)}.')


def _listed(kind: Kind) -> str:
    return ", ".join(UNITS[kind])


def _sum_terms(kind: Kind, sign: int, terms: list[tuple[Fraction, str]]) -> Fraction:
    factors = UNITS[kind]
    if len(terms) == 1:
        number, unit = terms[0]
        return sign * number * factors[unit][0] + factors[unit][1]
    pair = PAIRS.get(kind)
    if len(terms) == 2 and pair is not None:
        (large, large_unit), (small, small_unit) = terms
        if large_unit in pair.large and small_unit in pair.small:
            if large.denominator != 1 or small >= pair.ratio:
                raise _RefusedError(
                    f"After whole {pair.large_name} there is room for less than {pair.ratio} {pair.small_name}.",
                    f"Write it so, or all of it in {pair.small_name}.",
                )
            return sign * (large * pair.ratio + small) * factors[small_unit][0]
    raise _RefusedError(
        "Only feet with inches, or pounds with ounces, may stand together.", f"Use one unit: {EXAMPLES[kind]}."
    )
