"""The bill of materials in the builder's units: rows for a table or CSV, and plain lines."""

from __future__ import annotations

from skirtloft.design.model import Show
from skirtloft.design.quantity import FOOT, POUND
from skirtloft.design.units import format_mass
from skirtloft.materials.list import Bill, Material
from skirtloft.maths.number_text import number_text

Cell = str | int | float | bool | None
COLUMNS = (
    "part", "quantity", "unit", "area_m2", "offcut_m2", "mass_kg", "price", "cost", "currency", "how",
)  # fmt: skip
NOT_PRICED = "not priced"


def rows(bill: Bill, show: Show = "metric") -> list[dict[str, Cell]]:
    """Return one row for each line and one for the sum; quantities in metres and kilograms, or feet and pounds.

    A line without a price says "not priced" under cost. Areas and masses stay in m2 and kg, as their headings say.
    """
    found: list[dict[str, Cell]] = []
    for line in bill.lines:
        _, unit, price = in_units(line, show)
        found.append(
            {
                "part": line.part,
                "quantity": amount(line, show),
                "unit": unit,
                "area_m2": None if line.area is None else round(line.area, 3),
                "offcut_m2": None if line.offcut is None else round(line.offcut, 3),
                "mass_kg": None if line.mass is None else round(line.mass, 3),
                "price": NOT_PRICED if price is None else round(price, 4),
                "cost": NOT_PRICED if line.cost is None else round(line.cost, 2),
                "currency": bill.currency,
                "how": line.how,
            }
        )
    found.append(
        {
            "part": "sum of what is priced and weighed",
            "mass_kg": round(bill.mass, 3),
            "cost": round(bill.cost, 2) if len(bill.not_priced) < len(bill.lines) else NOT_PRICED,
            "currency": bill.currency,
            "how": _without(bill),
        }
    )
    return found


def amount(line: Material, show: Show) -> float | int:
    """Return the quantity as every list has it: cloth to 0.001, other lengths to 0.1, masses to 0.01."""
    quantity = in_units(line, show)[0]
    if line.unit == "each":
        return int(quantity)
    return round(quantity, 3 if line.area is not None else 1 if line.unit == "length" else 2)


def in_units(line: Material, show: Show) -> tuple[float, str, float | None]:
    """Return quantity, unit and price of one unit as `show` has it."""
    if line.unit == "each":
        return line.quantity, "each", line.price
    factor, name = {"length": (FOOT, "ft"), "mass": (POUND, "lb")}[line.unit]
    if show != "imperial":
        return line.quantity, {"length": "m", "mass": "kg"}[line.unit], line.price
    one = float(factor)
    return line.quantity / one, name, None if line.price is None else line.price * one


def bill_lines(bill: Bill, show: Show = "metric") -> list[str]:
    """Return the bill as plain lines, what is not priced or weighed named at the end."""
    lines = []
    for line in bill.lines:
        unit = "" if line.unit == "each" else f" {in_units(line, show)[1]}"
        quantity = f"{number_text(amount(line, show))}{unit}"
        cost = NOT_PRICED if line.cost is None else f"{line.cost:.2f} {bill.currency}".strip()
        lines.append(f"{line.part:28}{quantity:>12}  {cost:>14}  {line.how}")
    total = NOT_PRICED if len(bill.not_priced) == len(bill.lines) else f"{bill.cost:.2f} {bill.currency}".strip()
    lines.append(f"{'together':28}{format_mass(bill.mass, show):>12}  {total:>14}  {_without(bill)}")
    if not bill.laid_out:
        lines.append("The cloth is only the area of the pieces: lay them out first, then it is what to buy.")
    return lines


def _without(bill: Bill) -> str:
    parts = []
    if bill.not_priced:
        parts.append(f"Without a price: {', '.join(bill.not_priced)}.")
    if bill.not_weighed:
        parts.append(f"Not weighed: {', '.join(bill.not_weighed)}.")
    return " ".join(parts)
