"""Where the stations stand, what one more or one less changes, and which ones the limits of the file ask for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from skirtloft.answers.table import table
from skirtloft.design.model import Design, Show
from skirtloft.design.quantity import INCH
from skirtloft.design.units import format_length
from skirtloft.errors import ShapeError, SolveError
from skirtloft.maths.frozen import Floats
from skirtloft.pipeline import Skirt, build, flattening_of, surface_of
from skirtloft.shape.exact_panels import RowOfPanels, rows_of_panels
from skirtloft.shape.flatten.patch import SectionAt
from skirtloft.shape.flatten.refine import PanelLimits, refine_row, station_cost, with_station, without_station
from skirtloft.shape.flatten.row import FlatRow, flatten_row
from skirtloft.shape.flatten.strain import DEVIATION_PER_STRAIN
from skirtloft.shape.stations import MERGE

Progress = Callable[[int, int, str], None]
SAME = 1e-6  # m
WIDEST = 0.08  # strain estimate K w^2/12 above which a panel is divided before it is flattened: beyond, it may not be


@dataclass(frozen=True)
class StationAnswer:
    """What `stations` says, and the places [m] along the joint line that the limits ask for."""

    lines: tuple[str, ...]
    wanted: tuple[float, ...]


def station_answer(design: Design, progress: Progress = lambda *_: None) -> StationAnswer:
    """Return the stations of a design with what each costs or saves, by exact patterns.

    Raises
    ------
    ShapeError, SolveError
        As `build`.
    """
    made = design.making.model_copy(update={"loop": design.making.loop.model_copy(update={"pattern": "exact"})})
    exact, refused = design.model_copy(update={"making": made}), ""
    try:
        skirt = build(exact, preview=False, progress=progress)
    except SolveError as error:
        refused = f"What each station does cannot be told: a panel is too wide to be laid flat ({error.stage})."
        skirt = build(exact)
    section_at = surface_of(exact, skirt.plan, skirt.sections.pressure)
    parts = rows_of_panels(skirt.plan, skirt.development, flattening_of(exact))
    rows, total = ([], 1) if refused else _changes(skirt, parts, section_at, progress)
    changes = ["", refused] if refused else _change_lines(rows)
    wanted, told = _wanted(skirt, parts, section_at, lambda what: progress(total - 1, total, what))
    progress(total, total, "done")
    return StationAnswer((*_station_lines(skirt), *changes, *told), wanted)


def _station_lines(skirt: Skirt) -> list[str]:
    show, stations, plan = skirt.design.project.show, skirt.plan.stations, skirt.plan
    held, even = plan.held_at, plan.even_at
    rows = []
    for name, run, at in zip(stations.ids, stations.runs, stations.at, strict=True):
        stays = held is not None and np.abs(held - at).min() < SAME
        own = even is not None and np.abs(even - at).min() > SAME
        why = "must stay" if stays else "added by you" if own else "by rule"
        rows.append((name, format_length(float(at), show), run.replace("_", " "), why))
    return ["Stations, along the joint line from the bow centre", *table(("", "at", "run", ""), rows)]


def _changes(
    skirt: Skirt, parts: tuple[RowOfPanels, ...], section_at: SectionAt, progress: Progress
) -> tuple[list[tuple[str, ...]], int]:
    """Return a row of words for every station that may go and for one more in the middle of every curved panel."""
    show, at = skirt.design.project.show, skirt.plan.stations.at
    held = np.empty(0) if skirt.plan.held_at is None else skirt.plan.held_at
    tries: list[tuple[str, str, FlatRow, float, int]] = []
    for part, flat_row in zip(parts, skirt.development.flat_rows, strict=True):
        places = flat_row.row.places
        for k in range(1, len(places) - 1):
            if not len(held) or np.abs(held - places[k]).min() > SAME:
                name = skirt.plan.stations.ids[part.first + k]
                tries.append((f"without {name}", format_length(float(places[k]), show), flat_row, 0.0, k))
        for k in range(part.first, part.last):
            middle = _round(float(at[k] + at[k + 1]) / 2.0, show)
            is_curved = skirt.development.strain[k] is not None
            if is_curved and at[k + 1] - at[k] > 2.0 * MERGE:
                words = f"one more in {skirt.development.panels[k].id}"
                tries.append((words, format_length(middle, show), flat_row, middle, 0))
    rows, total = [], len(tries) + 1
    for done, (words, place, flat_row, middle, k) in enumerate(tries):
        progress(done, total, words)
        rows.append((words, place, *_cost_words(section_at, flat_row, middle, k, show)))
    return rows, total


def _cost_words(section_at: SectionAt, before: FlatRow, middle: float, k: int, show: Show) -> tuple[str, ...]:
    try:
        row = with_station(before.row, middle) if k == 0 else without_station(before.row, k)
        cost = station_cost(before, flatten_row(section_at, row, before.by, before))
    except (ShapeError, SolveError) as error:
        why = "the panel is too wide to flatten" if isinstance(error, SolveError) else error.why
        return why, "", ""
    off = " -> ".join(f"{1000.0 * value:.1f}" for value in cost.deviation)
    thread = " -> ".join(f"{100.0 * value:.2f}" for value in cost.thread)
    sewing = float(cost.sewing[1] - cost.sewing[0])
    return f"{off} mm", f"{thread} %", f"{'+' if sewing > 0 else '-'} {format_length(abs(sewing), show)}"


def _round(at: float, show: Show) -> float:
    """Return a place [m] in whole millimetres or sixteenths of an inch."""
    step = INCH / 16.0 if show == "imperial" else 0.001
    return round(at / step) * step


def _change_lines(rows: list[tuple[str, ...]]) -> list[str]:
    if not rows:
        return ["", "Every loop panel is a rectangle or stands between stations that must stay: nothing to gain."]
    heads = ("Station", "at", "stands off by", "threads stretch", "sewing, a side")
    return ["", "What one less or one more changes, in the panels it touches", *table(heads, rows)]


def _wanted(
    skirt: Skirt, parts: tuple[RowOfPanels, ...], section_at: SectionAt, tell: Callable[[str], None]
) -> tuple[tuple[float, ...], list[str]]:
    """Return the stations that bring every panel within the limits, and what to say of them."""
    asked, show = skirt.design.making.loop, skirt.design.project.show
    first = min(asked.deviation / DEVIATION_PER_STRAIN, WIDEST)
    limits = PanelLimits(thread=asked.thread_strain, deviation=asked.deviation, first_estimate=first)
    wanted: list[float] = []
    left: list[str] = []
    for part in parts:
        tell(f"stations that the limits ask for, {skirt.development.panels[part.first].id} on")
        refined = refine_row(section_at, part.row, limits, flattening_of(skirt.design))
        places: Floats = refined.flat_row.row.places
        new = places[np.abs(places[:, None] - part.row.places).min(axis=1) > SAME]
        wanted += [_round(float(at), show) for at in new]
        left += [
            f"{format_length(float(places[panel]), show)} to {format_length(float(places[panel + 1]), show)}"
            for panel in refined.over_limit
        ]
    limit = f"threads {asked.thread_strain:.1%}, {format_length(asked.deviation, show)} off the drawn shape"
    if not wanted and not left:
        return (), ["", f"The limits ({limit}) ask for no more stations."]
    listed = ", ".join(format_length(at, show) for at in wanted)
    told = ["", f"The limits ({limit}) ask for {len(wanted)} more: {listed}."] if wanted else [""]
    if left:
        told.append(f"Over a limit, and too narrow to divide: {'; '.join(left)}.")
    return tuple(wanted), told
