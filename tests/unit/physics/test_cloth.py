"""Weight of the cloth: segments against a fine brute-force sum in three dimensions, loop against printed shares."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from skirtloft.physics.cloth import centroid_rise, loop_moment, segment_weight
from skirtloft.physics.face import face_half_width
from skirtloft.physics.section import loop_arc

D, W = 0.28, 0.15
BARE = {"depth": D, "pitch": W, "areal_mass": 0.4, "seam": 0.0, "hem": 0.0, "tip_trim": 0.0, "joint": 0.0}


def hung_face(depth: float, pitch: float, areal_mass: float, rows: int = 400, columns: int = 600) -> np.ndarray:
    """Mass and first moments in x and z of one face, summed over small cells above the ground."""
    edge = math.sqrt(2.0) * depth
    total = np.zeros(3)
    for share in (np.arange(rows) + 0.5) / rows:
        half = float(face_half_width(np.array([share]), pitch, pitch, math.pi / 4.0 * pitch)[0])
        near = [max(0.0, share - 0.5 / rows), share + 0.5 / rows]
        widths = face_half_width(np.array(near), pitch, pitch, math.pi / 4.0 * pitch)
        run = (near[1] - near[0]) * edge
        across = math.sqrt(run**2 - (widths[1] - widths[0]) ** 2)
        alpha = brentq(lambda a, half=half: math.sin(a) / a - pitch / (2.0 * half), 1e-9, 3.0)
        turn = alpha * (2.0 * (np.arange(columns) + 0.5) / columns - 1.0)
        bulge = half / alpha * (np.cos(turn) - math.cos(alpha))
        x = 2.0 * depth + (bulge - share * edge) / math.sqrt(2.0)
        z = -(bulge + share * edge) / math.sqrt(2.0)
        cell = areal_mass * 2.0 * half / columns * across
        kept = z > -depth
        total += cell * np.array([kept.sum(), x[kept].sum(), z[kept].sum()])
    return total


@pytest.mark.parametrize("depth, pitch", [(0.28, 0.15), (0.18, 0.14), (0.40, 0.12)])
def test_face_by_brute_force(depth: float, pitch: float) -> None:
    weight = segment_weight(**{**BARE, "depth": depth, "pitch": pitch})
    webs = 2.0 * 0.4 * depth**2
    mass, moment, height = np.array([weight.mass, weight.moment, weight.height_moment]) * pitch
    expected = hung_face(depth, pitch, 0.4)
    assert mass - webs == pytest.approx(expected[0], rel=3e-4)
    assert moment - webs * depth == pytest.approx(expected[1], rel=3e-4)
    assert height + webs * depth / 3.0 == pytest.approx(expected[2], rel=3e-4)


def test_face_mass_is_the_printed_area() -> None:
    """Area .073759 m2 at d .28, w .15 (prototype, 2026)."""
    assert segment_weight(**BARE).mass * W - 2.0 * 0.4 * D**2 == pytest.approx(0.4 * 0.073759, abs=0.4 * 5e-7)


@pytest.mark.parametrize(
    "allowance, length, x, z",
    [
        ("seam", 4.0 * math.sqrt(2.0) * D, 1.5 * D, -0.5 * D),  # two layers on both side edges, at their middle
        ("joint", 3.0 * W, 2.0 * D, 0.0),  # face and the strip folded double, at J
    ],
)
def test_allowances_hang_where_they_are_sewn(allowance: str, length: float, x: float, z: float) -> None:
    bare, with_it = segment_weight(**BARE), segment_weight(**{**BARE, allowance: 0.02})
    mass = 0.4 * 0.02 * length / W
    assert with_it.mass - bare.mass == pytest.approx(mass, rel=1e-12)
    assert with_it.moment - bare.moment == pytest.approx(mass * x, rel=1e-12)
    assert with_it.height_moment - bare.height_moment == pytest.approx(mass * z, rel=1e-12, abs=1e-15)


def test_hem_lies_on_both_free_edges() -> None:
    bare, hemmed = segment_weight(**BARE), segment_weight(**{**BARE, "hem": 0.015})
    line = 2.0 * 0.4 * 0.015 / W
    root = math.sqrt(2.0)
    assert hemmed.mass - bare.mass == pytest.approx(line * (2.0 + root) * D, rel=1e-12)
    assert hemmed.moment - bare.moment == pytest.approx(line * (2.0 * D * D + root * D * D / 2.0), rel=1e-12)
    assert hemmed.height_moment - bare.height_moment == pytest.approx(-line * root * D * D / 2.0, rel=1e-12)


def test_trim_lies_below_the_tip_edge() -> None:
    """Tip edge .28651 m (prototype, 2026); its mean, weighted by length, lies between the mean over the pitch and the
    crown."""
    bare, trimmed = segment_weight(**BARE), segment_weight(**{**BARE, "tip_trim": 0.015})
    mass = trimmed.mass - bare.mass
    assert mass == pytest.approx(0.4 * 0.015 * 0.28651 / W, rel=2e-5)
    place = (trimmed.moment - bare.moment) / mass
    down = 0.015 / (2.0 * math.sqrt(2.0))
    u = (np.arange(20_000) + 0.5) / 20_000 * math.pi
    length = np.sqrt(1.0 + np.cos(u) ** 2)
    assert place == pytest.approx(D - down + (length * W / math.sqrt(2.0) * np.sin(u)).sum() / length.sum(), rel=1e-7)
    assert (trimmed.height_moment - bare.height_moment) / mass == pytest.approx(-D - down, rel=1e-12)


def test_strip_may_be_of_other_cloth() -> None:
    same = segment_weight(**{**BARE, "joint": 0.025})
    heavy = segment_weight(**{**BARE, "joint": 0.025}, strip_areal_mass=1.4)
    assert heavy.mass - same.mass == pytest.approx(1.0 * 0.05, rel=1e-12)
    assert heavy.moment - same.moment == pytest.approx(0.05 * 2.0 * D, rel=1e-12)


@pytest.mark.parametrize(
    "depth, offset, rise, share",
    [(0.18, 0.18, 0.20, 0.7323), (0.2, -0.05, 0.3, 0.3970), (0.15, 0.2, 0.2, 0.7370), (0.28, 0.23, 0.22, 0.7429)],
)
def test_share_of_the_loop_lumped_at_the_joint(depth: float, offset: float, rise: float, share: float) -> None:
    """Printed shares at a = d/2 (prototype, 2026)."""
    arc = loop_arc(offset, rise, depth / 2.0)
    rise_rate = centroid_rise(arc, np.array(offset), np.array(rise), depth)
    assert float(rise_rate) / (2.0 * depth) == pytest.approx(share, abs=5e-5)
    moment = loop_moment(arc, np.array(offset), np.array(rise), depth, 0.3, 0.025)
    expected = 2.0 * depth * 0.3 * (share * float(arc.length) + 0.025)
    assert float(moment) == pytest.approx(expected, rel=2e-4)
