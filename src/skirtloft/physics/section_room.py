"""Where the loop of a section reaches: lowest and outermost point, points along it, room beside the hull."""

from __future__ import annotations

import math

import numpy as np

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
    """Return the height of the loop's lowest point above the tip plane [m], the shape of the sections."""
    reaches_bottom = _passes(sections, -math.pi / 2.0)
    return np.where(reaches_bottom, sections.centre_z - sections.radius, sections.depth)


def loop_outermost_point(sections: Sections) -> Floats:
    """Return how far the loop reaches outboard of the hull edge [m]: 0 where it stays inboard of it."""
    reach = sections.offset - sections.centre_inset + sections.radius
    return np.maximum(np.where(_passes(sections, 0.0), reach, sections.offset), 0.0)


def loop_overhang(sections: Sections) -> Floats:
    """Return how far the loop leans in over the deck, inboard of the hull edge [m]: 0 where it leaves outboard."""
    inboard = sections.radius - (sections.offset - sections.centre_inset)
    return np.maximum(np.where(_passes(sections, math.pi), inboard, 0.0), 0.0)


def _passes(sections: Sections, direction: float) -> Floats:
    """Tell where the arc, turning from start_angle down to end_angle, passes `direction` [rad]."""
    ahead = np.mod(sections.start_angle - direction, 2.0 * math.pi)
    return np.asarray(ahead <= sections.angle)


def hull_clearance_angle(sections: Sections) -> Floats:
    """Return the angle at E by which the loop clears the hull [rad]; not positive: the drawn arc enters it.

    Notes
    -----
    The arc is run clockwise and leaves E in the direction start_angle - 90 deg. The hull is taken as full as can be:
    straight from the hull edge to the inner fixing (2 d inboard of J and level with it), and a level deck inboard of
    the hull edge. The value is the lesser of the angles to the two.

    References
    ----------
    Derived.
    """
    leaves = sections.start_angle - math.pi / 2.0
    to_fixing = np.arctan2(-sections.rise, sections.offset - 2.0 * sections.depth)
    return np.asarray(np.minimum(leaves - to_fixing, math.pi - leaves))
