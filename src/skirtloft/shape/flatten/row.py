"""The loop panels of a row flattened together: first each on its own, then with common seams and true edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from skirtloft.errors import ShapeError, SolveError
from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.cloth_fit import Lengths, UnsettledError, Weave, fit_cloth, in_warp_frame, take_lengths
from skirtloft.shape.flatten.first_flat import lay_by_angles, lay_rigidly
from skirtloft.shape.flatten.images import images, put_back
from skirtloft.shape.flatten.patch import Patches, SectionAt, flattening_estimate, lay_patches, panel_mesh
from skirtloft.shape.flatten.triangles import take_triangles

RIGID_ROUNDS = 4
SAME_PLACE = 1e-6  # m
SAME_LENGTH = 1e-13  # m: of a step of a seam
WEAVE = Weave()
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
        Measure the mesh along the surface, and hull and joint edges along smooth lines; not straight from node to node.
    corner_end : "mean" or "arc"
        Where a straight panel meets a curved one: the seam takes the mean of what both would like, so that the
        straight panel is no exact rectangle; or the length of the section, which the straight panel has.
    """

    columns: int = 12
    rows: int = 32
    weave: Weave = WEAVE
    along_surface: bool = True
    corner_end: Literal["mean", "arc"] = "mean"


FLATTENING = Flattening()


@dataclass(frozen=True, eq=False)
class PanelRow:
    """Panels in order between stations; make it with `panel_row`.

    Parameters
    ----------
    places : (n,) [m]
        Of the stations, along the joint line, in order.
    creases : (k,) [m]
        Places where the surface has a crease, as below a corner of the hull edge: each is one of `places`.
    across : (bool, bool)
        The row begins (ends) at a centre line and its first (last) panel goes on across it: it is laid from its seam
        to that seam's mirror image, so the surface must be given on both sides of the line.
    to_straight : (bool, bool)
        The row's first (last) seam is sewn to a straight panel that is not in the row.
    """

    places: Floats
    creases: Floats
    across: tuple[bool, bool] = (False, False)
    to_straight: tuple[bool, bool] = (False, False)

    @property
    def ends(self) -> Floats:
        """Start and end of every panel, (p, 2) [m] along the joint line."""
        at = self.places
        ends = np.column_stack([at[:-1], at[1:]])
        if self.across[0]:
            ends[0, 0] = 2.0 * at[0] - at[1]
        if self.across[1]:
            ends[-1, 1] = 2.0 * at[-1] - at[-2]
        return ends

    @property
    def seams(self) -> Indices:
        """Number of the seam at the start and end of every panel, (p, 2); a panel across has one number twice."""
        count = len(self.places) - 1
        seams = np.column_stack([np.arange(count), np.arange(1, count + 1)])
        if self.across[0]:
            seams[0, 0] = seams[0, 1]
        if self.across[1]:
            seams[-1, 1] = seams[-1, 0]
        return seams

    @property
    def seams_to_straight(self) -> tuple[int, ...]:
        """Numbers of the seams to straight panels that are not in the row."""
        return tuple(
            seam for seam, straight in zip((0, len(self.places) - 1), self.to_straight, strict=True) if straight
        )


@dataclass(frozen=True, eq=False)
class FlatRow:
    """A row of panels, flat.

    Parameters
    ----------
    row : PanelRow
    by : Flattening
    patches : Patches
    free : (p, nodes, 2) [m]
        Each panel on its own.
    flat : (p, nodes, 2) [m]
        With common seams and true edges, in the frame of the pieces: x to the start, y to the hull, the end of the
        joint edge at the origin and its start on the x axis.
    lengths : Lengths
        Of seam steps and edges: those of `flat`, steps to 1e-12 m.
    """

    row: PanelRow
    by: Flattening
    patches: Patches
    free: Floats
    flat: Floats
    lengths: Lengths


def panel_row(
    places: npt.ArrayLike,
    creases: npt.ArrayLike = (),
    *,
    across: tuple[bool, bool] = (False, False),
    to_straight: tuple[bool, bool] = (False, False),
) -> PanelRow:
    """Return the row of panels between neighbouring stations; parameters as `PanelRow`.

    Raises
    ------
    ShapeError
        A crease has no station, or two stations stand at one place or out of order.
    """
    at, bends = np.asarray(places, dtype=np.float64), np.asarray(creases, dtype=np.float64)
    if len(at) < 2 or np.diff(at).min() <= SAME_PLACE:
        raise ShapeError(
            "stations",
            "they must stand in order along the joint line, two at least, no two at one place.",
            "Leave one of them out.",
        )
    inside = bends[(bends > at[0]) & (bends < at[-1])]
    lacking = [crease for crease in inside if np.abs(at - crease).min() > SAME_PLACE]
    if lacking:
        raise ShapeError(
            f"station at {lacking[0]:.3f} m along the joint line",
            "the hull edge has a corner there, and a panel that goes on across it would stand off by centimetres.",
            "Keep a station there, or round the hull edge.",
        )
    return PanelRow(frozen_array(at), frozen_array(bends), across, to_straight)


def flatten_row(
    section_at: SectionAt, row: PanelRow, by: Flattening = FLATTENING, known: FlatRow | None = None
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
    same = twins(row, known.row) if known else np.full(len(row.ends), -1)
    is_new = same < 0
    free = np.empty((len(same), mesh.nodes, 2))
    free[is_new] = _each_alone(patches, np.flatnonzero(is_new), row, by)
    if known:
        free[~is_new] = known.free[same[~is_new]]
    steps = seam_steps(row, patches, free, by)
    lengths = Lengths(steps, patches.hull, patches.joint, smooth=by.along_surface)
    flat = np.empty_like(free)
    if known:
        is_new |= np.abs(known.lengths.seams[same] - steps).max(axis=(1, 2)) > SAME_LENGTH
        flat[~is_new] = known.flat[same[~is_new]]
    flat[is_new] = _together(patches, np.flatnonzero(is_new), free, lengths, row, by)
    return FlatRow(row, by, patches, frozen_array(free), frozen_array(flat), lengths)


def seam_steps(row: PanelRow, patches: Patches, free: Floats, by: Flattening) -> Floats:
    """Return the lengths of the steps of both seams of every panel, (p, 2, rows) [m], equal on both sides of a seam."""
    own: Floats = np.linalg.norm(np.diff(free[:, patches.mesh.seams], axis=2), axis=-1)
    arcs, is_straight = patches.seams, flattening_estimate(patches) < STRAIGHT
    own[is_straight] = arcs[is_straight]
    steps: Floats = np.empty_like(own)
    seams = row.seams
    for seam in np.unique(seams):
        here = seams == seam
        beside = np.flatnonzero(here.any(axis=1))
        sides = [(own[panel][here[panel]].mean(axis=0), bool(is_straight[panel])) for panel in beside]
        if int(seam) in row.seams_to_straight:
            sides.append((arcs[here].mean(axis=0), True))
        kept = [lengths for lengths, straight in sides if straight] if by.corner_end == "arc" else []
        steps[here] = np.mean(kept or [lengths for lengths, _ in sides], axis=0)
    return steps


def twins(row: PanelRow, other: PanelRow) -> Indices:
    """Return which panel of `other` lies between the same places as each of `row`, (p,); -1: none."""
    same = np.all(np.abs(row.ends[:, None] - other.ends[None]) < SAME_PLACE, axis=2)
    found: Indices = np.where(same.any(axis=1), np.argmax(same, axis=1), -1)
    return found


def _each_alone(patches: Patches, which: Indices, row: PanelRow, by: Flattening) -> Floats:
    """Return the panels `which` (s,) flattened each by itself, (s, nodes, 2)."""
    mesh = patches.mesh
    if not len(which):
        return np.empty((0, mesh.nodes, 2))
    alike = images(mesh, patches.lengths[which], np.empty((len(which), 2, 0)))
    solved = which[alike.solved]
    triangles = take_triangles(patches.triangles, solved)
    flat = lay_by_angles(mesh, triangles, patches.seams[solved, 0].sum(axis=1))
    flat = lay_rigidly(mesh, triangles, flat, rounds=RIGID_ROUNDS)
    found = _fit(patches, solved, flat, None, row, by)
    return put_back(mesh, alike, found)


def _together(
    patches: Patches, which: Indices, free: Floats, lengths: Lengths, row: PanelRow, by: Flattening
) -> Floats:
    """Return the panels `which` (s,) with the seam steps and edges of `lengths`, (s, nodes, 2)."""
    if not len(which):
        return np.empty((0, patches.mesh.nodes, 2))
    alike = images(patches.mesh, patches.lengths[which], lengths.seams[which])
    solved = which[alike.solved]
    wanted = take_lengths(lengths, solved)
    return put_back(patches.mesh, alike, _fit(patches, solved, free[solved], wanted, row, by))


def _fit(
    patches: Patches, which: Indices, flat: Floats, lengths: Lengths | None, row: PanelRow, by: Flattening
) -> Floats:
    """Return what `fit_cloth` makes of some panels, in the frame of the pieces."""
    try:
        found, _ = fit_cloth(patches.mesh, take_triangles(patches.triangles, which), flat, by.weave, lengths)
    except UnsettledError as error:
        start, end = row.ends[which[error.panel]]
        raise SolveError(
            f"flat pattern of the panel between {start:.3f} m and {end:.3f} m along the joint line",
            error.residual,
            f"It is too wide for its curvature: put a station at {(start + end) / 2.0:.3f} m.",
        ) from error
    return in_warp_frame(patches.mesh, found, "joint")
