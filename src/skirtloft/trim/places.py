"""Places round the craft by name: stations of either side, words such as port-bow; each a point of the tip line."""

from __future__ import annotations

import numpy as np
import shapely

from skirtloft.maths.curves import outward_at, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.segment_field import tip_insets
from skirtloft.shape.types import Plan

# Each word as the way one looks from the middle of the box round the tip line, in half lengths and half widths.
WORDS: dict[str, tuple[float, float]] = {
    "bow": (1.0, 0.0),
    "port-bow": (1.0, 1.0),
    "port": (0.0, 1.0),
    "port-stern": (-1.0, 1.0),
    "stern": (-1.0, 0.0),
    "starboard-stern": (-1.0, -1.0),
    "starboard": (0.0, -1.0),
    "starboard-bow": (1.0, -1.0),
}


def tip_outline(plan: Plan) -> Floats:
    """Return the mean tip line all round, (n, 2) [m], from the bow centre by port to the stern and back."""
    at = np.linspace(0.0, float(plan.joint_line.breaks[-1]), 721)
    insets = tip_insets(plan.segments, plan.pitch, at)
    port = points_at(plan.joint_line, at) - insets[:, None] * outward_at(plan.joint_line, at, "before")
    return frozen_array(np.concatenate([port, (port * [1.0, -1.0])[-2:0:-1]]))


def places(plan: Plan) -> dict[str, tuple[float, float]]:
    """Return every place by its name with its point on the tip line [m]: words first, then P00, S00, P01, ..."""
    outline = tip_outline(plan)
    found = {word: _towards(outline, way) for word, way in WORDS.items()}
    stations = plan.stations
    tips = stations.joint - tip_insets(plan.segments, plan.pitch, stations.at)[:, None] * stations.outward
    for name, (x, y) in zip(stations.ids, tips, strict=True):
        found[name] = float(x), float(y)
        if abs(y) > 1e-6:
            found[f"S{name[1:]}"] = float(x), -float(y)
    return found


def face_slopes(plan: Plan, points: Floats) -> Floats:
    """Return the face angle of the segments nearest to points (n, 2) [m] of either side, (n,) [rad]."""
    stations = plan.stations
    port = np.column_stack([points[:, 0], np.abs(points[:, 1])])
    nearest = np.hypot(*(port[:, None, :] - stations.joint[None, :, :]).transpose(2, 0, 1)).argmin(axis=1)
    return frozen_array(stations.face_angle[nearest])


def _towards(outline: Floats, way: tuple[float, float]) -> tuple[float, float]:
    """Return where the outline is met when looking one way from the middle of the box round it."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    ray = shapely.LineString([middle, middle + 2.0 * half * np.array(way)])
    met = shapely.get_coordinates(shapely.intersection(ray, shapely.LinearRing(outline)))
    x, y = met[np.argmax(np.hypot(*(met - middle).T))]
    return float(x), float(y)
