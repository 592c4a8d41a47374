"""Flat panels: names, frame, rectangles, seams and what is refused."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from skirtloft.errors import ShapeError
from skirtloft.maths.frozen import frozen_array
from skirtloft.shape.develop import develop, unroll
from skirtloft.shape.loft import loft, take_arcs
from skirtloft.shape.rulings import axis_distances, ruling_pairs, step_order
from tests.corner_cases import DEPTH, RADIUS, corner_case, sections_with_inset


def steps_of(seam: np.ndarray) -> np.ndarray:
    return np.hypot(*np.diff(seam, axis=0).T)


def test_names_and_runs() -> None:
    panels = develop(*corner_case("S")).panels
    assert [panel.id for panel in panels] == [f"L{i:02d}" for i in range(1, 9)]
    assert [(panel.start, panel.end) for panel in panels[:3]] == [("S01", "P01"), ("P01", "P02"), ("P02", "P03")]
    assert [panel.run for panel in panels] == ["bow", *["bow_corner"] * 6, "side"]
    assert [panel.across for panel in panels] == [True, *[False] * 7]
    assert [panel.is_rectangle for panel in panels] == [True, *[False] * 6, True]


def test_rectangles_are_exact() -> None:
    plan, sections = corner_case("S")
    bow, *_, side = develop(plan, sections).panels
    assert [bow.hull_edge, bow.joint_edge] == pytest.approx([1.06, 1.06], abs=1e-12)  # full width: twice .53
    assert side.joint_edge == pytest.approx(0.53, abs=1e-12)
    assert side.area == pytest.approx(0.53 * sections.length[-1], abs=1e-12)
    for panel, width in ((bow, 1.06), (side, 0.53)):
        length = sections.length[0 if panel is bow else -1]
        assert panel.seam_start[0] == pytest.approx([width, length], abs=1e-12)
        assert panel.seam_start[-1] == pytest.approx([width, 0.0], abs=1e-12)
        assert panel.seam_end[0] == pytest.approx([0.0, length], abs=1e-12)
        assert panel.seam_end[-1] == pytest.approx([0.0, 0.0], abs=1e-12)


@pytest.mark.parametrize("case", "SPVT")
def test_piece_frame(case: str) -> None:
    for panel in develop(*corner_case(case)).panels:
        assert panel.seam_end[-1] == pytest.approx([0.0, 0.0], abs=1e-15)
        assert panel.seam_start[-1] == pytest.approx([panel.joint_edge, 0.0], abs=1e-14)
        assert panel.joint_edge > 0.0
        assert min(panel.seam_start[0, 1], panel.seam_end[0, 1]) > 0.1
        assert np.hypot(*(panel.seam_start[0] - panel.seam_end[0])) == pytest.approx(panel.hull_edge, abs=1e-14)


@pytest.mark.parametrize("case", "SPVT")
def test_seams_agree_edge_by_edge_and_have_their_arc_length(case: str) -> None:
    development = develop(*corner_case(case))
    for ahead, behind in pairwise(development.panels):
        assert np.abs(steps_of(ahead.seam_end) - steps_of(behind.seam_start)).max() < 1e-14
    for i, panel in enumerate(development.panels):
        assert steps_of(panel.seam_start).sum() == pytest.approx(development.outset.start.length[i], abs=1e-12)
        assert np.ptp(steps_of(panel.seam_end)) < 1e-14  # equal steps: a notch at a share of the seam is a sample


@pytest.mark.parametrize("case", "SPVT")
@pytest.mark.parametrize("stations", [4, 7])
def test_edges_are_true(case: str, stations: int) -> None:
    development = develop(*corner_case(case, stations))
    assert np.abs(development.hull_edge_error).max() < 1e-12
    assert np.abs(development.joint_edge_error).max() < 1e-12
    corner = [panel.joint_edge for panel in development.panels if panel.run == "bow_corner"]
    assert sum(corner) == pytest.approx(RADIUS * np.pi / 2, abs=1e-12)


def test_first_panel_that_is_no_rectangle_has_a_centre_seam() -> None:
    # The hull rises along the bow run: sections differ, planes are parallel, rulings level with phi.
    plan, _ = corner_case("S")
    height = plan.stations.hull_z.copy()
    height[0] += 0.03
    stations = dataclasses.replace(plan.stations, hull_z=frozen_array(height))
    sections = sections_with_inset(stations.offset, stations.hull_z - DEPTH, 0.0917)
    development = develop(dataclasses.replace(plan, stations=stations), sections)
    panel = development.panels[0]
    assert (panel.start, panel.end, panel.across, panel.is_rectangle) == ("P00", "P01", False, False)
    assert panel.hull_edge == pytest.approx(np.hypot(0.53, 0.03), abs=1e-12)
    assert panel.joint_edge == pytest.approx(0.53, abs=1e-12)
    assert steps_of(panel.seam_start).sum() == pytest.approx(sections.length[0], abs=1e-12)


def mirrored_craft() -> tuple:
    """Case S run backwards, from the stern: the side run first, the corner, then the run across the centre line."""
    plan, sections = corner_case("S")
    stations, total = plan.stations, plan.stations.at[-1]
    flip = np.array([-1.0, 1.0])
    changed = dataclasses.replace(
        stations,
        at=frozen_array(total - stations.at[::-1]),
        joint=frozen_array(stations.joint[::-1] * flip),
        outward=frozen_array(stations.outward[::-1] * flip),
        hull=frozen_array(stations.hull[::-1] * flip),
        hull_at=frozen_array(stations.hull_at[-1] - stations.hull_at[::-1]),
        hull_z=frozen_array(stations.hull_z[::-1]),
        offset=frozen_array(stations.offset[::-1]),
        radius=frozen_array(stations.radius[::-1]),
    )
    turned = sections_with_inset(sections.offset[::-1], sections.rise[::-1], 0.14)
    return dataclasses.replace(plan, stations=changed), turned


def test_stern_is_the_mirror_image_of_the_bow() -> None:
    bow, stern = develop(*corner_case("S")), develop(*mirrored_craft())
    last = stern.panels[-1]
    assert (last.start, last.end, last.across) == ("P07", "S07", True)
    for one, other in zip(bow.panels, reversed(stern.panels), strict=True):
        assert other.hull_edge == pytest.approx(one.hull_edge, abs=1e-9)
        assert other.area == pytest.approx(one.area, abs=1e-9)
        flipped = np.array([one.joint_edge, 0.0]) + one.seam_start * np.array([-1.0, 1.0])
        assert other.seam_end == pytest.approx(flipped, abs=1e-6)  # ties between samples fall differently


@settings(max_examples=25, deadline=None)
@given(scale=st.floats(0.2, 5.0))
def test_scaling_the_sections_scales_the_strip(scale: float) -> None:
    from skirtloft.shape.develop import unroll_strips
    from skirtloft.shape.loft import SectionArcs

    arcs = loft(*corner_case("S")).arcs
    bigger = SectionArcs(
        joint=arcs.joint * scale,
        outward=arcs.outward,
        centre_outboard=arcs.centre_outboard * scale,
        centre_z=arcs.centre_z * scale,
        radius=arcs.radius * scale,
        start_angle=arcs.start_angle,
        end_angle=arcs.end_angle,
    )
    pick = slice(1, 7), slice(2, 8)
    one = unroll_strips(*(take_arcs(arcs, part) for part in pick), 32)
    two = unroll_strips(*(take_arcs(bigger, part) for part in pick), 32)
    assert two[0] == pytest.approx(one[0] * scale, abs=1e-5 * scale)
    assert two[1] == pytest.approx(one[1] * scale, abs=1e-5 * scale)


def test_order_of_steps_uses_every_sample_once() -> None:
    arcs = loft(*corner_case("S", 4)).arcs
    one, two = take_arcs(arcs, slice(1, 4)), take_arcs(arcs, slice(2, 5))
    moves = step_order(one, two, 40)
    assert moves.shape == (3, 80)
    assert moves.sum(axis=1).tolist() == [40, 40, 40]
    # the fan from E covers 62 deg of the next arc with 4 stations a corner (independent prototype, 2026)
    fans = np.argmax(moves, axis=1) / 40 * np.degrees(two.start_angle - two.end_angle)
    assert fans.max() == pytest.approx(62.0, abs=4.0)


def test_rulings_never_cross() -> None:
    for case in "SPVT":
        arcs = loft(*corner_case(case, 4)).arcs
        starts, ends = ruling_pairs(take_arcs(arcs, slice(1, 4)), take_arcs(arcs, slice(2, 5)), 60)
        assert np.all(np.diff(starts, axis=1) < 1e-9)
        assert np.all(np.diff(ends, axis=1) < 1e-9)


def test_section_planes_meet_on_the_axis_of_the_arc() -> None:
    arcs = loft(*corner_case("S")).arcs
    first, second = axis_distances(take_arcs(arcs, slice(0, -1)), take_arcs(arcs, slice(1, None)))
    assert first[1:-1] == pytest.approx(np.full(6, RADIUS), abs=1e-12)
    assert second[1:-1] == pytest.approx(np.full(6, RADIUS), abs=1e-12)
    assert np.isinf(first[[0, -1]]).all()


def test_unroll_of_a_flat_square_is_the_square() -> None:
    # Two right triangles: legs 1, diagonal sqrt 2.
    left, right = unroll(np.ones((1, 2)), np.array([[1.0, np.sqrt(2.0), 1.0]]), np.array([[True, False]]))
    assert left[0] == pytest.approx(np.array([[0.0, 0.0], [0.0, -1.0]]), abs=1e-15)
    assert right[0] == pytest.approx(np.array([[1.0, 0.0], [1.0, -1.0]]), abs=1e-15)


def test_crossed_section_planes_are_refused() -> None:
    plan, sections = corner_case("T")
    outward = plan.stations.outward.copy()
    outward[2] = [np.cos(-0.5), np.sin(-0.5)]  # one section turned the wrong way: planes meet outboard
    stations = dataclasses.replace(plan.stations, outward=frozen_array(outward))
    with pytest.raises(ShapeError, match="P01 and P02.*larger by"):
        develop(dataclasses.replace(plan, stations=stations), sections)
