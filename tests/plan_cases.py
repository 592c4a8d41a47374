"""Hull outlines for the tests of the plan, and designs made of them.

The craft are our own: a square bow (a), a bow that tapers (b), a round bow (c).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from skirtloft.design.model import Design, HullPoint, JointPoint
from skirtloft.shape.hull_edge import HullEdge, hull_edge
from skirtloft.shape.joint_line import JointLine, joint_line
from skirtloft.shape.plan import tip_inset

DEPTH, PITCH, CLEARANCE, HEIGHT = 0.28, 0.15, 0.24, 0.26
INSET = tip_inset(DEPTH, math.pi / 4, PITCH)
OFFSETS = {"bow": -0.075, "side": INSET - 0.05, "stern": INSET - 0.05}

SQUARE = ((4.405, 0.0, "bow"), (4.405, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None))
TAPERED = ((4.4, 0.0, "bow"), (4.4, 0.55, "side"), (3.0, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None))
ROUND = ((4.4, 0.0, "bow"), (4.4, 1.05, "side"), (0.0, 1.05, "stern"), (0.0, 0.0, None))


def hull_points(corners: Sequence[tuple[float, float, str | None]], **changes: Any) -> list[HullPoint]:
    """Return vertices at one height; `changes` by position: ``at1={"radius": 0.3}``."""
    return [
        HullPoint.model_validate({"x": x, "y": y, "height": HEIGHT, "run": run, **changes.get(f"at{i}", {})})
        for i, (x, y, run) in enumerate(corners)
    ]


def joint_points(corners: Sequence[tuple[float, float, str | None]], **changes: Any) -> list[JointPoint]:
    """Return vertices of a joint line given outright; `changes` as in `hull_points`."""
    return [
        JointPoint.model_validate({"x": x, "y": y, "run": run, **changes.get(f"at{i}", {})})
        for i, (x, y, run) in enumerate(corners)
    ]


def edge_of(corners: Sequence[tuple[float, float, str | None]], **changes: Any) -> HullEdge:
    """Return the hull edge through the corners."""
    return hull_edge(hull_points(corners, **changes), CLEARANCE)


def joint_of(hull: HullEdge, bow: Any = 0.75, side: Any = 0.75, stern: Any = 0.75) -> JointLine:
    """Return the joint line of a hull edge with the insets of the check numbers."""
    return joint_line(hull.drawn, OFFSETS, {"bow": bow, "side": side, "stern": stern})


def design_of(
    points: Sequence[HullPoint],
    corner: dict[str, Any] | None = None,
    joint: Sequence[JointPoint] | None = None,
    **skirt: Any,
) -> Design:
    """Return a design with these vertices; bow joint 75 mm inside, side and stern tips 50 mm inside."""
    cloth = {"mass": 0.3, "roll_width": 1.45}
    insets = {"bow": {"joint_inside": 0.075}, "side": {"tip_inside": 0.05}, "stern": {"tip_inside": 0.05}}
    return Design.model_validate(
        {
            "project": {"name": "test", "date": "2026-01-01"},
            "craft": {"load": [{"name": "full", "mass": 500.0, "x": 2.2, "y": 0.0, "z": 0.6}]},
            "hull": {"clearance": CLEARANCE, "edge": list(points)},
            "skirt": {
                "depth": DEPTH,
                "face_angle": math.pi / 4,
                "tip_angle": math.pi / 2,
                "pitch": PITCH,
                "stations_per_corner": 7,
                "corner": corner or {"bow": 0.75, "side": 0.75, "stern": 0.75},
                **({"joint_line": list(joint)} if joint is not None else insets),
                **skirt,
            },
            "cloth": {"loop": cloth, "segment": cloth},
        }
    )
