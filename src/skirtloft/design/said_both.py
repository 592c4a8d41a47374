"""Sentences with metric quantities, told in feet, inches and pounds as well."""

from __future__ import annotations

import re
from collections.abc import Callable

from skirtloft.design.model import Show
from skirtloft.design.quantity import FOOT, POUND
from skirtloft.design.units import (
    GRAVITY,
    format_area,
    format_areal_mass,
    format_force,
    format_length,
    format_line_load,
    format_mass,
    format_pressure,
    format_speed,
    format_temperature,
)


def _in(factor: float, unit: str) -> Callable[[float, Show], str]:
    """Return what writes a value of a unit that has no format of its own, to three digits."""
    return lambda value, _: f"{value / factor:.3g} {unit}"


LBF = POUND * GRAVITY

_FORMATS: dict[str, tuple[float, Callable[[float, Show], str]]] = {
    "mm": (1e-3, format_length),
    "g/m2": (1e-3, format_areal_mass),
    "kg": (1.0, format_mass),
    "N/m": (1.0, format_line_load),
    "N": (1.0, format_force),
    "N per metre": (1.0, format_line_load),
    "Pa": (1.0, format_pressure),
    "m": (1.0, format_length),
    "m2": (1.0, format_area),
    "m/s": (1.0, format_speed),
    "degC": (1.0, lambda value, show: format_temperature(value + 273.15, show)),
    "g/m": (1e-3, _in(POUND / FOOT, "lb/ft")),
    "kg/m3": (1.0, _in(POUND / FOOT**3, "lb/ft3")),
    "N m/rad/m": (1.0, _in(LBF, "lbf ft/rad/ft")),
    "Pa s/m3": (1.0, _in(LBF / FOOT**5, "lb s/ft5")),
}
_NUMBER = r"(-?\d+(?:\.\d+)?(?:e[-+]\d+)?)"
_UNITS = "|".join(sorted(map(re.escape, _FORMATS), key=len, reverse=True))
_QUANTITY = re.compile(rf"(?<![\w.])(?<!× )(?<!\d x ){_NUMBER}(?: to {_NUMBER})? ({_UNITS})(?![\w/]| m/| s/| \(-?\d)")


def said_both(text: str, show: Show) -> str:
    """Return a sentence with the imperial value in brackets behind every metric quantity, unless `show` is metric.

    The metric one stays, since limits are told to the millimetre and inches are rounded to the sixteenth.

    Examples
    --------
    >>> said_both("Use a pitch of 100 to 150 mm, not 60 mm.", "imperial")
    'Use a pitch of 100 to 150 mm (3 15/16 in to 5 7/8 in), not 60 mm (2 3/8 in).'
    >>> said_both("Use a pitch of 100 to 150 mm.", "metric")
    'Use a pitch of 100 to 150 mm.'
    """
    if show == "metric":
        return text

    def beside(found: re.Match[str]) -> str:
        factor, format_value = _FORMATS[found[3]]
        values = [float(number) * factor for number in (found[1], found[2]) if number is not None]
        if not any(values):
            return found[0]
        return f"{found[0]} ({' to '.join(format_value(value, 'imperial') for value in values)})"

    return _QUANTITY.sub(beside, text)
