"""Where a diaphragm is wanted along the skirt, with which margin, and where on the hull it is fixed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.diaphragm_fixing import Attachment, find_attachment, given_attachment
from skirtloft.shape.hull_lines import RUNS, SectionPoints, bottom_edge
from skirtloft.shape.types import Plan, Stations

if TYPE_CHECKING:
    from skirtloft.design.cloth_model import Diaphragm
    from skirtloft.design.model import Design

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class DiaphragmPlace:
    """The diaphragm at the port stations, arrays (n,); points in section axes, x outboard from the hull edge.

    Parameters
    ----------
    asked : [-]  margin the file asks for; even along the joint line from run to run
    margin : [-]  margin the loops are cut with: as asked, or 0 everywhere where one station has no place for it
    is_whole : bool  both runs beside have a margin: not on the way to a run without a diaphragm
    points : SectionPoints
    bottom : (n, 2) [m]  edge of the flat of the bottom
    attachment : Attachment  D given or found
    is_given : bool
    off_hull : [m]  distance of D from the straight lines hull edge - inner fixing - edge of the flat bottom
    beyond_webs : [m]  D inboard of the webs' lower edge; negative: the hull there would cut into the webs
    """

    asked: Floats
    margin: Floats
    is_whole: Flags
    points: SectionPoints
    bottom: Floats
    attachment: Attachment
    is_given: bool
    off_hull: Floats
    beyond_webs: Floats

    @property
    def is_possible(self) -> bool:
        """True where every station that wants a diaphragm has a place for it."""
        return bool((self.attachment.is_found | (self.asked <= 0.0)).all())

    @property
    def span(self) -> Floats:
        """From J to D, (n,) [m]."""
        return np.asarray(np.linalg.norm(self.attachment.point - self.points.joint, axis=-1))


def diaphragm_place(design: Design, plan: Plan) -> DiaphragmPlace | None:
    """Return margins and places of the diaphragm; None where the file has none.

    Notes
    -----
    Where one station has no place, none of the loops is cut short: a short loop without its diaphragm stands high.
    """
    wanted = design.skirt.diaphragm
    if wanted is None:
        return None
    stations = plan.stations
    points = station_points(stations)
    bottom = bottom_edge(design, stations, points)
    asked, is_whole = _margins(wanted, stations)
    place = _given(wanted, stations, design.hull.clearance)
    if place is None:
        line = np.stack([points.hull, points.inner, bottom], axis=-2)
        found = find_attachment(
            points.joint, points.inner, line, design.hull.clearance, least_steepness=wanted.steepness
        )
    else:
        found = given_attachment(points.joint, points.inner, place, least_steepness=wanted.steepness)
    possible = bool((found.is_found | (asked <= 0.0)).all())
    off = np.minimum(_distance(found.point, points.hull, points.inner), _distance(found.point, points.inner, bottom))
    margin = frozen_array(asked if possible else np.zeros_like(asked))
    return DiaphragmPlace(
        asked=asked,
        margin=margin,
        is_whole=is_whole,
        points=points,
        bottom=frozen_array(bottom),
        attachment=found,
        is_given=place is not None,
        off_hull=frozen_array(off),
        beyond_webs=frozen_array(_beyond(found.point, points.tip, points.inner)),
    )


def station_points(stations: Stations) -> SectionPoints:
    """Return E, J, G and I of every station before anything is solved."""
    zero, x = np.zeros_like(stations.offset), stations.offset
    tip = x - stations.depth / np.tan(stations.face_angle)
    rows = (
        (zero, stations.hull_z),
        (x, stations.depth),
        (tip, zero),
        (x - stations.inboard, stations.depth - stations.drop),
    )
    hull, joint, web, inner = (frozen_array(np.column_stack(row)) for row in rows)
    return SectionPoints(hull=hull, joint=joint, tip=web, inner=inner)


def _margins(wanted: Diaphragm, stations: Stations) -> tuple[Floats, Flags]:
    """Return the margin asked at every station and whether it is on no way to a run without, (n,) each."""
    own = {run: getattr(wanted, run).margin for run in RUNS}
    told = {run: wanted.margin if own[run] is None else own[run] for run in RUNS}
    asked = _along(stations, told)
    there = _along(stations, {run: float(value > 0.0) for run, value in told.items()})
    return frozen_array(asked), np.asarray(there >= 1.0)


def _along(stations: Stations, told: dict[str, float]) -> Floats:
    """Return values by run at every station; between runs linear along the joint line, at the ends constant."""
    known = [i for i, run in enumerate(stations.runs) if run in told]
    values = [told[stations.runs[i]] for i in known]
    return np.asarray(np.interp(stations.at, stations.at[known], values), dtype=np.float64)


def _given(wanted: Diaphragm, stations: Stations, clearance: float) -> Floats | None:
    """Return the places given by run, (n, 2) [m]; None where none is given on this hull."""
    told = {run: getattr(wanted, run) for run in RUNS if run in stations.runs}
    told = {run: place for run, place in told.items() if place.inboard is not None and place.height is not None}
    if not told:
        return None
    inboard = _along(stations, {run: place.inboard for run, place in told.items()})
    height = _along(stations, {run: place.height for run, place in told.items()})
    return np.column_stack([-inboard, clearance + height])


def _beyond(point: Floats, tip: Floats, inner: Floats) -> Floats:
    """Return how far points lie inboard of the line through web corner and inner fixing, (n,) [m]."""
    along, to = inner - tip, point - tip
    return np.asarray((along[:, 0] * to[:, 1] - along[:, 1] * to[:, 0]) / np.hypot(along[:, 0], along[:, 1]))


def _distance(point: Floats, start: Floats, end: Floats) -> Floats:
    """Return the distance of points from the straight pieces start - end, (n,) [m]."""
    along = end - start
    square = np.maximum((along**2).sum(axis=-1), 1e-18)
    share = np.clip(((point - start) * along).sum(axis=-1) / square, 0.0, 1.0)
    return np.asarray(np.linalg.norm(point - start - share[:, None] * along, axis=-1))
