"""Inflate the cases of the study and write what they measure to CSV; see README.md beside this file.

python -m studies.sewn_corner.measure tables studies/sewn_corner/tables.csv
python -m studies.sewn_corner.measure corner studies/sewn_corner/corner.csv
"""

from __future__ import annotations

import argparse
import csv
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from skirtloft.inflate.relax import Settings, inflate
from skirtloft.maths.frozen import Floats
from skirtloft.physics.section import loop_arc
from studies.sewn_corner.flatten import corner_spans, flatten
from tests.corner_cases import hull_distance
from tests.sewn_cases import (
    BULGE_RUN,
    COARSE,
    CORNER_SEGMENTS,
    FINE,
    FLAT_RUN,
    RADIUS,
    RISE,
    Steps,
    flared_face,
    gathered_face,
    lay_run,
    measure,
    sewn_skirt,
)

FACES = {"gathered": gathered_face, "flare": flared_face}
PANEL = np.pi / 12  # plan angle of a corner panel


@dataclass(frozen=True)
class Case:
    """One skirt to inflate; insets in m, the corner's reached over the first corner panel beside a run."""

    group: str
    hull: str
    segments: tuple[int, int, int]
    run_inset: float
    corner_inset: float
    face: str = "gathered"
    steps: Steps = COARSE
    areal_mass: float = 0.0

    def inset(self, angle: Floats) -> Floats:
        """Return the inset at plan angles: the run's at both ends of the corner, so that runs stay cylinders."""
        way = np.clip(np.minimum(angle, np.pi / 2 - angle) / PANEL, 0.0, 1.0)
        return self.run_inset + way * (self.corner_inset - self.run_inset)


def solve(case: Case) -> dict[str, object]:
    """Return a row: loop lengths, and how high joint (at a web, and in the mean of a pitch) and tips stand."""
    run = lay_run(case.hull, case.segments, case.inset, case.steps)
    spans = corner_spans(case.segments, case.steps.across)
    skirt = sewn_skirt(run, spans, flatten, FACES[case.face], areal_mass=case.areal_mass)
    started = time.process_time()
    found = inflate(skirt.problem, Settings(tolerance=4e-6 if sum(case.segments) == 1 else 4e-5))
    took = time.process_time() - started
    seen = measure(skirt, found.points, case.steps)
    before, corner, after = case.segments
    offsets = RADIUS - hull_distance(case.hull, np.array([0.0, np.pi / 4]))
    lengths = loop_arc(offsets, RISE, np.array([case.run_inset, case.corner_inset])).length
    middle = before + min(corner, CORNER_SEGMENTS // 2)
    row: dict[str, object] = {
        "group": case.group,
        "hull": case.hull,
        "segments": "+".join(str(count) for count in case.segments),
        "face": case.face,
        "across": case.steps.across,
        "areal_mass_kg_m2": case.areal_mass,
        "run_inset_mm": case.run_inset * 1e3,
        "corner_inset_mm": case.corner_inset * 1e3,
        "run_loop_mm": lengths[0] * 1e3,
        "corner_loop_mm": lengths[1] * 1e3,
    }
    places = [("run", 0, 0), ("corner", middle, middle - 1)] if corner else [("run", 0, 0)]
    for name, at, pitch in places:
        row[f"{name}_web_mm"] = seen.webs[at] * 1e3
        row[f"{name}_mean_mm"] = seen.mean[pitch] * 1e3
        row[f"{name}_tip_mm"] = seen.tips[pitch] * 1e3
    if corner:
        inner = slice(before, before + corner)
        row["whole_corner_mean_mm"] = float(np.mean(seen.mean[inner])) * 1e3
        row["whole_corner_tip_mm"] = float(np.mean(seen.tips[inner])) * 1e3
    if after:
        row["far_web_mm"], row["far_mean_mm"] = seen.webs[-1] * 1e3, seen.mean[-1] * 1e3
    row |= {
        "triangles": len(skirt.problem.mesh.triangles),
        "steps": found.steps,
        "settled": found.is_settled,
        "compiled": found.is_compiled,
        "cpu_s": took,
    }
    return {key: round(value, 2) if isinstance(value, float) else value for key, value in row.items()}


def tables() -> Iterator[Case]:
    """The cases that were measured before, by an independent prototype."""
    short = (4, CORNER_SEGMENTS, 4)
    for hull in ("T", "S"):
        for inset in (FLAT_RUN, BULGE_RUN):
            yield Case("short runs", hull, short, inset, inset, steps=FINE)
        yield Case("short runs", hull, short, 0.1005, 0.108, steps=FINE)
    for run, corner in ((FLAT_RUN, FLAT_RUN), (BULGE_RUN, BULGE_RUN), (0.0955, 0.1055)):
        yield Case("runs of 1.8 m", "T", (12, CORNER_SEGMENTS, 12), run, corner)
    yield Case("runs of 4.65 m", "T", (31, CORNER_SEGMENTS, 31), BULGE_RUN, BULGE_RUN)


def corner() -> Iterator[Case]:
    """What loop makes the joint of a stern corner level: half a corner and a run of 1.8 m, both faces and meshes."""
    half = (12, CORNER_SEGMENTS // 2, 0)
    for steps in (FINE, COARSE):
        for face in ("flare", "gathered"):
            for inset in (0.1042, 0.1087, BULGE_RUN, 0.1119):
                yield Case("stern corner", "T", half, BULGE_RUN, inset, face, steps)


def run() -> Iterator[Case]:
    """A side run without end, as both faces and four meshes have it: one segment between planes of symmetry."""
    for face in FACES:
        for steps in (COARSE, Steps(8, 24, 20), FINE):
            for inset in (BULGE_RUN, FLAT_RUN):
                yield Case("endless run", "T", (1, 0, 0), inset, inset, face, steps)


GROUPS: dict[str, Callable[[], Iterator[Case]]] = {"tables": tables, "corner": corner, "run": run}


def main() -> None:
    """Write one group of cases to a CSV file, row by row."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("group", choices=GROUPS)
    parser.add_argument("file", type=Path)
    chosen = parser.parse_args()
    names: list[str] = []
    with chosen.file.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        for case in GROUPS[chosen.group]():
            row = solve(case)
            if not names:
                names = list(row)
                writer.writerow(names)
            writer.writerow([row[name] for name in names])
            file.flush()
            print(row, flush=True)


if __name__ == "__main__":
    main()
