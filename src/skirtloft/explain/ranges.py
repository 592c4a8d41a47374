"""The values of a knob as the file would write them."""

from __future__ import annotations

from skirtloft.design.fields import schema_paths
from skirtloft.design.model import Number, Quantity, Show
from skirtloft.design.units import (
    format_angle,
    format_area,
    format_areal_mass,
    format_flow,
    format_force,
    format_length,
    format_line_load,
    format_mass,
    format_power,
    format_pressure,
    format_rotation,
    format_speed,
    format_temperature,
    format_volume,
)
from skirtloft.explain.knobs import range_in
from skirtloft.explain.types import Knob

SI: dict[str, str] = {
    "density": "kg/m3",
    "duration": "s",
    "voltage": "V",
    "charge": "C",
    "resistance": "ohm",
    "frequency": "Hz",
}
FORMATS = {
    "length": format_length,
    "mass": format_mass,
    "area": format_area,
    "volume": format_volume,
    "areal_mass": format_areal_mass,
    "pressure": format_pressure,
    "power": format_power,
    "flow": format_flow,
    "force": format_force,
    "speed": format_speed,
    "line_force": format_line_load,
    "temperature": format_temperature,
}
BARE = {"angle": format_angle, "rotation": format_rotation}


def knob_text(knob: Knob, show: Show) -> str:
    """Return "280 mm", or "0.6 to 1.35 m" for a list."""
    low, high = min(knob.values), max(knob.values)
    if low == high:
        return _one(knob, low, show)
    return f"{_one(knob, low, show)} to {_one(knob, high, show)}"


def _one(knob: Knob, value: float, show: Show) -> str:
    return quantity_text(value, range_in(schema_paths()[knob.path.replace("[]", "")]), show)


def quantity_text(value: float, mark: Quantity | Number | None, show: Show) -> str:
    """Return a number of the file with its unit by the mark of its key."""
    kind = mark.kind if isinstance(mark, Quantity) else None
    if kind in FORMATS:
        return FORMATS[kind](value, show)
    if kind == "line_mass":
        return f"{1000.0 * value:.4g} g/m"
    if kind in BARE:
        return BARE[kind](value)
    return f"{value:.4g} {SI.get(kind or '', '')}".rstrip()
