"""What must hold between the keys of [making] and of [skirt.diaphragm]."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.design.quantity import shown
from skirtloft.errors import Problem

NOTHING = "(nothing)"
RUNS = ("bow", "side", "stern")


def _given(raw: Any, *path: str) -> str:
    """Return what the table says at a path, as text, or "(nothing)"."""
    for step in path:
        if not isinstance(raw, dict) or step not in raw:
            return NOTHING
        raw = raw[step]
    return shown(raw)


def diaphragm_problems(diaphragm: dict[str, Any], raw: Any, runs: list[str] | None) -> Iterator[Problem]:
    """Yield what is wrong between the keys of [skirt.diaphragm].

    Parameters
    ----------
    diaphragm : dict
        Values that could be read.
    raw : object
        The table as tomllib gives it.
    runs : list of str or None
        Labels of the hull edge; None where they could not be read.
    """
    path = "skirt.diaphragm"
    yield from _pair(path, raw, "vent_diameter", "vents_per_pitch", '"40 mm"', "6")
    for run in RUNS:
        told = raw.get(run) if isinstance(raw, dict) else None
        if not isinstance(told, dict):
            continue
        if runs is not None and run not in runs:
            wrong = f'It is not used: no piece of hull.edge is labelled "{run}".'
            yield Problem(f"{path}.{run}", shown(told), wrong, "Leave it out.")
        yield from _pair(f"{path}.{run}", told, "height", "inboard", '"40 mm"', '"300 mm"')


def _pair(path: str, raw: Any, first: str, second: str, example: str, other: str) -> Iterator[Problem]:
    """Two keys of which one says nothing without the other."""
    told = {key: _given(raw, key) for key in (first, second)}
    missing = [key for key, text in told.items() if text == NOTHING]
    if len(missing) == 1:
        there = second if missing[0] == first else first
        write = f"{missing[0]} = {example if missing[0] == first else other}"
        wrong = f"{there} is {told[there]}, and without {missing[0]} it says nothing."
        yield Problem(f"{path}.{missing[0]}", NOTHING, wrong, f"Write {write}, or leave {there} out.")


def making_problems(making: dict[str, Any], raw: Any) -> Iterator[Problem]:
    """Yield what is wrong between hole, edge distance, joint allowance and hole pitch."""
    hole, edge, joint, pitch = (making.get(key) for key in ("hole", "hole_edge", "joint", "hole_pitch"))
    if hole is not None and edge is not None and joint is not None and joint < edge + hole / 2.0 - 1e-9:
        need = 1000.0 * (edge + hole / 2.0)
        yield Problem(
            "making.joint",
            _given(raw, "joint"),
            f"The bolt holes do not fit: hole_edge and half a hole need {need:g} mm.",
            f'joint = "{need:g} mm" or more would do, or a smaller hole or hole_edge.',
        )
    if hole is not None and edge is not None and edge < hole:
        yield Problem(
            "making.hole_edge",
            _given(raw, "hole_edge"),
            "The hole lies too near the cut edge to hold.",
            f'"{1000.0 * hole:g} mm", one hole diameter, is the least; 15 mm is common practice.',
        )
    if hole is not None and pitch is not None and pitch < 2.0 * hole:
        yield Problem(
            "making.hole_pitch",
            _given(raw, "hole_pitch"),
            "The holes run into one another.",
            f'"{2000.0 * hole:g} mm", two hole diameters, is the least; 50 to 75 mm is common practice.',
        )
