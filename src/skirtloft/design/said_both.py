"""Sentences with metric quantities, told in feet, inches and pounds as well."""

from __future__ import annotations

import re
from collections.abc import Callable

from skirtloft.design.model import Show
from skirtloft.design.units import (
    format_areal_mass,
    format_force,
    format_length,
    format_line_load,
    format_mass,
    format_pressure,
)

_FORMATS: dict[str, tuple[float, Callable[[float, Show], str]]] = {
    "mm": (1e-3, format_length),
    "g/m2": (1e-3, format_areal_mass),
    "kg": (1.0, format_mass),
    "N/m": (1.0, format_line_load),
    "N": (1.0, format_force),
    "Pa": (1.0, format_pressure),
}
_NUMBER = r"(-?\d+(?:\.\d+)?(?:e[-+]\d+)?)"
_QUANTITY = re.compile(rf"(?<![\w.]){_NUMBER}(?: to {_NUMBER})? (mm|g/m2|kg|N/m|N|Pa)(?![\w/]| m| \(-?\d)")


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
