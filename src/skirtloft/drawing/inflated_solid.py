"""An inflated skirt in three dimensions, port half: as drawn, and inflated, coloured by height and by tension."""

from __future__ import annotations

import numpy as np

from skirtloft.drawing.mesh import Mesh
from skirtloft.inflate.skirt.model import SewnSkirt, sew_skirt
from skirtloft.inflate.skirt.trial import Trial
from skirtloft.inflate.tension import tensions
from skirtloft.maths.frozen import Floats, frozen_array

LOW, LEVEL, HIGH = np.array([0.15, 0.35, 0.75]), np.array([0.92, 0.92, 0.88]), np.array([0.80, 0.25, 0.15])
FULL = 0.02  # m up or down that takes the full colour
GAP = 1.3  # widths of the half craft from one shape to the next


def inflated_meshes(trial: Trial) -> list[Mesh]:
    """Return the shapes side by side: as drawn, as designed and, where it was levelled, as cut last; then tension.

    Heights: blue 20 mm or more below where the drawn shape has that bit of cloth, red as much above. Tension: pale
    without any, red where the larger one reaches three times the loop's own, pressure times radius.
    """
    skirt, last = trial.skirt, trial.shape.points
    drawn = sew_skirt(skirt.cut, trial.asked.making).problem.mesh.points
    step = GAP * float(np.ptp(last[:, 1]))
    shapes = [("as drawn", drawn, np.broadcast_to(LEVEL, drawn.shape))]
    if len(trial.rounds) > 1 and trial.first_points.shape == drawn.shape:
        shapes.append(("inflated as designed, height", trial.first_points, _by_height(trial.first_points, drawn)))
    shapes.append(("inflated, height", last, _by_height(last, drawn)))
    shapes.append(("inflated, tension", last, _by_tension(skirt, last)))
    triangles = np.asarray(skirt.problem.mesh.triangles, dtype=np.int64)
    return [
        Mesh(
            name,
            frozen_array(points + np.array([0.0, k * step, 0.0])),
            triangles,
            shades=frozen_array(shades),
        )
        for k, (name, points, shades) in enumerate(shapes)
    ]


def _by_height(points: Floats, drawn: Floats) -> Floats:
    share = np.clip((points[:, 2] - drawn[:, 2]) / FULL, -1.0, 1.0)[:, None]
    shades: Floats = LEVEL + np.maximum(share, 0.0) * (HIGH - LEVEL) + np.maximum(-share, 0.0) * (LOW - LEVEL)
    return shades


def _by_tension(skirt: SewnSkirt, points: Floats) -> Floats:
    mesh = skirt.problem.mesh
    most, _ = tensions(mesh, skirt.problem.cloth, points)
    corners = mesh.triangles.ravel()
    area = np.bincount(corners, np.repeat(mesh.area, 3), len(points))
    mean = np.bincount(corners, np.repeat(mesh.area * most, 3), len(points)) / np.maximum(area, 1e-300)
    full = 3.0 * float(np.max(skirt.problem.loads.pressure)) * float(np.median(skirt.cut.sections.radius))
    share = np.clip(mean / full, 0.0, 1.0)[:, None]
    shades: Floats = LEVEL + share * (HIGH - LEVEL)
    return shades
