"""The skirt as drawn, in three dimensions: loop, faces, webs, hull edge; for the model and the picture.

This is the target shape (sections in equilibrium, faces bulged from flat at the joint to half round at the tip). It
is drawn, not inflated.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from skirtloft.design.segment_form import SegmentForm
from skirtloft.drawing.mesh import Mesh
from skirtloft.maths.curves import outward_at, path_points, points_at
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.maths.roots import bracketed_roots
from skirtloft.physics.arc import half_angle_of
from skirtloft.physics.face import face_half_width
from skirtloft.pipeline import Shaped, surface_of
from skirtloft.shape.loft import arc_angles, arc_points
from skirtloft.shape.segment_field import form_at

PartKind = Literal["loop", "face", "web", "hull", "seam", "deck", "bottom", "planing", "dark", "pale"]
LOOP_ROWS, LOOP_COLUMNS = 24, 6
FACE_ROWS, FACE_COLUMNS = 8, 8
MESH_GREYS = {"loop": 0.75, "face": 0.6, "web": 0.45, "hull": 0.9}


@dataclass(frozen=True, eq=False)
class Part:
    """A grid of points (rows, columns, 3) [m] in the craft frame: x forward, y to port, z up from the tip plane."""

    name: str
    kind: PartKind
    points: Floats


def skirt_parts(skirt: Shaped) -> tuple[Part, ...]:
    """Return every part of the whole craft, port first, then its mirror image."""
    port = [*_loop_parts(skirt), *_segment_parts(skirt)]
    mirrored = [
        Part(part.name.replace("-P", "-S"), part.kind, frozen_array(part.points * np.array([1.0, -1.0, 1.0])))
        for part in port
        if not part.name.endswith("-C")
    ]
    return (*port, *mirrored, _hull_part(skirt))


def seam_parts(skirt: Shaped) -> tuple[Part, ...]:
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


@dataclass(frozen=True)
class _FlatFace:
    """A face without its place: widths at top and tip [m], depth [m] and slope [rad] at its two webs."""

    top: float
    tip: float
    depths: tuple[float, float]
    angles: tuple[float, float]


@dataclass(frozen=True, eq=False)
class _FaceRows:
    """Rows of a face, (rows, columns): share of the way down, share across, bulge outboard [m], height [m]."""

    fraction: Floats
    share: Floats
    out: Floats
    height: Floats


def _loop_parts(skirt: Shaped) -> list[Part]:
    """One grid per pair of neighbouring stations: sections in equilibrium, those between the stations too."""
    at, ids = skirt.plan.stations.at, skirt.plan.stations.ids
    section_at = surface_of(skirt.design, skirt.plan, skirt.sections.pressure)
    columns = [2 if panel.is_rectangle else LOOP_COLUMNS for panel in skirt.development.panels]
    places = [np.linspace(at[i], at[i + 1], count) for i, count in enumerate(columns)]
    arcs = section_at(np.concatenate(places))  # all at once: each call costs as much as a hundred sections
    points = arc_points(arcs, arc_angles(arcs, LOOP_ROWS - 1))
    ends = np.cumsum(columns)
    return [
        Part(f"loop-{ids[i]}-P", "loop", frozen_array(points[end - count : end].swapaxes(0, 1)))
        for i, (count, end) in enumerate(zip(columns, ends, strict=True))
    ]


def _segment_parts(skirt: Shaped) -> list[Part]:
    webs: list[tuple[float, float, str]] = []
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
            webs.append((low, high, tag))
    frames = _web_frames(skirt, [end for low, high, _ in webs for end in (low, high)])
    segments = [_segment(skirt, web, (frames[2 * k], frames[2 * k + 1])) for k, web in enumerate(webs)]
    rows = _face_rows(list(dict.fromkeys(segment.face for segment in segments)))
    parts = []
    for segment in segments:
        grid = frozen_array(_face_grid(segment, rows[segment.face]))
        parts += [Part(f"face-{segment.tag}", "face", grid), *_webs(segment)]
    return parts


def _web_frames(skirt: Shaped, at: Sequence[float]) -> list[tuple[Floats, Floats]]:
    """J in plan and the outward normal at each of `at`; beyond the ends the line goes on as its mirror image."""
    total = float(skirt.plan.joint_line.breaks[-1])
    place = np.array(at, dtype=np.float64)
    inside = np.clip(np.where(place < 0, -place, np.where(place > total, 2 * total - place, place)), 0.0, total)
    flip = np.where(((place < 0) | (place > total))[:, None], np.array([1.0, -1.0]), np.ones(2))
    joints = points_at(skirt.plan.joint_line, inside) * flip
    return list(zip(joints, outward_at(skirt.plan.joint_line, inside) * flip, strict=True))


@dataclass(frozen=True, eq=False)
class _Segment:
    """A segment to draw: its tag; at its two webs J in plan, outward normal and form; its face without its place."""

    tag: str
    ends: tuple[tuple[Floats, Floats], tuple[Floats, Floats]]
    forms: tuple[SegmentForm, SegmentForm]
    face: _FlatFace


def _segment(
    skirt: Shaped, web: tuple[float, float, str], ends: tuple[tuple[Floats, Floats], tuple[Floats, Floats]]
) -> _Segment:
    low, high, tag = web
    forms = (_form_at(skirt, low), _form_at(skirt, high))
    (j0, n0), (j1, n1) = ends
    top = float(np.linalg.norm(j1 - j0))
    tip = float(np.linalg.norm((j1 - forms[1].tip_inboard * n1) - (j0 - forms[0].tip_inboard * n0)))
    angles = (forms[0].face_angle, forms[1].face_angle)
    face = _FlatFace(round(top, 9), round(tip, 9), (forms[0].depth, forms[1].depth), angles)
    return _Segment(tag, ends, forms, face)


def _webs(segment: _Segment) -> list[Part]:
    webs = []
    for (joint, outward), form, name in zip(segment.ends, segment.forms, ("fore", "aft"), strict=True):
        corners = [(0.0, form.depth), (-form.tip_inboard, 0.0), (-form.inboard, form.depth - form.drop)]
        j, g, i = (np.array([*(joint + x * outward), z]) for x, z in corners)
        webs.append(Part(f"web-{name}-{segment.tag}", "web", frozen_array([[j, g], [j, i]])))
    return webs


def _form_at(skirt: Shaped, at: float) -> SegmentForm:
    """Form of the segments at `at`; beyond the ends that of the mirror image."""
    total = float(skirt.plan.joint_line.breaks[-1])
    return form_at(skirt.plan.segments, -at if at < 0 else (2 * total - at if at > total else at))


def _face_grid(segment: _Segment, rows: _FaceRows) -> Floats:
    """Bulged face between two webs, cut level at the tip; (rows, columns, 3) [m]."""
    (j0, n0), (j1, n1) = segment.ends
    normal = (n0 + n1) / np.linalg.norm(n0 + n1)
    base0 = j0 - segment.forms[0].tip_inboard * rows.fraction[..., None] * n0
    base1 = j1 - segment.forms[1].tip_inboard * rows.fraction[..., None] * n1
    plan = base0 + rows.share[..., None] * (base1 - base0) + rows.out[..., None] * normal
    return np.asarray(np.dstack([plan, rows.height]))


def _face_rows(faces: Sequence[_FlatFace]) -> dict[_FlatFace, _FaceRows]:
    """Return the rows of each face from the joint to the level cut, all worked out at once."""
    if not faces:
        return {}
    columns = (len(faces), 1, FACE_COLUMNS + 1)
    cut = bracketed_roots(lambda fraction: _bulged(faces, fraction)[2], np.zeros(columns), np.ones(columns))
    fraction = np.linspace(0.0, 1.0, FACE_ROWS + 1)[:, None] * cut
    share, out, height = _bulged(faces, fraction)
    return {face: _FaceRows(fraction[i], share[i], out[i], height[i]) for i, face in enumerate(faces)}


def _bulged(faces: Sequence[_FlatFace], fraction: Floats) -> tuple[Floats, Floats, Floats]:
    """Share across, bulge outboard and height at a share of the way down, (faces, rows, columns)."""
    turn = np.linspace(-1.0, 1.0, FACE_COLUMNS + 1)
    top, tip, depth0, depth1, angle0, angle1 = (
        np.array(values)[:, None, None]
        for values in zip(*((face.top, face.tip, *face.depths, *face.angles) for face in faces), strict=True)
    )
    half = face_half_width(fraction, top, tip, tip * math.pi / 4.0)
    spread = half_angle_of((top + (tip - top) * fraction) / (2.0 * half))
    with np.errstate(divide="ignore", invalid="ignore"):
        radius = np.where(spread > 1e-6, half / spread, 0.0)
    bulge = radius * (np.cos(turn * spread) - np.cos(spread))
    across = np.where(spread > 1e-6, np.sin(turn * spread) / np.sin(np.maximum(spread, 1e-9)), turn)
    share = (across + 1.0) / 2.0
    depth, angle = depth0 + share * (depth1 - depth0), angle0 + share * (angle1 - angle0)
    return share, bulge * np.sin(angle), depth * (1.0 - fraction) - bulge * np.cos(angle)


def _hull_part(skirt: Shaped) -> Part:
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


def skirt_meshes(skirt: Shaped) -> list[Mesh]:
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
