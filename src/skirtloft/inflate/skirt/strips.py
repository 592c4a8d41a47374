"""Strips of a diaphragm in the sewn skirt: flat as cut, sewn in at the joint, held by the hull at their other edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.inflate.flat_mesh import divide, four_sided
from skirtloft.inflate.skirt.chain import JointChain, SegmentSpan
from skirtloft.inflate.skirt.flat import MIRROR, part_of
from skirtloft.inflate.skirt.place import UP, DrawnJoint
from skirtloft.inflate.types import FlatMesh, Ints, frozen_indices
from skirtloft.maths.frozen import Floats
from skirtloft.pieces.diaphragm import DiaphragmCut, strip_corners
from skirtloft.pieces.types import SewnRun

STRIP = "strip"  # what a strip is called on the table
WIDEST = 1.0 - 1e-9


@dataclass(frozen=True, eq=False)
class Strip:
    """A strip between two webs.

    Parameters
    ----------
    corners : (4, 2) [m]
        As `strip_corners`.
    hull : (2, 3) [m]
        Where the hull holds its corners nearer the bow and nearer the stern, or the ends of the part that is there.
    """

    corners: Floats
    hull: Floats


@dataclass(frozen=True)
class Rail:
    """Nodes at which the hull holds a strip of segment `segment`, and how wide the strip is at the joint [m]."""

    segment: int
    nodes: Ints
    width: float


def strip_of(cut: DiaphragmCut, run: SewnRun, span: SegmentSpan, where: tuple[JointChain, DrawnJoint]) -> Strip | None:
    """Return the strip of a segment; None where the diaphragm leaves it out."""
    chain, drawn = where
    if run.name not in cut.vents:
        return None
    at = chain.at[[span.first, span.last]]
    if np.interp(at, cut.at, cut.there.astype(np.float64)).min() < WIDEST:
        return None
    reach, rise = np.interp(at, cut.at, cut.reach), np.interp(at, cut.at, cut.rise)
    # of a segment across a centre line the half is there: its other web line is the mirror image's
    ends = [(float(reach[k]), float(rise[k])) for k in (0, 1)]
    bow, stern = (ends[1] if span.low > 0.0 else ends[0]), (ends[0] if span.high < 1.0 else ends[1])
    joint = [span.first, span.last]
    hull = drawn.points[joint] - reach[:, None] * drawn.outward[joint] + rise[:, None] * UP
    return Strip(strip_corners(run, bow, stern), hull)


def strip_mesh(strip: Strip, span: SegmentSpan, shares: Floats, rows: int) -> FlatMesh:
    """Return a strip, or the part of it that is there; hull above, joint below, bow to the left."""
    stern_joint, bow_joint, bow_hull, stern_hull = strip.corners * MIRROR
    top = part_of(np.array([bow_hull, stern_hull]), span)
    bottom = part_of(np.array([bow_joint, stern_joint]), span)
    sides = [np.array([top[i], bottom[i]]) for i in (0, -1)]
    left, right = (divide(side, rows) for side in sides)
    return four_sided("diaphragm strip", divide(top, shares), divide(bottom, shares), left, right)


def strip_places(strip: Strip, drawn: DrawnJoint, span: SegmentSpan, rows: int) -> Floats:
    """Return where the nodes of a strip start, (nodes, 3) [m]: straight from the hull to the drawn joint."""
    own = drawn.points[span.first : span.last + 1]
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(own, axis=0), axis=1))])
    share = (along / along[-1])[:, None]
    hull = (1.0 - share) * strip.hull[0] + share * strip.hull[1]
    down = np.linspace(0.0, 1.0, rows + 1)[:, None, None]
    return np.asarray(((1.0 - down) * hull[None] + down * own[None]).reshape(-1, 3))


def rail_of(segment: int, mesh: FlatMesh, nodes: Ints) -> Rail:
    """Return where the hull holds a strip."""
    joint = mesh.flat[mesh.edges["bottom"]]
    width = float(np.hypot(*(joint[-1] - joint[0])))
    return Rail(segment, frozen_indices(nodes[mesh.edges["top"]]), width)
