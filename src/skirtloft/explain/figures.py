"""Values of an explanation in the builder's units."""

from __future__ import annotations

from skirtloft.design.units import format_length, format_mass
from skirtloft.physics.air import GRAVITY
from skirtloft.pipeline import Skirt


def length_of(skirt: Skirt, value: float) -> str:
    """Return a length [m] in the units that the design shows."""
    return format_length(value, skirt.design.project.show)


def weight_of(skirt: Skirt, mass: float) -> str:
    """Return the weight of a mass [kg] as a product; in pounds the mass alone, for a pound weighs a pound-force."""
    show = skirt.design.project.show
    words = format_mass(mass, show)
    return words if show == "imperial" else f"{words} x {GRAVITY:g} m/s2"
