"""What must hold between the keys of [balance] and [under_way]."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.design.quantity import shown
from skirtloft.design.told import given
from skirtloft.errors import Problem

NOTHING = "(nothing)"
BANDS = ("wave", "air", "momentum", "skirt_friction", "wet_band")


def ride_problems(values: dict[str, Any], raw: dict[str, Any]) -> Iterator[Problem]:
    """Yield what is wrong between the keys of both tables.

    Parameters
    ----------
    values : dict
        Of the whole file: what could be read.
    raw : dict
        The file as tomllib gives it.
    """
    seen: set[str] = set()
    for index, thing in enumerate((values.get("balance") or {}).get("movable") or ()):
        name = thing.get("name")
        if name in seen:
            path = f"balance.movable[{index}].name"
            yield Problem(path, shown(name), "The name is taken.", "Give each a name of its own.")
        if name is not None:
            seen.add(name)
    way = values.get("under_way") or {}
    yield from _thrust_problems(way, raw)
    for name in BANDS:
        band = way.get(name)
        if band is not None and not band[0] <= band[1] <= band[2]:
            wrong = "A band is low, best, high: the three must not fall."
            words = given(raw, "under_way", name)
            yield Problem(f"under_way.{name}", words, wrong, f"Write {name} = [low, best, high].")


def _thrust_problems(way: dict[str, Any], raw: dict[str, Any]) -> Iterator[Problem]:
    """One way to tell the thrust; a still thrust with its disc; points of rising speed."""
    points, told = way.get("thrust") or (), {key: given(raw, "under_way", key) for key in ("static_thrust", "disc")}
    for key in ("static_thrust", "disc"):
        if points and told[key] != NOTHING:
            wrong = "The thrust is told twice: by points and standing still."
            yield Problem(f"under_way.{key}", told[key], wrong, "Keep the points; leave static_thrust and disc out.")
    if not points:
        for key, other, example in (("disc", "static_thrust", '"900 mm"'), ("static_thrust", "disc", '"400 N"')):
            if told[key] == NOTHING and told[other] != NOTHING:
                wrong = (
                    "Thrust standing still and the blades' disc belong together: how it falls with speed needs both."
                )
                yield Problem(f"under_way.{key}", NOTHING, wrong, f"Write {key} = {example}.")
    if len(points) == 1:
        wrong = "One point is no curve."
        yield Problem("under_way.thrust", "1 point", wrong, "Give two or more, or static_thrust and disc.")
    for index in range(1, len(points)):
        before, here = points[index - 1].get("speed"), points[index].get("speed")
        if before is not None and here is not None and here <= before:
            words = given(raw, "under_way", "thrust", index, "speed")
            wrong = "The speeds of the points must rise."
            yield Problem(f"under_way.thrust[{index}].speed", words, wrong, "Put the points in the order of speed.")
