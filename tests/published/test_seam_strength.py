"""Strength of superimposed sewn seams and thread counts.

Seam estimate: learnapparel, 2013 (apparel practice): stitches per inch x thread strength [lb] x 1.5 (stitch 301) or
x 1.7 (401), answer in lb per inch. Worked numbers as published; the arithmetic is exact, so the tolerance is rounding.
Thread counts: tex = g per 1000 m, denier = g per 9000 m, Ne 40/2 is 29.5 tex, 240 denier is 26.7 tex (published).
"""

from __future__ import annotations

import pytest

from skirtloft.physics.sewing import (
    Stitch,
    sewn_seam_strength,
    tex_from_cotton_count,
    tex_from_denier,
    tex_from_metric_count,
)

POUND, INCH = 0.45359237 * 9.80665, 0.0254  # N, m: exact by definition

# stitches per inch, thread [lb], stitch, seam [lb/in]
SEAMS = [
    (10, 4.0, "301", 60.0),
    (10, 4.0, "401", 68.0),
    (6, 2.6, "301", 23.4),
    (8, 2.6, "301", 31.2),
    (10, 2.6, "301", 39.0),
    (12, 2.6, "301", 46.8),
]


@pytest.mark.parametrize(("per_inch", "thread", "stitch", "seam"), SEAMS)
def test_seam_strength(per_inch: int, thread: float, stitch: Stitch, seam: float) -> None:
    strength = float(sewn_seam_strength(per_inch / INCH, thread * POUND, stitch))
    assert strength * INCH / POUND == pytest.approx(seam, abs=0.05)


def test_thread_counts() -> None:
    assert float(tex_from_cotton_count(40, 2)) == pytest.approx(29.5, abs=0.05)
    assert float(tex_from_denier(240)) == pytest.approx(26.7, abs=0.05)
    assert float(tex_from_metric_count(100)) == pytest.approx(10.0)  # Nm = 1000/tex, by definition
    assert float(tex_from_metric_count(40, 3)) == pytest.approx(75.0)
