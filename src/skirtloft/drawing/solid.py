"""The skirt as drawn, in three dimensions: loop, faces, webs, hull edge; for the model and the picture.

This is the target shape (sections in equilibrium, faces bulged from flat at the joint to half round at the tip). It
is drawn, not inflated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.drawing.mesh import Mesh
from skirtloft.maths.curves import outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.face import face_half_width
from skirtloft.pipeline import Skirt
from skirtloft.shape.segment_field import form_at

PartKind = Literal["loop", "face", "web", "hull", "seam", "deck", "bottom", "dark", "pale"]
LOOP_ROWS = 24
FACE_ROWS, FACE_COLUMNS = 8, 8
MESH_GREYS = {"loop": 0.75, "face": 0.6, "web": 0.45, "hull": 0.9}


@dataclass(frozen=True, eq=False)
class Part:
    """A grid of points (rows, columns, 3) [m] in the craft frame: x forward, y to port, z up from the tip plane."""

    name: str
    kind: PartKind
    points: Floats


def skirt_parts(skirt: Skirt) -> tuple[Part, ...]:
    """Return every part of the whole craft, port first, then its mirror image."""
    port = [*_loop_parts(skirt), *_segment_parts(skirt)]
    mirrored = [
        Part(part.name.replace("-P", "-S"), part.kind, frozen_array(part.points * np.array([1.0, -1.0, 1.0])))
        for part in port
        if not part.name.endswith("-C")
    ]
    return (*port, *mirrored, _hull_part(skirt))


def seam_parts(skirt: Skirt) -> tuple[Part, ...]:
    """Return a thin band on the outside of the loop at every station, both sides: the seams, for the picture."""
    stations, sections = skirt.plan.stations, skirt.sections
    width, lift = 0.006, 0.004
    parts = []
    across = {panel.end for panel in skirt.development.panels if panel.across}
    across |= {panel.start for panel in skirt.development.panels if panel.across}
    ends = {0: "S01" in across, len(stations.ids) - 1: f"S{len(stations.ids) - 2:02d}" in across}
    for i, name in enumerate(stations.ids):
        if ends.get(i, False):
            continue  # the panel goes on across the centre line: no seam here
        angle = np.linspace(float(sections.start_angle[i]), float(sections.end_angle[i]), LOOP_ROWS)
        radius = float(sections.radius[i]) + lift
        out = radius * np.cos(angle) - float(sections.centre_inset[i])
        height = float(sections.centre_z[i]) + radius * np.sin(angle)
        normal = stations.outward[i]
        along = np.array([-normal[1], normal[0]])
        plan = stations.joint[i] + out[:, None] * normal
        sides = [np.column_stack([plan + half * along, height]) for half in (-width / 2, width / 2)]
        grid = np.stack(sides, axis=1)
        for hand, flip in (("P", 1.0), ("S", -1.0)):
            parts.append(Part(f"seam-{name}-{hand}", "seam", frozen_array(grid * np.array([1.0, flip, 1.0]))))
    return tuple(parts)


def _loop_parts(skirt: Skirt) -> list[Part]:
    """One grid per pair of neighbouring stations; sections between them are blended linearly."""
    stations, sections = skirt.plan.stations, skirt.sections
    parts = []
    for i in range(len(stations.ids) - 1):
        turn = float(np.dot(stations.outward[i], stations.outward[i + 1]))
        columns = 2 if turn > 1 - 1e-9 else 6
        blend = np.linspace(0.0, 1.0, columns)

        def between(values: Floats, i: int = i, blend: Floats = blend) -> Floats:
            return np.asarray(values[i] + (values[i + 1] - values[i]) * blend)

        at = between(stations.at)
        joint, outward = points_at(skirt.plan.joint_line, at), outward_at(skirt.plan.joint_line, at)
        start, end = between(sections.start_angle), between(sections.end_angle)
        share = np.linspace(0.0, 1.0, LOOP_ROWS)[:, None]
        angle = start + (end - start) * share
        out = -between(sections.centre_inset) + between(sections.radius) * np.cos(angle)
        height = between(sections.centre_z) + between(sections.radius) * np.sin(angle)
        plan_points = joint[None] + out[..., None] * outward[None]
        parts.append(Part(f"loop-{stations.ids[i]}-P", "loop", frozen_array(np.dstack([plan_points, height]))))
    return parts


def _segment_parts(skirt: Skirt) -> list[Part]:
    parts: list[Part] = []
    for number, run in enumerate(skirt.plan.runs):
        if run.fitted_length < 1e-9:
            continue
        pitch = run.fitted_pitch
        first = run.end - pitch * run.segments if run.crosses_centre and number == 0 else run.start
        for k in range(run.segments):
            low, high = first + k * pitch, first + (k + 1) * pitch
            middle = (low + high) / 2.0
            total = skirt.plan.runs[-1].end
            if middle < -1e-9 or middle > total + 1e-9:
                continue  # the mirror image of one already made
            centre = abs(middle) < 1e-9 or abs(middle - total) < 1e-9
            tag = f"{run.name}-{k:02d}-{'C' if centre else 'P'}"
            parts.extend(_one_segment(skirt, low, high, tag))
    return parts


def _web_frame(skirt: Skirt, at: float) -> tuple[Floats, Floats]:
    """J in plan and the outward normal at `at`; beyond the ends the line goes on as its mirror image."""
    total = float(skirt.plan.joint_line.breaks[-1])
    inside = min(max(-at if at < 0 else (2 * total - at if at > total else at), 0.0), total)
    flip = np.array([1.0, -1.0]) if (at < 0 or at > total) else np.ones(2)
    s = np.array([inside])
    return points_at(skirt.plan.joint_line, s)[0] * flip, outward_at(skirt.plan.joint_line, s)[0] * flip


def _one_segment(skirt: Skirt, low: float, high: float, tag: str) -> list[Part]:
    ends = [_web_frame(skirt, low), _web_frame(skirt, high)]
    forms = [_form_at(skirt, low), _form_at(skirt, high)]
    webs = []
    for (joint, outward), form, name in zip(ends, forms, ("fore", "aft"), strict=True):
        corners = [(0.0, form.depth), (-form.tip_inboard, 0.0), (-form.inboard, form.depth - form.drop)]
        j, g, i = (np.array([*(joint + x * outward), z]) for x, z in corners)
        webs.append(Part(f"web-{name}-{tag}", "web", frozen_array([[j, g], [j, i]])))
    return [Part(f"face-{tag}", "face", frozen_array(_face_grid(ends, forms))), *webs]


def _form_at(skirt: Skirt, at: float) -> SegmentForm:
    """Form of the segments at `at`; beyond the ends that of the mirror image."""
    total = float(skirt.plan.joint_line.breaks[-1])
    return form_at(skirt.plan.segments, -at if at < 0 else (2 * total - at if at > total else at))


def _face_grid(ends: list[tuple[Floats, Floats]], forms: list[SegmentForm]) -> Floats:
    """Bulged face between two webs, cut level at the tip; (rows, columns, 3) [m]."""
    (j0, n0), (j1, n1) = ends
    reach0, reach1 = forms[0].tip_inboard, forms[1].tip_inboard
    normal = (n0 + n1) / np.linalg.norm(n0 + n1)
    top = float(np.linalg.norm(j1 - j0))
    tip = float(np.linalg.norm((j1 - reach1 * n1) - (j0 - reach0 * n0)))
    turn = np.linspace(-1.0, 1.0, FACE_COLUMNS + 1)

    def at(fraction: Floats) -> Floats:
        half = face_half_width(fraction, top, tip, tip * math.pi / 4.0)
        chord = top + (tip - top) * fraction
        spread = half_angle_of(chord / (2.0 * half))
        with np.errstate(divide="ignore", invalid="ignore"):
            radius = np.where(spread > 1e-6, half / spread, 0.0)
        bulge = radius * (np.cos(turn * spread) - np.cos(spread))
        across = np.where(spread > 1e-6, np.sin(turn * spread) / np.sin(np.maximum(spread, 1e-9)), turn)
        share = (across + 1.0) / 2.0
        base0 = j0 - reach0 * fraction[..., None] * n0
        base1 = j1 - reach1 * fraction[..., None] * n1
        depth = forms[0].depth + share * (forms[1].depth - forms[0].depth)
        angle = forms[0].face_angle + share * (forms[1].face_angle - forms[0].face_angle)
        plan = base0 + share[..., None] * (base1 - base0) + (bulge * np.sin(angle))[..., None] * normal
        height = depth * (1.0 - fraction) - bulge * np.cos(angle)
        return np.asarray(np.dstack([plan, height]))

    low, high = np.zeros_like(turn), np.ones_like(turn)
    for _ in range(40):  # the level cut: the fraction at which each generator reaches the ground
        middle = (low + high) / 2.0
        above = at(middle[None, :])[0, :, 2] > 0.0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    rows = np.linspace(0.0, 1.0, FACE_ROWS + 1)[:, None] * low[None, :]
    return at(rows)


def _hull_part(skirt: Skirt) -> Part:
    """A narrow band inboard of the hull edge, so that the picture shows where the hull begins."""
    plan = skirt.plan
    edge = path_points(plan.hull_edge, 1e-3)
    step = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge, axis=0).T))])
    height = np.interp(step / step[-1] * plan.hull_edge.breaks[-1], plan.hull_edge.breaks, plan.hull_heights)
    edge = np.vstack([edge, edge[::-1] * np.array([1.0, -1.0])])
    height = np.concatenate([height, height[::-1]])
    middle = np.array([edge[:, 0].mean(), 0.0])
    inward = middle - edge
    inner = edge + 0.03 * inward / np.linalg.norm(inward, axis=1)[:, None]
    deck = np.dstack([np.stack([edge, inner]), np.stack([height, height])])
    return Part("hull-C", "hull", frozen_array(deck))


def skirt_meshes(skirt: Skirt) -> list[Mesh]:
    """Return the skirt as triangle meshes, one per kind and hand, for a 3D file."""
    grouped: dict[str, list[Floats]] = {}
    for part in skirt_parts(skirt):
        grouped.setdefault(part.kind, []).append(part.points)
    meshes = []
    for kind, grids in grouped.items():
        vertices, triangles, first = [], [], 0
        for grid in grids:
            rows, columns = grid.shape[:2]
            index = first + np.arange(rows * columns).reshape(rows, columns)
            a, b, c, d = index[:-1, :-1], index[:-1, 1:], index[1:, 1:], index[1:, :-1]
            triangles += [np.stack([a, b, c], axis=-1).reshape(-1, 3), np.stack([a, c, d], axis=-1).reshape(-1, 3)]
            vertices.append(grid.reshape(-1, 3))
            first += rows * columns
        meshes.append(
            Mesh(kind, frozen_array(np.concatenate(vertices)), np.concatenate(triangles), (MESH_GREYS[kind],) * 3)
        )
    return meshes
