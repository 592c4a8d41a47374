"""Lengths and places as words in a message."""

from __future__ import annotations

import math


def millimetres(length: float) -> str:
    """Return a length [m] for a message, to a tenth of a millimetre."""
    return f"{1000.0 * length:.1f} mm"


def at_most(length: float) -> str:
    """Return the length [m] rounded down, so that the printed value does."""
    return f"{math.floor(1e4 * length + 1e-6) / 10.0:.1f} mm"


def at_least(length: float) -> str:
    """Return the length [m] rounded up, so that the printed value does."""
    return f"{math.ceil(1e4 * length - 1e-6) / 10.0:.1f} mm"


def place_text(place: complex) -> str:
    """Return a place for a message."""
    return f"x {place.real:.3f} m, y {place.imag:.3f} m"
