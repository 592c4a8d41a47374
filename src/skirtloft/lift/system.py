"""From design and plan to what the fan has to feed: runs of the tip line, leaks, and the loss lines of the file."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from skirtloft.design.air_model import Air, Leak, LossLine
from skirtloft.design.model import Design
from skirtloft.physics import air_types, losses
from skirtloft.physics.air import air_density, contraction_coefficient
from skirtloft.physics.air_types import Escape, LiftSystem, Loss, LossPlace
from skirtloft.physics.escape import escape_runs, leak
from skirtloft.physics.lift_path import lift_system
from skirtloft.shape.segment_field import form_at, tip_length
from skirtloft.shape.types import Plan

USUAL_PLACE: dict[str, LossPlace] = {
    "guard": "intake",
    "inlet": "intake",
    "holes": "feed",
    "mouth": "feed",
    "vents": "feed",
}
WORDS = {
    "guard": "inlet guard",
    "inlet": "intake",
    "bend": "bends",
    "frames": "past frames",
    "holes": "feed holes",
    "mouth": "open mouth",
    "vents": "diaphragm vents",
}


def system_of(
    design: Design, plan: Plan, density: npt.ArrayLike | None = None, roughness: npt.ArrayLike | None = None
) -> LiftSystem:
    """Return everything the fan of a design has to feed.

    Parameters
    ----------
    density : (...) [kg/m3], optional
        Of other days than that of the file.
    roughness : broadcasts against (..., r) [m], optional
        Of other grounds than that of the file.
    """
    air = design.air
    own = air_density(air.altitude, air.temperature) if density is None else density
    return lift_system(
        plan.tip_area,
        own,
        tip_runs(design, plan, roughness),
        leaks=tuple(leak_of(opening) for opening in air.leak),
        losses=tuple(loss_of(line, plan) for line in air.loss),
        lift_share=air.lift_share,
        drive_efficiency=air.drive_efficiency,
    )


def tip_runs(design: Design, plan: Plan, roughness: npt.ArrayLike | None = None) -> Escape:
    """Return the mean tip line run by run, both sides of the craft together; a corner's gap is its neighbours' mean.

    Notes
    -----
    With delta the inset along the joint line s of curvature k, a run of the tip line is
    Int hypot(1 - k delta, delta') ds long; the
    discharge of a run is that of the face angle of its middle, in the mean of its parts by length.
    """
    air = design.air
    length: dict[str, float] = {}
    opening: dict[str, float] = {}
    lift: dict[str, float] = {}
    offsets = {run: getattr(air.gap_by_run, run) for run in ("bow", "side", "stern")}
    for index, run in enumerate(plan.runs):
        long = 2.0 * tip_length(plan, run.start, run.end)
        length[run.name] = length.get(run.name, 0.0) + long
        opening[run.name] = opening.get(run.name, 0.0) + long * _discharge(design, plan, (run.start + run.end) / 2.0)
        beside = [plan.runs[i].name for i in (index - 1, index, index + 1) if 0 <= i < len(plan.runs)]
        told = [offsets[name] for name in beside if name in offsets]
        lift[run.name] = offsets.get(run.name, sum(told) / len(told) if told else 0.0)
    long_each = np.array(list(length.values()))
    return escape_runs(
        tuple(length),
        long_each,
        discharge=np.array(list(opening.values())) / long_each,
        lift=np.array(list(lift.values())),
        roughness=air.roughness if roughness is None else roughness,
    )


def mean_discharge(runs: Escape) -> float:
    """Return the discharge coefficient of the escape under the tips in the mean round the craft, by length."""
    return float(np.average(runs.discharge, weights=runs.length))


def _discharge(design: Design, plan: Plan, at: float) -> float:
    told = design.air.discharge
    return told if told is not None else contraction_coefficient(form_at(plan.segments, at).face_angle)


def run_segments(plan: Plan) -> tuple[int, ...]:
    """Return the segments of each run of `tip_runs`, whole craft."""
    count: dict[str, int] = {}
    for run in plan.runs:
        count[run.name] = count.get(run.name, 0) + run.segments * (1 if run.crosses_centre else 2)
    return tuple(count.values())


def size_of(area: float | None, diameter: float | None) -> float:
    """Return an area [m2] given outright or by its diameter [m]; the reader sees to it that one is there."""
    if area is not None:
        return area
    assert diameter is not None
    return math.pi / 4.0 * diameter**2


def leak_of(opening: Leak) -> air_types.Leak:
    """Return a leak of the file, all its openings together."""
    area = opening.count * size_of(opening.area, opening.diameter)
    return leak(opening.name, area, discharge=opening.discharge, place=opening.place)


def loss_of(line: LossLine, plan: Plan) -> Loss:
    """Return a loss line of the file; its own factor where given, else that of the handbook for its kind."""
    name = line.name or WORDS.get(line.kind, line.kind)
    count = line.count if line.count is not None else sum(run_segments(plan)) if line.kind == "holes" else 1
    area = size_of(line.area, line.diameter)
    if line.kind in ("holes", "mouth", "vents"):
        area *= count
    if line.factor is not None:
        place = line.place or USUAL_PLACE.get(line.kind, "supply")
        own_area = line.free_area if line.free_area is not None else area
        times = count if line.kind in ("bend", "frames") else 1  # one after the other
        return losses.loss(name, own_area, times * line.factor, place=place, share=line.share)
    return _by_handbook(line, name, area, count)


def _by_handbook(line: LossLine, name: str, area: float, count: int) -> Loss:
    share: Any = line.share
    if line.kind == "guard":
        assert line.open_share is not None
        return losses.guard_loss(area, line.open_share, name=name)
    if line.kind == "inlet":
        assert line.edge is not None
        return losses.inlet_loss(area, line.edge, name=name)
    if line.kind == "duct":
        assert line.length is not None
        perimeter = math.pi * line.diameter if line.diameter is not None else 2.0 * math.sqrt(math.pi * area)
        return losses.duct_loss(area, line.length, perimeter, name=name, share=share)
    if line.kind == "bend":
        assert line.bend is not None
        return losses.bend_loss(area, line.bend, count=count, name=name, share=share)
    if line.kind == "splitter":
        return losses.splitter_loss(area, name=name)
    if line.kind == "frames":
        assert line.free_area is not None
        return losses.passage_loss(line.free_area, area, frames=count, name=name, share=share)
    if line.kind == "mouth":
        return losses.mouth_loss(area, name=name)
    return losses.hole_loss(area, name=name, discharge=line.discharge)


def installed_power(air: Air) -> float:
    """Return the power installed for lift [W]; inf where none is told."""
    return math.inf if air.engine_power is None else air.engine_power
