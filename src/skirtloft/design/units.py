"""Units: text -> SI (`parse_length` and its like) and SI -> text for sentences and drawings (`format_length` ...).

Every formatter takes `show`: "metric", "imperial" or "both" (metric with the imperial value in brackets).
"""

from __future__ import annotations

import math

from skirtloft.design.model import Show
from skirtloft.design.quantity import (
    FOOT,
    INCH,
    OUNCE,
    POUND,
    YARD,
    parse_angle,
    parse_areal_mass,
    parse_length,
    parse_mass,
    parse_quantity,
    parse_temperature,
)

__all__ = [
    "format_angle",
    "format_area",
    "format_areal_mass",
    "format_duration",
    "format_flow",
    "format_force",
    "format_hole_area",
    "format_length",
    "format_line_load",
    "format_line_moment",
    "format_mass",
    "format_power",
    "format_pressure",
    "format_rotation",
    "format_speed",
    "format_temperature",
    "parse_angle",
    "parse_areal_mass",
    "parse_length",
    "parse_mass",
    "parse_quantity",
    "parse_temperature",
]

GRAVITY = 9.80665  # [m/s2] standard gravity, CGPM 1901
PSF = POUND * GRAVITY / FOOT**2  # [Pa] pound-force per square foot, by definition
LINE_LOAD = POUND * GRAVITY / FOOT  # [N/m] pound-force per foot, by definition
HORSEPOWER = 550.0 * FOOT * POUND * GRAVITY  # [W] mechanical horsepower, 550 ft lbf/s by definition


def format_length(value: float, show: Show = "metric") -> str:
    """Return a length [m] as ``262.5 mm`` (below 1 m), ``2.345 m``, ``1 ft 3 1/2 in`` (to 1/16 in) or both."""
    return _shown(_metric_length(value), _feet_and_inches(value), show)


def format_whole_length(value: float, show: Show = "metric") -> str:
    """Return a length [m] of which no more is known than the millimetre: ``263 mm``, ``10 3/8 in`` (to 1/16 in)."""
    return _shown(_metric_length(round(value, 3)), _feet_and_inches(value), show)


def format_mass(value: float, show: Show = "metric") -> str:
    """Return a mass [kg] as ``750 kg``, ``85 g`` (below 1 kg), ``1653 lb``, ``3 oz`` (below 1 lb) or both."""
    metric = f"{_digits(value * 1000.0, 3)} g" if abs(value) < 1.0 else f"{_digits(value, 4)} kg"
    imperial = f"{_digits(value / OUNCE, 3)} oz" if abs(value) < POUND else f"{_digits(value / POUND, 4)} lb"
    return _shown(metric, imperial, show)


def format_mass_moment(value: float, show: Show = "metric") -> str:
    """Return mass times distance [kg m] as ``8.2 kg m``, ``59 ft lb`` or both, to two digits."""
    return _shown(f"{_digits(value, 2)} kg m", f"{_digits(value / (POUND * FOOT), 2)} ft lb", show)


def format_areal_mass(value: float, show: Show = "metric") -> str:
    """Return a cloth mass [kg/m2] as ``400 g/m2``, ``11.8 oz/yd2`` or both."""
    return _shown(f"{_digits(value * 1000.0, 4)} g/m2", f"{_digits(value / (OUNCE / YARD**2), 3)} oz/yd2", show)


def format_area(value: float, show: Show = "metric") -> str:
    """Return an area [m2] as ``7.904 m2``, ``85.08 ft2`` or both."""
    return _shown(f"{_digits(value, 4)} m2", f"{_digits(value / FOOT**2, 4)} ft2", show)


def format_volume(value: float, show: Show = "metric") -> str:
    """Return a volume [m3] as ``4.2 m3``, ``148 ft3`` or both."""
    return _shown(f"{_digits(value, 3)} m3", f"{_digits(value / FOOT**3, 3)} ft3", show)


def format_pressure(value: float, show: Show = "metric") -> str:
    """Return a pressure [Pa] as ``613 Pa``, ``12.8 lb/ft2`` or both."""
    return _shown(f"{_digits(value, 3)} Pa", f"{_digits(value / PSF, 3)} lb/ft2", show)


def format_flow(value: float, show: Show = "metric") -> str:
    """Return a flow [m3/s] as ``2.04 m3/s``, ``4320 ft3/min`` or both."""
    return _shown(f"{_digits(value, 3)} m3/s", f"{_digits(60.0 * value / FOOT**3, 3)} ft3/min", show)


def format_force(value: float, show: Show = "metric") -> str:
    """Return a force [N] as ``184 N``, ``41.3 lbf`` or both."""
    return _shown(f"{_digits(value, 3)} N", f"{_digits(value / (POUND * GRAVITY), 3)} lbf", show)


def format_power(value: float, show: Show = "metric") -> str:
    """Return a power [W] as ``850 W`` (below 1 kW), ``3.54 kW``, ``4.74 hp`` or both."""
    metric = f"{_digits(value, 3)} W" if abs(value) < 1000.0 else f"{_digits(value / 1000.0, 3)} kW"
    return _shown(metric, f"{_digits(value / HORSEPOWER, 3)} hp", show)


def format_line_load(value: float, show: Show = "metric") -> str:
    """Return a force per length [N/m] as ``92.4 N/m``, ``6.33 lbf/ft`` or both."""
    return _shown(f"{_digits(value, 3)} N/m", f"{_digits(value / LINE_LOAD, 3)} lbf/ft", show)


def format_line_moment(value: float, show: Show = "metric") -> str:
    """Return a moment per length [N m / m] as ``45.5 N m/m``, ``10.2 lbf ft/ft`` or both."""
    return _shown(f"{_digits(value, 3)} N m/m", f"{_digits(value / POUND / GRAVITY, 3)} lbf ft/ft", show)


def format_temperature(value: float, show: Show = "metric") -> str:
    """Return a temperature [K] as ``15 degC``, ``59 degF`` or both."""
    return _shown(f"{_plain(value - 273.15, 1)} degC", f"{_plain(value * 1.8 - 459.67, 1)} degF", show)


def format_hole_area(value: float, show: Show = "metric") -> str:
    """Return the area of a hole or duct [m2] as ``24.6 cm2``, ``3.81 in2`` or both."""
    return _shown(f"{_digits(value * 1e4, 3)} cm2", f"{_digits(value / INCH**2, 3)} in2", show)


def format_speed(value: float, show: Show = "metric") -> str:
    """Return a speed [m/s] as ``80.1 m/s``, ``263 ft/s`` or both."""
    return _shown(f"{_digits(value, 3)} m/s", f"{_digits(value / FOOT, 3)} ft/s", show)


def format_rotation(value: float) -> str:
    """Return a rotation [rad/s] as ``2550 rpm``."""
    return f"{value * 30.0 / math.pi:.0f} rpm"


def format_duration(value: float) -> str:
    """Return a time [s] as ``40 s`` (below 100 s) or ``12 min``."""
    return f"{_digits(value, 2)} s" if abs(value) < 100.0 else f"{_digits(value / 60.0, 3)} min"


def format_angle(value: float) -> str:
    """Return an angle [rad] as ``45 deg`` or ``11.25 deg``."""
    return f"{_plain(math.degrees(value), 2)} deg"


def _shown(metric: str, imperial: str, show: Show) -> str:
    return {"metric": metric, "imperial": imperial, "both": f"{metric} ({imperial})"}[show]


def _metric_length(value: float) -> str:
    if abs(round(value * 1000.0, 1)) < 1000.0:
        return f"{_plain(value * 1000.0, 1)} mm"
    return f"{value:.3f} m"


def _feet_and_inches(value: float) -> str:
    sixteenths = round(abs(value) / INCH * 16.0)
    feet, rest = divmod(sixteenths, 12 * 16)
    inches, part = divmod(rest, 16)
    words = [f"{feet} ft"] if feet else []
    if inches or part or not feet:
        divisor = math.gcd(part, 16)
        whole = [str(inches)] if inches or not part else []
        fraction = [f"{part // divisor}/{16 // divisor}"] if part else []
        words.append(" ".join([*whole, *fraction, "in"]))
    return ("-" if value < 0.0 and sixteenths else "") + " ".join(words)


def _plain(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text in ("-0", "") else text


def _digits(value: float, digits: int) -> str:
    """Return a number to so many significant digits, whole digits never dropped, no exponent, no trailing zeros."""
    if value == 0.0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return _plain(value, decimals)
