"""Which input moves the bounce margin most: relative central differences, all of them in one batch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.bounce.at_rest import with_over_pressure
from skirtloft.physics.bounce.hover import each_alone, hover_flow, over_pressure_of
from skirtloft.physics.bounce.threshold import loss_needed, margin_of_loss
from skirtloft.physics.bounce.types import BOUNCE_DEFAULTS, HeaveCraft, SkirtRuns

_Record = TypeVar("_Record", HeaveCraft, SkirtRuns)
Change = Callable[[HeaveCraft, SkirtRuns, Floats], tuple[HeaveCraft, SkirtRuns]]


@dataclass(frozen=True)
class Sensitivity:
    """How one input moves the margin.

    Parameters
    ----------
    name : str
    slope : float [-]  d ln(margin)/d ln(input): 1 % more of it changes the margin by so many per cent; nan where the
        margin is 0 or without bound
    is_measured : bool  False: an input that nobody measures, so the margin is as uncertain as this makes it
    """

    name: str
    slope: float
    is_measured: bool


def _craft_field(name: str) -> Change:
    return lambda craft, runs, by: (replace(craft, **{name: frozen_array(getattr(craft, name) * by)}), runs)


def _run_field(*names: str) -> Change:
    def change(craft: HeaveCraft, runs: SkirtRuns, by: Floats) -> tuple[HeaveCraft, SkirtRuns]:
        return craft, replace(runs, **{name: frozen_array(getattr(runs, name) * by[..., None]) for name in names})

    return change


def _all_up_mass(craft: HeaveCraft, runs: SkirtRuns, by: Floats) -> tuple[HeaveCraft, SkirtRuns]:
    """More mass on the same cushion: pressure and the sections' stiffness with it; the cloth's weight counts less."""
    heavier = replace(craft, mass=frozen_array(craft.mass * by), pressure=frozen_array(craft.pressure * by))
    held = runs.diaphragm_stiffness > 0.0
    load = runs.area_rate * (1.0 + runs.over_pressure) + runs.over_pressure * runs.lever
    rate = (load / by[..., None] - runs.over_pressure * runs.lever) / (1.0 + runs.over_pressure)
    return heavier, replace(
        runs,
        stiffness=frozen_array(runs.stiffness * by[..., None]),
        area_rate=frozen_array(np.where(held, runs.area_rate, rate)),
    )


def _cloth(cloth_inertia: Floats) -> Change:
    """Heavier cloth: its moment, its part of the inertia, and where the segment rests."""

    def change(craft: HeaveCraft, runs: SkirtRuns, by: Floats) -> tuple[HeaveCraft, SkirtRuns]:
        more = by[..., None] - 1.0
        held = runs.diaphragm_stiffness > 0.0
        load = runs.area_rate * (1.0 + runs.over_pressure) + runs.over_pressure * runs.lever
        rate = runs.area_rate + more * load / (1.0 + runs.over_pressure)
        return craft, replace(
            runs,
            moment=frozen_array(runs.moment * by[..., None]),
            inertia=frozen_array(runs.inertia + more * cloth_inertia),
            area_rate=frozen_array(np.where(held, runs.area_rate, rate)),
        )

    return change


def least_margin(craft: HeaveCraft, runs: SkirtRuns) -> Floats:
    """Return the least bounce margin over the runs, each as if all the way round, (...) [-]."""
    return np.asarray(margin_of_loss(runs.loss_factor, loss_needed(*each_alone(craft, runs))).min(axis=-1))


def bounce_sensitivities(
    craft: HeaveCraft,
    runs: SkirtRuns,
    *,
    cloth_inertia: Floats,
    mouth_area: float | None = None,
    flow_share: float = BOUNCE_DEFAULTS["flow_share"].value,
    step: float = BOUNCE_DEFAULTS["sensitivity_step"].value,
) -> tuple[Sensitivity, ...]:
    """Return how every input moves the least bounce margin, the strongest first.

    Parameters
    ----------
    craft, runs : (), (n,)
    cloth_inertia : (n,) [kg m2/m]
        The cloth's part of `runs.inertia`.
    mouth_area : float [m2], optional
        Effective area from loop to cushion; with it the over-pressure follows the flow. Without it, the over-pressure
        itself is the input.
    step : float
        Relative.

    Notes
    -----
    [ln M(x (1 + s)) - ln M(x (1 - s))]/ln((1 + s)/(1 - s)). A larger gap brings more flow; more mass brings more
    pressure at the same gap. Inputs that are 0 are left out.
    """
    changes = _changes(craft, runs, np.asarray(cloth_inertia, dtype=np.float64), with_mouth=mouth_area is not None)
    by = np.array([1.0 + step, 1.0 - step])
    states = [_turned(craft, runs, name, change, by, mouth_area, flow_share) for name, change in changes.items()]
    margins = least_margin(_together(HeaveCraft, [s[0] for s in states]), _together(SkirtRuns, [s[1] for s in states]))
    up, down = margins.reshape(len(changes), 2).T
    good = np.isfinite(up) & np.isfinite(down) & (up > 0.0) & (down > 0.0)
    ratio = np.where(good, up, 1.0) / np.where(good, down, 1.0)
    slopes = np.where(good, np.log(ratio) / np.log(by[0] / by[1]), np.nan)
    found = [
        Sensitivity(name, float(slope), name not in _UNMEASURED) for name, slope in zip(changes, slopes, strict=True)
    ]
    return tuple(sorted(found, key=lambda s: -abs(s.slope) if np.isfinite(s.slope) else 1.0))


def turned_by(
    craft: HeaveCraft,
    runs: SkirtRuns,
    name: str,
    by: Floats,
    *,
    cloth_inertia: Floats,
    mouth_area: float | None = None,
    flow_share: float = BOUNCE_DEFAULTS["flow_share"].value,
) -> tuple[HeaveCraft, SkirtRuns]:
    """Return craft (k,) and runs (k, n) with one input times each of `by` (k,); parameters as `bounce_sensitivities`.

    Raises
    ------
    KeyError
        There is no such input, or it is 0.
    """
    changes = _changes(craft, runs, np.asarray(cloth_inertia, dtype=np.float64), with_mouth=mouth_area is not None)
    return _turned(craft, runs, name, changes[name], np.asarray(by, dtype=np.float64), mouth_area, flow_share)


def _turned(
    craft: HeaveCraft,
    runs: SkirtRuns,
    name: str,
    change: Change,
    by: Floats,
    mouth_area: float | None,
    flow_share: float,
) -> tuple[HeaveCraft, SkirtRuns]:
    k, n = len(by), runs.length.shape[-1]
    one = HeaveCraft(**{key: np.broadcast_to(value, (k,)) for key, value in vars(craft).items()})
    many = SkirtRuns(**{key: np.broadcast_to(value, (k, n)) for key, value in vars(runs).items()})
    one, many = change(one, many, by)
    if mouth_area is not None:
        mouth = mouth_area * (by if name == "mouth area" else np.ones(k))
        eps = over_pressure_of(one, hover_flow(one, many), mouth, flow_share=flow_share)
        many = with_over_pressure(many, np.broadcast_to(eps[..., None], (k, n)))
    return one, many


_UNMEASURED = ("tip-flow inertia", "loss factor", "mouth area", "loop over-pressure", "lip suction")


def _changes(craft: HeaveCraft, runs: SkirtRuns, cloth_inertia: Floats, *, with_mouth: bool) -> dict[str, Change]:
    changes: dict[str, Change] = {
        "gap": _run_field("gap"),
        "all-up mass": _all_up_mass,
        "cushion volume": _craft_field("volume"),
        "fan steepness": _craft_field("steepness"),
        "duct inertance": _craft_field("inertance"),
        "section stiffness": _run_field("stiffness"),
        "cloth mass": _cloth(cloth_inertia),
        "loss factor": _run_field("loss_factor"),
        "tip-flow inertia": _run_field("tip_flow"),
    }
    if with_mouth:
        changes["mouth area"] = lambda craft, runs, by: (craft, runs)
    elif np.any(runs.over_pressure > 0.0):
        changes["loop over-pressure"] = _over_pressure
    if np.any(runs.roughness > 0.0):
        changes["ground roughness"] = _run_field("roughness")
    if np.any(runs.lip_strength > 0.0):
        changes["lip suction"] = _run_field("lip_strength")
    if np.any(craft.leak_area > 0.0):
        changes["fixed openings"] = _craft_field("leak_area")
    if np.any(runs.diaphragm_stiffness > 0.0):
        changes["diaphragm stiffness"] = _run_field("diaphragm_stiffness")
    return changes


def _over_pressure(craft: HeaveCraft, runs: SkirtRuns, by: Floats) -> tuple[HeaveCraft, SkirtRuns]:
    return craft, with_over_pressure(runs, np.asarray(runs.over_pressure * by[..., None]))


def _together(kind: type[_Record], parts: list[_Record]) -> _Record:
    return kind(**{name: np.concatenate([vars(part)[name] for part in parts]) for name in vars(parts[0])})
