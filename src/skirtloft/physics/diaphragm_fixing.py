"""Where on the hull the diaphragm is fixed, and what is doubtful about a diaphragm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.diaphragm import DIAPHRAGM_DEFAULTS, Diaphragm, Flags

_INNER_POINTS = 31  # looked at on each hull line besides the exact places


@dataclass(frozen=True, eq=False)
class Attachment:
    """The best place for D on a hull line; (...) each.

    Parameters
    ----------
    point : (..., 2) [m]
        D; where nothing is steep enough, the steepest there is; nan where no place is below I-J and above the
        clearance.
    steepness : [-]  |u_z|, or the sine of the angle between J-I and J-D if less
    lever : [m]  |(J-I) x u| there
    is_found : bool  there is a place and it is steep enough
    """

    point: Floats
    steepness: Floats
    lever: Floats
    is_found: Flags


def find_attachment(
    joint: npt.ArrayLike,
    inner: npt.ArrayLike,
    hull: npt.ArrayLike,
    clearance: npt.ArrayLike,
    *,
    least_steepness: float = DIAPHRAGM_DEFAULTS["least_steepness"].value,
) -> Attachment:
    """Return the place on the hull line where the diaphragm holds the joint with the least tension.

    Parameters
    ----------
    joint, inner : (..., 2) [m]
        J and I, z from the tip plane.
    hull : (..., k, 2) [m]
        Corners of the hull's outside in the section, from the hull edge down and inboard, k at least 2.
    clearance : (...) [m]
        Height below which nothing may be fixed (flat of the bottom above the tip plane).

    Notes
    -----
    Looked at: on each straight piece the ends of what lies above the clearance and below the line I-J, the place where
    J-D is square to J-I, and 31 between. Of those that are steep enough the longest lever |(J-I) x u| wins (tension =
    excess moment/lever); if none is, the steepest. The winner is in sight of J: where the line to a hidden place enters
    the hull, that piece of hull has a place that is nearer, as high and steeper.
    """
    j, i, line = (np.asarray(value, dtype=np.float64) for value in (joint, inner, hull))
    lead = np.broadcast_shapes(j.shape[:-1], i.shape[:-1], line.shape[:-2], np.shape(clearance))
    j, i = np.broadcast_to(j, (*lead, 2)), np.broadcast_to(i, (*lead, 2))
    line = np.broadcast_to(line, (*lead, *line.shape[-2:]))
    floor = np.broadcast_to(np.asarray(clearance, dtype=np.float64), lead)
    places = _places(j, i, line, floor)
    u = places - j[..., None, :]
    with np.errstate(invalid="ignore", divide="ignore"):
        u = u / np.hypot(u[..., 0], u[..., 1])[..., None]
    arm = (j - i)[..., None, :]
    lever = -(arm[..., 0] * u[..., 1] - arm[..., 1] * u[..., 0])
    steepness = np.minimum(np.abs(u[..., 1]), np.abs(lever) / np.hypot(arm[..., 0], arm[..., 1]))
    above = places[..., 1] >= floor[..., None] - 1e-12
    usable = above & (lever > 0.0)
    steep = usable & (steepness >= least_steepness - 1e-12)
    found = np.asarray(steep.any(axis=-1))
    rank = np.where(found[..., None], np.where(steep, lever, -np.inf), np.where(usable, steepness, -np.inf))
    best = np.argmax(rank, axis=-1)[..., None]
    none = ~usable.any(axis=-1)

    def pick(values: Floats) -> Floats:
        return frozen_array(np.where(none, np.nan, np.take_along_axis(values, best, axis=-1)[..., 0]))

    point = np.stack([pick(places[..., 0]), pick(places[..., 1])], axis=-1)
    return Attachment(frozen_array(point), pick(steepness), pick(lever), found)


def given_attachment(
    joint: npt.ArrayLike,
    inner: npt.ArrayLike,
    point: npt.ArrayLike,
    *,
    least_steepness: float = DIAPHRAGM_DEFAULTS["least_steepness"].value,
) -> Attachment:
    """Return what a place D (..., 2) [m] that is given is worth: found where it holds J down and is steep enough."""
    j, i, d = (np.asarray(value, dtype=np.float64) for value in (joint, inner, point))
    across, arm = d - j, j - i
    with np.errstate(invalid="ignore", divide="ignore"):
        u = across / np.hypot(across[..., 0], across[..., 1])[..., None]
        lever = -(arm[..., 0] * u[..., 1] - arm[..., 1] * u[..., 0])
        steepness = np.minimum(np.abs(u[..., 1]), np.abs(lever) / np.hypot(arm[..., 0], arm[..., 1]))
    found = (lever > 0.0) & (steepness >= least_steepness - 1e-12)
    return Attachment(frozen_array(d), frozen_array(steepness), frozen_array(lever), np.asarray(found))


def _places(joint: Floats, inner: Floats, line: Floats, floor: Floats) -> Floats:
    """Return the places looked at, (..., q, 2)."""
    start, step = line[..., :-1, :], np.diff(line, axis=-2)
    arm = (joint - inner)[..., None, :]
    to_start = start - joint[..., None, :]
    with np.errstate(invalid="ignore", divide="ignore"):
        at_floor = (floor[..., None] - start[..., 1]) / step[..., 1]
        below = arm[..., 0] * to_start[..., 1] - arm[..., 1] * to_start[..., 0]
        on_line = -below / (arm[..., 0] * step[..., 1] - arm[..., 1] * step[..., 0])
        square = -(to_start * arm).sum(axis=-1) / (step * arm).sum(axis=-1)
    even = np.broadcast_to(np.linspace(0.0, 1.0, _INNER_POINTS + 2), (*at_floor.shape, _INNER_POINTS + 2))
    shares = np.concatenate([even, np.stack([at_floor, on_line, square], axis=-1)], axis=-1)
    shares = np.clip(np.nan_to_num(shares, nan=0.0, posinf=1.0, neginf=0.0), 0.0, 1.0)
    places = start[..., None, :] + shares[..., None] * step[..., None, :]
    return np.asarray(places.reshape(*line.shape[:-2], -1, 2))


@dataclass(frozen=True)
class Doubt:
    """Something a diaphragm does not do, with its number.

    Parameters
    ----------
    rule : "no balance", "wrong side", "slack", "too flat" or "margin too small"
    value, limit : float
        Margin or steepness, by the rule.
    place : tuple of int
        Index of the section.
    says : str
    """

    rule: str
    value: float
    limit: float
    place: tuple[int, ...]
    says: str


def diaphragm_doubts(
    diaphragm: Diaphragm,
    required: npt.ArrayLike = DIAPHRAGM_DEFAULTS["least_margin"].value,
    *,
    least_steepness: float = DIAPHRAGM_DEFAULTS["least_steepness"].value,
) -> tuple[Doubt, ...]:
    """Return what is doubtful, section by section; `required` (...) is the margin wanted there."""
    wanted = np.broadcast_to(np.asarray(required, dtype=np.float64), diaphragm.margin.shape)
    doubts: list[Doubt] = []
    for place in np.ndindex(diaphragm.margin.shape):
        margin, steepness = float(diaphragm.margin[place]), float(diaphragm.steepness[place])
        if np.isnan(margin):
            doubts.append(Doubt("no balance", margin, 0.0, place, "The loop has no balance here to exceed."))
            continue
        if not diaphragm.holds_down[place]:
            doubts.append(Doubt("wrong side", steepness, 0.0, place, "D is not below the line I-J: it can not hold J."))
        elif steepness < least_steepness:
            slope = least_steepness / (1.0 - least_steepness**2) ** 0.5
            text = (
                f"Steepness {steepness:.3f} is below {least_steepness:g}: the tension grows without bound. "
                f"D must lie {slope:.2f} of its horizontal distance from J, or more, below J and below the line I-J."
            )
            doubts.append(Doubt("too flat", steepness, least_steepness, place, text))
        if margin <= 0.0:
            moment = float(diaphragm.excess_moment[place])
            text = f"Margin {margin:.3f} ({moment:.3g} N m/m): the diaphragm is slack and does nothing."
            doubts.append(Doubt("slack", margin, 0.0, place, text))
        elif margin < wanted[place]:
            text = f"Margin {margin:.3f} is below {wanted[place]:.3f}: slack in heave, at light load or if cut long."
            doubts.append(Doubt("margin too small", margin, float(wanted[place]), place, text))
    return tuple(doubts)
