"""The flare of the face against its printed check numbers (prototype, 2026) and its closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from skirtloft.physics.face import FLARE_END, face_half_width

D, W = 0.28, 0.15
EDGE = np.sqrt(2.0) * D


def half_width(share: float) -> float:
    return float(face_half_width(np.array([share]), W, W, np.pi / 4.0 * W)[0])


def test_top_is_straight_and_tip_is_half_round() -> None:
    assert face_half_width(np.array([0.0, FLARE_END, 1.0]), W, W, np.pi / 4.0 * W) == pytest.approx(
        [W / 2.0, np.pi / 4.0 * W, np.pi / 4.0 * W], rel=1e-14
    )


def test_printed_face() -> None:
    """d .28, w .15: G (.11781, -.39115), crown y -.31615, tip edge .28651, area .073759 (prototype, 2026)."""

    def slope(s: float) -> float:  # closed form of h'
        angle = np.pi / 2.0 * min(1.0, s / (FLARE_END * EDGE))
        return float(W / 2.0 * (np.pi / 2.0 - 1.0) * np.cos(angle) * np.pi / (2.0 * FLARE_END * EDGE))

    def across(s: float) -> float:
        return float(np.sqrt(1.0 - slope(s) ** 2))

    drop = quad(across, 0.0, EDGE, points=[FLARE_END * EDGE])[0]
    assert half_width(1.0) == pytest.approx(0.11781, abs=5e-6)
    assert -drop == pytest.approx(-0.39115, abs=5e-6)
    assert -drop + W / 2.0 == pytest.approx(-0.31615, abs=5e-6)
    area = quad(lambda s: 2.0 * half_width(s / EDGE) * across(s), 0.0, EDGE, points=[FLARE_END * EDGE])[0]
    assert area - W**2 / 2.0 == pytest.approx(0.073759, abs=5e-7)
    tip = quad(lambda u: W / 2.0 * np.sqrt(1.0 + np.cos(u) ** 2), 0.0, np.pi)[0]
    assert tip == pytest.approx(0.28651, abs=5e-6)


def test_half_width_grows_at_the_rate_used_for_the_drop() -> None:
    shares = np.linspace(0.05, 0.55, 6)
    step = 1e-6
    rate = [(half_width(f + step) - half_width(f - step)) / (2.0 * step) for f in shares]
    closed = W / 2.0 * (np.pi / 2.0 - 1.0) * np.cos(np.pi / 2.0 * shares / FLARE_END) * np.pi / (2.0 * FLARE_END)
    assert rate == pytest.approx(closed, rel=1e-6)


def test_wedge_follows_its_chord() -> None:
    """A corner face: chord .2 at the joint, .12 at the tip, tip half width .11: ends exact, middle by the formula."""
    top, middle, tip = face_half_width(np.array([0.0, 0.3, 1.0]), 0.2, 0.12, 0.11)
    chord = 0.2 - 0.08 * 0.3
    assert (top, tip) == (pytest.approx(0.1, rel=1e-14), pytest.approx(0.11, rel=1e-14))
    assert middle == pytest.approx(chord / 2.0 * (1.0 + (0.22 / 0.12 - 1.0) * np.sin(np.pi / 4.0)), rel=1e-14)
