"""What the hull must be under this skirt: hull edge, inner-fixing line, planing surface and clearance, by station.

The skirt comes first and the hull bottom follows from it. All points are in craft coordinates: x forward, y to port,
z up from the tip plane; the flat of the bottom lies at z = clearance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.curves import outward_at, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.shape.types import Plan, Stations

if TYPE_CHECKING:
    from skirtloft.design.model import Design

RUNS = ("bow", "side", "stern")
STEPS = 96  # between two stations, for lengths along a line: in a corner of 15 deg a step spoils 1e-6 of its length


@dataclass(frozen=True, eq=False)
class SectionPoints:
    """The points of every section in its own axes, (n, 2) [m]: x outboard from the hull edge, z from the tip plane.

    Parameters
    ----------
    hull : E
    joint : J
    tip : G, the corner of the web
    inner : I
    """

    hull: Floats
    joint: Floats
    tip: Floats
    inner: Floats


@dataclass(frozen=True, eq=False)
class HullLines:
    """The lines of the hull at the port stations; points are (n, 3) [m] in craft coordinates, arrays (n,).

    Parameters
    ----------
    ids, runs : as in `Stations`
    clearance : float [m]
        Height of the flat of the bottom above the tip plane.
    hull_edge, joint, tip, inner : (n, 3) [m]
        E, J, G (corner of the web) and I.
    bottom_edge : (n, 3) [m]
        B, where the planing surface meets the flat of the bottom: as the design says, else where the straight line
        from E through I comes down to it.
    slope : [rad]
        Of the planing surface, B to I, above the level.
    width : [m]
        Of the planing surface, from B to I in the section.
    side_slope : [rad]
        Of the hull from I up to E.
    side_width : [m]
        From I to E in the section.
    along_hull_edge, along_inner : [m]
        True length from the bow centre along the hull edge, and along the inner-fixing line.
    """

    ids: tuple[str, ...]
    runs: tuple[str, ...]
    clearance: float
    hull_edge: Floats
    joint: Floats
    tip: Floats
    inner: Floats
    bottom_edge: Floats
    slope: Floats
    width: Floats
    side_slope: Floats
    side_width: Floats
    along_hull_edge: Floats
    along_inner: Floats


@dataclass(frozen=True, eq=False)
class HullLine:
    """A line on the hull, followed by the joint line's length from the bow centre.

    Parameters
    ----------
    joint_at : (m,) [m]
        Length along the joint line.
    points : (m, 3) [m]
        The point of the line in the section there.
    along : (m,) [m]
        True length along the line from the bow centre.
    """

    joint_at: Floats
    points: Floats
    along: Floats


def section_points(sections: Sections) -> SectionPoints:
    """Return E, J, G and I of every section."""
    x, depth = sections.offset, sections.depth
    zero = np.zeros_like(x)
    return SectionPoints(
        hull=frozen_array(np.column_stack([zero, depth + sections.rise])),
        joint=frozen_array(np.column_stack([x, depth])),
        tip=frozen_array(np.column_stack([x - sections.tip_inboard, zero])),
        inner=frozen_array(np.column_stack([x - sections.inboard, depth - sections.drop])),
    )


def hull_lines(design: Design, plan: Plan, sections: Sections) -> HullLines:
    """Return the lines that the hull must have for the sections to be what they are.

    Notes
    -----
    Planing surface: from the edge B of the flat bottom (z = clearance) outboard and up through I. With
    `design.hull.bottom` B is given by run, and blended in between evenly along the joint line; else E, I and B lie in
    one straight line and both slopes are the same. Slope = atan2(I_z - B_z, I_x - B_x). (derived)
    """
    stations, points = plan.stations, section_points(sections)
    bottom = bottom_edge(design, stations, points)
    rise, reach = (points.inner - bottom).T[::-1]
    side_reach, side_rise = (points.hull - points.inner).T
    return HullLines(
        ids=stations.ids,
        runs=stations.runs,
        clearance=design.hull.clearance,
        hull_edge=in_craft(stations, points.hull),
        joint=in_craft(stations, points.joint),
        tip=in_craft(stations, points.tip),
        inner=in_craft(stations, points.inner),
        bottom_edge=in_craft(stations, bottom),
        slope=frozen_array(np.arctan2(rise, reach)),
        width=frozen_array(np.hypot(rise, reach)),
        side_slope=frozen_array(np.arctan2(side_rise, side_reach)),
        side_width=frozen_array(np.hypot(side_rise, side_reach)),
        along_hull_edge=along_hull_edge(plan, stations.hull_at),
        along_inner=frozen_array(inner_line(plan, sections).along[::STEPS]),
    )


def in_craft(stations: Stations, points: Floats) -> Floats:
    """Return section points (n, 2) [m], one per station, in craft coordinates (n, 3) [m]."""
    place = stations.hull + points[:, :1] * stations.outward
    place[[0, -1], 1] = 0.0  # both ends lie on the centre line
    return frozen_array(np.column_stack([place, points[:, 1]]))


def bottom_given(design: Design, stations: Stations) -> Floats | None:
    """Return how far the given edge of the flat bottom lies inside the hull edge, (n,) [m]; None where none is given.

    Notes
    -----
    By run; from a run to the next linear along the joint line, before the first and after the last constant.
    """
    bottom = design.hull.bottom
    told = {run: getattr(bottom, run) for run in RUNS} if bottom is not None else {}
    known = [i for i, run in enumerate(stations.runs) if told.get(run) is not None]
    if not known:
        return None
    values = [told[stations.runs[i]] for i in known]
    return np.asarray(np.interp(stations.at, stations.at[known], values), dtype=np.float64)


def bottom_edge(design: Design, stations: Stations, points: SectionPoints) -> Floats:
    """Return B in section axes, (n, 2) [m]."""
    clearance = design.hull.clearance
    inside = bottom_given(design, stations)
    if inside is not None:
        return np.column_stack([-inside, np.full(len(inside), clearance)])
    reach, rise = (points.hull - points.inner).T
    x = points.inner[:, 0] - (points.inner[:, 1] - clearance) * reach / rise
    return np.column_stack([x, np.full(len(x), clearance)])


def along_hull_edge(plan: Plan, at: Floats) -> Floats:
    """Return the true length along the hull edge from the bow centre [m] at the plan lengths `at` (n,) [m].

    Notes
    -----
    The edge rises linearly along its plan length from break to break, so the true length is linear there too:
    hypot(plan length, rise) in all.
    """
    breaks = plan.hull_edge.breaks
    true = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(breaks), np.diff(plan.hull_heights)))])
    return frozen_array(np.interp(at, breaks, true))


def inner_line(plan: Plan, sections: Sections) -> HullLine:
    """Return the inner-fixing line, `STEPS` steps from each station to the next."""
    points = section_points(sections)
    return line_in_sections(plan, points.joint[:, 0] - points.inner[:, 0], points.inner[:, 1])


def bottom_line(design: Design, plan: Plan, sections: Sections) -> HullLine:
    """Return the edge of the flat bottom, `STEPS` steps from each station to the next."""
    points = section_points(sections)
    bottom = bottom_edge(design, plan.stations, points)
    return line_in_sections(plan, points.joint[:, 0] - bottom[:, 0], bottom[:, 1])


def hull_edge_line(plan: Plan) -> HullLine:
    """Return the hull edge, `STEPS` steps of its own plan length from each station to the next."""
    at = _between(plan.stations.hull_at)
    z = np.interp(at, plan.hull_edge.breaks, plan.hull_heights)
    points = np.column_stack([points_at(plan.hull_edge, at), z])
    return HullLine(
        frozen_array(_between(plan.stations.at)), frozen_array(points), along_hull_edge(plan, frozen_array(at))
    )


def line_in_sections(plan: Plan, inboard: Floats, z: Floats) -> HullLine:
    """Return the line `inboard` (n,) [m] of the joint line at the height `z` (n,) [m], both at the stations.

    Notes
    -----
    Between stations both are linear along the joint line; the length is that of the chords of the samples.
    """
    stations, at = plan.stations, _between(plan.stations.at)
    inward = np.interp(at, stations.at, inboard)
    place = points_at(plan.joint_line, at) - inward[:, None] * outward_at(plan.joint_line, at, "before")
    points = np.column_stack([place, np.interp(at, stations.at, z)])
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return HullLine(frozen_array(at), frozen_array(points), frozen_array(np.concatenate([[0.0], np.cumsum(steps)])))


def _between(at: Floats) -> Floats:
    """Return `STEPS` equal steps from every entry to the next."""
    share = np.arange(STEPS) / STEPS
    steps = at[:-1, None] + np.diff(at)[:, None] * share
    return np.append(steps.ravel(), at[-1])
