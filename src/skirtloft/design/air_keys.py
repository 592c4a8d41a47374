"""What must hold between the keys of [air]: which keys a loss line takes, one size each, one way to give a fan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from skirtloft.design.quantity import shown
from skirtloft.errors import Problem

NOTHING = "(nothing)"
ALWAYS = ("kind", "name", "factor", "share")  # keys that every line may carry
SIZES = ("area", "diameter")

# kind -> keys it needs ("size" stands for area or diameter), keys it may have. `factor` makes the needed keys after
# the first unnecessary: then only the area is asked for.
LOSS_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "guard": (("size", "open_share"), ()),
    "inlet": (("size", "edge"), ()),
    "duct": (("size", "length"), ()),
    "bend": (("size", "bend"), ("count",)),
    "splitter": (("size",), ()),
    "frames": (("size", "free_area"), ("count",)),
    "holes": (("size",), ("count", "discharge")),
    "mouth": (("size",), ("count",)),
    "vents": (("size",), ("count", "discharge")),
    "other": (("size", "factor", "place"), ()),
}
EXAMPLES = {
    "area": '"0.28 m2"', "diameter": '"600 mm"', "open_share": "0.85", "edge": '"bellmouth"', "length": '"1.2 m"',
    "bend": '"rounded"', "free_area": '"0.15 m2"', "factor": "0.5", "place": '"supply"',
}  # fmt: skip


def air_problems(air: dict[str, Any], raw: Any) -> Iterator[Problem]:
    """Yield what is wrong between the keys of [air].

    Parameters
    ----------
    air : dict
        Values that could be read.
    raw : object
        The table as tomllib gives it.
    """
    told = raw if isinstance(raw, dict) else {}
    for index, line in enumerate(air.get("loss", ())):
        yield from _loss_problems(line, f"air.loss[{index}]", _entry(told, "loss", index))
    for index, opening in enumerate(air.get("leak", ())):
        yield from _size_problems(opening, f"air.leak[{index}]", _entry(told, "leak", index))
    for name in ("day", "surface"):
        yield from _named_once(air.get(name, ()), f"air.{name}")
    if isinstance(air.get("fan"), dict):
        yield from _fan_problems(air["fan"], _table(told, "fan"))
    yield from _gap_problems(air, told)
    for kind, bands in (air.get("kinds") or {}).items():
        for name, band in bands.items():
            if band is not None and not band[0] <= band[1] <= band[2]:
                given = shown(list(band))
                wrong = "A band is low, best, high: the three must rise."
                yield Problem(f"air.kinds.{kind}.{name}", given, wrong, f"Write {name} = [low, best, high].")


def _table(told: dict[str, Any], key: str) -> dict[str, Any]:
    table = told.get(key)
    return table if isinstance(table, dict) else {}


def _entry(told: dict[str, Any], key: str, index: int) -> dict[str, Any]:
    rows = told.get(key)
    row = rows[index] if isinstance(rows, list) and index < len(rows) else {}
    return row if isinstance(row, dict) else {}


def _loss_problems(line: dict[str, Any], path: str, told: dict[str, Any]) -> Iterator[Problem]:
    kind = line.get("kind")
    if kind not in LOSS_KEYS:
        return
    needed, allowed = LOSS_KEYS[kind]
    factor_given = "factor" in told and kind != "other"
    if "size" in needed:
        yield from _size_problems(line, path, told)
    for key in needed:
        if key != "size" and key not in told and not factor_given:
            yield Problem(
                f"{path}.{key}", NOTHING, f"A loss of kind {kind} needs it.", f"Write {key} = {EXAMPLES[key]}."
            )
    fits = {*ALWAYS, *needed, *allowed, *(SIZES if "size" in needed else ())}
    for key, value in told.items():
        if key not in fits and key in line:
            would_do = f"Keys of this kind: {', '.join(sorted(fits - {'size'}))}."
            yield Problem(f"{path}.{key}", shown(value), f"A loss of kind {kind} does not use it.", would_do)
    free, whole = line.get("free_area"), _area(line)
    if kind == "frames" and free is not None and whole is not None and free > whole:
        wrong = "More is free at a frame than the passage has."
        yield Problem(f"{path}.free_area", shown(told.get("free_area")), wrong, "Give at most the area of the passage.")


def _area(line: dict[str, Any]) -> float | None:
    if line.get("area") is not None:
        return float(line["area"])
    return None if line.get("diameter") is None else 0.7853981633974483 * float(line["diameter"]) ** 2


def _size_problems(values: dict[str, Any], path: str, told: dict[str, Any]) -> Iterator[Problem]:
    """Exactly one of area and diameter."""
    given = [key for key in SIZES if key in told]
    if not given:
        yield Problem(path, NOTHING, "It has no size.", 'Write area = "0.25 m2" or diameter = "560 mm".')
    if len(given) == 2:
        both = ", ".join(f"{key} {shown(told[key])}" for key in given)
        yield Problem(path, both, "It has two sizes.", "Leave area or diameter out.")


def _named_once(rows: Any, path: str) -> Iterator[Problem]:
    seen: set[str] = set()
    for index, row in enumerate(rows):
        name = row.get("name")
        if name in seen:
            yield Problem(f"{path}[{index}].name", shown(name), "The name is taken.", "Give each a name of its own.")
        if name is not None:
            seen.add(name)


def _fan_problems(fan: dict[str, Any], told: dict[str, Any]) -> Iterator[Problem]:
    """One way to give the curve, and the outlet where the pressure is static."""
    two = [key for key in ("free_flow", "shut_off") if key in told]
    if told.get("points") and two:
        wrong = "The curve is given twice: by points and by free flow or shut-off pressure."
        yield Problem(f"air.fan.{two[0]}", shown(told[two[0]]), wrong, "Keep the points; leave the other out.")
    static = fan.get("pressure_kind") == "static"
    if static and "outlet_area" not in told:
        wrong = "Static pressure becomes total by the speed in the outlet, whose area is missing."
        yield Problem("air.fan.outlet_area", NOTHING, wrong, 'Write outlet_area = "0.28 m2".')
    if not static and "outlet_area" in told and "pressure_kind" in fan:
        wrong = "It is only used to make static pressure total."
        would_do = 'Leave it out, or write pressure_kind = "static".'
        yield Problem("air.fan.outlet_area", shown(told["outlet_area"]), wrong, would_do)


def _gap_problems(air: dict[str, Any], told: dict[str, Any]) -> Iterator[Problem]:
    gap, runs = air.get("gap"), air.get("gap_by_run") or {}
    given = _table(told, "gap_by_run")
    for run, lift in runs.items():
        if gap is not None and lift is not None and gap + lift < 0.0:
            wrong = "With the common gap the tips of this run would be below the ground."
            would_do = f'Not below "{-1000.0 * gap:g} mm" would do.'
            yield Problem(f"air.gap_by_run.{run}", shown(given.get(run)), wrong, would_do)
    least = air.get("least_gap")
    if gap is not None and least is not None and least > gap:
        given_least = shown(told["least_gap"]) if "least_gap" in told else NOTHING
        wrong = "The least gap is more than the wanted gap."
        yield Problem("air.least_gap", given_least, wrong, f'At most "{1000.0 * gap:g} mm" would do.')
