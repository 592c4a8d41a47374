"""Values of an explanation in the builder's units."""

from __future__ import annotations

from skirtloft.design.units import format_length
from skirtloft.pipeline import Skirt


def length_of(skirt: Skirt, value: float) -> str:
    """Return a length [m] in the units that the design shows."""
    return format_length(value, skirt.design.project.show)
