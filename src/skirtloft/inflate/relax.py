"""Finding the shape at rest: dynamic relaxation with kinetic damping.

The nodes move under the forces on them, with made-up masses; whenever the kinetic energy has passed a peak all motion
is stopped. The cloth starts soft, so that the first large movements are not felt as blows.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.errors import SolveError
from skirtloft.inflate.forces import Forces, moving_masses
from skirtloft.inflate.types import Cloth, Problem
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.air import GRAVITY


@dataclass(frozen=True)
class Settings:
    """When to stop, and on which steps to stiffen.

    Parameters
    ----------
    tolerance : float [m2]
        Length of the vector of all forces left over, per pressure: 4e-5 is 0.02 N at 500 Pa, a few tenths of a
        millimetre at the joint of a soft side run. Ask for a tenth of it where a single segment is looked at.
    soft : tuple of float
        Stiffnesses of the cloth to begin with, as shares of its own.
    soft_tolerance : float [-]
        Of the tolerance, while soft.
    most_steps : int
        Over all stages.
    look_every : int
        Steps between looks at the force left over, reports of progress and looks at whether to stop.
    """

    tolerance: float = 4e-5
    soft: tuple[float, ...] = (0.2,)
    soft_tolerance: float = 50.0
    most_steps: int = 200_000
    look_every: int = 20


@dataclass(frozen=True)
class Progress:
    """How far it has come: stage counted from zero of `stages`, steps, force left over and the one asked for [N]."""

    stage: int
    stages: int
    steps: int
    residual: float
    wanted: float


@dataclass(frozen=True, eq=False)
class Inflated:
    """The shape found.

    Parameters
    ----------
    points : (n, 3) [m]
        Those with the least force left over.
    residual, wanted : float [N]
        Length of the vector of all forces left over, and what was asked for.
    steps : int
    is_settled : bool
        False where it was stopped, or ran out of steps: the points are the best so far.
    is_compiled : bool
        Whether the compiled forces were used.
    """

    points: Floats
    residual: float
    wanted: float
    steps: int
    is_settled: bool
    is_compiled: bool


def inflate(
    problem: Problem,
    settings: Settings = Settings(),
    *,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    fast: bool | None = None,
) -> Inflated:
    """Return the shape in which cloth, pressure, weight and contact are at rest.

    Parameters
    ----------
    problem : Problem
    settings : Settings
    progress : callable, optional
        Called every `look_every` steps.
    stop : callable, optional
        Asked every `look_every` steps; True ends with the best so far.
    fast : bool, optional
        Compiled or plain forces; by itself whichever is there.

    Raises
    ------
    SolveError
        The points ran away: a load no cloth holds, or triangles without area.

    Notes
    -----
    Unit time step: v += f/m, x += v, half of it from rest; masses by `moving_masses`. Where v.m.v falls, x goes back
    by half of the last step and v to zero.

    References
    ----------
    Barnes (1999), Form finding and analysis of tension structures by dynamic relaxation, Int. J. Space Structures
    14(2):89-104 (from memory).
    """
    forces = Forces(problem, fast)
    points = np.array(problem.mesh.points, dtype=np.float64)
    wanted = settings.tolerance * _load_scale(problem)
    shares = (*settings.soft, 1.0)
    steps, run = 0, _Run(0.0, points, False)
    for stage, share in enumerate(shares):
        cloth = replace(problem.cloth, stiffness=share * problem.cloth.stiffness)
        aim = wanted if share == 1.0 else settings.soft_tolerance * wanted
        at = Progress(stage, len(shares), steps, np.inf, aim)
        run, steps, stopped = _relax(forces, (problem, cloth), (run.points, steps), at, (settings, progress, stop))
        if stopped:
            break
    return Inflated(
        points=frozen_array(run.points),
        residual=run.residual,
        wanted=wanted,
        steps=steps,
        is_settled=run.is_settled and run.residual <= wanted,
        is_compiled=forces.is_compiled,
    )


@dataclass(frozen=True, eq=False)
class _Run:
    residual: float
    points: Floats
    is_settled: bool


def _relax(
    forces: Forces,
    what: tuple[Problem, Cloth],
    start: tuple[Floats, int],
    at: Progress,
    how: tuple[Settings, Callable[[Progress], None] | None, Callable[[], bool] | None],
) -> tuple[_Run, int, bool]:
    """Return the best of one stage, the steps so far, and whether to go no further."""
    (problem, cloth), (first, steps), (settings, progress, stop) = what, start, how
    points, force = first.copy(), np.empty_like(first)
    velocity, move = np.zeros_like(first), np.empty_like(first)
    mass = np.repeat(moving_masses(problem, cloth)[:, None], 3, axis=1)
    inverse_mass, energy_before, from_rest = 1.0 / mass, 0.0, True
    best = _Run(np.inf, first, False)
    while True:
        forces(points, cloth, force)
        if steps % settings.look_every == 0 or steps >= settings.most_steps:
            residual = math.sqrt(float(np.einsum("ij,ij->", force, force)))
            if not np.isfinite(residual):
                raise SolveError(
                    "inflating the sewn skirt",
                    residual,
                    "The cloth ran away from its supports. Look for triangles without area and pieces not sewn on.",
                )
            if residual < best.residual:
                best = _Run(residual, points.copy(), residual <= at.wanted)
            if progress is not None:
                progress(replace(at, steps=steps, residual=residual))
            if best.is_settled:
                return best, steps, False
            if steps >= settings.most_steps or (stop is not None and stop()):
                return best, steps, True
        np.multiply(force, inverse_mass, out=move)
        if from_rest:
            move *= 0.5
        velocity += move
        np.multiply(velocity, mass, out=move)
        energy = float(np.einsum("ij,ij->", velocity, move))  # no threads for so little
        if energy < energy_before:
            velocity -= force * inverse_mass  # that of the step just taken
            points -= velocity / 2.0
            velocity[:] = 0.0
            energy_before, from_rest = 0.0, True
        else:
            points += velocity
            energy_before, from_rest = energy, False
        steps += 1


def _load_scale(problem: Problem) -> float:
    """Return the largest pressure, or without any the largest weight per area [Pa]."""
    pressure = float(np.max(np.abs(problem.loads.pressure), initial=0.0))
    return pressure or GRAVITY * float(np.max(problem.loads.areal_mass, initial=0.0))
