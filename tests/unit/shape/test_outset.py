"""Sections set out for pattern making: true edges, seams that agree, straight panels left alone."""

from __future__ import annotations

import dataclasses
import time

import numpy as np
import pytest

from skirtloft.shape import outset
from skirtloft.shape.loft import Loft, SectionArcs, arc_angles, arc_points, loft
from skirtloft.shape.outset import closing_moves, corner_stations, set_out, shared_moves
from tests.corner_cases import RADIUS, corner_case


def ends(arcs: SectionArcs) -> tuple[np.ndarray, np.ndarray]:
    points = arc_points(arcs, arc_angles(arcs, 1))
    return points[:, 0], points[:, -1]


def edge_errors(surface: Loft) -> tuple[np.ndarray, np.ndarray]:
    edges = set_out(surface)
    hull = np.linalg.norm(ends(edges.start)[0] - ends(edges.end)[0], axis=1) - surface.hull_length
    joint = np.linalg.norm(ends(edges.start)[1] - ends(edges.end)[1], axis=1) - surface.joint_length
    return hull, joint


# Independent prototype, 2026 (no published source): sum over the corner of what chords fall short of hull edge and
# joint line [mm]. Without an outset this is the error of the patterns.
@pytest.mark.parametrize(
    "case, stations, hull, joint",
    [("S", 4, 21.29, 13.41), ("S", 7, 5.36, 3.36), ("T", 7, 2.33, 3.36), ("P", 7, 0.0, 3.36), ("S", 10, 2.38, 1.49)],
)
def test_shortfall_of_chords(case: str, stations: int, hull: float, joint: float) -> None:
    surface = loft(*corner_case(case, stations))
    hull_points, joint_points = ends(surface.arcs)
    short_hull = surface.hull_length - np.linalg.norm(np.diff(hull_points, axis=0), axis=1)
    short_joint = surface.joint_length - np.linalg.norm(np.diff(joint_points, axis=0), axis=1)
    assert [short_hull.sum() * 1e3, short_joint.sum() * 1e3] == pytest.approx([hull, joint], abs=0.0051)


@pytest.mark.parametrize(
    "case, stations",
    [
        *[(case, stations) for case in "SVT" for stations in (4, 5, 6, 7, 8, 10)],
        *[("P", stations) for stations in (4, 7, 10)],  # a polygon needs a station at each of its corners
    ],
)
def test_edges_are_true(case: str, stations: int) -> None:
    # The aim is 0.05 mm a panel and 0.5 mm a corner; the closing step leaves rounding.
    hull, joint = edge_errors(loft(*corner_case(case, stations)))
    assert np.abs(hull).max() < 1e-12
    assert np.abs(joint).max() < 1e-12


@pytest.mark.parametrize("inset", [0.05, 0.0917, 0.14])
def test_edges_are_true_with_uneven_stations(inset: float) -> None:
    angles = np.radians([0.0, 15.0, 16.8, 30.0, 45.0, 52.0, 60.0, 75.0, 86.5, 90.0])
    for case in "SVT":
        hull, joint = edge_errors(loft(*corner_case(case, inset=inset, angles=angles)))
        assert max(np.abs(hull).max(), np.abs(joint).max()) < 1e-12


def test_seams_have_one_length_and_the_sections_own_at_the_corner_ends() -> None:
    surface = loft(*corner_case("S"))
    edges = set_out(surface)
    assert edges.start.length[1:] == pytest.approx(edges.end.length[:-1], abs=1e-14)
    own = surface.arcs.length
    # bow centre, both ends of the corner, and the station on the side run: not changed
    assert edges.start.length[[0, 1]] == pytest.approx(own[[0, 1]], abs=1e-14)
    assert edges.end.length[[6, 7]] == pytest.approx(own[[7, 8]], abs=1e-14)
    # inside the corner seams change by millimetres: at most 4.3 mm (independent prototype, 2026: same corner)
    change = np.abs(edges.end.length[1:6] - own[2:7])
    assert change.max() == pytest.approx(4.3e-3, abs=5e-5)


def test_straight_panels_are_left_alone() -> None:
    surface = loft(*corner_case("S"))
    edges = set_out(surface)
    assert edges.is_set_out.tolist() == [False, *[True] * 6, False]
    for name in ("joint", "centre_outboard", "centre_z", "radius", "start_angle", "end_angle"):
        assert np.array_equal(getattr(edges.start, name)[[0, -1]], getattr(surface.arcs, name)[[0, -2]])
        assert np.array_equal(getattr(edges.end, name)[[0, -1]], getattr(surface.arcs, name)[[1, -1]])
    assert not edges.hull_move[[0, -1]].any()
    assert not edges.joint_move[[0, -1]].any()


def test_polygon_hull_does_not_move() -> None:
    # Chords of a polygon with a station at each corner are the hull edge itself.
    assert np.abs(set_out(loft(*corner_case("P"))).hull_move).max() < 1e-9


def test_equal_moves_round_an_arc_have_a_closed_form() -> None:
    # r (x/sin x - 1), x half the angle between stations: every chord as long as its arc. Without damping pull.
    angle = np.linspace(0.0, np.pi / 2, 7)
    outward = np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    points, lengths = RADIUS * outward, np.full(6, RADIUS * np.pi / 12)
    half = np.pi / 24
    exact = RADIUS * (half / np.sin(half) - 1)
    moves = closing_moves(points, outward, lengths, np.zeros(7), np.ones(6, dtype=bool))
    assert moves == pytest.approx(np.full((6, 2), exact), abs=1e-12)
    shared = shared_moves(points, outward, lengths)
    assert shared.mean() == pytest.approx(exact, rel=0.05)
    chords = np.linalg.norm(np.diff(points + shared[:, None] * outward, axis=0), axis=1)
    # independent prototype, 2026: at most 0.03 mm a panel left by the damping
    assert np.abs(chords - lengths).max() < 0.03e-3


def test_slopes_match_finite_differences() -> None:
    random = np.random.default_rng(7)
    angle = np.linspace(0.0, 1.2, 5)
    outward = np.column_stack([np.cos(angle), np.sin(angle), 0 * angle])
    points = 0.8 * outward + random.normal(0.0, 0.02, (5, 3))
    start, end, chord = outset._chord_slopes(points, outward)
    step = 1e-7
    for k in range(4):
        moved = points.copy()
        moved[k] += step * outward[k]
        assert (np.linalg.norm(moved[k + 1] - moved[k]) - chord[k]) / step == pytest.approx(start[k], abs=1e-6)
        moved = points.copy()
        moved[k + 1] += step * outward[k + 1]
        assert (np.linalg.norm(moved[k + 1] - moved[k]) - chord[k]) / step == pytest.approx(end[k], abs=1e-6)


def test_corner_that_begins_on_the_centre_line_is_free_there() -> None:
    # A round bow: its mirror image shares the seam, so the seam may change its length.
    plan, sections = corner_case("T")
    surface = loft(plan, sections)
    cut = {name: getattr(surface.arcs, name)[1:] for name in (f.name for f in dataclasses.fields(SectionArcs))}
    bow = dataclasses.replace(
        surface,
        ids=surface.ids[1:],
        runs=surface.runs[1:],
        arcs=SectionArcs(**cut),
        hull=surface.hull[1:],
        depth=surface.depth[1:],
        centre_inset=surface.centre_inset[1:],
        hull_length=surface.hull_length[1:],
        joint_length=surface.joint_length[1:],
    )
    edges = set_out(bow)
    assert edges.start.length[0] - surface.arcs.length[1] > 0.5e-3
    assert edges.end.length[5] == pytest.approx(surface.arcs.length[7], abs=1e-14)
    assert max(np.abs(error).max() for error in edge_errors(bow)) < 1e-12


def test_corner_stations() -> None:
    assert corner_stations(np.array([True, True, False, True, False])) == [(0, 2), (3, 4)]
    assert corner_stations(np.array([False, False])) == []


def test_a_corner_takes_under_ten_milliseconds() -> None:
    surface = loft(*corner_case("S", 13))
    set_out(surface)
    took = []
    for _ in range(5):
        begin = time.perf_counter()
        set_out(surface)
        took.append(time.perf_counter() - begin)
    assert min(took) < 0.010
