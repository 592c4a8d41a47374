"""Marks along the hull: steps on straights and round corners, holes between seams, segments counted."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from skirtloft.pieces.hull_strip import HullStrip, hull_strips
from tests.designs import NAMES, skirt_of


def strips(name: str) -> tuple[HullStrip, ...]:
    skirt = skirt_of(name)
    return hull_strips(skirt.design, skirt.plan, skirt.sections, skirt.development.panels)


def places(strip: HullStrip, kind: str) -> list[float]:
    return [mark.at for mark in strip.marks if mark.kind == kind]


@pytest.mark.parametrize("name", NAMES)
def test_ties_stand_at_the_pitch_of_their_run_at_the_fixing_line(name: str) -> None:
    """Straight: the fitted pitch. Corner: times (r - 2 d)/r, on the circle of the fixings (closed form)."""
    skirt, (_, fixing) = skirt_of(name), strips(name)
    depth = skirt.design.skirt.depth
    ties = np.array(places(fixing, "web"))
    at = 0.0
    for run in skirt.plan.runs:
        shrunk = 1.0 if math.isinf(run.radius) else 1.0 - 2.0 * depth / run.radius
        length = (run.end - run.start) * shrunk
        mine = ties[(ties >= at - 1e-5) & (ties <= at + length + 1e-5)]
        np.testing.assert_allclose(np.diff(mine), run.fitted_pitch * shrunk, atol=2e-5)
        inside = run.segments / 2.0 if run.crosses_centre else float(run.segments)
        assert len(mine) == math.floor(inside + 1e-9) + 1
        at += length
    assert at == pytest.approx(fixing.length, rel=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_ties_name_the_segments_in_order(name: str) -> None:
    _, fixing = strips(name)
    texts = [mark.text for mark in fixing.marks if mark.kind == "web"]
    between = [tuple(map(int, text.split("/"))) for text in texts[1:-1]]
    assert all(b == a + 1 for a, b in between)
    assert all(b == a + 1 for (_, a), (_, b) in pairwise(between))


@pytest.mark.parametrize("name", NAMES)
def test_no_hole_falls_on_a_seam(name: str) -> None:
    """Half a step from every seam; steps within a third of the wanted pitch where a panel has room for two."""
    edge, _ = strips(name)
    wanted = skirt_of(name).design.making.hole_pitch
    seams = [mark.at for mark in edge.marks if mark.kind == "station" and "seam" in mark.text]
    holes = np.array(places(edge, "hole"))
    for start, end in pairwise(seams):
        mine = holes[(holes > start) & (holes < end)]
        count = max(1, round((end - start) / wanted))
        assert len(mine) == count
        np.testing.assert_allclose(mine[0] - start, (end - start) / count / 2.0, atol=1e-9)
        np.testing.assert_allclose(end - mine[-1], (end - start) / count / 2.0, atol=1e-9)
        if count >= 2:
            assert (end - start) / count == pytest.approx(wanted, rel=1 / 3)


@pytest.mark.parametrize("name", NAMES)
def test_bends_are_the_corners(name: str) -> None:
    skirt = skirt_of(name)
    for strip in strips(name):
        assert len(strip.bends) == sum(math.isfinite(run.radius) for run in skirt.plan.runs)
        assert all(0.0 <= a < b <= strip.length + 1e-9 for a, b in strip.bends)
