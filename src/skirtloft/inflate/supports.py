"""What holds the skirt: the hull, and planes of symmetry where a part of it is looked at."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from skirtloft.inflate.types import Supports, frozen_indices
from skirtloft.maths.frozen import Floats, frozen_array


def hold(supports: Supports, vectors: Floats) -> None:
    """Take out of `vectors` (n, 3), in place, what the supports do not let through."""
    vectors[supports.pinned] = 0.0
    if len(supports.sliding):
        vectors[supports.sliding] = np.einsum("sij,sj->si", supports.ways, vectors[supports.sliding])


def supports(pinned: npt.ArrayLike, planes: Sequence[tuple[npt.ArrayLike, npt.ArrayLike]] = ()) -> Supports:
    """Return supports that pin some nodes and keep others in planes of symmetry.

    Parameters
    ----------
    pinned : (k,)
        May be given more than once.
    planes : sequence of nodes (s,), normal (3,)
        A node on two planes moves along the line where they meet; on three not at all.

    Examples
    --------
    >>> held = supports([0], [([1, 2], [1.0, 0.0, 0.0]), ([2], [0.0, 1.0, 0.0])])
    >>> held.sliding.tolist(), held.ways[1].round(12).tolist()
    ([1, 2], [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    """
    fixed = np.unique(np.asarray(pinned, dtype=np.intp))
    normals: dict[int, list[Floats]] = {}
    for nodes, normal in planes:
        for node in np.asarray(nodes, dtype=np.intp).tolist():
            normals.setdefault(node, []).append(np.asarray(normal, dtype=np.float64))
    sliding = np.setdiff1d(np.array(sorted(normals), dtype=np.intp), fixed)
    ways = np.zeros((len(sliding), 3, 3))
    for row, node in enumerate(sliding.tolist()):
        across = np.array(normals[node])
        ways[row] = np.eye(3) - np.linalg.pinv(across) @ across
    return Supports(frozen_indices(fixed), frozen_indices(sliding), frozen_array(ways))
