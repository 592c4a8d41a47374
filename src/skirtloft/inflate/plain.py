"""Forces of cloth and pressure on all nodes, with numpy and scipy alone."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array

from skirtloft.inflate.cloth_law import energy_density, stresses
from skirtloft.inflate.types import Cloth, Ints, SewnMesh
from skirtloft.maths.frozen import Floats

BLOCK = 4096  # triangles worked on at a time


def strains(mesh: SewnMesh, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the Green strains along warp and weft and the shear c12 of every triangle, each (m,) [-]."""
    one, two = deformation(mesh, points)
    return ((one * one).sum(axis=0) - 1.0) / 2.0, ((two * two).sum(axis=0) - 1.0) / 2.0, (one * two).sum(axis=0)


def deformation(mesh: SewnMesh, points: Floats) -> tuple[Floats, Floats]:
    """Return where unit warp and weft of every triangle have gone, F_1 and F_2, each (3, m) [-]."""
    along, across = _edges(mesh.triangles.T, np.ascontiguousarray(points.T))
    b = mesh.inverse
    return along * b[:, 0, 0] + across * b[:, 1, 0], along * b[:, 0, 1] + across * b[:, 1, 1]


def cloth_energy(mesh: SewnMesh, cloth: Cloth, points: Floats) -> float:
    """Return the energy stored in the cloth [J]."""
    return float(np.dot(mesh.area, energy_density(cloth, *strains(mesh, points))))


class PlainForces:
    """Cloth and pressure on a mesh: call it with points, cloth and an array to fill.

    Parameters
    ----------
    mesh : SewnMesh
    pressure : (m,) [Pa]

    Notes
    -----
    Cloth: minus the gradient of area times energy density. With P = F S and B the inverse of the flat edges, the
    edges 0-1 and 0-2 carry area P B^T. Pressure: a third of p times the area vector to each node, which is the
    gradient of p times volume at every node the surface closes round.

    References
    ----------
    Derived; the constant-strain membrane triangle of any finite element text.
    """

    def __init__(self, mesh: SewnMesh, pressure: Floats) -> None:
        count = len(mesh.triangles)
        blocks = [slice(at, min(at + BLOCK, count)) for at in range(0, count, BLOCK)]
        self._blocks = [_Block(mesh, pressure, block) for block in blocks]
        corner = np.ascontiguousarray(mesh.triangles.T).ravel()
        shape = (len(mesh.points), 3 * count)
        self._gather = csr_array((np.ones(3 * count), (corner, np.arange(3 * count))), shape=shape)
        self._corners = np.empty((3, 3, count))

    def __call__(self, points: Floats, cloth: Cloth, out: Floats) -> None:
        """Write the force on every node into `out`, (n, 3) [N]."""
        columns = np.ascontiguousarray(points.T)
        for block in self._blocks:
            block.push(columns, cloth, self._corners[:, :, block.place])
        for axis in range(3):
            out[:, axis] = self._gather @ self._corners[axis].ravel()


class _Block:
    """Some of the triangles: few enough that all that is worked out on the way stays near the processor."""

    def __init__(self, mesh: SewnMesh, pressure: Floats, place: slice) -> None:
        self.place = place
        b = mesh.inverse[place]
        self._triangles = np.ascontiguousarray(mesh.triangles[place].T)
        self._b = tuple(np.ascontiguousarray(b[:, i, j]) for i in range(2) for j in range(2))
        self._area, self._sixth = mesh.area[place], pressure[place] / 6.0

    def push(self, columns: Floats, cloth: Cloth, corners: Floats) -> None:
        """Write the force at each corner of each triangle into `corners`, (3 axes, 3 corners, m) [N]."""
        b11, b12, b21, b22 = self._b
        along, across = _edges(self._triangles, columns)
        one, two = along * b11 + across * b21, along * b12 + across * b22
        warp, weft, shear = (np.einsum("am,am->m", f, g) for f, g in ((one, one), (two, two), (one, two)))
        stress = stresses(cloth, (warp - 1.0) / 2.0, (weft - 1.0) / 2.0, shear)
        s1, s2, s12 = (self._area * s for s in stress)
        at_one = one * (s1 * b11 + s12 * b12) + two * (s12 * b11 + s2 * b12)
        at_two = one * (s1 * b21 + s12 * b22) + two * (s12 * b21 + s2 * b22)
        push = _cross(along, across)
        push *= self._sixth
        np.add(at_one, at_two, out=corners[:, 0])
        corners[:, 0] += push
        np.subtract(push, at_one, out=corners[:, 1])
        np.subtract(push, at_two, out=corners[:, 2])


def _edges(triangles: Ints, columns: Floats) -> tuple[Floats, Floats]:
    """Return edges 0-1 and 0-2 of every triangle (3, m) from points (3, n), each (3, m)."""
    origin, second, third = (columns.take(corner, axis=1) for corner in triangles)
    return second - origin, third - origin


def _cross(a: Floats, b: Floats) -> Floats:
    result = np.empty_like(a)
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        np.multiply(a[j], b[k], out=result[i])
        result[i] -= a[k] * b[j]
    return result
