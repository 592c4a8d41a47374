"""What gives first, and how many segments may be lost: in words and numbers."""

from __future__ import annotations

import math

from skirtloft.answers.first_to_give import Giving, by_mass, by_shift
from skirtloft.answers.subject import CAUTION
from skirtloft.answers.table import prose, table
from skirtloft.design.model import Show
from skirtloft.design.units import format_length, format_mass, format_rotation
from skirtloft.pipeline import Skirt

WORDS = {
    "gap": "the wanted gap at this speed",
    "stall": "the point reaches the stalled side",
    "fan": "no gap is left at this speed",
    "engine": "the installed power, at the wanted gap",
    "tips": "the blades, at the wanted gap",
}


def limit_lines(skirt: Skirt) -> list[str]:
    """Return the tables of what gives first."""
    show, match = skirt.design.project.show, skirt.air.match
    lines = ["Mass      more on every load, where it is now; the skirt stays as cut"]
    lines += _rows(by_mass(skirt), show, is_mass=True) or ["  nothing gives up to twice the heaviest load on top"]
    if match is not None:
        name = skirt.design.craft.load[0].name
        rows = []
        for k, limit in enumerate(match.limits.names):
            mass, extra = float(match.limits.mass[k, 0]), float(match.limits.extra[k, 0])
            if math.isfinite(mass):
                rows.append((WORDS[limit], format_mass(mass, show), format_mass(extra, show)))
        lines += ["", f"Largest   masses of {name!r} by what limits the lift air"]
        lines += table(("what limits", "mass", "more than now"), rows)
    for along in ("forward", "aft", "sideways"):
        lines += ["", f"Centre    of gravity of every load, shifted {along}"]
        lines += _rows(by_shift(skirt, along), show, is_mass=False) or ["  nothing gives within a quarter of the craft"]
    lines += prose(
        "  How far she then leans, and whether she comes back, is not computed here: these are the rules on"
        " balance and on"
        " getting up from water only."
    )
    return [*lines, "", *_segments(skirt), *prose(CAUTION)]


def _rows(giving: tuple[Giving, ...], show: Show, *, is_mass: bool) -> list[str]:
    if not giving:
        return []

    def words(value: float | None) -> str:
        if value is None:
            return "-"
        if value == 0.0:
            return "now"
        return format_mass(value, show) if is_mass else format_length(value, show)

    return table(("rule", "warns at", "fails at"), [(g.rule, words(g.warns), words(g.fails)) for g in giving])


def _segments(skirt: Skirt) -> list[str]:
    match, show = skirt.air.match, skirt.design.project.show
    if match is None:
        return ["Segments  lost: needs [air.fan]"]
    lost = match.segments_lost
    count, gaps = int(lost.may_be_lost), [float(gap) for gap in lost.gap]
    rows = []
    for gone in range(min(len(gaps), count + 3)):
        rows.append((str(gone), format_length(gaps[gone], show) if math.isfinite(gaps[gone]) else "sits down"))
    least = format_length(skirt.design.air.least_gap, show)
    return [
        f"Segments  {max(0, count)} may be lost at {format_rotation(match.speed)} with the gap still {least} or more",
        *table(("lost", "gap"), rows),
        *prose(
            "  Each lost segment opens its pitch times its depth, of which its neighbours leave 0.8 open: our own"
            " guess."
        ),
    ]
