"""Stations where the flat panels need them: put in by rule, or by the builder, and what that changes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.patch import SectionAt, flattening_estimate, lay_patches, panel_mesh
from skirtloft.shape.flatten.row import (
    FLATTENING,
    SAME_PLACE,
    FlatRow,
    Flattening,
    PanelRow,
    flatten_row,
    panel_row,
    twins,
)
from skirtloft.shape.flatten.strain import StrainReport, report_strain

COARSE = (4, 8)  # cells of the meshes that only tell the curvature


@dataclass(frozen=True)
class PanelLimits:
    """When a panel is good enough.

    Parameters
    ----------
    thread : float
        Largest stretch along warp or weft; it sits at a corner of the panel and grows as the mesh is refined (a sixth
        from 16 to 32 rows), so the limit belongs to the mesh of `Flattening`.
    deviation : float [m]
        How far it may stand off the wanted surface, by the rule of thumb.
    first_estimate : float
        Strain estimate K w^2/12 down to which the row is divided before anything is flattened.
    narrowest : float [m]
        Joint edge of the narrowest panel.
    panels : int
        So many, and what the first division makes of them, are not divided further.
    """

    thread: float = 0.01
    deviation: float = 0.005
    first_estimate: float = 0.03
    narrowest: float = 0.06
    panels: int = 80


LIMITS = PanelLimits()


@dataclass(frozen=True, eq=False)
class RefinedRow:
    """A row with the stations that its limits ask for.

    Parameters
    ----------
    flat_row : FlatRow
    reports : tuple of StrainReport
        One per panel.
    is_given : (n,) bool
        True for stations that were there from the start.
    over_limit : tuple of int
        Panels over a limit that are too narrow to divide, or for which no more panels were allowed.
    """

    flat_row: FlatRow
    reports: tuple[StrainReport, ...]
    is_given: npt.NDArray[np.bool_]
    over_limit: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class StationCost:
    """What another choice of stations changes, (before, after) each; `deviation` and `thread` where panels changed.

    Parameters
    ----------
    panels : (2,)
    deviation : (2,) [m]
        Largest distance from the wanted surface to expect.
    thread : (2,)
        Largest stretch along warp or weft.
    sewing : (2,) [m]
        Length of all seams of the row.
    narrowest : (2,) [m]
        Joint edge of the narrowest panel.
    """

    panels: Floats
    deviation: Floats
    thread: Floats
    sewing: Floats
    narrowest: Floats


def refine_row(
    section_at: SectionAt, row: PanelRow, limits: PanelLimits = LIMITS, by: Flattening = FLATTENING
) -> RefinedRow:
    """Return `row` with the stations added that bring every panel within the limits; none is taken out.

    Raises
    ------
    SolveError
        A panel cannot be flattened and is too narrow to divide.

    Notes
    -----
    1. Every panel is divided equally until its estimate K w^2/12 is below `first_estimate`.
    2. The row is flattened; panels over a limit, and further over it than their neighbours, are cut in half; they and
       their neighbours are solved again; and so on. [derived]
    """
    row = divide_by_estimate(section_at, row, limits)
    given = row.places
    flat_row = flatten_row(section_at, row, by)
    reports = report_strain(flat_row)
    while True:
        excess = np.array([panel_excess(report, limits) for report in reports])
        cut = _to_cut(excess, np.diff(row.places), limits)
        if not len(cut):
            break
        row = with_places(row, np.insert(row.places, cut + 1, (row.places[cut] + row.places[cut + 1]) / 2.0))
        flat_row = flatten_row(section_at, row, by, flat_row)
        reports = report_strain(flat_row)
    is_given = np.abs(row.places[:, None] - given).min(axis=1) < SAME_PLACE
    return RefinedRow(flat_row, reports, is_given, tuple(np.flatnonzero(excess > 1.0).tolist()))


def _to_cut(excess: Floats, width: Floats, limits: PanelLimits) -> Indices:
    """Return the panels to cut in half: over a limit and wide enough, the worst first, none beside a worse one."""
    is_open = (excess > 1.0) & (width >= 2.0 * limits.narrowest)
    left = limits.panels - len(width)
    chosen: list[int] = []
    for panel in np.argsort(-np.round(excess, 6), kind="stable").tolist():
        if is_open[panel] and len(chosen) < left and not {panel - 1, panel + 1} & set(chosen):
            chosen.append(panel)
    return np.sort(np.array(chosen, dtype=np.intp))


def panel_excess(report: StrainReport, limits: PanelLimits) -> float:
    """Return how many times its limit a panel uses: of thread strain or of deviation, whichever is more."""
    return max(report.thread.largest / limits.thread, report.deviation / limits.deviation)


def divide_by_estimate(section_at: SectionAt, row: PanelRow, limits: PanelLimits) -> PanelRow:
    """Return the row with every panel in equal parts of estimate below `first_estimate`, none flattened yet.

    Notes
    -----
    The estimate goes with the square of the width, the curvature of a part is never above that of the whole.
    """
    estimates = flattening_estimate(lay_patches(section_at, row.ends, panel_mesh(*COARSE)))
    places = [row.places[:1]]
    for start, end, estimate in zip(row.places[:-1], row.places[1:], estimates, strict=True):
        parts = math.ceil(math.sqrt(max(float(estimate), 1e-12) / limits.first_estimate))
        parts = max(1, min(parts, int((end - start) / limits.narrowest)))
        places.append(np.linspace(start, end, parts + 1)[1:])
    return with_places(row, np.concatenate(places))


def with_places(row: PanelRow, places: npt.ArrayLike) -> PanelRow:
    """Return `row` with other stations, its ends and creases kept.

    Raises
    ------
    ShapeError
        See `panel_row`.
    """
    return panel_row(places, row.creases, across=row.across, to_straight=row.to_straight)


def with_station(row: PanelRow, place: float) -> PanelRow:
    """Return `row` with one station more, at `place` [m] along the joint line."""
    return with_places(row, np.insert(row.places, int(np.searchsorted(row.places, place)), place))


def without_station(row: PanelRow, station: int) -> PanelRow:
    """Return `row` without one of its inner stations; ShapeError where the surface has a crease."""
    if not 0 < station < len(row.places) - 1:
        raise ValueError("the stations at the ends of a row stay")
    return with_places(row, np.delete(row.places, station))


def station_cost(before: FlatRow, after: FlatRow) -> StationCost:
    """Return what the stations of `after` cost or save against those of `before`, on one surface."""
    rows = (before, after)
    reports = [report_strain(one) for one in rows]
    changed = [twins(one.row, other.row) < 0 for one, other in (rows, rows[::-1])]
    chosen = [
        [report for report, here in zip(every, which, strict=True) if here]
        for every, which in zip(reports, changed, strict=True)
    ]
    return StationCost(
        panels=frozen_array([len(every) for every in reports]),
        deviation=frozen_array([max((one.deviation for one in some), default=0.0) for some in chosen]),
        thread=frozen_array([max((one.thread.largest for one in some), default=0.0) for some in chosen]),
        sewing=frozen_array([_sewing(one) for one in rows]),
        narrowest=frozen_array([np.diff(one.row.places).min() for one in rows]),
    )


def _sewing(flat_row: FlatRow) -> float:
    """Return the length of all seams, each once [m]."""
    _, first = np.unique(flat_row.row.seams, return_index=True)
    return float(flat_row.lengths.seams.sum(axis=2).ravel()[first].sum())
