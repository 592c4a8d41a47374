"""The balance of one section: moments of pressure and weight about the inner fixing I, and its stiffness.

The face is at 45 deg, the tip a right angle and I level with the joint: J - I = (2 d, 0).
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from skirtloft.maths.frozen import Floats
from skirtloft.physics.air import GRAVITY
from skirtloft.physics.arc import chord_rates
from skirtloft.physics.types import LoopArc


def tip_mean_square(depth: float, pitch: float) -> float:
    """Return the mean of |G - I|^2 [m2] over one pitch of a half-round tip edge that is cut level.

    Parameters
    ----------
    depth, pitch : float [m]

    Notes
    -----
    The edge lies y = (w/2) sin(u) sqrt2 outboard of the web corner at the place (w/2) cos(u) along the joint; means
    <y> = pi sqrt2 w/8 and <y^2> = w^2/3; <|G-I|^2> = (d + y)^2 + d^2 in the mean.

    References
    ----------
    Derived.
    """
    return 2.0 * depth**2 + 2.0 * depth * (math.pi * math.sqrt(2.0) / 8.0) * pitch + pitch**2 / 3.0


def balanced_inset(mean_square: float, weight_moment: npt.ArrayLike, depth: float, pressure: float) -> Floats:
    """Return how far inboard of J the loop's centre must lie for the moments about I to balance.

    Parameters
    ----------
    mean_square : float [m2]
        <|G - I|^2>; 2 d^2 for a flat face.
    weight_moment : [kg m / m]
        First moment of the cloth about I, any shape.
    depth, pressure : float [m], [Pa]

    Returns
    -------
    [m]

    Notes
    -----
    p (J-I).(J-C) = p/2 (|J-I|^2 - <|G-I|^2>) + g m_x with J - I = (2 d, 0):
    a = d - <|G-I|^2>/(4 d) + g m_x/(2 p d). Flat face and no weight: the trade's quarter rule a = d/2.

    References
    ----------
    Derived; checked by maximal enclosed area.
    """
    moment = np.asarray(weight_moment, dtype=np.float64)
    return depth - mean_square / (4.0 * depth) + GRAVITY * moment / (2.0 * pressure * depth)


def shape_stiffness(arc: LoopArc, offset: Floats, rise: Floats, depth: float) -> Floats:
    """Return the stiffness of the section per unit pressure, K/p, weight left out.

    Parameters
    ----------
    arc : LoopArc
    offset, rise : [m]
        X and Z, the shape of the arc.
    depth : float [m]

    Returns
    -------
    [m2] (N m per rad and metre of joint, per Pa)

    Notes
    -----
    K/p = d Z - kappa c'^2 - s c'', kappa = ds/dc at fixed length, c' = -2 d Z/c, c'' = (4 d^2 - 2 d X - c'^2)/c: minus
    the second derivative of the enclosed area as the segment turns about I.

    References
    ----------
    Derived.
    """
    first = -2.0 * depth * rise / arc.chord
    second = (4.0 * depth**2 - 2.0 * depth * offset - first**2) / arc.chord
    kappa = chord_rates(arc.angle, arc.length).centre
    return depth * rise - kappa * first**2 - arc.bulge * second
