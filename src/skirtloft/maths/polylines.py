"""Open lines of straight pieces."""

from __future__ import annotations

import numpy as np

from skirtloft.maths.frozen import Floats


def polyline_length(points: Floats) -> float:
    """Return the length of a line through points (n, 2) or (n, 3), in their unit."""
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
