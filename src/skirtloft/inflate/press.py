"""Pressing the skirt on the ground, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from skirtloft.inflate.contact import ContactForces, ground, together
from skirtloft.inflate.relax import Inflated, Progress, Settings, inflate
from skirtloft.inflate.types import Ints, Problem


@dataclass(frozen=True, eq=False)
class Pressed:
    """The skirt on ground at `height` [m]: its shape, and how hard it stands on it, `lift` [N]."""

    height: float
    lift: float
    shape: Inflated


def press(
    problem: Problem,
    feet: tuple[Ints, float],
    heights: Sequence[float],
    settings: Settings = Settings(),  # noqa: B008  frozen
    *,
    progress: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
    fast: bool | None = None,
) -> tuple[Pressed, ...]:
    """Return the skirt on ground at each of `heights`, each starting from the one before.

    Parameters
    ----------
    problem : Problem
        Without the ground.
    feet : (c,), float [N/m]
        Nodes that may touch the ground (faces and webs), and the stiffness at each.
    heights : sequence of float [m]
        Rising slowly: a few millimetres a step. Steps too long throw the cloth into folds it would not take.
    settings, progress, stop, fast
        As `inflate`; after a stop the results so far.

    Notes
    -----
    Where webs fold over, the depth at which they do changes with the mesh: no prediction.
    """
    nodes, stiffness = feet
    found: list[Pressed] = []
    settings = replace(settings, soft=())
    for height in heights:
        soil = ground(nodes, height, stiffness)
        step = replace(problem, contact=together(problem.contact, soil))
        shape = inflate(step, settings, progress=progress, stop=stop, fast=fast)
        lift = float(ContactForces(soil).pushes(shape.points).sum())
        found.append(Pressed(height, lift, shape))
        if stop is not None and stop():
            break
        problem = replace(problem, mesh=replace(problem.mesh, points=shape.points))
    return tuple(found)
