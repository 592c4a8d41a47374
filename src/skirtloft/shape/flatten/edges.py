"""The outline of a flat panel as smooth curves through its nodes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from skirtloft.maths.frozen import Floats, frozen_array
from skirtloft.shape.flatten.patch import Mesh


@dataclass(frozen=True, eq=False)
class FlatEdges:
    """The four edges of a flat panel, smooth, in the frame of the pieces.

    Parameters
    ----------
    seam_start, seam_end : (n, 2) [m]
        From the hull edge down to the joint.
    hull, joint : (k, 2) [m]
        From the start to the end.
    """

    seam_start: Floats
    seam_end: Floats
    hull: Floats
    joint: Floats


def flat_edges(mesh: Mesh, flat: Floats, between: int = 4) -> FlatEdges:
    """Return the edges of one panel (nodes, 2) [m] with `between` steps from node to node."""
    seams = [smooth_line(flat[nodes], between) for nodes in mesh.seams]
    hull, joint = (smooth_line(flat[nodes], between) for nodes in (mesh.hull, mesh.joint))
    return FlatEdges(*(frozen_array(line) for line in (*seams, hull, joint)))


def smooth_line(nodes: Floats, between: int) -> Floats:
    """Return a cubic spline through `nodes` (n, 2) [m], ``between`` steps from node to node, nodes kept exactly."""
    from scipy.interpolate import CubicSpline

    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(nodes, axis=0).T))])
    share = np.arange(between) / between
    places = (at[:-1, None] + np.diff(at)[:, None] * share).ravel()
    line: Floats = np.concatenate([CubicSpline(at, nodes)(places), nodes[-1:]])
    line[::between] = nodes
    return line


def smooth_length(nodes: Floats) -> float:
    """Return the length [m] of the spline through `nodes` (n, 2), good to 1e-9 of it."""
    once, twice = (float(np.hypot(*np.diff(smooth_line(nodes, between), axis=0).T).sum()) for between in (16, 8))
    return (4.0 * once - twice) / 3.0
