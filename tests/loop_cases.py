"""A craft's joint line and loop panels made by hand, for tests of the pieces: nothing here comes from `develop`.

Bow run across the centre line, bow corner, side, stern corner, stern run across the centre line. Panels are flat shapes
with one hollow and one round seam; both sides of a seam have the same steps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.design.model import (
    Cloth,
    Cloths,
    CornerRadii,
    Craft,
    Design,
    Hull,
    HullPoint,
    Load,
    Making,
    Project,
    RunInset,
    Skirt,
)
from skirtloft.design.segment_form import SegmentForm
from skirtloft.maths.curves import LinePiece, Path, RunName
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.types import FlatPanel, JointRun, Plan, SegmentField, Stations

TRADE = SegmentForm(0.28, np.pi / 4.0, np.pi / 2.0)  # common practice: face 45 deg, right angle at the tip
FIELD = SegmentField(*(frozen_array([value]) for value in (0.0, 0.28, np.pi / 4.0, np.pi / 2.0, 0.0)))


@dataclass(frozen=True)
class JointCase:
    """Half lengths of the bow and stern runs, the side run [m], corner radii [m] and panels per corner."""

    bow: float = 0.53
    side: float = 2.976696
    stern: float = 0.446696
    bow_radius: float = 0.75
    stern_radius: float = 0.75
    panels: int = 6
    pitch: float = 0.15
    side_panels: int = 2
    seam_points: int = 33
    bow_across: bool = True


def design(depth: float = 0.28, pitch: float = 0.15, making: Making | None = None, warp: str = "along") -> Design:
    """Return a design with the given skirt on a hull of 4.405 m by 2.1 m, joint 75 mm inside at the bow."""
    edge = (
        HullPoint(x=4.405, y=0.0, height=0.26, run="bow"),
        HullPoint(x=4.405, y=1.05, height=0.26, run="side"),
        HullPoint(x=0.0, y=1.05, height=0.26, run="stern"),
        HullPoint(x=0.0, y=0.0, height=0.26),
    )
    return Design(
        project=Project(name="Four seats", date="2026-01-01"),
        craft=Craft(load=(Load(name="full", mass=750.0, x=2.2, z=0.6),)),
        hull=Hull(clearance=0.24, edge=edge),
        skirt=Skirt(
            depth=depth,
            pitch=pitch,
            face_angle=np.pi / 4.0,
            tip_angle=np.pi / 2.0,
            bow=RunInset(joint_inside=0.075),
            side=RunInset(tip_inside=0.05),
            stern=RunInset(tip_inside=0.05),
            corner=CornerRadii(bow=0.75, side=0.75, stern=0.75),
        ),
        cloth=Cloths(loop=Cloth(mass=0.3, warp=warp), segment=Cloth(mass=0.4)),
        making=making or Making(),
    )


def plan(craft: JointCase) -> Plan:
    """Return the joint line's runs and stations; the curves themselves are a stand-in."""
    arc1, arc2 = craft.bow_radius * np.pi / 2.0, craft.stern_radius * np.pi / 2.0
    lengths = (craft.bow, arc1, craft.side, arc2, craft.stern)
    names: tuple[RunName, ...] = ("bow", "bow_corner", "side", "stern_corner", "stern")
    ends = np.cumsum([0.0, *lengths])
    runs = []
    for i, name in enumerate(names):
        corner = name.endswith("corner")
        crosses = name in ("bow", "stern")
        runs.append(
            JointRun(
                name=name,
                start=float(ends[i]),
                end=float(ends[i + 1]),
                radius=(craft.bow_radius if i == 1 else craft.stern_radius) if corner else np.inf,
                centre=np.zeros(2) if corner else np.full(2, np.nan),
                segments=max(1, round(lengths[i] * (2 if crosses else 1) / craft.pitch)),
                crosses_centre=crosses,
                first=TRADE,
                last=TRADE,
            )
        )
    steps = (1, craft.panels, craft.side_panels, craft.panels, 1)
    at = np.concatenate([[0.0], *(np.linspace(ends[i], ends[i + 1], steps[i] + 1)[1:] for i in range(5))])
    run_of: list[RunName] = ["bow", *(name for name, count in zip(names, steps, strict=True) for _ in range(count))]
    blank = np.full(len(at), np.nan)
    stations = Stations(
        ids=tuple(f"P{i:02d}" for i in range(len(at))),
        runs=tuple(run_of),
        at=frozen_array(at),
        joint=frozen_array(np.zeros((len(at), 2))),
        outward=frozen_array(np.zeros((len(at), 2))),
        hull=frozen_array(np.zeros((len(at), 2))),
        hull_at=frozen_array(blank),
        hull_z=frozen_array(blank),
        offset=frozen_array(blank),
        radius=frozen_array(blank),
        depth=frozen_array(np.full(len(at), TRADE.depth)),
        face_angle=frozen_array(np.full(len(at), TRADE.face_angle)),
        tip_angle=frozen_array(np.full(len(at), TRADE.tip_angle)),
        drop=frozen_array(np.zeros(len(at))),
        inboard=frozen_array(np.full(len(at), 2.0 * TRADE.depth)),
    )
    line = Path((LinePiece(np.zeros(2), np.ones(2)),), frozen_array([0.0, 1.0]))
    nan = float("nan")
    return Plan(line, frozen_array([0.5, 0.5]), line, FIELD, 0.15, 0.2, tuple(runs), stations, nan, nan, nan, nan)


def seam_curve(foot: Floats, lean: float, bend: float, length: float, points: int) -> Floats:
    """Return an arc from the hull down to `foot`, `lean` from upright at the foot and turning by `bend` [rad]."""
    way = np.linspace(0.0, length, points)
    turned = np.pi / 2.0 + lean + bend * way / length
    middle = np.pi / 2.0 + lean + bend * (way[1:] + way[:-1]) / 2.0 / length
    step = length / (points - 1)
    assert turned.size == points
    up = np.concatenate([[[0.0, 0.0]], np.cumsum(step * np.column_stack([np.cos(middle), np.sin(middle)]), axis=0)])
    return (foot + up)[::-1]


def panels(craft: JointCase) -> tuple[FlatPanel, ...]:
    """Return the loop panels of the port half and those across the centre line, bow to stern."""
    made = plan(craft)
    at, ids, runs = made.stations.at, made.stations.ids, made.stations.runs
    last = len(ids) - 2
    last_of_arc = [name != after for name, after in zip(runs, (*runs[1:], ""), strict=True)]
    inside = [name.endswith("corner") and not end for name, end in zip(runs, last_of_arc, strict=True)]
    found = []
    for i in range(last + 1):
        across = (i == 0 and craft.bow_across) or i == last
        corner = runs[i + 1].endswith("corner")
        width = float(at[i + 1] - at[i]) * (2.0 if across else 1.0)
        lean, bend = (0.06, 0.35) if corner else (0.0, 0.0)
        lengths = [0.43 if not inside[k] else 0.44 - 0.02 * (k % 2) for k in (i, i + 1)]
        start = seam_curve(np.array([width, 0.0]), lean, bend, lengths[0], craft.seam_points)
        end = seam_curve(np.zeros(2), -lean, bend, lengths[1], craft.seam_points)
        found.append(
            FlatPanel(
                id=f"L{i + 1:02d}",
                start="S01" if across and i == 0 else ids[i],
                end=ids[i + 1] if not (across and i == last) else "S" + ids[i][1:],
                run=runs[i + 1],
                seam_start=frozen_array(start),
                seam_end=frozen_array(end),
                hull_edge=float(np.hypot(*(start[0] - end[0]))),
                joint_edge=width,
                is_rectangle=not corner,
                across=across,
                area=float("nan"),
            )
        )
    return tuple(found)
