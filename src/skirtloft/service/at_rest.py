"""The craft without lift: how wide and long she is with the skirt hanging, and whether segments are pinched."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.sitting import HangingCloth, Sitting, hanging, overall_size, sit_on_skids
from skirtloft.physics.statics_types import SectionStatics
from skirtloft.pieces.types import CutPiece
from skirtloft.shape.diaphragm_place import station_points
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design


@dataclass(frozen=True)
class Extent:
    """Overall length and width [m] over skirt and hull: cloth that hangs straight, and at the most."""

    length: float
    width: float
    length_bound: float
    width_bound: float


@dataclass(frozen=True, eq=False)
class AtRest:
    """The craft without lift; arrays (n,) over the port stations.

    Parameters
    ----------
    free, grounded : HangingCloth  lifted clear (trailer), and sitting on skids or bottom
    free_extent, grounded_extent : Extent
    hangs_below : float [m]  how far cloth hangs below the flat of the bottom at the most, lifted clear
    sitting : Sitting
    skid_height : float [m]
    """

    free: HangingCloth
    grounded: HangingCloth
    free_extent: Extent
    grounded_extent: Extent
    hangs_below: float
    sitting: Sitting
    skid_height: float


def at_rest(design: Design, plan: Plan, statics: SectionStatics, pieces: tuple[CutPiece, ...]) -> AtRest:
    """Return the craft at rest with the cloth as cut; a diaphragm, which holds the joint in, is left out."""
    stations, shape, hull = plan.stations, statics.shape, design.hull
    points = station_points(stations)
    cloth = (
        points.hull, points.inner, statics.length, shape.upper_edge, shape.face_length, shape.lower_edge, shape.pitch,
    )  # fmt: skip
    free = hanging(*cloth)
    grounded = hanging(*cloth, ground=hull.clearance - hull.skids.height)
    inside = hull.skids.inboard
    sitting = sit_on_skids(
        points.inner[:, 1],
        hull.clearance,
        hull.skids.height,
        cloth_area=_segment_cloth_area(design, plan, statics, pieces),
        lying_width=shape.inboard,
        areal_mass=design.cloth.segment.mass,
        lower_edge=shape.lower_edge,
        skid_inboard=np.inf if inside is None else inside + points.inner[:, 0],
    )
    return AtRest(
        free=free,
        grounded=grounded,
        free_extent=_extent(plan, free),
        grounded_extent=_extent(plan, grounded),
        hangs_below=max(0.0, hull.clearance - float(free.lowest_bound.min())),
        sitting=sitting,
        skid_height=hull.skids.height,
    )


def _extent(plan: Plan, cloth: HangingCloth) -> Extent:
    stations = plan.stations
    found = [overall_size(stations.hull, stations.outward, reach) for reach in (cloth.outermost, cloth.outermost_bound)]
    return Extent(*found[0], *found[1])


def _segment_cloth_area(design: Design, plan: Plan, statics: SectionStatics, pieces: tuple[CutPiece, ...]) -> Floats:
    """Return the cloth of the segments, (n,) [m2 per metre of joint]; without weight, the mean round the craft."""
    if design.skirt.weight:
        return frozen_array(statics.segment.mass / design.cloth.segment.mass)
    area = sum(piece.area * piece.quantity for piece in pieces if piece.cloth == "segment")
    return frozen_array(np.full(len(plan.stations.ids), area / plan.joint_perimeter))
