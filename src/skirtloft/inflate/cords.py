"""The pull of what lies along a line of nodes."""

from __future__ import annotations

import numpy as np

from skirtloft.inflate.types import Cords
from skirtloft.maths.frozen import Floats


class CordForces:
    """Pulls of cords that are longer than cut; a slack one does nothing."""

    def __init__(self, cords: Cords | None) -> None:
        self._cords = cords

    def pulls(self, points: Floats) -> tuple[Floats, Floats]:
        """Return the pull in every cord (k,) [N] and its direction from the first to the second end (k, 3)."""
        if self._cords is None:
            return np.empty(0), np.empty((0, 3))
        along = points[self._cords.ends[:, 1]] - points[self._cords.ends[:, 0]]
        length = np.sqrt(np.einsum("ij,ij->i", along, along))
        strain = np.maximum(length / self._cords.length - 1.0, 0.0)
        return self._cords.stiffness * strain, along / np.maximum(length, 1e-300)[:, None]

    def energy(self, points: Floats) -> float:
        """Return what is stored in the cords [J]."""
        if self._cords is None:
            return 0.0
        pull, _ = self.pulls(points)
        return float(np.sum(pull**2 * self._cords.length / self._cords.stiffness) / 2.0)

    def __call__(self, points: Floats, out: Floats) -> None:
        """Add the forces to `out`, (n, 3) [N]."""
        if self._cords is None:
            return
        pull, way = self.pulls(points)
        force = pull[:, None] * way
        np.add.at(out, self._cords.ends[:, 0], force)
        np.subtract.at(out, self._cords.ends[:, 1], force)
