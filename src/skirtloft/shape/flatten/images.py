"""Panels that are alike, or mirror images of each other, found by the lengths of their edges."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from skirtloft.maths.block_rows import Indices
from skirtloft.maths.frozen import Floats
from skirtloft.shape.flatten.patch import Mesh

ALIKE = 1e-11  # m: well below what both sides of a seam may differ by


@dataclass(frozen=True, eq=False)
class Images:
    """Which panels to solve, and what the others are images of.

    Parameters
    ----------
    solved : (s,)
        Panels to solve.
    image_of : (p,)
        For every panel, its place among the solved.
    is_mirrored : (p,) bool
    """

    solved: Indices
    image_of: Indices
    is_mirrored: npt.NDArray[np.bool_]


def images(mesh: Mesh, lengths: Floats, seams: Floats) -> Images:
    """Return what panels with edges `lengths` (p, e) and wanted seam steps `seams` (p, 2, k) are images of [m]."""
    plain = np.concatenate([lengths, seams[:, 0], seams[:, 1]], axis=1)
    turned = np.concatenate([lengths[:, mesh.mirror_edges], seams[:, 1], seams[:, 0]], axis=1)
    solved: list[int] = []
    image_of, is_mirrored = np.empty(len(plain), dtype=np.intp), np.zeros(len(plain), dtype=np.bool_)
    for panel in range(len(plain)):
        for way in (plain, turned):
            apart = np.abs(plain[solved] - way[panel]).max(axis=1) if solved else np.array([np.inf])
            if apart.min() < ALIKE:
                image_of[panel], is_mirrored[panel] = int(np.argmin(apart)), way is turned
                break
        else:
            image_of[panel] = len(solved)
            solved.append(panel)
    return Images(np.array(solved, dtype=np.intp), image_of, is_mirrored)


def put_back(mesh: Mesh, alike: Images, flat: Floats) -> Floats:
    """Return the flat shapes of all panels, (p, nodes, 2), from those solved; both in the frame of the pieces."""
    every: Floats = flat[alike.image_of]
    every[alike.is_mirrored] = mirrored(mesh, every[alike.is_mirrored])
    return every


def mirrored(mesh: Mesh, flat: Floats) -> Floats:
    """Return panels (p, nodes, 2) with start and end exchanged, in the frame of the pieces as before."""
    turned = flat[:, mesh.mirror_nodes] * np.array([-1.0, 1.0])
    moved: Floats = turned - turned[:, mesh.joint[-1:]]
    return moved
