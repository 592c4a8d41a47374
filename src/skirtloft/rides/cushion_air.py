"""The air that springs and has to be moved: volume of the cushion, inertia in the duct, and the loop's open side."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from skirtloft.design.air_model import LossLine
from skirtloft.design.units import format_area, format_length, format_volume
from skirtloft.lift.system import loss_of, size_of
from skirtloft.maths.frozen import Floats
from skirtloft.pipeline import Skirt
from skirtloft.rides.types import Assumed, Mouth
from skirtloft.shape.hull_lines import section_points

if TYPE_CHECKING:
    import numpy.typing as npt

ARC_POINTS = 24
DUCT_SPEED = 5.0  # m/s, of the air in a duct that is not told: our own choice, ample as lift ducts are
LOSSES_IN_THE_WAY = ("vents",)  # of a diaphragm: surely between loop and cushion
FEEDS = ("holes", "mouth")  # blow into the loop, or out of a loop that is closed but for them: the file does not say


def cushion_volume(skirt: Skirt, length: Floats, at: npt.NDArray[np.intp], gap: float) -> tuple[float, Assumed | None]:
    """Return the air [m3] under the hull, in the segments and in the loop, and what was assumed of it.

    Parameters
    ----------
    length : (n,) [m]
        Of the runs of the tip line.
    at : (n,)
        The station of each run's section.

    Notes
    -----
    S (clearance + gap) inside the tip line; outside it, by section: between the tip's upright, face, loop, hull from E
    over I to B and the level of the clearance. A corner's section counts by its length along the tip line.
    """
    told = skirt.design.bounce.cushion_volume
    if told is not None:
        return told, None
    areas = section_air_areas(skirt)[at]
    volume = skirt.plan.tip_area * (skirt.design.hull.clearance + gap) + float(length @ areas)
    words = f"{format_volume(volume, skirt.design.project.show)}, from plan and sections"
    return volume, Assumed("cushion volume", words, "bounce.cushion_volume")


def section_air_areas(skirt: Skirt) -> Floats:
    """Return the area (n,) [m2] of air in every section that S times the clearance leaves out."""
    sections, hull = skirt.sections, skirt.hull
    points, c = section_points(sections), skirt.design.hull.clearance
    bottom = points.inner - np.column_stack([hull.width * np.cos(hull.slope), hull.width * np.sin(hull.slope)])
    share = np.linspace(0.0, 1.0, ARC_POINTS)
    angle = sections.end_angle[:, None] + (sections.start_angle - sections.end_angle)[:, None] * share
    centre = np.column_stack([sections.offset - sections.centre_inset, sections.centre_z])
    arc = centre[:, None, :] + sections.radius[:, None, None] * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    upright = np.column_stack([points.tip[:, 0], np.full(len(sections.depth), c)])
    corners = [points.tip[:, None], points.joint[:, None], arc, points.hull[:, None], points.inner[:, None]]
    outline = np.concatenate([*corners, bottom[:, None], upright[:, None]], axis=1)
    ahead = np.roll(outline, -1, axis=1)
    twice = outline[..., 0] * ahead[..., 1] - outline[..., 1] * ahead[..., 0]
    return np.asarray(np.abs(twice.sum(axis=1)) / 2.0)


def duct_inertance(skirt: Skirt, flow: float) -> tuple[float, Assumed | None]:
    """Return rho length/area [kg/m4] of the way from fan to loop, and what was assumed of it.

    Parameters
    ----------
    flow : float [m3/s]
        Lift air.
    """
    told, rho, show = skirt.design.bounce, skirt.air.density, skirt.design.project.show
    if told.duct_length is not None and told.duct_area is not None:
        return rho * told.duct_length / told.duct_area, None
    ducts = [line for line in skirt.design.air.loss if line.kind == "duct" and line.length is not None]
    if ducts:
        over = sum(line.share * (line.length or 0.0) / size_of(line.area, line.diameter) for line in ducts)
        words = "only the ducts of air.loss"
        return rho * over, Assumed("air in the duct", words, "bounce.duct_length and duct_area")
    length, area = math.sqrt(skirt.plan.tip_area) / 3.0, flow / DUCT_SPEED
    words = f"{format_length(length, show)} of {format_area(area, show)}, a guess"
    return rho * length / area, Assumed("air in the duct", words, "bounce.duct_length and duct_area")


def mouth_of(skirt: Skirt, length: Floats, upper_edge: Floats) -> tuple[Mouth, Assumed | None]:
    """Return the way from loop to cushion, and what was assumed of it.

    Parameters
    ----------
    length, upper_edge : (n,) [m]
        Of the runs of the tip line; from joint to inner fixing, the width that the loop is open below.
    """
    told = skirt.design.bounce
    open_side = float(length @ upper_edge)
    if told.mouth_area is not None:
        return Mouth(told.mouth_discharge * told.mouth_area, open_side, "bounce.mouth_area"), None
    vents = diaphragm_vents(skirt)
    if vents > 0.0:
        words = "the vents of the diaphragm" + (", past which the lift air goes" if goes_beside(skirt) else "")
        return Mouth(told.mouth_discharge * vents, open_side, words), None
    lines = [line for line in skirt.design.air.loss if line.kind in LOSSES_IN_THE_WAY]
    if lines:
        names = ", ".join(line.name or line.kind for line in lines)
        area = sum(_effective(skirt, line) ** -2 for line in lines) ** -0.5  # one behind the other
        return Mouth(area, open_side, f"air.loss: {names}"), None
    words = (
        f"{told.mouth_open:.0%} of the open lower side of the loop, {format_area(open_side, skirt.design.project.show)}"
    )
    area = told.mouth_discharge * told.mouth_open * open_side
    return Mouth(area, open_side, words), Assumed("way from loop to cushion", words, "bounce.mouth_area")


def diaphragm_vents(skirt: Skirt) -> float:
    """Return the area [m2] of all vents in the diaphragm of the file, strip by strip; 0 where there is none."""
    found = skirt.service.diaphragm
    if found is None:
        return 0.0
    return float(sum(run.strips * run.pitch * float(run.holes.area) for run in found.runs))


def goes_beside(skirt: Skirt) -> bool:
    """Tell whether a diaphragm is there and the lift air does not pass it: the loop then stands at cushion pressure."""
    found, wanted = skirt.service.diaphragm, skirt.design.skirt.diaphragm
    return found is not None and wanted is not None and bool(found.runs) and wanted.feed == "beside"


def _effective(skirt: Skirt, line: LossLine) -> float:
    """Return area over root of loss factor [m2], for the share of the air that takes this way."""
    loss = loss_of(line, skirt.plan)
    return float(loss.area / np.sqrt(loss.factor) / loss.share)


def has_feed_holes(skirt: Skirt) -> bool:
    """Tell whether the file has feed holes, which could be all that a closed loop lets its air out by."""
    return any(line.kind in FEEDS for line in skirt.design.air.loss)
