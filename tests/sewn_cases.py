"""A piece of skirt as it was measured in the inflation study: a loop, its segments, straight runs and one corner.

Depth .28 m, hull edge .22 m above the joint, joint radius .75 m, corner of 90 degrees in 8 segments, runs in segments
of .15 m. Case T: hull edge .23 m outboard of the joint's inner side all round (a stern corner, hull arc .52 m about the
same centre); case S: a bow run (hull edge .075 m outboard of the joint) that turns into a side run. Faces are half
round, cut level at the tip and gathered on to the loop at the joint; at the corner they lie on the cone that touches
both neighbours.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.contact import together, wedge
from skirtloft.inflate.flat_mesh import divide, four_sided, grid_triangles, three_sided
from skirtloft.inflate.sew import sew
from skirtloft.inflate.supports import supports
from skirtloft.inflate.types import (
    Cloth,
    EdgeOf,
    FlatMesh,
    Ints,
    Landmarks,
    Loads,
    Problem,
    SewnMesh,
    frozen_indices,
)
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.physics.section import loop_arc
from skirtloft.pieces.segment import face_shape, half_cone, level_cut_rise, touching_cone
from tests.corner_cases import hull_distance

DEPTH, RADIUS, RISE, PITCH, CORNER_SEGMENTS = 0.28, 0.75, 0.22, 0.15, 8
TOP_CUT = 0.41  # of the level trim, at the gathered top edge
CONTACT = 2e3  # N/m
CLOTH = Cloth()
FLAT_RUN, BULGE_RUN = DEPTH / 2.0, DEPTH / 2.0 - 0.2777 * PITCH - PITCH**2 / (12.0 * DEPTH)  # quarter rule; with bulge
Flatten = Callable[["Run", Sequence[tuple[int, int]]], list[FlatMesh]]


@dataclass(frozen=True)
class Steps:
    """Steps across a face (and the loop over it), down the loop, and down a face and along each web's edge."""

    across: int = 6
    loop: int = 20
    face: int = 10


COARSE, FINE = Steps(6, 20, 10), Steps(12, 32, 16)


@dataclass(frozen=True, eq=False)
class Run:
    """Joint, hull edge and loop along the skirt, one column per step across a face; outward is horizontal."""

    steps: Steps
    segments: tuple[bool, ...]  # of each segment: whether it is in the corner
    joint: Floats  # (c, 3) [m]
    hull: Floats  # (c, 3) [m]
    outward: Floats  # (c, 3)
    loop: Floats  # (rows, c, 3) [m], from the hull edge to the joint

    @property
    def along(self) -> Floats:
        """Unit vectors along the joint, (c, 3)."""
        return np.cross([0.0, 0.0, 1.0], self.outward)


def lay_run(case: str, segments: tuple[int, int, int], inset: Callable[[Floats], Floats], steps: Steps) -> Run:
    """Return a run of straight segments, segments of the corner (8 for the whole of it), and straight segments.

    `inset` gives the loop centre's distance inboard of J at plan angles from 0 to pi/2; runs take the ends' values.
    """
    n, (before, corner, after) = steps.across, segments
    turn = np.linspace(0.0, np.pi / 2 * corner / CORNER_SEGMENTS, corner * n + 1)
    angle = np.concatenate([np.zeros(before * n), turn, np.full(after * n, turn[-1])])
    past = np.concatenate([np.arange(-before * n, 0), np.zeros(len(turn)), np.arange(1, after * n + 1)]) * PITCH / n
    outward = np.column_stack([np.cos(angle), np.sin(angle), np.zeros_like(angle)])
    along = np.cross([0.0, 0.0, 1.0], outward)
    joint = RADIUS * outward + past[:, None] * along + np.array([0.0, 0.0, DEPTH])
    offset = RADIUS - hull_distance(case, angle)
    hull = joint - offset[:, None] * outward + np.array([0.0, 0.0, RISE])
    arc = loop_arc(offset, RISE, inset(angle))
    t = np.linspace(0.0, 1.0, steps.loop + 1)[:, None]
    phi = arc.start_angle + t * (arc.end_angle - arc.start_angle)
    out, up = arc.radius * np.cos(phi) - inset(angle), arc.radius * np.sin(phi) + arc.centre_z
    loop = joint[None] + out[..., None] * outward[None]
    loop[..., 2] += up
    kinds = (False,) * before + (True,) * corner + (False,) * after
    return Run(steps, kinds, joint, hull, outward, loop)


def even(inset: float) -> Callable[[Floats], Floats]:
    """Return the same inset at every angle."""
    return lambda angle: np.full_like(angle, inset)


def rectangles(run: Run, spans: Sequence[tuple[int, int]]) -> list[FlatMesh]:
    """Return the loop panels of straight runs between columns, flat: exact rectangles."""
    panels = []
    for first, last in spans:
        section = run.loop[:, first]
        down = np.linalg.norm(np.diff(section, axis=0), axis=1)
        y = -np.concatenate([[0.0], np.cumsum(down)])
        x = np.linalg.norm(run.joint[first : last + 1] - run.joint[first], axis=1)
        flat = np.stack(np.broadcast_arrays(x[None, :], y[:, None]), axis=-1)
        panels.append(grid_piece(f"loop {first}", flat))
    return panels


def grid_piece(name: str, flat: Floats) -> FlatMesh:
    """Return a piece from a grid of flat nodes (rows, columns, 2), rows from the hull edge down."""
    grid = np.arange(flat.shape[0] * flat.shape[1]).reshape(flat.shape[:2])
    edges = {"top": grid[0], "bottom": grid[-1], "left": grid[:, 0], "right": grid[:, -1]}
    return FlatMesh(
        name,
        frozen_array(flat.reshape(-1, 2)),
        frozen_indices(grid_triangles(grid)),
        {key: frozen_indices(value) for key, value in edges.items()},
        np.pi / 2,
    )


@dataclass(frozen=True, eq=False)
class Face:
    """A face flat and where it starts, seen from its middle: out, along and up of the middle's joint point."""

    piece: FlatMesh
    place: Floats


def gathered_face(corner: bool, steps: Steps, half: bool = False) -> Face:
    """Return a half-round face with its full width at the joint, gathered there on to the loop."""
    share = np.linspace(0.0, 1.0, steps.face + 1)[:, None]
    if not corner:
        a = np.linspace(0.0, np.pi, steps.across + 1)
        x, rise = PITCH / 2 * (a - np.pi / 2), PITCH / 2 * np.sin(a)
        y = (1.0 - share) * TOP_CUT * rise + share * (rise - np.sqrt(2.0) * DEPTH)
        flat = np.stack(np.broadcast_arrays(x[None, :], y), axis=-1)
        return Face(grid_piece("face", flat), _half_cylinder(a, y))
    wedge_angle = np.pi / 2 / CORNER_SEGMENTS
    cone = (half_cone if half else touching_cone)(np.pi / 4, wedge_angle)
    turn = np.linspace(-cone.half_arc, cone.half_arc, steps.across + 1)
    top, tip = np.sqrt(2.0) * RADIUS, np.sqrt(2.0) * (RADIUS - DEPTH)
    top_edge, tip_edge = top + TOP_CUT * level_cut_rise(cone, turn, top), tip + level_cut_rise(cone, turn, tip)
    rho, polar = (1.0 - share) * top_edge + share * tip_edge, turn * np.sin(cone.semi_angle)
    flat = np.stack([rho * np.sin(polar), rho * np.cos(polar) - top], axis=-1)
    axis, bow = np.array([cone.axis_out, 0.0, cone.axis_up]), np.array([cone.axis_up, 0.0, -cone.axis_out])
    ray = np.sin(cone.semi_angle) * (np.cos(turn)[:, None] * bow + np.sin(turn)[:, None] * np.array([0.0, 1.0, 0.0]))
    place = rho[..., None] * (np.cos(cone.semi_angle) * axis + ray) - np.array([RADIUS, 0.0, RADIUS])
    return Face(grid_piece("face", flat), place)


def flared_face(corner: bool, steps: Steps) -> Face:
    """Return the program's face: as wide as the pitch at the joint, half round at the tip."""
    wedge_angle = np.pi / 2 / CORNER_SEGMENTS if corner else 0.0
    pitch = RADIUS * wedge_angle if corner else PITCH
    shape = face_shape(pitch, DEPTH, np.pi / 4, RADIUS if corner else np.inf, wedge_angle)
    right = divide(shape.side[::-1], steps.face)
    top = np.linspace(shape.top[1], shape.top[0], steps.across + 1)
    piece = four_sided("face", top, divide(shape.tip, steps.across), right * [-1.0, 1.0], right)
    return Face(piece, gathered_face(corner, steps).place)


def _half_cylinder(a: Floats, y: Floats) -> Floats:
    """Points on a half cylinder of diameter PITCH about the line through both webs' edges, (rows, columns, 3)."""
    along, off = -PITCH / 2 * np.cos(a), PITCH / 2 * np.sin(a)
    out = (y + off) / np.sqrt(2.0)
    up = (y - off) / np.sqrt(2.0)
    return np.stack(np.broadcast_arrays(out, along, up), axis=-1)


def web_piece(steps: Steps) -> FlatMesh:
    """Return a web: J at the origin, first edge J to I, second I to G, third G to J."""
    corners = DEPTH * np.array([[0.0, 0.0], [-2.0, 0.0], [-1.0, -1.0]])
    edges = [np.linspace(corners[i], corners[(i + 1) % 3], steps.face + 1) for i in range(3)]
    return three_sided("web", *edges)


@dataclass(frozen=True, eq=False)
class Skirt:
    """The problem, where to look at it, and the nodes that may touch the ground."""

    problem: Problem
    marks: Landmarks
    feet: Ints


def sewn_skirt(
    run: Run,
    spans: Sequence[tuple[int, int]],
    flatten: Flatten = rectangles,
    face: Callable[[bool, Steps], Face] = gathered_face,
    *,
    pressure: float = 500.0,
    cloth: Cloth = CLOTH,
    areal_mass: float = 0.0,
) -> Skirt:
    """Return loop panels over the column `spans`, and a face and two webs for every segment, sewn together."""
    panels = flatten(run, spans)
    pieces, places = list(panels), [run.loop[:, a : b + 1].reshape(-1, 3) for a, b in spans]
    seams = [(EdgeOf(i, "right"), EdgeOf(i + 1, "left")) for i in range(len(panels) - 1)]
    faces = {kind: face(kind, run.steps) for kind in set(run.segments)}
    web = web_piece(run.steps)
    n, corners = run.steps.across, []
    for k, kind in enumerate(run.segments):
        first, last, at = k * n, (k + 1) * n, len(pieces)
        pieces += [faces[kind].piece, web, web]
        places.append(_face_place(run, first, last, faces[kind].place))
        places += [_web_place(run, column, web) for column in (first, last)]
        seams += [(EdgeOf(at, side), EdgeOf(at + i, "third", True)) for i, side in ((1, "left"), (2, "right"))]
        for panel, (a, b) in enumerate(spans):
            low, high = max(a, first), min(b, last)
            if low < high:
                on_loop = EdgeOf(panel, "bottom", first=low - a, last=high - a)
                seams.append((on_loop, EdgeOf(at, "top", first=low - first, last=high - first)))
        corners.append(at)
    mesh = sew(pieces, seams, places)
    return _loaded(run, mesh, (pieces, corners, len(panels)), pressure, cloth, areal_mass)


def _face_place(run: Run, first: int, last: int, place: Floats) -> Floats:
    """Put a face between its two webs; its top row goes on to the loop's joint edge, the rows below follow less."""
    middle = (first + last) // 2
    out, along = run.outward[middle], run.along[middle]
    chord = (run.joint[first] + run.joint[last]) / 2.0
    # the origin is the joint line's own place in the middle plane: on the corner's circle, or on the straight chord
    origin = run.joint[middle] if np.allclose(chord, run.joint[middle]) else RADIUS * out + [0.0, 0.0, DEPTH]
    world = origin + place[..., :1] * out + place[..., 1:2] * along + place[..., 2:] * np.array([0.0, 0.0, 1.0])
    fade = np.linspace(1.0, 0.0, len(world))[:, None, None] ** 2
    moved: Floats = world + fade * (run.joint[first : last + 1] - world[0])
    return moved.reshape(-1, 3)


def _web_place(run: Run, column: int, web: FlatMesh) -> Floats:
    return run.joint[column] + web.flat[:, :1] * run.outward[column] + web.flat[:, 1:] * np.array([0.0, 0.0, 1.0])


def _loaded(
    run: Run,
    mesh: SewnMesh,
    made: tuple[list[FlatMesh], list[int], int],
    pressure: float,
    cloth: Cloth,
    areal_mass: float,
) -> Skirt:
    pieces, corners, panels = made
    n = run.steps.across

    def edge(piece: int, name: str) -> Ints:
        return mesh.nodes[piece][pieces[piece].edges[name]]

    hull = np.concatenate([edge(i, "top")[i > 0 :] for i in range(panels)])
    joint = np.concatenate([edge(i, "bottom")[i > 0 :] for i in range(panels)])
    fixings = np.concatenate([edge(at + i, "first")[-1:] for at in corners for i in (1, 2)])
    marks = Landmarks(
        hull_edge=frozen_indices(hull),
        inner_fixings=frozen_indices(fixings),
        joint=frozen_indices(joint),
        webs=frozen_indices(joint[::n]),
        tips=tuple(frozen_indices(edge(at, "bottom")) for at in corners),
    )
    contact = together(
        *(
            wedge(mesh.nodes[at], run.joint[[k * n, (k + 1) * n]], run.along[[k * n, (k + 1) * n]], CONTACT)
            for k, at in enumerate(corners)
        )
    )
    ends = [(edge(0, "left"), run.along[0]), (edge(panels - 1, "right"), run.along[-1])]
    is_web = np.isin(mesh.piece, [at + i for at in corners for i in (1, 2)])
    count = len(mesh.triangles)
    loads = Loads(frozen_array(np.where(is_web, 0.0, pressure)), frozen_array(np.full(count, areal_mass)))
    problem = Problem(mesh, cloth, supports(np.concatenate([hull, fixings]), ends), contact, loads)
    feet = np.unique(np.concatenate([mesh.nodes[at + i] for at in corners for i in range(3)]))
    return Skirt(problem, marks, frozen_indices(feet))


@dataclass(frozen=True, eq=False)
class Measured:
    """Rise of the joint over its drawn height at the webs and in the mean over each pitch, mean height of each tip."""

    webs: Floats  # (segments + 1,) [m]
    mean: Floats  # (segments,) [m]
    tips: Floats  # (segments,) [m]


def measure(skirt: Skirt, points: Floats, steps: Steps) -> Measured:
    z = points[skirt.marks.joint, 2] - DEPTH
    n = steps.across
    count = len(skirt.marks.tips)
    pitch = np.array([np.trapezoid(z[k * n : (k + 1) * n + 1]) / n for k in range(count)])
    tips = np.array([_edge_mean(points[tip]) for tip in skirt.marks.tips])
    return Measured(z[::n], pitch, tips)


def _edge_mean(edge: Floats) -> float:
    length = np.linalg.norm(np.diff(edge, axis=0), axis=1)
    return float(length @ (edge[1:, 2] + edge[:-1, 2]) / 2.0 / length.sum())
