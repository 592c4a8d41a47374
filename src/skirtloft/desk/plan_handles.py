"""What can be dragged on the plan: points of the hull edge, radii of the joint line's corners, the builder's stations.

A handle says its `key` and `value` [m], the point it sits `at` [m, craft axes], the direction `along` which the value
grows, and its `gain`: metres of value for a metre of drag. `also` is a second key that the same point sets, in its own
direction. `on` "joint" means that the value is the length along the joint line.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from skirtloft.desk.answer import Solved
from skirtloft.drawing.plan_sheet import plan_frame
from skirtloft.drawing.sheet import Sheet
from skirtloft.maths.curves import outward_at, points_at
from skirtloft.pipeline import Skirt

Json = dict[str, Any]
LEAST_TURN = math.radians(8.0)  # of a corner: in one that turns less a millimetre of drag would be decimetres of radius
LINE_POINTS = 160  # of the joint line, for a page to slide along


def plan_handles(skirt: Skirt) -> tuple[Json, ...]:
    """Return every handle of the plan, each with its `group`: "hull", "corner" or "station"."""
    return (*_hull_points(skirt), *_corners(skirt), *_stations(skirt))


def joint_places(skirt: Skirt) -> list[list[float]]:
    """Return x, y and length from the bow centre [m] along the port half of the joint line."""
    line = skirt.plan.joint_line
    at = np.unique(np.concatenate([np.linspace(0.0, float(line.breaks[-1]), LINE_POINTS), line.breaks]))
    return [[round(float(v), 4) for v in row] for row in np.column_stack([points_at(line, at), at])]


def plan_crop(solved: Solved, sheet: Sheet) -> tuple[float, float, float, float]:
    """Return the plan and its dimensions, without the tables below it: they stand beside it as text; see `Drawn`."""
    scale, x0, y0 = plan_frame(solved.skirt)
    points = np.vstack([solved.skirt.plan.stations.joint, solved.skirt.plan.stations.hull]) * (1000.0 / scale)
    low, high = points.min(axis=0) + (x0, y0), points.max(axis=0) + (x0, y0)
    half = float(high[1]) - y0
    return (float(low[0]) - 30.0, y0 - half - 20.0, min(float(high[0]) + 22.0, sheet.width), y0 + half + 12.0)


def _hull_points(skirt: Skirt) -> list[Json]:
    found: list[Json] = []
    for i, point in enumerate(skirt.design.hull.edge):
        handle: Json = {
            "group": "hull", "entry": i + 1, "key": f"hull.edge[{i}].x", "value": point.x,
            "at": [point.x, point.y], "along": [1.0, 0.0], "gain": 1.0,
        }  # fmt: skip
        if point.y > 0.0:  # the ends stay on the centre line
            handle["also"] = {"key": f"hull.edge[{i}].y", "value": point.y, "along": [0.0, 1.0], "gain": 1.0}
        found.append(handle)
    return found


def _corners(skirt: Skirt) -> list[Json]:
    """One for each arc that the file's radii make, where it meets the side run: r = tangent length / tan(turn / 2).

    A joint line given outright has radii of its own.
    """
    if skirt.design.skirt.joint_line is not None:
        return []
    line = skirt.plan.joint_line
    found: list[Json] = []
    for run in skirt.plan.runs:
        if not run.name.endswith("_corner") or not math.isfinite(run.radius):
            continue
        turn = (run.end - run.start) / run.radius
        if turn < LEAST_TURN:
            continue
        name = run.name.partition("_")[0]
        end, way = (run.start, 1.0) if name == "stern" else (run.end, -1.0)
        place = np.array([end])
        at, out = points_at(line, place)[0], outward_at(line, place)[0]
        found.append(
            {
                "group": "corner", "entry": name, "key": f"skirt.corner.{name}", "value": round(run.radius, 6),
                "at": [float(at[0]), float(at[1])], "along": [way * float(out[1]), -way * float(out[0])],
                "gain": 1.0 / math.tan(turn / 2.0),
            }
        )  # fmt: skip
    return found


def _stations(skirt: Skirt) -> list[Json]:
    line = skirt.plan.joint_line
    found: list[Json] = []
    for i, wish in enumerate(skirt.design.skirt.station or ()):
        place = np.array([min(max(wish.at, 0.0), float(line.breaks[-1]))])
        at, out = points_at(line, place)[0], outward_at(line, place)[0]
        found.append(
            {
                "group": "station", "entry": i + 1, "key": f"skirt.station[{i}].at", "value": wish.at,
                "at": [float(at[0]), float(at[1])], "along": [float(out[1]), -float(out[0])], "gain": 1.0,
                "on": "joint",
            }
        )  # fmt: skip
    return found
