"""Sew the corners' loop panels by every method, inflate them with their edges held, and write what they measure to CSV.

python -m studies.held_loop.measure studies/held_loop/table.csv
"""

from __future__ import annotations

import argparse
import csv
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from skirtloft.inflate.flat_mesh import transfinite
from skirtloft.inflate.held_loop import held_loop, standing
from skirtloft.inflate.plain import strains
from skirtloft.inflate.relax import Settings, inflate
from skirtloft.inflate.types import Cloth
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.develop import INTERVALS, unroll_strips
from skirtloft.shape.flatten.cloth_fit import Weave
from skirtloft.shape.flatten.row import FlatRow, Flattening, flatten_row, panel_row
from skirtloft.shape.flatten.strain import report_strain
from skirtloft.shape.loft import SectionArcs, loft, take_arcs
from skirtloft.shape.outset import set_out
from tests.corner_cases import corner_case, corner_places, corner_surface

NET = Cloth(stiffness=200e3, law="net", compression=2e3, weft=0.8, shear=0.03)  # 200, 160 and 6 kN/m
AROUND = Weave(way="around", line="middle")
SLACK = 1e-3  # a thread shortened by more counts as slack
MILLI, CENT = 1e3, 1e2

Method = Callable[["Case"], FlatRow]


@dataclass(frozen=True)
class Case:
    """A corner of tests/corner_cases.py, cut in some way; mesh in cells of a panel, pressure in Pa."""

    hull: str
    stations: int
    pattern: str
    columns: int = 12
    rows: int = 32
    pressure: float = 1000.0
    ends: str = "free"  # seams at the corner's ends: "free", or sewn to straight panels: "mean" or "arc"
    smooth: bool = True


def exact(case: Case) -> FlatRow:
    """Return the panels as the program cuts them: common seam steps, true hull and joint edges."""
    by = Flattening(
        case.columns, case.rows, AROUND, along_surface=case.smooth, corner_end="arc" if case.ends == "arc" else "mean"
    )
    straight = case.ends != "free"
    row = panel_row(corner_places(case.stations), to_straight=(straight, straight))
    return flatten_row(corner_surface(case.hull), row, by)


def each_alone(case: Case) -> FlatRow:
    """Return every panel flattened by itself: seams of neighbours a millimetre or two apart in length."""
    row = exact(case)
    return replace(row, flat=row.free)


def strips(case: Case) -> FlatRow:
    """Return strips unrolled between the sections as they stand: hull and joint edges are chords, too short."""
    plan, sections = corner_case(case.hull, case.stations)
    arcs = loft(plan, sections).arcs
    return _unrolled(case, take_arcs(arcs, slice(0, -1)), take_arcs(arcs, slice(1, None)))


def strips_set_out(case: Case) -> FlatRow:
    """Return strips unrolled between sections set out by millimetres, so that their chords have the true lengths."""
    plan, sections = corner_case(case.hull, case.stations)
    moved = set_out(loft(plan, sections))
    return _unrolled(case, moved.start, moved.end)


def _unrolled(case: Case, start: SectionArcs, end: SectionArcs) -> FlatRow:
    """Return the corner's strips, without the runs at either end, on the mesh of `case`."""
    corner = np.arange(1, len(start.radius) - 1)
    seams = unroll_strips(take_arcs(start, corner), take_arcs(end, corner), INTERVALS)
    starts, ends = (seam[:, :: INTERVALS // case.rows] for seam in seams)
    across, down = np.linspace(0.0, 1.0, case.columns + 1), np.linspace(0.0, 1.0, case.rows + 1)
    flat = [_spread(one, two, across, down) for one, two in zip(starts, ends, strict=True)]
    return replace(exact(case), flat=frozen_array(flat), free=frozen_array(flat))


def _spread(start: Floats, end: Floats, across: Floats, down: Floats) -> Floats:
    hull, joint = (start[k] + across[:, None] * (end[k] - start[k]) for k in (0, -1))
    grid: Floats = transfinite(hull, joint, start, end, across, down).reshape(-1, 2)
    return grid


PATTERNS: dict[str, Method] = {
    "strips": strips,
    "strips set out": strips_set_out,
    "each alone": each_alone,
    "exact": exact,
}


def solve(case: Case) -> dict[str, object]:
    """Return a row: how the inflated corner stands, and what was foretold of it."""
    surface, flat_row = corner_surface(case.hull), PATTERNS[case.pattern](case)
    problem = held_loop(flat_row, surface, NET, case.pressure)
    started = time.process_time()
    shape = inflate(problem, Settings(tolerance=2e-5 / case.pressure))
    took = time.process_time() - started
    found, mesh = standing(flat_row, surface, problem, shape), problem.mesh
    warp, weft, _ = strains(mesh, shape.points)
    slack = mesh.area[np.minimum(warp, weft) < -SLACK].sum() / mesh.area.sum()
    foretold = max(report.deviation for report in report_strain(exact(case)))
    row = {
        "case": case.hull,
        "stations": case.stations,
        "pattern": case.pattern,
        "ends": case.ends if case.pattern == "exact" else "",
        "mesh": f"{case.columns} x {case.rows}{'' if case.smooth else ', straight steps'}",
        "pressure_pa": case.pressure,
        "off_max_mm": MILLI * found.largest,
        "off_rms_mm": MILLI * found.mean,
        "thread_max_percent": CENT * found.thread_most,
        "thread_p95_percent": CENT * found.thread_p95,
        "slack_percent": CENT * float(slack),
        "shear_max_deg": float(np.degrees(found.shear_most)),
        "rule_of_thumb_mm": MILLI * foretold if case.pattern == "exact" else "",
        "steps": shape.steps,
        "settled": shape.is_settled,
        "cpu_s": took,
    }
    return {key: round(value, 2) if isinstance(value, float) else value for key, value in row.items()}


def cases() -> Iterator[Case]:
    """Every corner cut in seven sections by every method; four and ten sections; other meshes and pressures."""
    for hull in "SPTV":
        for pattern in PATTERNS:
            yield Case(hull, 7, pattern)
    for stations in (4, 10, 13):
        for hull in "SPTV" if stations == 10 else "S":
            for pattern in ("strips", "strips set out", "exact"):
                yield Case(hull, stations, pattern)
    for hull in "ST":
        for ends in ("mean", "arc"):
            yield Case(hull, 7, "exact", ends=ends)
    yield Case("S", 7, "exact", columns=6, rows=16)
    yield Case("S", 7, "exact", columns=20, rows=48)
    yield Case("S", 7, "exact", columns=24, rows=64)
    yield Case("S", 7, "exact", smooth=False)
    for pressure in (300.0, 3000.0):
        yield Case("S", 7, "exact", pressure=pressure)


def main() -> None:
    """Write all cases to a CSV file, row by row."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    chosen = parser.parse_args()
    names: list[str] = []
    with chosen.file.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        for case in cases():
            row = solve(case)
            if not names:
                names = list(row)
                writer.writerow(names)
            writer.writerow([row[name] for name in names])
            file.flush()
            print(row, flush=True)


if __name__ == "__main__":
    main()
