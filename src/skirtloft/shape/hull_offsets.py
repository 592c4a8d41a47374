"""The table of offsets: the hull's lines by station in the millimetres a builder marks out, as plain rows."""

from __future__ import annotations

import numpy as np

from skirtloft.shape.hull_lines import HullLines

LINES = ("hull_edge", "inner_fixing", "bottom_edge", "joint", "tip")
COLUMNS = (
    "station",
    "run",
    *(f"{line}_{axis}_mm" for line in LINES for axis in ("x", "y", "z", "above_bottom")),
    "along_hull_edge_mm",
    "along_inner_fixing_mm",
    "planing_slope_deg",
    "planing_width_mm",
    "side_slope_deg",
    "side_width_mm",
    "clearance_mm",
)


def hull_offsets(hull: HullLines) -> list[dict[str, str | float]]:
    """Return one row per port station, keys as `COLUMNS`, lengths to 0.1 mm and angles to 0.1 deg.

    x forward from the stern, y to port (starboard: the same, negative), z above the tip plane, which is the ground at
    zero gap. `along` is measured with a tape along the line itself, from the bow centre.
    """
    points = dict(zip(LINES, (hull.hull_edge, hull.inner, hull.bottom_edge, hull.joint, hull.tip), strict=True))
    rows = []
    for i, (name, run) in enumerate(zip(hull.ids, hull.runs, strict=True)):
        row: dict[str, str | float] = {"station": name, "run": run.replace("_", " ")}
        for line, place in points.items():
            x, y, z = place[i]
            heights = {"x": x, "y": y, "z": z, "above_bottom": z - hull.clearance}
            row |= {f"{line}_{axis}_mm": _mm(value) for axis, value in heights.items()}
        row |= {
            "along_hull_edge_mm": _mm(hull.along_hull_edge[i]),
            "along_inner_fixing_mm": _mm(hull.along_inner[i]),
            "planing_slope_deg": _tenth(np.degrees(hull.slope[i])),
            "planing_width_mm": _mm(hull.width[i]),
            "side_slope_deg": _tenth(np.degrees(hull.side_slope[i])),
            "side_width_mm": _mm(hull.side_width[i]),
            "clearance_mm": _mm(hull.clearance),
        }
        rows.append(row)
    return rows


def _mm(value: float) -> float:
    return _tenth(1000.0 * value)


def _tenth(value: float) -> float:
    return round(float(value), 1) + 0.0  # no minus before a nought
