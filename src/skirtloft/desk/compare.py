"""What changed against a kept variant: keys, results, and which cut pieces can be kept."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import numpy as np

from skirtloft.design.units import format_area, format_length, format_mass, format_power, format_pressure
from skirtloft.desk.answer import Solved
from skirtloft.desk.edits import as_text
from skirtloft.drawing.template import distinct
from skirtloft.pieces.types import CutPiece
from skirtloft.results import sizes

SAME = 0.0005  # m: a cut line that moved by less is the same piece; half the width of a marking pen
Json = dict[str, Any]


def comparison(kept: Solved, now: Solved) -> Json:
    """Return ``{keys, results, pieces}``: rows of (name, kept, now, how much)."""
    return {
        "type": "comparison",
        "revision": now.revision,
        "kept": kept.revision,
        "keys": _keys(kept.text, now.text),
        "results": _results(kept, now),
        "pieces": _pieces(kept, now),
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
        change = f"{100.0 * (b - a) / a:+.1f} %" if abs(a) > 1e-12 else ""
        rows.append({"name": name, "kept": form(a, show), "now": form(b, show), "change": change, "same": a == b})
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


def _pieces(kept: Solved, now: Solved) -> list[Json]:
    before = {piece.base: (piece, sum(hands.values())) for piece, hands in distinct(kept.skirt.pieces)}
    after = {piece.base: (piece, sum(hands.values())) for piece, hands in distinct(now.skirt.pieces)}
    rows = []
    for code in [*before, *(code for code in after if code not in before)]:
        if code not in after:
            rows.append({"code": code, "verdict": "gone", "words": "no longer cut"})
        elif code not in before:
            rows.append({"code": code, "verdict": "new", "words": f"new, {after[code][1]} to cut"})
        else:
            rows.append({"code": code, **_same_piece(before[code], after[code])})
    return rows


def _same_piece(before: tuple[CutPiece, int], after: tuple[CutPiece, int]) -> Json:
    """Say whether a piece that is cut already still serves."""
    moved = _moved(before[0].cut_line, after[0].cut_line)
    holes = len(before[0].holes) == len(after[0].holes)
    if moved <= SAME and holes:
        more = after[1] - before[1]
        words = "can be kept" + (f", {more} more to cut" if more > 0 else f", {-more} to spare" if more < 0 else "")
        return {"verdict": "keep", "words": words}
    return {"verdict": "cut", "words": f"cut again: outline moved by {1000.0 * moved:.1f} mm"}


def _moved(a: Any, b: Any) -> float:
    """Return how far two closed outlines lie apart at most, placed by the middle of their boxes [m]."""
    first, second = (np.asarray(line) - (line.max(axis=0) + line.min(axis=0)) / 2.0 for line in (a, b))
    return max(_apart(first, second), _apart(second, first))


def _apart(points: Any, outline: Any) -> float:
    start, along = outline, np.roll(outline, -1, axis=0) - outline
    size = np.maximum((along**2).sum(axis=1), 1e-18)
    share = np.clip(((points[:, None, :] - start) * along).sum(axis=2) / size, 0.0, 1.0)
    gap = points[:, None, :] - (start + share[..., None] * along)
    return float(np.sqrt((gap**2).sum(axis=2)).min(axis=1).max())
