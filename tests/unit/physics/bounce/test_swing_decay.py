"""The swing test: loss from a decay, scatter, and bad readings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from skirtloft.errors import DesignError
from skirtloft.physics.bounce.swing_decay import fed_at_constant_pressure, swing_loss
from tests.bounce_cases import at_hover


def decay(eta: float, count: int, start: float = 80.0, per: float = 1.0) -> list[float]:
    """Closed form: zeta = eta/2, ln(A/next) = 2 pi zeta/sqrt(1 - zeta^2)."""
    zeta = eta / 2.0
    return [start * math.exp(-2.0 * math.pi * zeta / math.sqrt(1.0 - zeta**2) * per * k) for k in range(count)]


@pytest.mark.parametrize("eta", [0.02, 0.1, 0.4])
def test_even_decay_gives_its_loss_factor(eta: float) -> None:
    found = swing_loss(decay(eta, 6))
    assert found.loss_factor == pytest.approx(eta, rel=1e-9)
    assert found.low == pytest.approx(found.high, rel=1e-6)
    assert found.doubts == ()


def test_both_sides_read() -> None:
    assert swing_loss(decay(0.1, 8, per=0.5), swings_between=0.5).loss_factor == pytest.approx(0.1, rel=1e-9)


def test_it_is_the_damper_of_the_model() -> None:
    """x'' + (c/I) x' + (K/I) x = 0 with c = eta sqrt(K I), peaks by the exact solution."""
    eta, omega = 0.12, 42.0
    zeta = eta * omega / (2.0 * omega)
    turn = omega * math.sqrt(1.0 - zeta**2)
    peaks = [math.exp(-zeta * omega * k * 2.0 * math.pi / turn) for k in range(5)]
    assert swing_loss(peaks).loss_factor == pytest.approx(eta, rel=1e-9)


def test_scatter_covers_the_truth_as_often_as_it_says() -> None:
    """95 % range, 400 tests of eight swings read to 4 %: between 90 and 99 % cover."""
    rng = np.random.default_rng(7)
    hits = 0
    for _ in range(400):
        swings = np.array(decay(0.1, 8)) * np.exp(rng.normal(0.0, 0.04, 8))
        found = swing_loss(swings.tolist())
        hits += found.low <= 0.1 <= found.high
    assert 360 <= hits <= 396


def test_every_bad_reading_is_named() -> None:
    with pytest.raises(DesignError) as caught:
        swing_loss([80.0, 60.0, 65.0, -3.0, float("nan")], path="test.swing")
    paths = [problem.path for problem in caught.value.problems]
    assert paths == ["test.swing[2]", "test.swing[3]", "test.swing[4]"]
    assert "gets smaller" in str(caught.value)


def test_too_few_swings() -> None:
    with pytest.raises(DesignError, match="4 or more"):
        swing_loss([80.0, 60.0, 45.0])


def test_rubbing_is_seen() -> None:
    """Dry friction takes the same travel each swing: small ones die faster."""
    found = swing_loss([80.0, 70.0, 60.0, 50.0, 40.0, 30.0, 20.0, 10.0])
    assert any("rubs" in doubt for doubt in found.doubts)


def test_loss_of_large_swings_is_seen() -> None:
    swings = [80.0]
    for _ in range(8):
        swings.append(swings[-1] * math.exp(-0.02 - 0.01 * swings[-1]))
    assert any("Large swings" in doubt for doubt in swing_loss(swings).doubts)


def test_scatter_and_coarse_reading_are_doubted() -> None:
    found = swing_loss([80.0, 79.0, 50.0, 49.0, 20.0], reading=10.0)
    assert any("scatter" in doubt for doubt in found.doubts)
    assert any("scale" in doubt for doubt in found.doubts)
    assert any("unusual" in doubt for doubt in swing_loss(decay(0.8, 5)).doubts)


def test_air_takes_away_the_same_at_any_size() -> None:
    """Constant pressure: .0274 to .0279 on all three craft, whatever gap (independent prototype)."""
    for size in ("1-seat", "4-seat", "10-seat"):
        fed = [float(fed_at_constant_pressure(*at_hover(size, gap)[:2])[0]) for gap in (0.005, 0.02)]
        assert fed[0] == pytest.approx(fed[1], rel=1e-6)
        assert 0.0270 < fed[0] < 0.0283
