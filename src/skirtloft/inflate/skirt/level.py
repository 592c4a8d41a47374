"""What to change so that joint and tips come level: the loop at every station, and the trim of every tip.

A longer loop lets the joint down: dz/dL at the joint from the section's own stiffness. Tips are not chased with the
loop; they are trimmed.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from skirtloft.inflate.skirt.measure import Measures
from skirtloft.inflate.skirt.model import Cut
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.pieces.cut_pieces import cut_pieces
from skirtloft.shape.develop import develop
from skirtloft.shape.recut import recut_sections
from skirtloft.shape.segment_field import values_at

LARGEST_STEP = 0.03  # m of loop at a time


@dataclass(frozen=True, eq=False)
class Advice:
    """What would bring joint and tips level; arrays over stations (n,) or segments (k,).

    Parameters
    ----------
    rise : (n,) [m]
        Of the joint round each station, in the mean, the mesh's own error taken off.
    slope : (n,) [-]
        What a metre more loop does to it.
    loop : (n,) [m]
        Change of the loop's length; 0 where the joint is level within the tolerance.
    level : float [m]
        Height that all tips can be trimmed to.
    trim : (k,) [m]
        Along the face off the finished tip line; negative: left on from the trim allowance.
    tip_trim : (n,) [m]
        The same in the mean round each station.
    """

    rise: Floats
    slope: Floats
    loop: Floats
    level: float
    trim: Floats
    tip_trim: Floats


def joint_by_length(sections: Sections) -> Floats:
    """Return how far the joint of each section rises per metre of loop, (n,) [-]; below 0: a longer loop lowers it.

    Notes
    -----
    At a joint held fast the loop's moment about I is p (J - I).(J - C); with half angle h = b/2 and chord c,
    L = c h/sin h and the centre's distance from the chord s = -(c/2) cot h, so ds/dL = 1/(2 (sin h - h cos h)). The
    moment that goes, p (J - I).n ds/dL with n the chord's left normal, turns the segment against its stiffness K by
    that over K, and the joint moves by the inner fixing's distance times the turn.

    References
    ----------
    Derived.
    """
    half = sections.angle / 2.0
    chord = np.hypot(sections.offset, sections.rise)
    along = (sections.inboard * sections.rise + sections.drop * sections.offset) / chord
    bulge = 1.0 / (2.0 * (np.sin(half) - half * np.cos(half)))
    return frozen_array(-sections.inboard * sections.pressure * along * bulge / sections.stiffness)


def station_means(places: Floats, at: Floats, values: Floats, widths: Floats) -> Floats:
    """Return values (k,) at `at` in the mean round each of the stations at `places`, weight falling to the next."""
    weight = np.array([np.interp(at, places, row) for row in np.eye(len(places))]) * widths
    nearest = np.abs(at[None, :] - places[:, None]).argmin(axis=1)
    total = weight.sum(axis=1)
    return np.asarray(np.where(total > 0.0, weight @ values / np.maximum(total, 1e-12), values[nearest]))


def advise(
    cut: Cut, found: Measures, mesh_shift: tuple[Floats, Floats], tolerance: float, trims: Floats | None = None
) -> Advice:
    """Return what would bring joint and tips level.

    Parameters
    ----------
    cut : Cut
    found : Measures
    mesh_shift : (segments,) twice [m]
        What a finer mesh adds to the joint's and to the tips' heights.
    tolerance : float [m]
    trims : (segments,) [m], optional
        Taken off already, along the face.
    """
    segments, stations = found.segments, cut.plan.stations
    joint, tips = segments.joint + mesh_shift[0], segments.tip + mesh_shift[1]
    rise = station_means(stations.at, segments.at, joint, segments.width)
    slope = joint_by_length(cut.sections)
    wanted = np.clip(-rise / slope, -LARGEST_STEP, LARGEST_STEP)
    face = values_at(cut.plan.segments, segments.at)[1]
    left = cut.design.making.tip_trim + (np.zeros(len(tips)) if trims is None else trims)
    reach = np.maximum(left, 0.0) * np.sin(face)
    level = float(np.max(tips - reach, initial=0.0))
    trim = (level - tips) / np.sin(face)
    return Advice(
        rise=frozen_array(rise),
        slope=slope,
        loop=frozen_array(np.where(np.abs(rise) > tolerance, wanted, 0.0)),
        level=level,
        trim=frozen_array(trim),
        tip_trim=frozen_array(station_means(stations.at, segments.at, trim, segments.width)),
    )


def with_loops(cut: Cut, length: Floats) -> Cut:
    """Return the skirt cut again with loops of `length` (n,) [m] at the stations, through the same hull edge and joint.

    Raises
    ------
    ShapeError
        The panels cannot be made.
    """
    sections = recut_sections(cut.plan, cut.sections, length)
    panels = develop(cut.plan, sections).panels
    return replace(cut, sections=sections, panels=panels, pieces=cut_pieces(cut.design, cut.plan, panels))
