"""Where the loop of a section reaches: lowest and outermost point, points along it, room beside the hull."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.types import Sections


def arc_points(sections: Sections, intervals: int) -> Floats:
    """Return points along every loop, E to J, (n, intervals + 1, 2) [m]: x outboard from E, z from the tip plane."""
    share = np.linspace(0.0, 1.0, intervals + 1)
    angle = sections.start_angle[:, None] - sections.angle[:, None] * share
    x = (sections.offset - sections.centre_inset)[:, None] + sections.radius[:, None] * np.cos(angle)
    z = sections.centre_z[:, None] + sections.radius[:, None] * np.sin(angle)
    return np.stack([x, z], axis=-1)


def loop_lowest_point(sections: Sections) -> Floats:
    """Return the height of the loop's lowest point above the tip plane [m], the shape of the sections.

    Notes
    -----
    The joint itself, unless the loop hangs below it (its centre outboard of the joint).
    """
    return np.where(
        _passes(sections, -math.pi / 2.0), sections.centre_z - sections.radius, _known(sections, sections.depth)
    )


def loop_outermost_point(sections: Sections) -> Floats:
    """Return how far the loop reaches outboard of the hull edge [m]: 0 where it stays inboard of it."""
    reach = sections.offset - sections.centre_inset + sections.radius
    return np.maximum(np.where(_passes(sections, 0.0), reach, _known(sections, sections.offset)), 0.0)


def loop_overhang(sections: Sections) -> Floats:
    """Return how far the loop leans in over the deck, inboard of the hull edge [m]: 0 where it leaves outboard."""
    inboard = sections.radius - (sections.offset - sections.centre_inset)
    return np.maximum(np.where(_passes(sections, math.pi), inboard, _known(sections, 0.0)), 0.0)


def _passes(sections: Sections, direction: float) -> npt.NDArray[np.bool_]:
    """Tell where the arc, turning from start_angle (-90 to 270 deg) down to end_angle, passes `direction` [rad]."""
    return np.asarray((sections.start_angle >= direction) & (direction >= sections.end_angle))


def _known(sections: Sections, value: npt.ArrayLike) -> Floats:
    """Return `value`, but nan for sections without equilibrium."""
    return np.where(np.isnan(sections.length), np.nan, value)


def hull_clearance_angle(sections: Sections) -> Floats:
    """Return the angle at E between the loop and the hull [rad], the shape of the sections.

    Notes
    -----
    The arc is run clockwise and leaves E in the direction start_angle - 90 deg, half its angle to the left of the
    chord. The hull is taken as full as can be: straight from the hull edge to the inner fixing, and a level
    deck inboard of the hull edge. The value is the lesser of the angles to the two: a
    margin, always positive, since an arc on one side of its chord meets neither; small where the loop lies against
    the hull's side, or back over the deck (`loop_overhang`).

    References
    ----------
    Derived.
    """
    leaves = sections.start_angle - math.pi / 2.0
    to_fixing = np.arctan2(-sections.rise - sections.drop, sections.offset - sections.inboard)
    return np.asarray(np.minimum(leaves - to_fixing, math.pi - leaves))
