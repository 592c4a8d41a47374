"""Loops cut longer or shorter than their sections ask: the same hull edge and joint line, other arcs between."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.shape.between import Places
from skirtloft.shape.loft import SectionArcs, arcs_by_length
from skirtloft.shape.types import Plan

if TYPE_CHECKING:
    from skirtloft.design.model import Design

LEAST_FULLNESS = 1.01  # a loop is never cut shorter than this times its chord


def loop_changes(design: Design, plan: Plan, at: Floats) -> Floats | None:
    """Return how much longer the loop is cut at places (k,) [m] along the joint line than its sections ask, (k,) [m].

    Evenly between the places that the file gives, the same beyond the first and the last; beyond a centre line the
    mirror image's. None where the file gives none.
    """
    given = sorted((wish.at, wish.loop) for wish in design.skirt.station or () if wish.loop is not None)
    if not given:
        return None
    end = float(plan.joint_line.breaks[-1])
    folded = np.abs(np.asarray(at, dtype=np.float64))
    port = np.where(folded > end, 2.0 * end - folded, folded)
    places, changes = np.array(given).T
    return frozen_array(np.interp(port, places, changes))


def recut_arcs(places: Places, arcs: SectionArcs, change: Floats | None) -> SectionArcs:
    """Return the arcs at `places` (k,) with loops `change` (k,) [m] longer, through the same hull edge and joint."""
    if change is None:
        return arcs
    length = _not_too_short(arcs.length + change, np.hypot(places.offset, places.hull_z - places.depth), arcs.length)
    return arcs_by_length(places.joint, places.outward, places.offset, places.hull_z, places.depth, length)


def recut_sections(plan: Plan, sections: Sections, length: Floats) -> Sections:
    """Return the sections with loops of `length` (n,) [m] at the stations, through the same hull edge and joint."""
    stations, old = plan.stations, sections
    length = _not_too_short(length, np.hypot(old.offset, old.rise), old.length)
    arcs = arcs_by_length(stations.joint, stations.outward, old.offset, stations.hull_z, old.depth, length)
    return replace(
        old,
        centre_inset=frozen_array(-arcs.centre_outboard),
        centre_z=arcs.centre_z,
        radius=arcs.radius,
        angle=frozen_array(arcs.start_angle - arcs.end_angle),
        start_angle=arcs.start_angle,
        end_angle=arcs.end_angle,
        length=frozen_array(arcs.length),
    )


def as_cut(design: Design, plan: Plan, sections: Sections) -> Sections:
    """Return the sections with the loops as the file wants them cut."""
    change = loop_changes(design, plan, plan.stations.at)
    return sections if change is None else recut_sections(plan, sections, sections.length + change)


def _not_too_short(length: Floats, chord: Floats, before: Floats) -> Floats:
    return np.asarray(np.maximum(length, np.minimum(LEAST_FULLNESS * chord, before)))
