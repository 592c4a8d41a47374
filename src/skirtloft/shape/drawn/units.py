"""The unit of a drawing: as it says itself, or as told; never guessed."""

from __future__ import annotations

from dataclasses import dataclass

from skirtloft.design.quantity import FOOT, INCH, YARD
from skirtloft.errors import Problem

# $INSUNITS -> (name, metres), DXF reference of the format's owner, header section (from memory; ezdxf has the same).
CODES: dict[int, tuple[str, float]] = {
    1: ("in", INCH),
    2: ("ft", FOOT),
    4: ("mm", 0.001),
    5: ("cm", 0.01),
    6: ("m", 1.0),
    10: ("yd", YARD),
    14: ("dm", 0.1),
}
TOLD: dict[str, float] = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": INCH, "ft": FOOT}
SIZES = (0.5, 30.0)  # m: least and largest length of a hull that the design file takes


@dataclass(frozen=True)
class DrawingUnit:
    """Name and size [m] of the drawing's unit, who says so, and whether it is one of the inch family."""

    name: str
    metres: float
    said_by: str

    @property
    def is_imperial(self) -> bool:
        """True for inches, feet and yards."""
        return self.name in ("in", "ft", "yd")


def drawing_unit(code: int, told: str | None, size: float) -> tuple[DrawingUnit, list[Problem]]:
    """Return the unit and what is wrong with it; where it is not known, one that makes a hull, for further checks only.

    Parameters
    ----------
    code : int
        ``$INSUNITS``.
    told : str or None
        One of `TOLD`.
    size : float [drawing units]
        The larger of length and width.
    """
    if told is not None and told not in TOLD:
        would_do = f"Give one of {', '.join(TOLD)}."
        return _likely(size), [Problem("--units", told, "This is not a unit of drawings here.", would_do)]
    if told is not None:
        unit = DrawingUnit(told, TOLD[told], "told")
    elif code in CODES:
        unit = DrawingUnit(*CODES[code], "says the drawing")
    else:
        likely = _likely(size)
        wrong = "The drawing does not say its unit." if code == 0 else f"Its unit (code {code}) is not read here."
        given = "unitless" if code == 0 else f"$INSUNITS {code}"
        would_do = f"Say it: {_choices(size)}. What follows takes it for {likely.name}."
        return likely, [Problem("$INSUNITS", given, wrong, would_do)]
    if SIZES[0] <= size * unit.metres <= SIZES[1]:
        return unit, []
    wrong = f"In {unit.name} ({unit.said_by}) the outline is {size * unit.metres:.4g} m long."
    would_do = f"A hull is {SIZES[0]:g} to {SIZES[1]:g} m long. Say the unit: {_choices(size)}."
    return _likely(size), [Problem("--units", unit.name, wrong, would_do)]


def _likely(size: float) -> DrawingUnit:
    for name, metres in TOLD.items():
        if 1.5 <= size * metres <= 15.0:
            return DrawingUnit(name, metres, "taken")
    return DrawingUnit("mm", 0.001, "taken")


def _choices(size: float) -> str:
    return ", ".join(f"--units {name} makes it {size * metres:.4g} m long" for name, metres in TOLD.items())
