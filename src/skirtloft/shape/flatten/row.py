"""The loop panels of a row flattened together: first each on its own, then with common seams and true edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.cloth_fit import Lengths, Weave, fit_cloth, in_warp_frame
from skirtloft.shape.flatten.first_flat import lay_by_angles, lay_rigidly
from skirtloft.shape.flatten.images import images, put_back
from skirtloft.shape.flatten.patch import Patches, SectionAt, flattening_estimate, lay_patches, panel_mesh
from skirtloft.shape.flatten.triangles import Triangles, lay_triangles, take_triangles

RIGID_ROUNDS = 4
STRAIGHT = 1e-6  # strain estimate below which a panel counts as flat along its rulings already


@dataclass(frozen=True)
class Flattening:
    """How panels are flattened.

    Parameters
    ----------
    columns, rows : int
        Cells of a panel's mesh from start to end (even) and from the hull edge to the joint.
    weave : Weave
    along_surface : bool
        Measure the mesh along the surface, not straight from node to node.
    corner_end : "mean" or "arc"
        Where a straight panel meets a curved one: the seam takes the mean of what both would like, so that the
        straight panel is no exact rectangle; or the length of the section, which the straight panel has.
    """

    columns: int = 12
    rows: int = 32
    weave: Weave = Weave()
    along_surface: bool = True
    corner_end: Literal["mean", "arc"] = "mean"


@dataclass(frozen=True, eq=False)
class PanelRow:
    """Panels in order, and which seam each has at its start and end.

    Parameters
    ----------
    ends : (p, 2) [m]
        Places along the joint line.
    seams : (p, 2)
        Numbers; the two sides of a seam have the same one. A panel across the centre line has one number twice.
    to_straight : tuple of int
        Seams to a straight panel that is not in the row: it has the section's own length.
    """

    ends: Floats
    seams: Indices
    to_straight: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False)
class FlatRow:
    """A row of panels, flat.

    Parameters
    ----------
    row : PanelRow
    by : Flattening
    patches : Patches
    triangles : Triangles
    free : (p, nodes, 2) [m]
        Each panel on its own.
    flat : (p, nodes, 2) [m]
        With common seams and true edges, in the frame of the pieces: x to the start, y to the hull, the end of the
        joint edge at the origin and its start on the x axis.
    lengths : Lengths
        Of seam steps and edges: those of `flat` to 1e-12 m.
    """

    row: PanelRow
    by: Flattening
    patches: Patches
    triangles: Triangles
    free: Floats
    flat: Floats
    lengths: Lengths


def panel_row(
    places: npt.ArrayLike, *, across: tuple[bool, bool] = (False, False), to_straight: tuple[bool, bool] = (False, False)
) -> PanelRow:
    """Return the row of panels between neighbouring `places` (n,) [m] along the joint line.

    Parameters
    ----------
    across : (first, last)
        The row begins (ends) at a centre line and the first (last) panel goes on across it: it is laid from its seam
        to that seam's mirror image, so the surface must be given on both sides of the line.
    to_straight : (first, last)
        What the row's first (last) seam is sewn to is straight.
    """
    at = np.asarray(places, dtype=np.float64)
    count = len(at) - 1
    ends, seams = np.column_stack([at[:-1], at[1:]]), np.column_stack([np.arange(count), np.arange(1, count + 1)])
    if across[0]:
        ends[0, 0], seams[0, 0] = 2.0 * at[0] - at[1], seams[0, 1]
    if across[1]:
        ends[-1, 1], seams[-1, 1] = 2.0 * at[-1] - at[-2], seams[-1, 0]
    straight = tuple(seam for seam, is_straight in zip((0, count), to_straight, strict=True) if is_straight)
    return PanelRow(frozen_array(ends), seams, straight)


def flatten_row(
    section_at: SectionAt, row: PanelRow, by: Flattening = Flattening(), known: FlatRow | None = None
) -> FlatRow:
    """Return the panels of `row`, flat.

    Parameters
    ----------
    section_at : callable
        The wanted surface: places along the joint line (k,) [m] -> the sections there. A panel must end wherever the
        surface has a crease.
    row : PanelRow
    by : Flattening
    known : FlatRow, optional
        Of the same surface and `by`: panels that it has between the same places are not solved again, unless a seam
        of theirs has changed.

    Raises
    ------
    SolveError
        A panel is too wide for its curvature.

    Notes
    -----
    1. Every panel by itself: angles first, then nearly rigid, then as cloth (`fit_cloth`).
    2. Every step of a seam gets one length for both sides: the mean of what they came to in 1.
    3. As cloth again, with those lengths and the true lengths of the hull and joint edges.
    Panels that are alike or mirror images are solved once. [derived]
    """
    mesh = panel_mesh(by.columns, by.rows)
    patches = lay_patches(section_at, row.ends, mesh, along_surface=by.along_surface)
    triangles = lay_triangles(patches.lengths[:, mesh.triangle_edges])
    twins = _twins(row, known)
    free = _each_alone(patches, triangles, by, known, twins)
    lengths = Lengths(seam_steps(row, patches, free, by), patches.hull, patches.joint)
    flat = _together(patches, triangles, free, lengths, by, known, twins)
    return FlatRow(row, by, patches, triangles, frozen_array(free), frozen_array(flat), lengths)


def seam_steps(row: PanelRow, patches: Patches, free: Floats, by: Flattening) -> Floats:
    """Return the lengths of the steps of both seams of every panel, (p, 2, rows) [m], equal on both sides of a seam."""
    own = np.linalg.norm(np.diff(free[:, patches.mesh.seams], axis=2), axis=-1)
    arcs, is_straight = patches.seams, flattening_estimate(patches) < STRAIGHT
    steps = np.empty_like(own)
    for seam in np.unique(row.seams):
        here = row.seams == seam
        beside = np.flatnonzero(here.any(axis=1))
        sides = [(own[panel][here[panel]].mean(axis=0), bool(is_straight[panel])) for panel in beside]
        if int(seam) in row.to_straight:
            sides.append((arcs[here].mean(axis=0), True))
        kept = [lengths for lengths, straight in sides if straight] if by.corner_end == "arc" else []
        steps[here] = np.mean(kept or [lengths for lengths, _ in sides], axis=0)
    return steps


def _twins(row: PanelRow, known: FlatRow | None) -> Indices:
    """Return which panel of `known` lies between the same places, (p,); -1: none."""
    if known is None:
        return np.full(len(row.ends), -1)
    same = np.all(np.abs(row.ends[:, None] - known.row.ends[None]) < 1e-12, axis=2)
    return np.where(same.any(axis=1), np.argmax(same, axis=1), -1)


def _each_alone(
    patches: Patches, triangles: Triangles, by: Flattening, known: FlatRow | None, twins: Indices
) -> Floats:
    mesh = patches.mesh
    free = known.free[twins] if known is not None else np.empty((len(twins), mesh.nodes, 2))
    wanted = np.flatnonzero(twins < 0)
    if not len(wanted):
        return free
    alike = images(mesh, patches.lengths[wanted], np.empty((len(wanted), 2, 0)))
    solved = wanted[alike.solved]
    some = take_triangles(triangles, solved)
    flat = lay_by_angles(mesh, some, patches.seams[solved, 0].sum(axis=1))
    flat = lay_rigidly(mesh, some, flat, rounds=RIGID_ROUNDS)
    free[wanted] = put_back(mesh, alike, in_warp_frame(mesh, fit_cloth(mesh, some, flat, by.weave)[0], "joint"))
    return free


def _together(
    patches: Patches,
    triangles: Triangles,
    free: Floats,
    lengths: Lengths,
    by: Flattening,
    known: FlatRow | None,
    twins: Indices,
) -> Floats:
    mesh = patches.mesh
    flat = np.array(free)
    changed = np.ones(len(free), dtype=np.bool_)
    if known is not None:
        changed = (twins < 0) | (np.abs(known.lengths.seams[twins] - lengths.seams).max(axis=(1, 2)) > 1e-13)
        flat[~changed] = known.flat[twins[~changed]]
    wanted = np.flatnonzero(changed)
    if not len(wanted):
        return flat
    alike = images(mesh, patches.lengths[wanted], lengths.seams[wanted])
    solved = wanted[alike.solved]
    found, _ = fit_cloth(
        mesh,
        take_triangles(triangles, solved),
        free[solved],
        by.weave,
        Lengths(lengths.seams[solved], lengths.hull[solved], lengths.joint[solved]),
    )
    flat[wanted] = put_back(mesh, alike, in_warp_frame(mesh, found, "joint"))
    return flat
