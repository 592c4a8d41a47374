"""What stands at any place along the joint line: plan, hull edge and segments, between the stations too."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.curves import outward_at, points_at, radii_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.own_pitch import pitches_along, station_pitches
from skirtloft.shape.segment_field import inboard_at, values_at
from skirtloft.shape.stations import meet_hull
from skirtloft.shape.types import Plan

SAME = 1e-9  # m: a place this near to a station is the station


@dataclass(frozen=True, eq=False)
class Places:
    """What a section is made from, at places along the joint line; arrays are (k,) unless said.

    Parameters
    ----------
    joint : (k, 2) [m]
    outward : (k, 2)
        Unit outward normal of the joint line.
    offset : [m]
        X, positive where the joint lies outboard of the hull edge.
    hull_z, depth : [m]
        Heights of E and J above the tip plane.
    face_angle : [rad]
    drop, inboard : [m]
        Inner fixing below and inboard of J.
    pitch, radius : [m]
        Fitted pitch and plan radius that the segments are made for.
    """

    joint: Floats
    outward: Floats
    offset: Floats
    hull_z: Floats
    depth: Floats
    face_angle: Floats
    drop: Floats
    inboard: Floats
    pitch: Floats
    radius: Floats


def station_places(plan: Plan) -> Places:
    """Return the stations of `plan`."""
    stations = plan.stations
    return Places(
        stations.joint,
        stations.outward,
        stations.offset,
        stations.hull_z,
        stations.depth,
        stations.face_angle,
        stations.drop,
        stations.inboard,
        *station_pitches(plan),
    )


def places_along(plan: Plan, at: Floats) -> Places:
    """Return what stands at places `at` (k,) [m] along the joint line; beyond a centre line, the mirror image.

    At a station it is that station to the last bit.

    Raises
    ------
    ShapeError
        A section between two stations meets no single hull edge.
    """
    stations, end = plan.stations, float(plan.joint_line.breaks[-1])
    folded = np.abs(np.asarray(at, dtype=np.float64))
    port = np.clip(np.where(folded > end, 2.0 * end - folded, folded), 0.0, end)
    path = plan.joint_line
    joint, outward = points_at(path, port), outward_at(path, port, "before")
    radius = np.minimum(radii_at(path, port, "before"), radii_at(path, port, "after"))
    names = [f"section {place:.3f} m along the joint line" for place in port]
    offset, hull_at = meet_hull(plan.hull_edge, joint, outward, radius, names)
    hull_z = np.interp(hull_at, plan.hull_edge.breaks, plan.hull_heights)
    depth, face, _, drop = values_at(plan.segments, port)
    nearest = np.abs(port[:, None] - stations.at).argmin(axis=1)
    at_station = np.abs(port - stations.at[nearest]) < SAME

    def put(between: Floats, there: Floats) -> Floats:
        where = at_station.reshape(-1, *[1] * (between.ndim - 1))
        return frozen_array(np.where(where, there[nearest], between))

    side = np.where((np.asarray(at) < -SAME) | (folded > end + SAME), -1.0, 1.0)
    mirror = np.column_stack([np.ones_like(side), side])
    pitch, own_radius = pitches_along(plan, port)
    return Places(
        joint=frozen_array(put(joint, stations.joint) * mirror),
        outward=frozen_array(put(outward, stations.outward) * mirror),
        offset=put(offset, stations.offset),
        hull_z=put(hull_z, stations.hull_z),
        depth=put(depth, stations.depth),
        face_angle=put(face, stations.face_angle),
        drop=put(drop, stations.drop),
        inboard=put(inboard_at(plan.segments, port), stations.inboard),
        pitch=pitch,
        radius=own_radius,
    )
