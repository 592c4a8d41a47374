"""Thread and seams beyond the published numbers."""

from __future__ import annotations

import itertools

import pytest

from skirtloft.physics.sewing import THREADS, nearest_thread, seam_efficiency, sewn_seam_strength, thread_for


def test_example_in_metric() -> None:
    """62 N, 3 stitches per cm, 301: 279 N/cm = 27.9 kN/m (computed by hand)."""
    assert float(sewn_seam_strength(300.0, 62.0)) == pytest.approx(27900.0)
    assert float(sewn_seam_strength(300.0, 62.0, rows=2)) == pytest.approx(55800.0)
    assert float(seam_efficiency(27900.0, 40e3)) == pytest.approx(0.6975)


@pytest.mark.parametrize(("tex", "needle"), [(70.0, (100, 110)), (92.0, (110, 120)), (138.0, (130, 140))])
def test_needle_of_the_nearest_thread(tex: float, needle: tuple[int, int]) -> None:
    assert nearest_thread(tex).needle == needle  # from memory


@pytest.mark.parametrize(
    ("wanted", "tex"), [(14849.0, 70.0), (14851.0, 90.0), (20459.0, 90.0), (20461.0, 135.0), (31349.0, 135.0)]
)
def test_the_thinnest_thread_that_holds(wanted: float, tex: float) -> None:
    """220 stitches per metre (4.5 mm): 45, 62, 95 N x 220 x 1.5 = 14850, 20460, 31350 N/m."""
    thread = thread_for(wanted, 220.0)
    assert thread is not None
    assert thread.tex == tex


def test_no_thread_holds_everything() -> None:
    assert thread_for(31351.0, 220.0) is None
    assert thread_for(31351.0, 220.0, "401") is not None


def test_threads_grow_in_every_respect() -> None:
    for thin, thick in itertools.pairwise(THREADS):
        assert thin.tex < thick.tex
        assert thin.strength < thick.strength
        assert thin.needle < thick.needle
        assert "memory" in thin.source
