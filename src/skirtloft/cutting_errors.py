"""What a small error in cutting or drilling does to the section: found by solving again, one error at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.statics_types import SectionStatics, TurnedSections
from skirtloft.physics.turning import held_at_turn, settle
from skirtloft.pipeline import Skirt, held_at, solve_places
from skirtloft.shape.between import Places, station_places
from skirtloft.shape.chosen import chosen_stations

Indices = npt.NDArray[np.intp]
LOOP, TIP, HOLE = 0.005, 0.003, 0.002  # m: usual slips of a careful builder, chosen
STILL = 1e-6  # gap over error below this: a taut diaphragm holds the tips still


@dataclass(frozen=True)
class Slip:
    """One kind of error.

    Parameters
    ----------
    name : str  as results carry it
    words : str  what went wrong, for a builder
    part : str  what has to be true, as a sentence goes on: "the length of the loop"
    size : float [m]
    """

    name: str
    words: str
    part: str
    size: float


SLIPS = (
    Slip("loop_long", "Loop cut long", "the length of the loop from hull edge to joint", LOOP),
    Slip("tip_short", "Segment cut short at the tip, along its face", "the length of the face", TIP),
    Slip("joint_holes_out", "Loop's joint holes outside the joint line", "the holes in the loop's joint edge", HOLE),
    Slip("inner_out", "Inner fixing drilled too far outboard", "how far inboard the inner fixings are drilled", HOLE),
    Slip("inner_low", "Inner fixing drilled too low", "the height at which the inner fixings are drilled", HOLE),
)


@dataclass(frozen=True, eq=False)
class CuttingError:
    """What one error does at the stations that stand for their runs; arrays (n,).

    Parameters
    ----------
    slip : Slip
    ids, runs : tuple of str
    turn : [rad]  about the inner fixing, tip up positive; nan: the section comes to rest nowhere
    joint_rise : [m]  of the joint against the hull
    radius_change : [m]  of the loop
    gap_change : [m]  of the gap below the mean tip edge, hull held; where every piece has the error the craft itself
        rises or sinks until the air escapes as before
    force_margin, slack_margin : [-]  as `ForceLine.margin` and `slack_margin`, at rest with the error
    force_change, slack_change : [-]  of the two, against the section as drawn
    """

    slip: Slip
    ids: tuple[str, ...]
    runs: tuple[str, ...]
    turn: Floats
    joint_rise: Floats
    radius_change: Floats
    gap_change: Floats
    force_margin: Floats
    slack_margin: Floats
    force_change: Floats
    slack_change: Floats


def cutting_errors(skirt: Skirt, scale: float = 1.0) -> tuple[CuttingError, ...]:
    """Return what each of `SLIPS`, times `scale`, does to the design case.

    Notes
    -----
    A long loop, and joint holes too far out in it, which let it act as much longer: the cloth settles anew. A short
    segment: its tip comes up along the face, e sin(face angle), everything else kept. An inner fixing out of place:
    the segment's cloth and the loop keep their size and the inner corner goes where the hole is. The changed section
    is solved for the loop that it would want and then settles on the loop that it has. A taut diaphragm keeps its
    length and lets nothing turn up past it.
    """
    stations, design = skirt.plan.stations, skirt.design
    chosen, n = chosen_stations(stations), len(stations.ids)
    base: SectionStatics = _taken(skirt.statics, chosen, n)
    slips = tuple(replace(slip, size=scale * slip.size) for slip in SLIPS)
    cases = [_case(_taken(station_places(skirt.plan), chosen, n), slip) for slip in slips]
    at = np.tile(stations.at[chosen], len(slips))
    every = Places(
        *(frozen_array(np.concatenate([getattr(case.places, f.name) for case in cases])) for f in fields(Places))
    )
    length = np.concatenate([base.length + case.longer for case in cases])
    moved = np.repeat([case.moved for case in cases], len(chosen), axis=0)
    sections = solve_places(design, every, skirt.sections.pressure, held_at(design, skirt.plan, at))
    rest = settle(sections, length=length)
    limit = _diaphragm_limit(skirt, np.tile(chosen, len(slips)), sections, moved)
    stopped = ~(rest.turn <= limit) & np.isfinite(limit)
    if stopped.any():
        rest = _either(stopped, held_at_turn(sections, limit, length=length), rest)
    before = _margins(base.shape.joint, base.shape.tip, base.shape.inner, base.centre)
    after = _margins(rest.joint, rest.tip, sections.shape.inner, rest.centre)
    rows = [
        rest.turn,
        rest.joint_rise + moved[:, 1],
        rest.radius - np.tile(base.radius, len(slips)),
        rest.tip_line_rise + np.concatenate([case.up for case in cases]),
        *after,
        *(now - np.tile(then, len(slips)) for now, then in zip(after, before, strict=True)),
    ]
    ids, runs = tuple(stations.ids[i] for i in chosen), tuple(stations.runs[i] for i in chosen)
    return tuple(
        CuttingError(slip, ids, runs, *(frozen_array(row.reshape(len(slips), -1)[k]) for row in rows))
        for k, slip in enumerate(slips)
    )


@dataclass(frozen=True, eq=False)
class _Case:
    """A slip as a section to solve: places, cloth added to the loop [m], where the segment goes with its inner fixing
    (2,) [m], and how far the tip comes up by the slip itself (n,) [m]."""

    places: Places
    longer: float
    moved: Floats
    up: Floats


def _case(places: Places, slip: Slip) -> _Case:
    """Return what is to be solved.

    Heights count from the tip: a tip that is cut off is a hull that stands lower. An inner fixing out of place is, to
    a segment that keeps its size, a hull edge moved the other way.
    """
    e, none, still = slip.size, np.zeros_like(places.depth), np.zeros(2)
    if slip.name == "tip_short":
        up = e * np.sin(places.face_angle)
        lower = replace(places, depth=frozen_array(places.depth - up), hull_z=frozen_array(places.hull_z - up))
        return _Case(lower, 0.0, still, up)
    if slip.name == "inner_out":
        return _Case(replace(places, offset=frozen_array(places.offset + e)), 0.0, np.array([e, 0.0]), none)
    if slip.name == "inner_low":
        return _Case(replace(places, hull_z=frozen_array(places.hull_z + e)), 0.0, np.array([0.0, -e]), none - e)
    return _Case(places, e, still, none)


def _diaphragm_limit(skirt: Skirt, chosen: Indices, sections: SectionStatics, moved: Floats) -> Floats:
    """Return the turn at which the diaphragm, its length kept, goes taut, (n,) [rad]; nan where there is none.

    The distance from J to where it is fixed is what it was as drawn; `moved` [m] is what the segment goes with its
    inner fixing.
    """
    result = skirt.service.diaphragm
    if result is None or not result.is_there.any():
        return np.full(len(chosen), np.nan)
    fixed = (result.place.attachment.point - result.place.points.joint)[chosen]  # seen from J as drawn
    shape = sections.shape
    joint = np.asarray(shape.joint - shape.inner)
    there = joint + fixed - moved  # seen from I as it is
    reach, arm, far = (np.linalg.norm(vector, axis=-1) for vector in (fixed, joint, there))
    with np.errstate(invalid="ignore", divide="ignore"):
        apart = np.arccos((arm**2 + far**2 - reach**2) / (2.0 * arm * far))
    way = np.arctan2(there[:, 1], there[:, 0]) - np.arctan2(joint[:, 1], joint[:, 0])
    both = np.stack([way - apart, way + apart])
    both = (both + np.pi) % (2.0 * np.pi) - np.pi
    nearest = np.take_along_axis(both, np.abs(both).argmin(axis=0)[None], axis=0)[0]
    return np.where(result.is_there[chosen], nearest, np.nan)


def _margins(joint: Floats, tip: Floats, inner: Floats, centre: Floats) -> tuple[Floats, Floats]:
    """Return force-line and slack margin of a flat web wherever it stands, see `ForceLine`."""
    run, depth = (joint - tip)[..., 0], (joint - tip)[..., 1]
    drop, inboard = (joint - inner)[..., 1], (joint - inner)[..., 0]
    least = run / 2.0 + (depth / 2.0 - drop) * depth / run
    slack = np.linalg.norm(centre - tip, axis=-1) / np.linalg.norm(centre - joint, axis=-1) - 1.0
    return inboard / least - 1.0, slack


def _taken(record: Any, chosen: list[int], n: int) -> Any:
    """Return some of the `n` stations of a record of arrays, whatever is nested in it."""
    changes: dict[str, Any] = {}
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, np.ndarray):
            changes[field.name] = frozen_array(value[chosen]) if value.ndim and len(value) == n else value
        elif is_dataclass(value):
            changes[field.name] = _taken(value, chosen, n)
    return replace(record, **changes)


def _either(mask: npt.NDArray[np.bool_], one: TurnedSections, other: TurnedSections) -> TurnedSections:
    """Return `one` where the mask is set, else `other`."""
    values = {}
    for field in fields(TurnedSections):
        mine, theirs = getattr(one, field.name), getattr(other, field.name)
        values[field.name] = frozen_array(np.where(mask if mine.ndim == 1 else mask[:, None], mine, theirs))
    return TurnedSections(**values)


@dataclass(frozen=True)
class WorstCut:
    """The error that moves the tips most per length of error.

    Parameters
    ----------
    slip : Slip
    run : str
    per_error : float [-]  change of the gap over the error, without sign; inf where the section then rests nowhere
    allowed : float [m]  error that keeps the tips within what was asked, on a straight line; inf: none moves them
    """

    slip: Slip
    run: str
    per_error: float
    allowed: float

    @property
    def part(self) -> str:
        """What has to be true."""
        return self.slip.part


def ranked(errors: tuple[CuttingError, ...], level: float) -> tuple[WorstCut, ...]:
    """Return the errors by how much each moves the tips per length of error, the worst first, at their worst station.

    `level` [m]: how far the tips may be out of level.
    """
    found = []
    for error in errors:
        per = np.abs(error.gap_change) / abs(error.slip.size)
        per = np.where(np.isnan(per), math.inf, per)
        k = int(per.argmax())
        allowed = level / float(per[k]) if per[k] > STILL else math.inf
        found.append(WorstCut(error.slip, error.runs[k], float(per[k]), allowed))
    return tuple(sorted(found, key=lambda one: -one.per_error))


def plain_errors(errors: tuple[CuttingError, ...]) -> list[dict[str, Any]]:
    """Return the errors as the results file holds them."""
    return [
        {
            "error": error.slip.name,
            "what": error.slip.words,
            "by_m": error.slip.size,
            "stations": [
                {
                    "id": error.ids[k],
                    "run": error.runs[k],
                    "turn_deg": np.degrees(error.turn[k]),
                    "joint_rise_m": error.joint_rise[k],
                    "loop_radius_change_m": error.radius_change[k],
                    "gap_change_m": error.gap_change[k],
                    "force_line_margin": error.force_margin[k],
                    "force_line_margin_change": error.force_change[k],
                    "slack_margin": error.slack_margin[k],
                    "slack_margin_change": error.slack_change[k],
                }
                for k in range(len(error.ids))
            ],
        }
        for error in errors
    ]
