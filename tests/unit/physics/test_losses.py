"""Loss lines; expected factors are the handbook formulas (Idelchik; White), from memory, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from skirtloft.physics.losses import (
    BENDS,
    INLETS,
    at_band,
    bend_loss,
    duct_loss,
    guard_loss,
    hole_loss,
    inlet_loss,
    loss,
    mouth_loss,
    passage_loss,
    resistance,
    shares_in_parallel,
    splitter_loss,
)


def test_guard() -> None:
    # square mesh, 2 mm wire every 25 mm: f = .8464; 1.3 (1 - f) + (1/f - 1)^2
    line = guard_loss(0.3, (1 - 2 / 25) ** 2)
    assert float(line.factor) == pytest.approx(0.23261, abs=1e-5)
    assert line.place == "intake"


def test_duct_friction_over_hydraulic_diameter() -> None:
    # 0.5 x 0.5 m, 1 m long: D = .5, K = .02 * 1/.5
    line = duct_loss(0.25, 1.0, 2.0)
    assert float(line.factor) == pytest.approx(0.04)
    assert (float(line.factor_low), float(line.factor_high)) == pytest.approx((0.03, 0.07))


def test_bends_inlets_splitter_and_mouth() -> None:
    assert float(bend_loss(0.2, "mitre", count=2).factor) == pytest.approx(2.2)
    assert float(inlet_loss(0.2, "flush").factor) == 0.5
    assert float(splitter_loss(0.2).factor) == 0.3
    assert float(mouth_loss(0.2).factor) == 1.0
    for factor in (*BENDS.values(), *INLETS.values()):
        assert factor.low < factor.best < factor.high


def test_passage_past_frames() -> None:
    # a = .5: (0.707 sqrt .5 + .5)^2 = .99985 a frame; nothing in the way: 0; a hole in a wall: 1.707^2
    assert float(passage_loss(0.1, 0.2, frames=3).factor) == pytest.approx(3 * 0.99985, abs=1e-4)
    assert float(passage_loss(0.2, 0.2).factor) == 0.0
    assert float(passage_loss(1e-9, 1.0).factor) == pytest.approx(2.9138, abs=1e-3)


def test_holes() -> None:
    assert float(hole_loss(0.2).factor) == pytest.approx(1 / 0.36)
    assert float(hole_loss(0.2, discharge=0.5).factor) == pytest.approx(4.0)
    assert hole_loss(0.2).place == "feed"
    assert float(hole_loss(0.2).factor_low) < float(hole_loss(0.2).factor) < float(hole_loss(0.2).factor_high)


def test_resistance_adds_by_place() -> None:
    lines = (loss("a", 0.25, 1.0), loss("b", 0.5, 3.0), hole_loss(0.2, discharge=1.0))
    # rho/2 (1/.25^2 + 3/.5^2) and rho/2 (1/.2^2)
    assert float(resistance(lines, "supply", np.array(1.2))) == pytest.approx(0.6 * 28.0)
    assert float(resistance(lines, "feed", np.array(1.2))) == pytest.approx(0.6 * 25.0)
    assert float(resistance(lines, "intake", np.array(1.2))) == 0.0


def test_ways_side_by_side_have_one_drop() -> None:
    area, factor = np.array([0.1, 0.3]), np.array([1.0, 4.0])
    share = shares_in_parallel(area, factor)
    assert share == pytest.approx([0.4, 0.6])  # .1/1 to .3/2
    lines = tuple(loss("way", a, k, share=s) for a, k, s in zip(area, factor, share, strict=True))
    drop = factor * 0.5 * 1.2 * (share * 2.0 / area) ** 2
    assert drop[0] == pytest.approx(drop[1])
    assert float(resistance(lines, "supply", np.array(1.2))) * 2.0**2 == pytest.approx(drop[0])


def test_one_of_two_equal_ways_is_like_both_together() -> None:
    both = resistance((loss("both", 0.2, 1.5),), "supply", np.array(1.2))
    each = resistance(tuple(loss(n, 0.1, 1.5, share=0.5) for n in "ps"), "supply", np.array(1.2))
    assert float(each) == pytest.approx(float(both))


def test_ends_of_the_band() -> None:
    low, high = at_band((hole_loss(0.2),), "low"), at_band((hole_loss(0.2),), "high")
    assert float(low[0].factor) == pytest.approx(0.65**-2)
    assert float(high[0].factor) == pytest.approx(0.58**-2)
