"""The loop panels of a whole craft made flat by least strain, straight runs of one section left as they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.polylines import polyline_length
from skirtloft.shape.develop import Development, Pattern, outline_area
from skirtloft.shape.flatten.edges import smooth_line
from skirtloft.shape.flatten.patch import SectionAt, estimates_between, panel_mesh
from skirtloft.shape.flatten.refine import COARSE
from skirtloft.shape.flatten.row import FlatRow, Flattening, PanelRow, flatten_row, panel_row
from skirtloft.shape.flatten.strain import DEVIATION_PER_STRAIN, StrainReport, report_strain
from skirtloft.shape.types import FlatPanel, Plan

Progress = Callable[[int, int, str], None]
BETWEEN = 8  # steps of the drawn hull and joint edge from node to node of the mesh
QUICK_DEVIATION = 0.046
"""How far an inflated panel unrolled without strain may stand off the drawn shape [m], over sqrt(K w^2/12).

The least such line above six corners of .75 m radius, sewn and inflated with their edges held: 7.4, 8.5, 9.3, 6.2 mm
in seven sections at 4.1, 6.1, 4.1, 2.7 %, 18.2 and 5.7 mm in four and in ten at 17.0 and 1.8 %. Our own study.
"""


@dataclass(frozen=True)
class RowOfPanels:
    """Panels `first` to `last` (not in it) of the port half, flattened together."""

    first: int
    last: int
    row: PanelRow


def rows_of_panels(plan: Plan, made: Development, by: Flattening) -> tuple[RowOfPanels, ...]:
    """Return what is flattened together, from the bow.

    Rectangles stay out of it and give their neighbours' seams the length of the section; with ``corner_end`` "mean"
    all panels of the craft are one row, the rectangles with the rest.
    """
    at, panels = plan.stations.at, made.panels
    held = at if plan.held_at is None else plan.held_at
    count = len(panels)
    if by.corner_end == "mean":
        ends = (panels[0].across, panels[-1].across)
        return (RowOfPanels(0, count, panel_row(at, held, across=ends)),)
    rows = []
    steps = np.diff([0, *(0 if panel.is_rectangle else 1 for panel in panels), 0])
    for first, last in zip(np.flatnonzero(steps == 1).tolist(), np.flatnonzero(steps == -1).tolist(), strict=True):
        row = panel_row(at[first : last + 1], held, to_straight=(first > 0, last < count))
        rows.append(RowOfPanels(first, last, row))
    return tuple(rows)


def develop_exact(
    plan: Plan, made: Development, section_at: SectionAt, by: Flattening, progress: Progress = lambda *_: None
) -> Development:
    """Return `made` with every panel that is no rectangle flattened by least strain.

    Parameters
    ----------
    plan : Plan
    made : Development
        Of the same plan, with ``by.rows`` steps along every seam.
    section_at : callable
        The drawn shape.
    by : Flattening
    progress : callable
        Told panels done, panels in all, and what is done next.

    Raises
    ------
    SolveError
        A panel is too wide for its curvature: where, and where a station would help.
    """
    panels = list(made.panels)
    strain: list[StrainReport | None] = [None] * len(panels)
    rows = rows_of_panels(plan, made, by)
    whole = sum(part.last - part.first for part in rows)
    flat_rows: list[FlatRow] = []
    for part in rows:
        done = sum(len(flat.flat) for flat in flat_rows)
        progress(done, whole, f"flattening {panels[part.first].id} to {panels[part.last - 1].id}")
        flat_row = flatten_row(section_at, part.row, by)
        flat_rows.append(flat_row)
        for k, report in enumerate(report_strain(flat_row)):
            if panels[part.first + k].is_rectangle and np.abs(report.seam_excess).max() < 1e-11:
                continue  # between seams of its own length it is the rectangle itself
            panels[part.first + k] = _flat_panel(panels[part.first + k], flat_row, k)
            strain[part.first + k] = report
    progress(whole, whole, "done")
    width = np.array([2.0 if panel.across else 1.0 for panel in panels])
    surface = made.surface
    return replace(
        made,
        panels=tuple(panels),
        hull_edge_error=frozen_array([panel.hull_edge for panel in panels] - width * surface.hull_length),
        joint_edge_error=frozen_array([panel.joint_edge for panel in panels] - width * surface.joint_length),
        pattern="exact",
        flat_rows=tuple(flat_rows),
        strain=tuple(strain),
        deviation=frozen_array([report.deviation if report else 0.0 for report in strain]),
    )


def expected_deviation(plan: Plan, made: Development, section_at: SectionAt, pattern: Pattern) -> Floats:
    """Return how far panels cut by a pattern may stand off the drawn shape when inflated, (panels,) [m].

    By rules of thumb, from the surface alone: nothing is flattened.
    """
    at = plan.stations.at
    estimates = estimates_between(section_at, np.column_stack([at[:-1], at[1:]]), panel_mesh(*COARSE))
    by_rule = DEVIATION_PER_STRAIN * estimates if pattern == "exact" else QUICK_DEVIATION * np.sqrt(estimates)
    return frozen_array(np.where([panel.is_rectangle for panel in made.panels], 0.0, by_rule))


def _flat_panel(panel: FlatPanel, flat_row: FlatRow, k: int) -> FlatPanel:
    """Return `panel` as panel `k` of the row came out: seams from node to node, the other edges smooth."""
    mesh, flat = flat_row.patches.mesh, flat_row.flat[k]
    start, end = (frozen_array(flat[nodes]) for nodes in mesh.seams)
    hull, joint = (frozen_array(smooth_line(flat[nodes], BETWEEN)) for nodes in (mesh.hull, mesh.joint))
    return replace(
        panel,
        seam_start=start,
        seam_end=end,
        hull_line=hull,
        joint_line=joint,
        hull_edge=polyline_length(hull),
        joint_edge=polyline_length(joint),
        is_rectangle=False,
        area=outline_area(np.concatenate([start[:-1], joint[:-1], end[:0:-1], hull[:0:-1]])),
    )
