"""What may move when a skirt is fitted to a hull that exists, and how a design looks with it moved."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal, get_args

from skirtloft.design.edge_text import exact_length
from skirtloft.design.fields import schema_paths
from skirtloft.design.model import Design, Quantity
from skirtloft.design.quantity import INCH
from skirtloft.design.segment_form import form_of
from skirtloft.design.start import JOINT_INSIDE, TIP_INSIDE
from skirtloft.errors import DesignError, Problem
from skirtloft.shape.joint_line import corner_key
from skirtloft.shape.plan import RUNS

Kind = Literal["clearance", "depth", "tip_inside", "joint_inside", "radius"]

# The change from what is usual that counts as one.
INSET_SCALE, DEPTH_SCALE, RADIUS_SCALE = 0.025, 0.025, 0.100  # m: our own choice
STEPS: dict[bool, tuple[float, float]] = {False: (0.001, 0.005), True: (INCH / 16.0, INCH / 4.0)}  # lengths, radii


@dataclass(frozen=True)
class Variable:
    """One value that may move.

    Parameters
    ----------
    path : str
        Its place in the file: "skirt.side.tip_inside".
    kind : Kind
    asked : float [m]
        As the file has it.
    usual : float or None [m]
        Where it lies when nothing pulls; None for the depth, which follows the clearance (see `usual_depth`).
    scale : float [m]
        The change from the usual that counts as one.
    step : float [m]
        Values found are whole steps: from nought, the clearance from the one asked.
    low, high : float [m]
    """

    path: str
    kind: Kind
    asked: float
    usual: float | None
    scale: float
    step: float
    low: float
    high: float


def usual_depth(clearance: float, imperial: bool = False) -> float:
    """Return the depth that is usual over a clearance [m]: 12 % more and at least 20 mm (common practice, no source).

    What it is more is rounded to 5 mm, or to 1/4 in.
    """
    step = INCH / 4.0 if imperial else 0.005
    return clearance + round(max(0.020, 0.12 * clearance) / step) * step


def variables(design: Design) -> tuple[Variable, ...]:
    """Return what may move in `design`: clearance, depth, the inset of each run, each corner radius that is a number.

    A usual inset is 50 mm (2 in) for a side's or stern's tip line and 75 mm (3 in) for a bow's joint; where the file
    gives the other of the two, and for radii, the file's own value is the usual one.

    Raises
    ------
    DesignError
        The joint line is given outright: it has no insets that could move.
    """
    if design.skirt.joint_line is not None:
        wrong = "A joint line given outright has no insets and radii to look for."
        would_do = "Leave it out and give [skirt.bow], [skirt.side], [skirt.stern] and [skirt.corner]."
        raise DesignError([Problem("skirt.joint_line", "a list of points", wrong, would_do)])
    imperial = design.project.show == "imperial"
    step, radius_step = STEPS[imperial]
    tip, joint = (inset["imperial" if imperial else "metric"] for inset in (TIP_INSIDE, JOINT_INSIDE))
    clearance, depth = design.hull.clearance, design.skirt.depth
    found = [
        _variable("hull.clearance", "clearance", clearance, clearance, math.inf, step),
        _variable("skirt.depth", "depth", depth, None, DEPTH_SCALE, step),
    ]
    for run in _runs(design):
        inset = getattr(design.skirt, run)
        if inset.joint_inside is not None:
            usual = joint if run == "bow" else inset.joint_inside
            found.append(
                _variable(f"skirt.{run}.joint_inside", "joint_inside", inset.joint_inside, usual, INSET_SCALE, step)
            )
        elif inset.tip_inside is not None:
            usual = tip if run != "bow" else inset.tip_inside
            found.append(_variable(f"skirt.{run}.tip_inside", "tip_inside", inset.tip_inside, usual, INSET_SCALE, step))
    for corner in _corners(design):
        radius = getattr(design.skirt.corner, corner)
        if not isinstance(radius, str):
            path = f"skirt.corner.{corner}"
            found.append(_variable(path, "radius", radius, radius, RADIUS_SCALE, radius_step))
    return tuple(found)


def depth_rates(design: Design, run: str) -> dict[str, float]:
    """Return how fast a run's inner fixing moves inboard as the depth grows [1], by which of its insets is held.

    Notes
    -----
    Face and tip angle as they are, or the fixing's own inboard distance where that is given. With the tip line held
    the joint goes outboard by cot(face) of it. (derived)
    """
    form = form_of(design.skirt, run)
    given = getattr(design.skirt, run).inner.inboard or design.skirt.inner.inboard
    tip = 1.0 / math.tan(form.face_angle)
    inner = 0.0 if given is not None else tip - 1.0 / math.tan(form.face_angle + form.tip_angle)
    return {"tip_inside": inner - tip, "joint_inside": inner}


def _runs(design: Design) -> list[str]:
    return [run for run in RUNS if any(point.run == run for point in design.hull.edge)]


def _corners(design: Design) -> list[str]:
    """Return the corners that the hull edge has, by the key of their radius, bow to stern."""
    runs = [point.run for point in design.hull.edge if point.run not in (None, "corner")]
    keys = {corner_key(str(a), str(b))[0] for a, b in pairwise(runs)}
    return [key for key in ("bow", "side", "stern") if key in keys]


def _variable(path: str, kind: Kind, asked: float, usual: float | None, scale: float, step: float) -> Variable:
    mark = next(part for part in _marks(schema_paths()[path]) if isinstance(part, Quantity))
    return Variable(path, kind, asked, usual, scale, step, mark.low, mark.high)


def _marks(hint: Any) -> list[Any]:
    """Return every mark in an annotation, unions opened."""
    found: list[Any] = []
    for part in get_args(hint):
        found += [part] if isinstance(part, Quantity) else _marks(part)
    return found


def on_step(variable: Variable, value: float) -> float:
    """Return `value` [m] moved to the nearest whole step inside the variable's range."""
    origin = variable.asked if variable.kind == "clearance" else 0.0
    low = math.ceil((variable.low - origin) / variable.step - 1e-9)
    high = math.floor((variable.high - origin) / variable.step + 1e-9)
    count = min(max(round((value - origin) / variable.step), low), high)
    return round(origin + count * variable.step, 10)


def with_values(design: Design, names: Sequence[Variable], values: Sequence[float]) -> Design:
    """Return `design` with the variables at `values` [m]."""
    changed = {variable.path: value for variable, value in zip(names, values, strict=True)}
    skirt = design.skirt
    corner = {key: changed[path] for key in ("bow", "side", "stern") if (path := f"skirt.corner.{key}") in changed}
    update: dict[str, Any] = {"depth": changed["skirt.depth"]}
    update["corner"] = skirt.corner.model_copy(update=corner)
    for run in RUNS:
        for key in ("tip_inside", "joint_inside"):
            if (path := f"skirt.{run}.{key}") in changed:
                update[run] = getattr(skirt, run).model_copy(update={key: changed[path]})
    hull = design.hull.model_copy(update={"clearance": changed["hull.clearance"]})
    return design.model_copy(update={"hull": hull, "skirt": skirt.model_copy(update=update)})


def changes_of(design: Design, names: Sequence[Variable], values: Sequence[float]) -> Mapping[str, str]:
    """Return what to set in the file, path -> text, for values that differ from the file's.

    A side corner's radius follows the bow's while the file leaves it out, so it is written when the bow's changes.
    """
    imperial = design.project.show == "imperial"
    moved = {
        variable.path: value
        for variable, value in zip(names, values, strict=True)
        if abs(value - variable.asked) > 1e-9
    }
    if "skirt.corner.bow" in moved:
        moved |= {v.path: value for v, value in zip(names, values, strict=True) if v.path == "skirt.corner.side"}
    return {path: exact_length(value, imperial) for path, value in moved.items()}
