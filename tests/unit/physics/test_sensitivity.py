"""Which input moves a margin most."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest

from skirtloft.physics.sensitivity import movers, sensitivity


def margins(x: Mapping[str, float]) -> dict[str, float]:
    return {"first": 2 * x["a"] ** 2 - 3 * x["b"], "second": math.sin(x["c"]) * x["b"], "none": 1.0}


INPUTS, STEPS = {"a": 1.5, "b": 0.4, "c": 0.7}, {"a": 0.1, "b": 0.5, "c": 0.01}


def test_slopes_of_known_functions() -> None:
    found = sensitivity(margins, INPUTS, STEPS)
    assert found.value == pytest.approx([2 * 2.25 - 1.2, 0.4 * math.sin(0.7), 1.0])
    exact = [[6.0, -3.0, 0.0], [0.0, math.sin(0.7), 0.4 * math.cos(0.7)], [0.0, 0.0, 0.0]]
    np.testing.assert_allclose(found.slope, exact, rtol=1e-6, atol=1e-12)
    assert found.bend[0, 0] == pytest.approx(0.1 * 4.0 / 6.0)  # step times second over first derivative
    assert found.bend[0, 1] == pytest.approx(0.0, abs=1e-9)


def test_the_strongest_comes_first() -> None:
    found = sensitivity(margins, INPUTS, STEPS)
    first = movers(found, "first")
    assert [mover.name for mover in first] == ["b", "a", "c"]  # 1.5 and .6 a step
    assert first[0].change == pytest.approx(-1.5)
    assert first[0].needed == pytest.approx(3.3 / 3.0)
    assert math.isinf(first[2].needed)
    assert movers(found, "second")[0].name == "b"


def test_a_step_is_needed_for_every_input() -> None:
    with pytest.raises(ValueError, match="b, c"):
        sensitivity(margins, INPUTS, {"a": 0.1, "b": 0.0})
