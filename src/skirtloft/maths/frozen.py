"""Read-only arrays for frozen records."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def frozen_array(values: npt.ArrayLike) -> Floats:
    """Return a read-only float copy of `values` (any shape), safe to keep in a frozen record."""
    array = np.array(values, dtype=np.float64)
    array.setflags(write=False)
    return array
