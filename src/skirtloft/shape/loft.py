"""The loop as a surface in three dimensions: one circular arc per station, with the true lengths between stations."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from skirtloft.maths.curves import RunName
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.section import loop_arc
from skirtloft.physics.types import Sections
from skirtloft.shape.types import Plan


@dataclass(frozen=True, eq=False)
class SectionArcs:
    """Circular arcs of loop cloth standing in vertical planes, from the hull edge E round to the joint J.

    A point of the arc at angle ``phi`` is ``joint + (centre_outboard + radius cos(phi)) outward`` in plan and
    ``centre_z + radius sin(phi)`` in height; angles fall from ``start_angle`` (E) to ``end_angle`` (J).

    Parameters
    ----------
    joint : (n, 2) [m]
        J in plan.
    outward : (n, 2)
        Unit outward normal of the joint line: the plane of the arc.
    centre_outboard : (n,) [m]
        Centre of the arc outboard of J (negative: inboard).
    centre_z, radius : (n,) [m]
    start_angle, end_angle : (n,) [rad]
    """

    joint: Floats
    outward: Floats
    centre_outboard: Floats
    centre_z: Floats
    radius: Floats
    start_angle: Floats
    end_angle: Floats

    @property
    def length(self) -> Floats:
        """Arc length from E to J, (n,) [m]."""
        return self.radius * (self.start_angle - self.end_angle)


@dataclass(frozen=True, eq=False)
class Loft:
    """The loop surface of the port half: arcs at the stations, true edge lengths between neighbours.

    Parameters
    ----------
    ids : per station, as in `Stations`
    runs : per panel, the run of the joint line between a station and the next
    arcs : SectionArcs, (n,)
    hull : (n, 3) [m]
        E at every station.
    depth : (n,) [m]
        Height of the joint line above the tip plane.
    centre_inset : (n,) [m]
        a, centre of the arc inboard of J.
    hull_length, joint_length : (n - 1,) [m]
        True lengths of the hull edge and of the joint line, both in space, from each station to the next.
    """

    ids: tuple[str, ...]
    runs: tuple[RunName, ...]
    arcs: SectionArcs
    hull: Floats
    depth: Floats
    centre_inset: Floats
    hull_length: Floats
    joint_length: Floats


def loft(plan: Plan, sections: Sections) -> Loft:
    """Return the loop surface through `sections` standing at the stations of `plan`.

    Notes
    -----
    Hull edge and joint line rise linearly along their plan lengths between stations, so their true lengths are
    ``hypot(plan length, rise)``. [derived]
    """
    stations = plan.stations
    arcs = arcs_by_inset(
        stations.joint, stations.outward, sections.offset, stations.hull_z, sections.depth, sections.centre_inset
    )
    return Loft(
        ids=stations.ids,
        runs=tuple(_run_at(plan, at) for at in (stations.at[:-1] + stations.at[1:]) / 2),
        arcs=arcs,
        hull=frozen_array(np.column_stack([stations.hull, stations.hull_z])),
        depth=sections.depth,
        centre_inset=sections.centre_inset,
        hull_length=frozen_array(np.hypot(np.diff(stations.hull_at), np.diff(stations.hull_z))),
        joint_length=frozen_array(np.hypot(np.diff(stations.at), np.diff(sections.depth))),
    )


def _run_at(plan: Plan, at: float) -> RunName:
    """Return the run of the joint line that holds the place `at` [m]."""
    return next((run.name for run in plan.runs if at < run.end), plan.runs[-1].name)


def arcs_by_inset(
    joint: Floats, outward: Floats, offset: Floats, hull_z: Floats, depth: npt.ArrayLike, centre_inset: Floats
) -> SectionArcs:
    """Return the arcs through E and J whose centres lie `centre_inset` inboard of J; all arrays (n, ...) [m]."""
    depth = np.asarray(depth, dtype=np.float64)
    arc = loop_arc(offset, hull_z - depth, centre_inset)
    middle = np.arctan2(offset, hull_z - depth)
    return SectionArcs(
        joint=frozen_array(joint),
        outward=frozen_array(outward),
        centre_outboard=frozen_array(-np.asarray(centre_inset)),
        centre_z=frozen_array(depth + arc.centre_z),
        radius=arc.radius,
        start_angle=frozen_array(middle + arc.angle / 2),
        end_angle=frozen_array(middle - arc.angle / 2),
    )


def arcs_by_length(
    joint: Floats, outward: Floats, offset: Floats, hull_z: Floats, depth: npt.ArrayLike, length: Floats
) -> SectionArcs:
    """Return the arcs through E and J that are `length` long; all arrays (n, ...) [m].

    An arc shorter than its chord (but for 1e-4 of it) does not exist: there the ends fall short of E and J by equal
    shares and the length holds.

    Notes
    -----
    Half angle x from ``sin x = (chord/length) x`` on (0, pi), by Newton's method from pi: the function is concave
    there, so every step falls short of the root from the right. [derived]
    """
    depth = np.asarray(depth, dtype=np.float64)
    rise = hull_z - depth
    chord = np.hypot(offset, rise)
    ratio = np.minimum(chord / length, 1.0 - 1e-4)
    half = np.full_like(ratio, np.pi)
    for _ in range(60):
        step = (np.sin(half) - ratio * half) / (np.cos(half) - ratio)
        half = half - step
        if np.all(np.abs(step) < 1e-14):
            break
    radius = length / (2.0 * half)
    middle = np.arctan2(offset, rise)
    outboard = -0.5 * offset - radius * np.cos(half) * np.cos(middle)
    return SectionArcs(
        joint=frozen_array(joint),
        outward=frozen_array(outward),
        centre_outboard=frozen_array(outboard),
        centre_z=frozen_array(depth + 0.5 * rise - radius * np.cos(half) * np.sin(middle)),
        radius=frozen_array(radius),
        start_angle=frozen_array(middle + half),
        end_angle=frozen_array(middle - half),
    )


def take_arcs(arcs: SectionArcs, which: npt.NDArray[np.intp] | npt.NDArray[np.bool_] | slice) -> SectionArcs:
    """Return the arcs picked by `which` (index, mask or slice over the first axis)."""
    return SectionArcs(*(frozen_array(getattr(arcs, field.name)[which]) for field in fields(arcs)))


def arc_angles(arcs: SectionArcs, intervals: int) -> Floats:
    """Return ``intervals + 1`` equally spaced angles from E to J on every arc, (n, intervals + 1) [rad]."""
    share = np.linspace(0.0, 1.0, intervals + 1)
    angles: Floats = arcs.start_angle[:, None] + (arcs.end_angle - arcs.start_angle)[:, None] * share
    angles[:, -1] = arcs.end_angle
    return angles


def arc_points(arcs: SectionArcs, angles: Floats) -> Floats:
    """Return the points of the arcs at `angles` (n, m) [rad] as (n, m, 3) [m] in the craft frame."""
    outboard = arcs.centre_outboard[:, None] + arcs.radius[:, None] * np.cos(angles)
    plan = arcs.joint[:, None, :] + outboard[..., None] * arcs.outward[:, None, :]
    height = arcs.centre_z[:, None] + arcs.radius[:, None] * np.sin(angles)
    points: Floats = np.concatenate([plan, height[..., None]], axis=-1)
    return points


def loop_points(surface: Loft, intervals: int) -> Floats:
    """Return the sections as points from E to J, (stations, intervals + 1, 3) [m], equal steps of arc."""
    return arc_points(surface.arcs, arc_angles(surface.arcs, intervals))
