"""The same forces as `plain`, triangle by triangle, compiled where numba is installed (the `fast` extra)."""

from __future__ import annotations

import functools
import importlib
import math
from collections.abc import Callable
from typing import Any

import numpy as np

from skirtloft.inflate.cloth_law import ROUND
from skirtloft.inflate.types import Cloth, SewnMesh
from skirtloft.maths.frozen import Floats


@functools.cache
def is_available() -> bool:
    """Return whether numba is installed and gets on with the numpy that is."""
    try:
        importlib.import_module("numba")
    except ImportError:  # also what numba itself raises beside a numpy it does not know
        return False
    return True


class FastForces:
    """Cloth and pressure on a mesh; called as `skirtloft.inflate.plain.PlainForces`.

    Parameters
    ----------
    mesh : SewnMesh
    pressure : (m,) [Pa]
    compiled : bool
        False runs the same lines as ordinary Python: slow, for comparison.
    """

    def __init__(self, mesh: SewnMesh, pressure: Floats, compiled: bool = True) -> None:
        self._add = _compiled() if compiled else add_triangle_forces
        self._triangles = np.ascontiguousarray(mesh.triangles)
        self._inverse = np.ascontiguousarray(mesh.inverse).reshape(-1, 4)
        self._area = np.ascontiguousarray(mesh.area)
        self._sixth = np.ascontiguousarray(pressure / 6.0)

    def __call__(self, points: Floats, cloth: Cloth, out: Floats) -> None:
        """Write the force on every node into `out`, (n, 3) [N]."""
        e = cloth.stiffness
        numbers = (e, cloth.compression, cloth.weft * e, cloth.shear * e)
        out[:] = 0.0
        is_net = cloth.law == "net"
        self._add(points, self._triangles, self._inverse, self._area, self._sixth, is_net, numbers, ROUND, out)


@functools.cache
def _compiled() -> Callable[..., Any]:
    import numba

    kernel: Callable[..., Any] = numba.njit(cache=True, nogil=True)(add_triangle_forces)
    return kernel


def add_triangle_forces(  # one loop, so that it compiles to one
    points: Floats,
    triangles: Any,
    inverse: Floats,
    area: Floats,
    sixth: Floats,
    is_net: bool,
    numbers: tuple[float, float, float, float],
    round_off: float,
    out: Floats,
) -> None:
    """Add the forces of every triangle to `out`; the equations are those of `plain` and `cloth_law`."""
    e, c, weft, shear = numbers
    for t in range(triangles.shape[0]):
        i, j, k = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        ux, uy, uz = points[j, 0] - points[i, 0], points[j, 1] - points[i, 1], points[j, 2] - points[i, 2]
        vx, vy, vz = points[k, 0] - points[i, 0], points[k, 1] - points[i, 1], points[k, 2] - points[i, 2]
        b11, b12, b21, b22 = inverse[t, 0], inverse[t, 1], inverse[t, 2], inverse[t, 3]
        ax, ay, az = ux * b11 + vx * b21, uy * b11 + vy * b21, uz * b11 + vz * b21
        bx, by, bz = ux * b12 + vx * b22, uy * b12 + vy * b22, uz * b12 + vz * b22
        e1, e2 = (ax * ax + ay * ay + az * az - 1.0) / 2.0, (bx * bx + by * by + bz * bz - 1.0) / 2.0
        c12 = ax * bx + ay * by + az * bz
        if is_net:
            s1 = (e if e1 > 0.0 else c) * e1
            s2 = (weft if e2 > 0.0 else c) * e2
            s12 = shear * c12
        else:
            half = (e1 - e2) / 2.0
            spread = math.sqrt(half * half + c12 * c12 / 4.0)
            upper, lower = (e1 + e2) / 2.0 + spread, (e1 + e2) / 2.0 - spread
            above = (e if upper > 0.0 else c) * upper
            below = (e if lower > 0.0 else c) * lower
            slope = (above - below) / (2.0 * spread) if spread > round_off else (e if upper > 0.0 else c)
            s1 = (above + below) / 2.0 + slope * half
            s2 = (above + below) / 2.0 - slope * half
            s12 = slope * c12 / 2.0
        s1, s2, s12 = s1 * area[t], s2 * area[t], s12 * area[t]
        p1, q1 = s1 * b11 + s12 * b12, s12 * b11 + s2 * b12
        p2, q2 = s1 * b21 + s12 * b22, s12 * b21 + s2 * b22
        gx, gy, gz = ax * p1 + bx * q1, ay * p1 + by * q1, az * p1 + bz * q1
        hx, hy, hz = ax * p2 + bx * q2, ay * p2 + by * q2, az * p2 + bz * q2
        n = sixth[t]
        nx, ny, nz = n * (uy * vz - uz * vy), n * (uz * vx - ux * vz), n * (ux * vy - uy * vx)
        out[i, 0] += gx + hx + nx
        out[i, 1] += gy + hy + ny
        out[i, 2] += gz + hz + nz
        out[j, 0] += nx - gx
        out[j, 1] += ny - gy
        out[j, 2] += nz - gz
        out[k, 0] += nx - hx
        out[k, 1] += ny - hy
        out[k, 2] += nz - hz
