"""Skirt kinds side by side at equal mass, plan and gap, with every assumption and what it is worth."""

from __future__ import annotations

from skirtloft.answers.subject import THROUGH_GAP, Subject
from skirtloft.answers.table import prose, table
from skirtloft.design.units import format_flow, format_length, format_mass, format_power, format_pressure
from skirtloft.lift.match import kinds_of


def compare_lines(subject: Subject) -> list[str]:
    """Return the comparison and its assumptions."""
    design, lift = subject.design, subject.lift
    show, first = design.project.show, design.craft.load[0]
    kinds = kinds_of(design, lift)
    rows, doubts = [], []
    for kind in kinds:
        best = kind.best
        rows.append(
            (
                kind.name,
                format_flow(float(best.flow), show),
                format_pressure(float(best.supply_pressure), show),
                format_pressure(float(best.fan_pressure), show),
                format_power(float(best.gap_power), show),
                format_power(float(best.skirt_loss), show),
                format_power(float(best.duct_loss), show),
                format_power(float(best.engine_power), show),
                f"{format_power(float(kind.engine_power_low), show)} to"
                f" {format_power(float(kind.engine_power_high), show)}",
            )
        )
        worth = {swing.name: (float(swing.at_low), float(swing.at_high)) for swing in kind.swings}
        for number, assumed in enumerate(kind.assumptions):
            low, high = sorted(worth[assumed.name])
            doubts.append(
                (
                    kind.name if not number else "",
                    assumed.name,
                    f"{assumed.low:g}, {assumed.best:g}, {assumed.high:g}",
                    f"{format_power(low, show)} to {format_power(high, show)}",
                    assumed.source,
                )
            )
    head = ("kind", "flow", "in the skirt", "at the fan", "gap only", "skirt loss", "duct loss", "engine", "band")
    return [
        f"Kinds     {format_mass(first.mass, show)} ({first.name!r}), the plan of the file, a gap of"
        f" {format_length(lift.gap, show)}",
        *table(head, rows),
        *prose(
            f"Gap only: {THROUGH_GAP}. Engine: a screening figure into belt or gearbox, from the assumptions"
            " below; band:"
            " each assumption alone to its end, added as independent errors. Where the bands overlap the kinds"
            " cannot be"
            " told apart by lift power. Ride, drag, wear and stability are not in it."
        ),
        "",
        "Assumptions (low, best, high; replace them in the file: [air.kinds.full_segment] leakage = [1.2, 1.4, 1.6])",
        *table(("kind", "assumption", "band", "engine at its ends", "source"), doubts, left=2, words_last=True),
    ]
