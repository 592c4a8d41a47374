"""Corners with known sections: the plan of one bow, its corner and a side run, with sections of given centre inset.

Depth .28 m, joint radius .75 m, hull edge .22 m above the joint; hull edge y = 1.05, front .075 m outboard of the
joint (S, P, V) or an arc of .52 m about the joint's own centre (T). Numbers marked "prototype, 2026" in the tests were
computed from the same corners by an independent numpy prototype; they have no published source.
"""

from __future__ import annotations

import numpy as np

from skirtloft.maths.curves import LinePiece, Path
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.section import loop_arc
from skirtloft.physics.types import Sections
from skirtloft.shape.flatten.patch import SectionAt
from skirtloft.shape.loft import SectionArcs, arcs_by_inset
from skirtloft.shape.types import JointRun, Plan, Stations
from tests.loop_cases import FIELD, TRADE

DEPTH, RADIUS, HULL_RADIUS, RISE = 0.28, 0.75, 0.52, 0.22
CENTRE = np.array([1.53, 0.53])
HULL_CENTRE = np.array([1.835, 0.53])  # of the hull arc of case S


def hull_distance(case: str, angle: Floats) -> Floats:
    """Distance of the hull edge from the joint arc's centre along the ray at `angle` (0 bow, pi/2 side)."""
    angle = np.asarray(angle, dtype=np.float64)
    if case == "T":
        return np.full_like(angle, HULL_RADIUS)
    if case == "P":
        corners = np.radians([0.0, 30.0, 60.0, 90.0])
        points = _ray(corners) * hull_distance("S", corners)[:, None]
        side = np.clip(np.searchsorted(corners, angle, side="right") - 1, 0, 2)
        one, along = points[side], points[side + 1] - points[side]
        ray = _ray(angle)
        return (one[:, 0] * along[:, 1] - one[:, 1] * along[:, 0]) / (ray[:, 0] * along[:, 1] - ray[:, 1] * along[:, 0])
    shift = HULL_CENTRE[0] - CENTRE[0]
    on_arc = shift * np.cos(angle) + np.sqrt(HULL_RADIUS**2 - (shift * np.sin(angle)) ** 2)
    on_line = HULL_RADIUS / np.maximum(np.sin(angle), 1e-12)
    return np.where(on_arc * np.cos(angle) >= shift, on_arc, on_line)


def hull_height(case: str, angle: Floats) -> Floats:
    """Height of the hull edge above the tip plane."""
    rise = 0.12 * np.cos(angle) ** 2 if case == "V" else np.zeros_like(angle)
    return DEPTH + RISE + rise


def hull_length_at(case: str, angle: Floats) -> Floats:
    """Length along the hull edge (plan) from angle 0; straight on behind pi/2. Angles include every polygon corner."""
    points = _ray(angle) * hull_distance(case, angle)[:, None]
    if case == "T":
        return HULL_RADIUS * angle
    if case == "P":
        return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    x, y = points.T + (CENTRE - HULL_CENTRE)[:, None]
    return np.where(x >= 0.0, HULL_RADIUS * np.arctan2(y, np.maximum(x, 0.0)), HULL_RADIUS * np.pi / 2 - x)


def corner_case(
    case: str, stations: int = 7, inset: float = DEPTH / 2, angles: Floats | None = None
) -> tuple[Plan, Sections]:
    """Return plan and sections: bow centre, `stations` round the corner, one more on the side run."""
    angle = np.linspace(0.0, np.pi / 2, stations) if angles is None else angles
    distance, height, along = hull_distance(case, angle), hull_height(case, angle), hull_length_at(case, angle)
    outward = np.concatenate([[[1.0, 0.0]], _ray(angle), [[0.0, 1.0]]])
    joint = np.concatenate([[[CENTRE[0] + RADIUS, 0.0]], CENTRE + RADIUS * _ray(angle), [[1.0, CENTRE[1] + RADIUS]]])
    offset = RADIUS - np.concatenate([distance[:1], distance, distance[-1:]])
    hull_z = np.concatenate([height[:1], height, height[-1:]])
    at = np.concatenate([[0.0], 0.53 + RADIUS * angle, [0.53 + RADIUS * np.pi / 2 + 0.53]])
    count = len(offset)
    side = "side"
    marks = Stations(
        ids=tuple(f"P{i:02d}" for i in range(count)),
        runs=("bow", "bow", *["bow_corner"] * (count - 4), side, side),
        at=frozen_array(at),
        joint=frozen_array(joint),
        outward=frozen_array(outward),
        hull=frozen_array(joint - offset[:, None] * outward),
        hull_at=frozen_array(np.concatenate([[0.0], 0.53 + along, [0.53 + along[-1] + 0.53]])),
        hull_z=frozen_array(hull_z),
        offset=frozen_array(offset),
        radius=frozen_array([np.inf, *[RADIUS] * (count - 2), np.inf]),
        depth=frozen_array(np.full(count, DEPTH)),
        face_angle=frozen_array(np.full(count, np.pi / 4.0)),
        tip_angle=frozen_array(np.full(count, np.pi / 2.0)),
        drop=frozen_array(np.zeros(count)),
        inboard=frozen_array(np.full(count, 2.0 * DEPTH)),
    )
    return _plan(marks), sections_with_inset(offset, hull_z - DEPTH, inset)


def corner_places(stations: int = 7) -> Floats:
    """Places along the joint arc [m], 0 at its bow end, of `stations` equally spaced."""
    return np.linspace(0.0, RADIUS * np.pi / 2, stations)


def corner_surface(case: str) -> SectionAt:
    """The surface itself: sections at any places along the joint arc [m], 0 at its bow end."""

    def section_at(places: Floats) -> SectionArcs:
        angle = np.asarray(places) / RADIUS
        inset = np.full_like(angle, DEPTH / 2)
        offset = RADIUS - hull_distance(case, angle)
        joint = CENTRE + RADIUS * _ray(angle)
        return arcs_by_inset(joint, _ray(angle), offset, hull_height(case, angle), DEPTH, inset)

    return section_at


def sections_with_inset(offset: Floats, rise: Floats, inset: float) -> Sections:
    """Return sections whose loop centre lies `inset` inboard of J; the forces are not filled in."""
    arc = loop_arc(offset, rise, inset)
    none = np.full_like(offset, np.nan)
    return Sections(
        offset=frozen_array(offset),
        rise=frozen_array(rise),
        depth=frozen_array(np.full_like(offset, DEPTH)),
        face_angle=frozen_array(np.full_like(offset, np.pi / 4.0)),
        pitch=frozen_array(np.full_like(offset, 0.15)),
        tip_inboard=frozen_array(np.full_like(offset, DEPTH)),
        inboard=frozen_array(np.full_like(offset, 2.0 * DEPTH)),
        drop=frozen_array(np.zeros_like(offset)),
        pressure=500.0,
        centre_inset=frozen_array(np.full_like(offset, inset)),
        centre_z=frozen_array(DEPTH + arc.centre_z),
        radius=arc.radius,
        angle=arc.angle,
        start_angle=arc.start_angle,
        end_angle=arc.end_angle,
        length=arc.length,
        quarter_rule_length=arc.length,
        tip_mean_square=frozen_array(np.full_like(offset, 2 * DEPTH**2)),
        weight_moment=none,
        tension=none,
        stiffness=none,
    )


def _plan(marks: Stations) -> Plan:
    """The runs are what `develop` reads; the paths are a stand-in of one line each."""
    line = Path((LinePiece(marks.hull[0], marks.hull[-1]),), frozen_array([0.0, 1.0]))
    ends = [0.0, 0.53, 0.53 + RADIUS * np.pi / 2, float(marks.at[-1])]
    names = ("bow", "bow_corner", "side")
    runs = tuple(
        JointRun(
            name=name,  # type: ignore[arg-type]
            start=ends[i],
            end=ends[i + 1],
            radius=RADIUS if i == 1 else np.inf,
            centre=CENTRE if i == 1 else np.array([np.nan, np.nan]),
            segments=8,
            crosses_centre=i == 0,
            first=TRADE,
            last=TRADE,
        )
        for i, name in enumerate(names)
    )
    nan = float("nan")
    return Plan(line, frozen_array([0.5, 0.5]), line, FIELD, 0.15, 0.2, runs, marks, nan, nan, nan, nan)


def _ray(angle: Floats) -> Floats:
    return np.column_stack([np.cos(angle), np.sin(angle)])
