"""How cloth resists being stretched: a tension field, or a net of two threads.

Both laws take the Green strains of a triangle and give energy per area and its derivatives. Neither has bending
stiffness, and both give way almost freely when shortened, as thin cloth does by wrinkling.
"""

from __future__ import annotations

import numpy as np

from skirtloft.inflate.types import Cloth
from skirtloft.maths.frozen import Floats

ROUND = 1e-14  # strain: principal strains nearer to each other count as equal


def stresses(cloth: Cloth, warp: Floats, weft: Floats, shear: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the second Piola-Kirchhoff stresses along warp, weft and in shear, each (m,) [N/m].

    Parameters
    ----------
    cloth : Cloth
    warp, weft : (m,) [-]
        Green strains e1, e2 = (|F_i|^2 - 1)/2.
    shear : (m,) [-]
        c12 = F_1 . F_2.

    Notes
    -----
    Field, with principal strains e_a: energy sum of E max(e_a, 0)^2/2 + c min(e_a, 0)^2/2, the stress along the same
    directions. Net: S1 = E e1, S2 = weft E e2 (c where shortened), S12 = shear E c12.

    References
    ----------
    Tension field theory: Reissner (1938), Proc. 5th Int. Congr. Appl. Mech.; Pipkin (1986), IMA J. Appl. Math.
    36:85-99 (both from memory). The net and the small compressive stiffness are our own.
    """
    e, c = cloth.stiffness, cloth.compression
    if cloth.law == "net":
        return (
            np.where(warp > 0.0, e, c) * warp,
            np.where(weft > 0.0, cloth.weft * e, c) * weft,
            cloth.shear * e * shear,
        )
    middle, half = (warp + weft) / 2.0, (warp - weft) / 2.0
    spread = np.sqrt(half * half + shear * shear / 4.0)
    upper, lower = middle + spread, middle - spread
    above = np.where(upper > 0.0, e, c) * upper
    below = np.where(lower > 0.0, e, c) * lower
    mean = (above + below) / 2.0
    slope = np.where(spread > ROUND, (above - below) / (2.0 * np.maximum(spread, ROUND)), np.where(upper > 0.0, e, c))
    return mean + slope * half, mean - slope * half, slope * shear / 2.0


def energy_density(cloth: Cloth, warp: Floats, weft: Floats, shear: Floats) -> Floats:
    """Return the energy per flat area, (m,) [N/m]; arguments as `stresses`."""
    e, c = cloth.stiffness, cloth.compression
    if cloth.law == "net":
        along = np.where(warp > 0.0, e, c) * warp**2 / 2.0
        across = np.where(weft > 0.0, cloth.weft * e, c) * weft**2 / 2.0
        net: Floats = along + across + cloth.shear * e * shear**2 / 2.0
        return net
    middle, spread = (warp + weft) / 2.0, np.hypot((warp - weft) / 2.0, shear / 2.0)
    upper, lower = middle + spread, middle - spread
    field: Floats = np.where(upper > 0.0, e, c) * upper**2 / 2.0 + np.where(lower > 0.0, e, c) * lower**2 / 2.0
    return field
