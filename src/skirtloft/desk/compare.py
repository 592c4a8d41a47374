"""What changed against a kept variant: keys and results."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from skirtloft.design.units import format_area, format_length, format_mass, format_power, format_pressure
from skirtloft.desk.answer import Solved
from skirtloft.desk.edits import as_text
from skirtloft.results import sizes

Json = dict[str, Any]


def comparison(kept: Solved, now: Solved) -> Json:
    """Return ``{keys, results}``: rows of (name, kept, now, how much); pieces take longer, see `kept_pieces`."""
    return {
        "type": "comparison",
        "revision": now.revision,
        "kept": kept.revision,
        "keys": _keys(kept.text, now.text),
        "results": _results(kept, now),
    }


def _flat(value: Any, key: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _flat(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for index, inner in enumerate(value):
            yield from _flat(inner, f"{key}[{index}]")
    else:
        yield key, as_text(value)


def _keys(kept: str, now: str) -> list[Json]:
    before, after = dict(_flat(tomllib.loads(kept))), dict(_flat(tomllib.loads(now)))
    names = [*before, *(name for name in after if name not in before)]
    return [
        {"key": name, "kept": before.get(name, ""), "now": after.get(name, "")}
        for name in names
        if before.get(name) != after.get(name)
    ]


def _results(kept: Solved, now: Solved) -> list[Json]:
    show = now.skirt.design.project.show
    rows = []
    for name, form in _NUMBERS.items():
        a, b = _number(kept, name), _number(now, name)
        kept_words, now_words = form(a, show), form(b, show)
        share = f" ({100.0 * (b - a) / a:+.1f} %)" if abs(a) > 1e-12 else ""
        change = f"{'+' if b > a else '−'}{form(abs(b - a), show)}{share.replace('-', '−')}"
        same = kept_words == now_words
        rows.append({"name": name, "kept": kept_words, "now": now_words, "change": change, "same": same})
    return rows


_NUMBERS: dict[str, Any] = {
    "Cushion pressure": format_pressure,
    "Cushion area": format_area,
    "Hover height": format_length,
    "Inflated width": format_length,
    "Inflated length": format_length,
    "Air power through the gap": format_power,
    "Cloth in the pieces": format_area,
    "Mass of the pieces": format_mass,
    "Pieces to cut": lambda value, show: f"{value:.0f}",
    "Rules that fail": lambda value, show: f"{value:.0f}",
    "Rules to watch": lambda value, show: f"{value:.0f}",
}


def _number(solved: Solved, name: str) -> float:
    skirt = solved.skirt
    size = sizes(skirt)
    found: dict[str, float] = {
        "Cushion pressure": skirt.cushions[0].pressure,
        "Cushion area": skirt.plan.tip_area,
        "Hover height": size["hover_height_m"],
        "Inflated width": size["overall_width_m"],
        "Inflated length": size["overall_length_m"],
        "Air power through the gap": skirt.cushions[0].air_power,
        "Cloth in the pieces": sum(piece.area * piece.quantity for piece in skirt.pieces),
        "Mass of the pieces": sum(piece.mass * piece.quantity for piece in skirt.pieces),
        "Pieces to cut": float(sum(piece.quantity for piece in skirt.pieces)),
        "Rules that fail": float(sum(finding.verdict == "fail" for finding in skirt.findings)),
        "Rules to watch": float(sum(finding.verdict == "warn" for finding in skirt.findings)),
    }
    return float(found[name])
