"""A loop of fixed length as its segment turns about the inner fixing: chord, centroid, and what they do to the balance.

Components are plain arrays of one shape: joint and hull edge seen from I, x outboard, z up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats
from skirtloft.physics.arc import chord_rates


@dataclass(frozen=True, eq=False)
class LoopMotion:
    """One loop at one place, and how it moves; arrays of one shape.

    Parameters
    ----------
    area_rate : [m2/rad]  rate of the area between loop, J-I and I-E, as the segment turns
    area_second : [m2/rad2]
    centroid_rise, centroid_second : [m/rad], [m/rad2]  of the loop's centroid height
    centroid_by_x, centroid_by_z : [-]  rise of the centroid per shift of J
    """

    area_rate: Floats
    area_second: Floats
    centroid_rise: Floats
    centroid_second: Floats
    centroid_by_x: Floats
    centroid_by_z: Floats


def loop_motion(
    jx: Floats, jz: Floats, ex: Floats, ez: Floats, bulge: Floats, angle: Floats, length: Floats
) -> LoopMotion:
    """Return how a loop moves as J turns about I.

    Parameters
    ----------
    jx, jz, ex, ez : [m]
        J and E seen from I.
    bulge, angle, length : [m], [rad], [m]
        s, b and L of the arc.

    Notes
    -----
    c1 = dc/dphi = (J-E).rot90(J-I)/c, c2 = d2c/dphi2 = ((E-I).(J-I) - c1^2)/c.
    Area: -(J-I).(E-I)/2 + s c1, then -(J-I)x(E-I)/2 + kappa c1^2 + s c2.
    Centroid: zbar = (z_E + z_J)/2 + t q with t = s + c/b and q = (J-E)_x/c.

    References
    ----------
    Derived.
    """
    cx, cz = jx - ex, jz - ez
    c = np.hypot(cx, cz)
    first = (cz * jx - cx * jz) / c
    second = (ex * jx + ez * jz - first**2) / c
    rates = chord_rates(angle, length)
    beyond, share = bulge + c / angle, cx / c
    by_chord = rates.centroid * share
    share_first = -jz / c - share * first / c
    share_second = (-jx + 2.0 * jz * first / c - share * second + 2.0 * share * first**2 / c) / c
    beyond_second = rates.centroid_second * first**2 + rates.centroid * second
    return LoopMotion(
        area_rate=-(jx * ex + jz * ez) / 2.0 + bulge * first,
        area_second=-(jx * ez - jz * ex) / 2.0 + rates.centre * first**2 + bulge * second,
        centroid_rise=jx / 2.0 + by_chord * first + beyond * share_first,
        centroid_second=-jz / 2.0
        + beyond_second * share
        + 2.0 * rates.centroid * first * share_first
        + beyond * share_second,
        centroid_by_x=by_chord * share + beyond * cz**2 / c**3,
        centroid_by_z=0.5 + by_chord * cz / c - beyond * cx * cz / c**3,
    )
