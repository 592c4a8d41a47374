"""The worst of several values and the load it belongs to, for rules that look at every load."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from skirtloft.design.model import Design
from skirtloft.maths.frozen import Floats


def load_name(design: Design, index: int) -> str:
    """Return the words for a load by its place."""
    return f"load {design.craft.load[index].name!r}"


def least(values: Floats | Sequence[float]) -> tuple[int, float]:
    """Return place and value of the least; nan counts as least."""
    array = np.asarray(values, dtype=np.float64)
    index = int(np.argmin(np.where(np.isnan(array), -np.inf, array)))
    return index, float(array[index])


def no_point_is_none(values: Floats) -> Floats:
    """Return 0 where there is no number: no speed of this fan gives the gap, so no power and no time suffices."""
    return np.nan_to_num(values, nan=0.0, posinf=np.inf)
