"""The hull's lines sampled for drawing, and true transverse sections cut from the surface between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import Design
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.types import Sections
from skirtloft.shape.hull_lines import bottom_line, hull_edge_line, inner_line
from skirtloft.shape.types import Plan

ORDINATES = 10  # equal parts of the length, as ships are drawn; half steps in the first and last two
ACROSS = 25  # points on a section from line to line


@dataclass(frozen=True, eq=False)
class HullView:
    """Hull edge, inner-fixing line and edge of the flat bottom at the same places, (m, 3) [m] in craft coordinates."""

    hull_edge: Floats
    inner: Floats
    bottom: Floats


def hull_view(design: Design, plan: Plan, sections: Sections) -> HullView:
    """Return the three lines, sampled between the stations at corresponding places."""
    return HullView(
        hull_edge_line(plan).points, inner_line(plan, sections).points, bottom_line(design, plan, sections).points
    )


def ordinates(view: HullView) -> list[float]:
    """Return where the transverse sections stand, x [m]: tenths of the length with half steps near both ends."""
    length = float(view.hull_edge[:, 0].max())
    shares = [0.5, 1.0, 1.5, *range(2, ORDINATES - 1), ORDINATES - 1.5, ORDINATES - 1, ORDINATES - 0.5]
    return [length * share / ORDINATES for share in shares]


def transverse_section(view: HullView, x: float, clearance: float) -> Floats:
    """Return the hull's section in the plane at `x` [m], port half from the centre line to the hull edge, (k, 2) y, z.

    Notes
    -----
    The surface is ruled from the flat's edge to the fixing line and on to the hull edge. On each ruling's share the
    line runs aft from the centre line at the bow (or across it at the stern), so the plane meets it at most once on
    the port half away from the runs square to x; where it does not, the section ends on the centre line.
    """
    found = [point for share in np.linspace(0.0, 2.0, 2 * ACROSS + 1) for point in _meets(view, float(share), x)]
    points = np.array(found).reshape(-1, 2)
    centre = _on_centre_line(view, x)
    if centre is not None:
        points = np.vstack([[0.0, centre], points])
    else:
        points = np.vstack([[0.0, clearance], points])
    return frozen_array(points)


def _at_share(view: HullView, share: float) -> Floats:
    """Return the line at `share`: 0 the flat's edge, 1 the fixing line, 2 the hull edge."""
    low, high, part = (view.bottom, view.inner, share) if share <= 1.0 else (view.inner, view.hull_edge, share - 1.0)
    return np.asarray(low + part * (high - low))


def _meets(view: HullView, share: float, x: float) -> list[tuple[float, float]]:
    line = _at_share(view, share)
    crossing = np.flatnonzero((line[:-1, 0] > x) & (line[1:, 0] <= x))
    if len(crossing) == 0:
        return []
    a, b = line[crossing[0]], line[crossing[0] + 1]
    point = a + (a[0] - x) / (a[0] - b[0]) * (b - a)
    return [(float(point[1]), float(point[2]))]


def _on_centre_line(view: HullView, x: float) -> float | None:
    """Return the height at which the surface meets the centre line at `x`, forward or aft of the flat; else None."""
    for end in (0, -1):
        ruling = np.array([view.bottom[end], view.inner[end], view.hull_edge[end]])
        order = np.argsort(ruling[:, 0])
        if ruling[order[0], 0] < x < ruling[order[-1], 0]:
            return float(np.interp(x, ruling[order, 0], ruling[order, 2]))
    return None
