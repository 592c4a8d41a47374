"""What a layout comes to, in plain lines."""

from __future__ import annotations

from collections.abc import Sequence

from skirtloft.design.model import Show
from skirtloft.design.units import format_area, format_length
from skirtloft.layout.types import Layout
from skirtloft.layout.verify import least_length, roll_uses


def layout_lines(layout: Layout, show: Show, troubles: Sequence[str] = ()) -> list[str]:
    """Return one line for each roll used, how far the last is from the least there can be, and what went wrong."""
    uses = roll_uses(layout)
    lines = [
        f"{layout.problem.cloth.capitalize():10}{use.roll.name}, {format_length(use.roll.width, show)} wide:"
        f" {format_length(use.length, show)} used by {use.pieces} pieces ({format_area(use.area, show)}),"
        f" {100.0 * use.use:.1f} % of it"
        for use in uses
    ]
    least = least_length(layout)
    lines.append(
        f"{'':10}no layout of these pieces is shorter than {format_length(least, show)} on {uses[-1].roll.name}"
        " (their area over the width); knives and flaws in the cloth ask for more than the layout"
    )
    return [*lines, *(f"{'':10}{trouble}" for trouble in troubles)]
