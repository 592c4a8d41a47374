"""Layouts as text, to be kept beside the design, so that the same layout comes back: JSON, lengths in millimetres.

A saved layout is good for the pieces, gap, margin and rolls that it was made for. It says of every piece how many there
were and how large, so that what has changed can be told in words; what comes back is verified before it is used.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import numpy as np

from skirtloft.errors import ExportError
from skirtloft.layout.types import Blank, Layout, Lie, Problem
from skirtloft.layout.verify import faults

FORMAT = "skirtloft-layout/1"
CHANGED = 0.0001  # [m] a piece whose box or whose area over its box has changed by less is the same piece
AGAIN = "Lay out again."


def to_text(layouts: Sequence[Layout], craft: str) -> str:
    """Return layouts of one design as text, one line for each piece laid."""
    data = {"format": FORMAT, "craft": craft, "layouts": [_layout_data(layout) for layout in layouts]}
    text = json.dumps(data, indent=1, ensure_ascii=False)
    return _one_line_each(text) + "\n"


def from_text(text: str, problems: Sequence[Problem]) -> tuple[Layout, ...]:
    """Return the saved layout of every problem, verified.

    Raises
    ------
    ExportError
        The text is no layout, or was made for other pieces or rolls: what has changed, in one sentence for each.
    """
    try:
        data = json.loads(text)
        if data["format"] != FORMAT:
            raise KeyError
        saved = {entry["cloth"]: entry for entry in data["layouts"]}
        found = []
        for problem in problems:
            if problem.cloth not in saved:
                raise ExportError(f"The saved layout has nothing of {problem.cloth} cloth. {AGAIN}")
            _refuse_changes(problem, saved[problem.cloth])
            found.append(_layout(problem, saved[problem.cloth]))
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        raise ExportError(f"This is no layout that was saved by this program, or it is damaged. {AGAIN}") from None
    for layout in found:
        wrong = faults(layout)
        if wrong:
            raise ExportError(f"The saved layout of {layout.problem.cloth} cloth cannot be cut: {wrong[0]} {AGAIN}")
    return tuple(found)


def _layout_data(layout: Layout) -> dict[str, Any]:
    problem = layout.problem
    return {
        "cloth": problem.cloth,
        "made_by": layout.made_by,
        "gap_mm": _mm(problem.gap),
        "margin_mm": _mm(problem.margin),
        "rolls": [
            {
                "name": roll.name,
                "width_mm": _mm(roll.width),
                "length_mm": None if roll.length == float("inf") else _mm(roll.length),
            }
            for roll in problem.rolls
        ],
        "blanks": [_blank_data(blank) for blank in problem.blanks],
        "lies": [
            {
                "code": problem.blanks[lie.blank].code,
                "roll": lie.roll,
                "turned": lie.turned,
                "flipped": lie.flipped,
                "x_mm": round(1000.0 * lie.x, 4),
                "y_mm": round(1000.0 * lie.y, 4),
            }
            for lie in layout.lies
        ],
    }


def _blank_data(blank: Blank) -> dict[str, Any]:
    length, width = np.ptp(blank.outline, axis=0)
    return {
        "code": blank.code,
        "quantity": blank.quantity,
        "length_mm": _mm(float(length)),
        "width_mm": _mm(float(width)),
        "area_cm2": round(1e4 * blank.area, 2),
    }


def _mm(value: float) -> float:
    return round(1000.0 * value, 3)


def _one_line_each(text: str) -> str:
    """Put every innermost object of indented JSON on one line."""
    out, depth, held = [], 0, list[str]()
    for line in text.split("\n"):
        stripped = line.strip()
        depth += stripped.endswith(("{", "[")) - stripped.startswith(("}", "]"))
        if stripped.endswith("{") and depth == 5:
            held = [line[: len(line) - len(line.lstrip())] + "{"]
        elif held and depth >= 5:
            held.append(stripped)
        elif held:
            held.append(stripped)
            out.append(held[0] + " ".join(held[1:-1]) + held[-1])
            held = []
        else:
            out.append(line)
    return "\n".join(out)


def _refuse_changes(problem: Problem, saved: dict[str, Any]) -> None:
    """Raise ExportError with a sentence for everything that is no longer as it was saved."""
    then = {entry["code"]: entry for entry in saved["blanks"]}
    now = {blank.code: _blank_data(blank) for blank in problem.blanks}
    told = [f"{code} is new." for code in now if code not in then]
    told += [f"{code} is no longer cut." for code in then if code not in now]
    for code in (code for code in now if code in then):
        told += _differences(code, then[code], now[code])
    made_for = _layout_data(Layout(problem, (), ""))
    for key, words in (("gap_mm", "gap between pieces"), ("margin_mm", "margin at the edges")):
        if abs(made_for[key] - saved[key]) > 1e-3:
            told.append(f"The {words} was {saved[key]:g} mm and is {made_for[key]:g} mm.")
    if made_for["rolls"] != saved["rolls"]:
        told.append("The rolls are others.")
    if told:
        more = f" And {len(told) - 5} more." if len(told) > 5 else ""
        raise ExportError(
            f"The saved layout was made for other pieces of {problem.cloth} cloth or other rolls. "
            f"{' '.join(told[:5])}{more} {AGAIN}"
        )


def _differences(code: str, then: dict[str, Any], now: dict[str, Any]) -> list[str]:
    if then["quantity"] != now["quantity"]:
        return [f"{code}: {then['quantity']} were cut, now {now['quantity']}."]
    sides = [(key, words) for key, words in (("length_mm", "long"), ("width_mm", "wide"))]
    found = [
        f"{code} was {then[key]:.1f} mm {words} and is {now[key]:.1f} mm."
        for key, words in sides
        if abs(then[key] - now[key]) > 1000.0 * CHANGED
    ]
    # area changes by this much where an edge moves by CHANGED along the whole of the box
    allowed = 20.0 * CHANGED * (now["length_mm"] + now["width_mm"]) + 0.02
    if not found and abs(then["area_cm2"] - now["area_cm2"]) > allowed:
        found.append(f"{code} had {then['area_cm2']:.1f} cm2 and has {now['area_cm2']:.1f} cm2.")
    return found


def _layout(problem: Problem, saved: dict[str, Any]) -> Layout:
    number = {blank.code: index for index, blank in enumerate(problem.blanks)}
    lies = tuple(
        Lie(
            number[entry["code"]],
            range(len(problem.rolls))[int(entry["roll"])],
            bool(entry["turned"]),
            bool(entry["flipped"]),
            float(entry["x_mm"]) / 1000.0,
            float(entry["y_mm"]) / 1000.0,
        )
        for entry in saved["lies"]
    )
    return Layout(problem, lies, str(saved["made_by"]))
