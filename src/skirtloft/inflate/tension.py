"""What the cloth carries once inflated."""

from __future__ import annotations

import numpy as np

from skirtloft.inflate.cloth_law import stresses
from skirtloft.inflate.plain import deformation, strains
from skirtloft.inflate.types import Cloth, SewnMesh
from skirtloft.maths.frozen import Floats, frozen_array


def tensions(mesh: SewnMesh, cloth: Cloth, points: Floats) -> tuple[Floats, Floats]:
    """Return the larger and the smaller principal tension of every triangle, each (m,) [N/m].

    Notes
    -----
    Per width of the stretched cloth: F S F^T / (area now / flat area). Averages over a triangle: nothing on the peaks
    at the points where webs are fixed.
    """
    one, two = deformation(mesh, points)
    s1, s2, s12 = stresses(cloth, *strains(mesh, points))
    aa, bb, ab = (one * one).sum(axis=0), (two * two).sum(axis=0), (one * two).sum(axis=0)
    grown = np.sqrt(np.maximum(aa * bb - ab * ab, 1e-300))
    # S C has the eigenvalues of F S F^T that are not zero: trace and determinant give both.
    half = (s1 * aa + 2.0 * s12 * ab + s2 * bb) / (2.0 * grown)
    product = s1 * s2 - s12 * s12
    spread = np.sqrt(np.maximum(half * half - product, 0.0))
    return frozen_array(half + spread), frozen_array(half - spread)
