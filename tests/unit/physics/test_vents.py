"""Vents: the two least areas, the air they serve, and the round holes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon, box

from skirtloft.physics.loop_margin import loop_balance, loop_of_margin
from skirtloft.physics.vents import (
    HOLE_SIZES,
    VENT_DEFAULTS,
    air_above,
    choose_holes,
    holes_area,
    vent_area_beside_path,
    vent_area_in_path,
)

# Three invented craft of an independent prototype: X = d [m], Z [m], p [Pa], skirt frequency [Hz], answer [mm2/m] given
# to two or three figures. Its loop area was not written down; .3 c^2 + d^2 at the skirt's frequency gives all three.
CRAFT = [
    (0.18, 0.20, 464.054, 8.60, 3200.0, 50.0),
    (0.26, 0.28, 629.332, 6.79, 6000.0, 50.0),
    (0.40, 0.42, 777.947, 4.74, 10800.0, 50.0),
]


@pytest.mark.parametrize(("depth", "rise", "pressure", "frequency", "answer", "figures"), CRAFT)
def test_area_beside_the_path(
    depth: float, rise: float, pressure: float, frequency: float, answer: float, figures: float
) -> None:
    area = 0.3 * (depth**2 + rise**2) + depth**2
    vent = float(vent_area_beside_path(area, 2 * math.pi * frequency, pressure, 1.225)) * 1e6
    assert vent == pytest.approx(answer, abs=figures)
    in_path = float(vent_area_in_path(0.537286, 0.010)) * 1e6
    assert 5.5 < in_path / vent < 20.5  # independent prototype: 6 to 20 times


def test_area_in_the_path() -> None:
    """Independent prototype: eps 2 %, h 10 mm, Cd .6: 63300 mm2/m."""
    assert float(vent_area_in_path(0.537286, 0.010, over_pressure=0.02, discharge=0.6)) == pytest.approx(
        63300e-6, abs=50e-6
    )
    assert float(vent_area_in_path(0.5, 0.010, over_pressure=0.01)) == pytest.approx(
        2 * 0.5 * 0.01 / 0.6 * 5, rel=1e-12
    )


def test_flow_through_the_area_beside_the_path_drops_what_was_allowed() -> None:
    """Breathing of C_l omega dp through the vents drops lag dp (orifice law)."""
    loop, omega, p, rho = 0.06, 50.0, 600.0, 1.2
    vent = float(vent_area_beside_path(loop, omega, p, rho, swing_share=0.3, lag=0.02, discharge=0.61))
    swing = 0.3 * p
    flow = loop / (1.4 * (101325.0 + p)) * omega * swing
    assert rho / 2 * (flow / (0.61 * vent)) ** 2 == pytest.approx(0.02 * swing, rel=1e-12)


@pytest.mark.parametrize("margin", [0.0, 0.3])
@pytest.mark.parametrize("joint_x", [0.23, -0.05])
def test_air_above_the_diaphragm_is_the_area_drawn(joint_x: float, margin: float) -> None:
    edge, joint, inner = np.array([0.0, 0.5]), np.array([joint_x, 0.28]), np.array([joint_x - 0.56, 0.28])
    hull = np.array([[-0.20, 0.20], [-0.15, 0.30]])
    case = loop_balance(edge, joint, inner, tip_mean_square=2 * 0.28**2, pressure=500.0)
    loop = loop_of_margin(case, margin)
    start = math.atan2(*(edge - loop.centre)[::-1])
    turn = start - float(loop.angle) * np.linspace(0, 1, 4001)
    arc = loop.centre + float(loop.radius) * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    np.testing.assert_allclose(arc[-1], joint, atol=1e-9)
    drawn = Polygon(np.concatenate([arc, hull])).area
    corners = np.array([edge, joint, *hull])
    assert float(air_above(loop.radius, loop.angle, corners)) == pytest.approx(drawn, rel=1e-5)


def holes_drawn(pattern, k: int, pitch: float, width: float) -> list[Polygon]:
    d, rows, columns = pattern.diameter[k], int(pattern.rows[k]), int(pattern.columns[k])
    row_pitch = 0.0 if rows == 1 else pattern.row_pitch[k]
    first = pattern.rim_to_edge[k] + d / 2
    return [
        Point((c + 0.5) * pattern.column_pitch[k], first + r * row_pitch).buffer(d / 2, quad_segs=32)
        for r in range(rows)
        for c in range(columns)
    ]


WANTED = np.array([0.0005, 0.0032, 0.0108, 0.030, 0.0633])


@pytest.mark.parametrize(("pitch", "width"), [(0.15, 0.45), (0.12, 0.30), (0.25, 0.6), (0.09, 0.4)])
def test_the_holes_fit_and_give_the_area(pitch: float, width: float) -> None:
    pattern = choose_holes(WANTED, pitch, width)
    for k in np.flatnonzero(pattern.fits):
        d = float(pattern.diameter[k])
        holes = holes_drawn(pattern, k, pitch, width)
        assert len(holes) == pattern.count[k]
        inner = box(0.0, 0.025, pitch, width - 0.025)
        for place, hole in enumerate(holes):
            assert inner.buffer(1e-9).contains(hole)
            assert hole.distance(LineString([(0, 0), (0, width)])) >= d / 2 - 1e-9  # half a ligament to the web
            for other in holes[:place]:
                assert hole.distance(other) >= d - 1e-9
        assert float(holes_area(d, pattern.count[k], pitch)) >= WANTED[k]
        assert pattern.area[k] == pytest.approx(math.pi * d**2 / 4 * len(holes) / pitch, rel=1e-12)
        assert pattern.open_share[k] == pytest.approx(pattern.area[k] / width, rel=1e-12)
        assert pattern.cloth_left[k] >= 0.5 - 1e-12


def test_no_other_standard_size_needs_fewer_holes() -> None:
    """Every size, row and column tried one by one."""
    for pitch, width in [(0.15, 0.45), (0.12, 0.30), (0.25, 0.6)]:
        pattern = choose_holes(WANTED, pitch, width)
        for k, wanted in enumerate(WANTED):
            counts = [
                rows * columns
                for d in HOLE_SIZES
                for columns in range(1, 40)
                for rows in range(1, 40)
                if columns * 2 * d <= pitch + 1e-9
                and 2 * 0.025 + d + (rows - 1) * 2 * d <= width + 1e-9
                and rows * columns * math.pi * d**2 / 4 / pitch >= wanted
            ]
            assert pattern.fits[k] == bool(counts)
            if counts:
                assert pattern.count[k] == min(counts)


def test_area_that_does_not_go_in_is_said_and_the_most_is_given() -> None:
    pattern = choose_holes([0.0633, 0.5], 0.15, 0.30)
    assert not pattern.fits.any()
    assert (pattern.area < pattern.wanted).all()
    assert pattern.area[0] == pattern.area[1] > 0.0


def test_a_diaphragm_narrower_than_any_hole_has_none() -> None:
    pattern = choose_holes(0.001, 0.15, 0.06)
    assert not pattern.fits
    assert pattern.count == 0.0
    assert pattern.area == 0.0


def test_every_default_states_its_source() -> None:
    assert all(stated.reason and stated.source for stated in VENT_DEFAULTS.values())
