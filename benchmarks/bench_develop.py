"""All loop panels of a craft with fifteen panels on the port half, from sections to flat outlines."""

from __future__ import annotations

from typing import Any

import numpy as np

from skirtloft.shape.develop import develop
from tests.corner_cases import corner_case


def test_develop_fifteen_panels(benchmark: Any) -> None:
    """Aim 30 ms (2 ms a panel); the time itself is recorded, not asserted."""
    plan, sections = corner_case("S", 14)
    development = benchmark(develop, plan, sections)
    assert len(development.panels) == 15
    assert np.abs(development.joint_edge_error).max() < 1e-12
