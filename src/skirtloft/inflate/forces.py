"""Everything that acts on the nodes: cloth, pressure, weight, contact, supports."""

from __future__ import annotations

import numpy as np

from skirtloft.inflate.contact import ContactForces
from skirtloft.inflate.fast import FastForces, is_available
from skirtloft.inflate.plain import PlainForces, cloth_energy
from skirtloft.inflate.supports import hold
from skirtloft.inflate.types import Cloth, Problem, SewnMesh
from skirtloft.maths.frozen import Floats
from skirtloft.physics.air import GRAVITY

_MASS = 0.8  # of E A max |grad N|^2; 0.75 is enough without tension, 1.6 takes half as many steps again
_SPRING_MASS = 0.6  # of every spring


class Forces:
    """The force on every node that is free to move; call it with points, cloth and an array to fill.

    Parameters
    ----------
    problem : Problem
    fast : bool, optional
        Compiled or plain; by itself compiled where numba is installed. Both give the same to rounding.
    """

    def __init__(self, problem: Problem, fast: bool | None = None) -> None:
        compiled = is_available() if fast is None else fast
        self.is_compiled = compiled
        self._problem = problem
        cloth_on: type[FastForces] | type[PlainForces] = FastForces if compiled else PlainForces
        self._cloth = cloth_on(problem.mesh, problem.loads.pressure)
        self._weight = node_masses(problem) * GRAVITY
        self._contact = ContactForces(problem.contact)

    def __call__(self, points: Floats, cloth: Cloth, out: Floats) -> None:
        """Write the forces into `out`, (n, 3) [N]; zero where the supports hold."""
        self._cloth(points, cloth, out)
        out[:, 2] -= self._weight
        self._contact(points, out)
        hold(self._problem.supports, out)


def node_masses(problem: Problem) -> Floats:
    """Return the mass of the cloth lumped at the nodes, a third of each triangle's, (n,) [kg]."""
    return _at_nodes(problem.mesh, problem.loads.areal_mass * problem.mesh.area / 3.0)


def moving_masses(problem: Problem, cloth: Cloth) -> Floats:
    """Return the made-up masses that let every node step by one per unit of time, (n,) [N/m].

    Notes
    -----
    0.8 E A max |grad N|^2 over the three shape functions N of a triangle, at each of its nodes, and 0.6 of every
    spring. Steps are stable where masses are at least a quarter of what the stiffnesses of a row add up to, for a
    triangle 3 E A max |grad N|^2; the rest is for tension and pressure, a per cent or two of E. [derived: Gershgorin]
    """
    b = problem.mesh.inverse
    rows = np.stack([b[:, 0], b[:, 1], b[:, 0] + b[:, 1]])
    steepest = (rows * rows).sum(axis=2).max(axis=0)
    masses = _at_nodes(problem.mesh, _MASS * cloth.stiffness * problem.mesh.area * steepest)
    np.add.at(masses, problem.contact.nodes, _SPRING_MASS * problem.contact.stiffness)
    return masses


def potential(problem: Problem, points: Floats) -> float:
    """Return energy of cloth, weight and contact less pressure times volume [J].

    Notes
    -----
    Volume is that between the surface and the origin. It has the pressure's force for its gradient where the pressure
    is the same all over and the surface is closed or its edge does not move; a free edge (a tip) has no potential.
    """
    one, two, three = (points[problem.mesh.triangles[:, i]] for i in range(3))
    volumes = (one * np.cross(two, three)).sum(axis=1) / 6.0
    springs = ContactForces(problem.contact).pushes(points)
    stored = np.sum(springs**2 / np.maximum(problem.contact.stiffness, 1e-300)) / 2.0
    weight = GRAVITY * np.dot(node_masses(problem), points[:, 2])
    return float(
        cloth_energy(problem.mesh, problem.cloth, points) + weight + stored - np.dot(problem.loads.pressure, volumes)
    )


def reactions(problem: Problem, points: Floats) -> Floats:
    """Return what the cloth and its loads pull on the supports with, (n, 3) [N]; zero at nodes that are free."""
    pull = np.empty_like(points)
    PlainForces(problem.mesh, problem.loads.pressure)(points, problem.cloth, pull)
    pull[:, 2] -= node_masses(problem) * GRAVITY
    ContactForces(problem.contact)(points, pull)
    free = pull.copy()
    hold(problem.supports, free)
    held: Floats = pull - free
    return held


def _at_nodes(mesh: SewnMesh, values: Floats) -> Floats:
    """Return `values` (m,) of the triangles summed at each of their nodes, (n,)."""
    summed = np.bincount(mesh.triangles.ravel(), np.repeat(values, 3), minlength=len(mesh.points))
    return summed.astype(np.float64, copy=False)
